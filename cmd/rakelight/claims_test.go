// The finder of claims: it reads all that the pages and the commands say of a
// journal, and finds every sentence, mark and field that tells of a change.
//
// It looks at words last of all, and at all of them: whatever holds a word of
// change is a claim, unless the sentence is one of those that stand whatever a
// journal holds, or says that nothing is claimed. So a sentence that somebody adds
// without asking the family of claims is found, and a new sentence that claims
// nothing has to be told here.

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// telling is one piece of what a reader sees, or a value on its way there.
type telling struct {
	surface string // home, pace, learning, skill, practice, mistakes …; a command is "rakelight pace"
	where   string // file and section, or the command line
	words   string
	figures bool // in a table or a chart: numbers with their ranges are no claim there
	item    bool // in a list
}

func (s telling) String() string { return s.where + ": " + s.words }

// claims are all claims of change in a journal: on the pages as they are written,
// in what the commands print and in their --json, and among the values both rest
// on.
func claims(dir string) ([]telling, error) {
	j, err := journal.OpenAt(dir, func() time.Time { return simulatedNow })
	if err != nil {
		return nil, err
	}
	found := claimedValues(j.State)
	printed, facts, err := commandsSaid(j)
	if err != nil {
		return nil, err
	}
	pages, err := pagesSaid(filepath.Join(dir, "pages"))
	if err != nil {
		return nil, err
	}
	for _, one := range slices.Concat(pages, printed) {
		found = append(found, one.claims()...)
	}
	first, err := leads(dir)
	return slices.Concat(found, facts, first), err
}

// leads are the claims among the sentences that stand first on the page of pace.
func leads(dir string) ([]telling, error) {
	data, err := os.ReadFile(filepath.Join(dir, "pages", "pace.html"))
	if err != nil {
		return nil, err
	}
	var found []telling
	for _, m := range answers.FindAllSubmatch(data, -1) {
		for _, one := range linesOf("pace.html", m[1]) {
			one.surface = "lead"
			found = append(found, one.claims()...)
		}
	}
	return found, nil
}

// answers are the leads, as shared.css makes them stand out.
var answers = regexp.MustCompile(`(?s)<p class="says answer"><strong>(.*?)</strong>`)

// commandsSaid asks every command that tells of the work, of each build where it
// takes one, in words and as JSON. It begins with the pages.
//
// All but those of the bench ask the journal as it was read: to judge the claims takes
// many times as long as to tell of them.
func commandsSaid(j *journal.Journal) (printed, facts []telling, err error) {
	s := j.State
	asked := [][]string{{"write"}, {"forecast"}, {"mistake"}, {"trial"}, {"status"}, {"builds"}, {"hours"},
		{"pace", "--by", "class"}, {"pace", "--by", "tool"}, {"pace", "--by", "build"}, {"skill", "--everybody"}, {"week"}, {"week", "--talk"}}
	for _, b := range s.Builds {
		asked = append(asked, []string{"pace", b.ID}, []string{"skill", b.ID})
		if b.Finished == "" {
			asked = append(asked, []string{"forecast", b.ID})
		}
	}
	if len(s.Builds) > 1 { // of a week that is over, too
		asked = append(asked, []string{"week", s.LastDay(s.Builds[1]), "--talk"})
	}
	for _, line := range asked {
		where := "rakelight " + strings.Join(line, " ")
		text, err := answerFrom(j, line...)
		if err != nil {
			return nil, nil, err
		}
		for one := range strings.Lines(text) {
			printed = append(printed, telling{surface: "rakelight " + line[0], where: where,
				words: strings.TrimSpace(one)})
		}
		if !slices.Contains([]string{"pace", "skill", "forecast"}, line[0]) {
			continue
		}
		data, err := answerFrom(j, append(line, "--json")...)
		if err != nil {
			return nil, nil, err
		}
		var all any
		if err := json.Unmarshal([]byte(data), &all); err != nil {
			return nil, nil, fmt.Errorf("%s --json: %w", where, err)
		}
		facts = append(facts, claimedFacts("rakelight "+line[0], where+" --json", all)...)
	}
	return printed, facts, nil
}

// answerOf runs a command as main does, and returns all it says.
func answerOf(dir string, args ...string) (string, error) {
	j, err := journal.OpenAt(dir, func() time.Time { return simulatedNow })
	if err != nil {
		return "", err
	}
	return answerFrom(j, args...)
}

// answerFrom is answerOf for a journal that is open, and changed by nobody.
func answerFrom(j *journal.Journal, args ...string) (string, error) {
	var out, errs bytes.Buffer
	a := &app{ctx: context.Background(), out: &out, err: &errs, now: j.Now, dir: j.Dir,
		read: func(string, func() time.Time) (*journal.Journal, error) { return j, nil }}
	if code := a.do(args); code != exitDone {
		return "", fmt.Errorf("rakelight %s: exit %d: %s", strings.Join(args, " "), code, errs.String())
	}
	if args[len(args)-1] == "--json" {
		return out.String(), nil
	}
	return out.String() + errs.String(), nil
}

// claimedFacts are the claims in JSON: what a field calls so, advice, and words.
func claimedFacts(surface, where string, value any) (found []telling) {
	switch v := value.(type) {
	case []any:
		for _, one := range v {
			found = append(found, claimedFacts(surface, where, one)...)
		}
	case map[string]any:
		text, _ := json.Marshal(v)
		if v["claimed"] == true || v["what"] == "practice" {
			return []telling{{surface: surface, where: where, words: string(text)}}
		}
		for _, one := range v {
			found = append(found, claimedFacts(surface, where, one)...)
		}
	case string:
		found = telling{surface: surface, where: where, words: v}.claims()
	}
	return found
}

// claimedValues are the numbers that the journal itself lets be told as change.
func claimedValues(s *journal.State) (found []telling) {
	look := func(what string, value any) {
		for _, path := range claimedIn(reflect.ValueOf(value), what) {
			found = append(found, telling{surface: "values", where: path, words: "Claimed"})
		}
	}
	for _, b := range s.Builds {
		earlier := s.Earlier(b)
		look("Learnings of "+b.ID, s.Learnings(b))
		look("SpeedSince of "+b.ID, s.SpeedSince(b))
		look("Chain of "+b.ID, s.Chain(b, earlier))
		look("Quality of "+b.ID, s.Quality(b, ""))
	}
	for _, t := range s.Trials {
		look("Try "+t.What, s.Try(t))
	}
	return found
}

// claimedIn are the ways to each metrics.Claim that is claimed in a value.
func claimedIn(v reflect.Value, path string) (found []string) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if _, whole := v.Interface().(*journal.Build); !v.IsNil() && !whole {
			return claimedIn(v.Elem(), path)
		}
	case reflect.Struct:
		if c, is := reflect.TypeAssert[metrics.Claim](v); is {
			if c.Claimed {
				found = append(found, path)
			}
			return found
		}
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				found = append(found, claimedIn(v.Field(i), path+"."+f.Name)...)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			found = append(found, claimedIn(v.Index(i), fmt.Sprintf("%s[%d]", path, i))...)
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			found = append(found, claimedIn(v.MapIndex(key), fmt.Sprintf("%s[%v]", path, key))...)
		}
	}
	return found
}

// helpPages are the same in every journal.
var helpPages = []string{"using-cards.html", "card-format.html", "interval.html"}

// pagesSaid is all the pages say.
func pagesSaid(dir string) (all []telling, err error) {
	err = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".html" || slices.Contains(helpPages, d.Name()) {
			return err
		}
		data, err := os.ReadFile(path)
		name, relErr := filepath.Rel(dir, path)
		if err != nil || relErr != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		all = append(all, linesOf(filepath.ToSlash(name), data)...)
		return nil
	})
	return all, err
}

var (
	unread    = regexp.MustCompile(`(?s)<(script|style)\b.*?</(script|style)>`)
	inText    = regexp.MustCompile(`(?s)^<(/?)([a-z0-9]+)`)
	sectionID = regexp.MustCompile(`\sid="([^"]*)"`)
	spoken    = regexp.MustCompile(`\s(?:aria-label|alt|title|content)="([^"]*)"`)
)

// inline are the elements that do not break a sentence.
var inline = []string{"a", "strong", "em", "span", "code", "time", "b", "i", "small", "sup", "sub", "abbr", "tspan"}

// linesOf are the paragraphs, items, cells and labels of a page, each with the
// section it stands in.
func linesOf(file string, page []byte) (all []telling) {
	text := unread.ReplaceAllString(string(page), " ")
	section, figures, items := "", 0, 0
	var line strings.Builder
	add := func(words string, figures bool) {
		words = strings.Join(strings.Fields(html.UnescapeString(words)), " ")
		if words != "" {
			all = append(all, telling{surfaceOf(file, section), file + "#" + section, words, figures, items > 0})
		}
	}
	flush := func() {
		add(line.String(), figures > 0)
		line.Reset()
	}
	for text != "" {
		begin := strings.IndexByte(text, '<')
		if begin < 0 {
			line.WriteString(text)
			break
		}
		line.WriteString(text[:begin])
		text = text[begin:]
		end := strings.IndexByte(text, '>')
		if end < 0 {
			break
		}
		tag := text[:end+1]
		text = text[end+1:]
		m := inText.FindStringSubmatch(tag)
		if m == nil {
			continue
		}
		if !slices.Contains(inline, m[2]) {
			flush()
		}
		if id := sectionID.FindStringSubmatch(tag); m[2] == "section" && id != nil {
			section = id[1]
		}
		deeper := 1
		if m[1] == "/" {
			deeper = -1
		}
		switch m[2] {
		case "svg", "table":
			figures += deeper
		case "li":
			items += deeper
		}
		for _, label := range spoken.FindAllStringSubmatch(tag, -1) {
			add(label[1], true)
		}
	}
	flush()
	return all
}

// surfaceOf is what a reader calls the place.
func surfaceOf(file, section string) string {
	folder, _, nested := strings.Cut(file, "/")
	switch {
	case nested:
		return folder
	case file == "index.html":
		return "home"
	case section == "learning", section == "practice":
		return section
	}
	return strings.TrimSuffix(file, ".html")
}

// A value that the journal lets be told is found, and so is what --json calls a
// claim, however it is worded.
func TestFinderKnowsClaimedValues(t *testing.T) {
	t.Parallel()
	l := journal.Learned{Kind: "clean"}
	values := map[string][]journal.Learned{"all": {l}}
	if found := claimedIn(reflect.ValueOf(values), "x"); len(found) > 0 {
		t.Errorf("found %q where nothing is claimed", found)
	}
	l.Claimed = true
	values["own"] = []journal.Learned{{Kind: "seam"}, l}
	if found := claimedIn(reflect.ValueOf(values), "x"); len(found) != 1 {
		t.Errorf("found %q, want one", found)
	}
	for text, want := range map[string]int{
		`[{"what":"speed","value":1.3,"low":1.1,"high":1.5}]`:                0,
		`[{"what":"speed","value":1.3,"claimed":false}]`:                     0,
		`[{"what":"speed","value":1.3,"claimed":true},{"what":"pace"}]`:      1,
		`[{"what":"practice","why":"clean"}]`:                                1,
		`[{"what":"speed","why":"you are faster"},{"from":["got quicker"]}]`: 2,
	} {
		var all any
		if err := json.Unmarshal([]byte(text), &all); err != nil {
			t.Fatal(err)
		}
		if found := claimedFacts("", "", all); len(found) != want {
			t.Errorf("%s: found %q, want %d", text, found, want)
		}
	}
}
