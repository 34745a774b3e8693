// The search: words are folded and stemmed, all that is found has its place, and a
// changed day changes one file of the index.

package render

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/kljensen/snowball/english"

	"rakelight/journal"
)

// The browser takes the same texts apart (TestPagesInBrowser).
func TestSearchWords(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "search-words.json"))
	if err != nil {
		t.Fatal(err)
	}
	var cases map[string][]string
	if err := json.Unmarshal(data, &cases); err != nil || len(cases) < 10 {
		t.Fatalf("%d texts, %v", len(cases), err)
	}
	for text, want := range cases {
		if got := searchWords(text); !slices.Equal(got, want) {
			t.Errorf("%q has the words %q, want %q", text, got, want)
		}
	}
}

// The stems are those of the sample vocabulary beside the description of Snowball's
// English stemmer, from memory: nobody held them against the published page, so they say
// that the library is the one meant, not that it is right in every word.
func TestSearchStems(t *testing.T) {
	for word, stem := range map[string]string{
		"consign": "consign", "consigned": "consign", "consigning": "consign", "consignment": "consign",
		"consistency": "consist", "consistent": "consist", "consolation": "consol", "consolingly": "consol",
		"knackeries": "knackeri", "knaves": "knave", "knightly": "knight", "knitting": "knit", "knots": "knot",
	} {
		if got := english.Stem(word, true); got != stem {
			t.Errorf("the stem of %s is %s, want %s", word, got, stem)
		}
	}
}

func searchFiles(t *testing.T, v *view) map[string]yearIndex {
	t.Helper()
	out := map[string]yearIndex{}
	for _, m := range v.searchPages() {
		if !strings.HasPrefix(m.path, "data/") {
			continue
		}
		f, err := m.file(v.texts())
		if err != nil {
			t.Fatal(err)
		}
		year := strings.TrimSuffix(strings.TrimPrefix(m.path, "data/search-"), ".js")
		body, ok := strings.CutPrefix(string(f.data), fmt.Sprintf("rakelightSearch(%q,", year))
		var index yearIndex
		if err := json.Unmarshal([]byte(strings.TrimSuffix(body, ");\n")), &index); !ok || err != nil {
			t.Fatalf("%s: %v", m.path, err)
		}
		if strings.ContainsAny(body, "<>") {
			t.Errorf("%s holds markup", m.path)
		}
		out[year] = index
	}
	return out
}

// All that was said is found, in both editions, and stands where it leads.
func TestSearchFinds(t *testing.T) {
	searchFinds(t, smallView())
	searchFinds(t, readersOf(smallState()))
}

func searchFinds(t *testing.T, v *view) {
	t.Helper()
	places := map[string]bool{}
	for _, f := range htmlOf(render(t, v)) {
		places[f.path] = true
		for _, e := range elements(t, f) {
			if id := e.attrs["id"]; id != "" {
				places[f.path+"#"+id] = true
			}
		}
	}
	index := searchFiles(t, v)
	groups := map[string]int{}
	for year, one := range index {
		for _, doc := range one.Docs {
			groups[doc.Group]++
			if !places[doc.Href] {
				t.Errorf("%s: %q leads to %s, which is no place", year, doc.Title, doc.Href)
			}
			if doc.Title == "" || strings.Contains(doc.Text, "](") || strings.Contains(doc.Text, device) {
				t.Errorf("%s: %+v", year, doc)
			}
		}
	}
	for _, group := range searchGroups {
		if groups[string(group)] == 0 && group != "Notes" && group != "Photos" {
			t.Errorf("nothing is found among %s", group)
		}
	}
	// hull halves, filed: "The hull halves came off the runner rough. I filed too deep".
	one := index["2021"]
	for _, stem := range []string{"halv", "file", "rough"} {
		if !slices.ContainsFunc(one.Words[stem], func(n int) bool { return one.Docs[n].Title == "First evening with the file" }) {
			t.Errorf("%q does not find the evening with the file: %v", stem, one.Words[stem])
		}
	}
	if one.Forms["filed"] != "file" || one.Words["the"] != nil || one.Forms["rough"] != "" {
		t.Errorf("forms %v", one.Forms)
	}
	if in := index["2024"]; !slices.ContainsFunc(in.Words["a1"], func(n int) bool { return strings.HasPrefix(in.Docs[n].Title, "Runner") }) {
		t.Error("a part is not found by its name")
	}
}

// Of a person's own "you", marked in the readers' edition, no piece is a word.
func TestSearchOfOwnWords(t *testing.T) {
	s := small()
	s.Diary[0].Body = "You saw yourself in the gloss, yes, you."
	index := searchFiles(t, readersOf(s))["2021"]
	n := slices.IndexFunc(index.Docs, func(d found) bool { return d.Title == s.Diary[0].Title })
	var got []string
	for stem, in := range index.Words {
		if slices.Contains(in, n) {
			got = append(got, stem)
		}
	}
	slices.Sort(got)
	if want := []string{"even", "file", "first", "gloss", "saw", "yes", "yourself"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// A day whose words change makes the file of its year anew, and no other.
func TestSearchFollowsTheChange(t *testing.T) {
	digests := func(s *journal.State) map[string]digest {
		out := map[string]digest{}
		for _, m := range viewOf(s, time.Time{}, nil).searchPages() {
			out[m.path] = m.of()
		}
		return out
	}
	changed := func(s *journal.State) (out []string) {
		for path, now := range digests(s) {
			if was, ok := digests(small())[path]; !ok || was != now {
				out = append(out, path)
			}
		}
		slices.Sort(out)
		return out
	}
	if got := changed(small()); len(got) > 0 {
		t.Errorf("nothing changed but %q", got)
	}
	s := small()
	s.Diary[0].Body += "\n\nAnd once more at the stern."
	if got := changed(s); !slices.Equal(got, []string{"data/search-2021.js"}) {
		t.Errorf("other words of a day change %q", got)
	}
	s = small()
	s.Diary[0].Title = "Second evening"
	if got := changed(s); !slices.Equal(got, []string{"data/search-2021.js", searchPage}) {
		t.Errorf("another title changes %q", got)
	}
}

// Twenty years of a busy diary: the index below 1 MB, each page below what a page may
// have before its photos.
func TestSearchOfMany(t *testing.T) {
	s := judgedBuilds(60)
	words := strings.Fields("filed filler seams sanding primer canopy strut scribed gloss varnish decals rigging swell tender deckhouse lantern wheel chimney rails thinned brush masked tape runner gate stub gouge sink flash")
	for i, b := range s.Builds {
		for k := range 13 {
			date := at(b.Started).AddDate(0, 0, 7*k).Format(time.DateOnly)
			var body []string
			for n := range 60 {
				body = append(body, words[(i*7+k*11+n*n)%len(words)])
			}
			s.Diary = append(s.Diary, journal.DiaryDay{Build: b.ID, Date: date, Title: fmt.Sprintf("%s %d", words[(i+k)%len(words)], i), Body: strings.Join(body, " ")})
		}
	}
	total, lists := 0, 0
	v := viewOf(s, time.Time{}, nil)
	for _, m := range v.searchPages() {
		f, err := m.file(v.texts())
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(m.path, "data/") {
			total += len(f.data)
			continue
		}
		lists++
		if len(f.data) > heaviestBefore {
			t.Errorf("%s has %d KB", m.path, len(f.data)>>10)
		}
	}
	if total > 1<<20 || total < 100<<10 {
		t.Errorf("the index has %d KB", total>>10)
	}
	if lists < 12 {
		t.Errorf("%d lists by letter", lists)
	}
}

// What is too long for a page is not in the index either: it would be found and not
// be there.
func TestSearchLeavesOutWhatNoPageShows(t *testing.T) {
	long := strings.Repeat("hull [x](y) ", maxText/10)
	index := inEnglish.indexOf([]findable{{Group: "Days", Title: "Evening", Words: long, Prose: true}, {Group: "Days", Title: "Other", Words: "mast", Prose: true}})
	if index.Words["hull"] != nil || index.Words["even"] == nil || index.Words["mast"] == nil || index.Docs[0].Text != "" {
		t.Errorf("%v, %d bytes", sortedKeys(index.Words), len(index.Docs[0].Text))
	}
}
