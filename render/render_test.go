// The pages as a whole: golden files, and claims that no careless -update can
// hide the loss of.

package render

import (
	"bytes"
	"encoding/xml"
	"flag"
	"io"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

var update = flag.Bool("update", false, "write the golden pages anew")

// golden are the pages kept whole, few enough to be read in a review.
var golden = []string{
	"index.html", "then-and-now.html", "pace.html", "skill.html", "forecast.html", "mistakes.html", "trials.html", "to-sort.html", "using-cards.html", "interval.html", "card-format.html", "builds/lightship.html",
	"builds/lightship/kit-1.html", "builds/lightship/return.html", "supplies.html", "search.html",
	"builds/lightship/bench-sheet.html", "builds/lightship/take-apart.html", "builds/lightship/sanding-plan.html", "builds/lightship/runner-check.html", "builds/lightship/show-sheet.html",
	"builds/pilot-boat/show-sheet.html", "years/2024-review.html", "years/2021-review.html",
	"days/2024-02-10.html", "weeks/2024-W06.html", "years/2024.html", archivePage, feedPage,
	"compare/clean-pilot-boat-lightship.html", "compare/seam-pilot-boat-mail-seaplane.html", "compare/lightship-clean-before-after.html",
	"step-clean.html", "learning.html", "criterion-4.html", "eye.html",
}

func render(t *testing.T, v *view) []file {
	t.Helper()
	return makeAll(t, v, pagesOf(v))
}

func makeAll(t *testing.T, v *view, pages []making) []file {
	t.Helper()
	files := make([]file, len(pages))
	for i, m := range pages {
		var err error
		if files[i], err = m.file(v.texts()); err != nil {
			t.Fatal(err)
		}
	}
	return files
}

// htmlOf are the pages among some files.
func htmlOf(files []file) []file {
	return slices.DeleteFunc(files, func(f file) bool { return path.Ext(f.path) != ".html" })
}

func TestGolden(t *testing.T) {
	got := map[string][]byte{}
	for _, f := range render(t, smallView()) {
		got[f.path] = f.data
	}
	empty := viewOf(&journal.State{Config: journal.Config{Name: "New bench"}, Zone: time.UTC}, time.Time{}, nil)
	for _, f := range render(t, empty) {
		if f.path == "index.html" {
			got["empty.html"] = f.data
		}
	}
	for _, f := range render(t, readersView()) {
		if f.path == "index.html" || f.path == "weeks/2024-W06.html" {
			got["readers/"+f.path] = f.data
		}
	}
	laid, _ := laidView(nil)
	for _, f := range render(t, laid) {
		if f.path == laidPage {
			got["laid.html"] = f.data
		}
	}
	names := append([]string{"empty.html", "laid.html", "readers/index.html", "readers/weeks/2024-W06.html"}, golden...)
	for _, name := range names {
		want := filepath.Join("testdata", strings.ReplaceAll(name, "/", "_"))
		if *update {
			if err := os.WriteFile(want, got[name], 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		data, err := os.ReadFile(want)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n")), got[name]) {
			t.Errorf("%s differs from %s at %q; if that is meant, run with -update and read the difference", name, want, firstDifference(data, got[name]))
		}
	}
	kept, err := filepath.Glob("testdata/*ml")
	if err != nil || len(kept) != len(names) {
		t.Errorf("%d golden pages are kept, %d are claimed (%v)", len(kept), len(names), err)
	}
}

// readersView is the small journal for readers.
func readersView() *view {
	s := small()
	return named(viewWith(s, Options{Edition: ForReaders}, originalsOf(s), nil))
}

func firstDifference(a, b []byte) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	return string(b[min(i, len(b)):min(i+90, len(b))])
}

// The same journal gives the same bytes.
func TestSameBytes(t *testing.T) {
	a, b := render(t, smallView()), render(t, smallView())
	if !reflect.DeepEqual(a, b) {
		t.Error("two writings of one journal differ")
	}
}

// element is an opening tag of a page with its attributes.
type element struct {
	name  string
	attrs map[string]string
}

// The pages are written by templates we know, so a pattern reads their tags;
// its own test is that it finds as many as there are.
var (
	tagPattern  = regexp.MustCompile(`<([a-zA-Z][a-zA-Z0-9]*)((?:\s+[a-zA-Z_:-]+(?:="[^"]*")?)*)\s*/?>`)
	attrPattern = regexp.MustCompile(`([a-zA-Z_:-]+)(?:="([^"]*)")?`)
	anyTag      = regexp.MustCompile(`<[a-zA-Z]`)
	svgPattern  = regexp.MustCompile(`(?s)<svg.*?</svg>`)
)

func elements(t *testing.T, f file) []element {
	t.Helper()
	var out []element
	for _, m := range tagPattern.FindAllStringSubmatch(string(f.data), -1) {
		e := element{m[1], map[string]string{}}
		for _, a := range attrPattern.FindAllStringSubmatch(m[2], -1) {
			if _, twice := e.attrs[a[1]]; twice {
				t.Errorf("%s: <%s> has %s twice", f.path, e.name, a[1])
			}
			e.attrs[a[1]] = a[2]
		}
		out = append(out, e)
	}
	if n := len(anyTag.FindAll(f.data, -1)); n != len(out) {
		t.Errorf("%s: %d tags, of which %d could be read", f.path, n, len(out))
	}
	return out
}

// resolve finds the file and the place an address in a page leads to.
func resolve(from, address string) (name, place string) {
	u, err := url.Parse(strings.ReplaceAll(address, "&amp;", "&"))
	if err != nil {
		return "", ""
	}
	if u.Path == "" {
		return from, u.Fragment
	}
	return path.Join(path.Dir(from), u.Path), u.Fragment
}

func TestLinksPicturesAndIDs(t *testing.T) {
	linksPicturesAndIDs(t, smallView())
	linksPicturesAndIDs(t, viewOf(judgedBuilds(12), time.Time{}, nil))
	linksPicturesAndIDs(t, readersOf(smallState()))
	linksPicturesAndIDs(t, readersOf(judgedBuilds(12)))
}

func linksPicturesAndIDs(t *testing.T, v *view) {
	t.Helper()
	files := append(render(t, v), makeAll(t, v, assets())...)
	exists := map[string]bool{}
	for _, name := range v.sizeFiles() {
		exists[name] = true
	}
	places := map[string]map[string]bool{}
	pages := map[string][]element{}
	for _, f := range files {
		exists[f.path] = true
		if path.Ext(f.path) != ".html" {
			continue
		}
		pages[f.path] = elements(t, f)
		places[f.path] = map[string]bool{}
		for _, e := range pages[f.path] {
			if id, ok := e.attrs["id"]; ok {
				if places[f.path][id] || id == "" || strings.ContainsAny(id, " \t") {
					t.Errorf("%s: the id %q is there twice, or is none", f.path, id)
				}
				places[f.path][id] = true
			}
		}
	}
	links, pictures := 0, 0
	for name, es := range pages {
		for _, e := range es {
			for _, attr := range []string{"href", "src", "srcset"} {
				value, ok := e.attrs[attr]
				if !ok {
					continue
				}
				if e.name == "a" && value == "https://example.com/sea" {
					continue // the person's own link
				}
				for one := range strings.SplitSeq(value, ", ") {
					to, place := resolve(name, strings.Fields(one + " ")[0])
					links++
					if !exists[to] {
						t.Errorf("%s: <%s %s=%q> leads nowhere", name, e.name, attr, value)
					} else if place != "" && !places[to][place] {
						t.Errorf("%s: %q leads to no place in %s", name, value, to)
					}
				}
			}
			if e.name != "img" {
				continue
			}
			pictures++
			_, alt := e.attrs["alt"]
			if !alt || e.attrs["width"] == "" || e.attrs["width"] == "0" || e.attrs["height"] == "" || e.attrs["height"] == "0" {
				t.Errorf("%s: a picture without words or size: %v", name, e.attrs)
			}
			if (e.attrs["loading"] == "lazy") == (e.attrs["fetchpriority"] != "") {
				t.Errorf("%s: a picture neither early nor late: %v", name, e.attrs)
			}
		}
	}
	if links < 300 || pictures < 60 {
		t.Errorf("only %d links and %d pictures were looked at", links, pictures)
	}
}

// Nothing is asked of another place, and nothing private or broken is shown.
func TestNothingOutsideNothingPrivate(t *testing.T) {
	v := smallView()
	files := append(render(t, v), makeAll(t, v, assets())...)
	files = append(files, render(t, readersOf(smallState()))...)
	for _, f := range append(files, render(t, viewOf(judgedBuilds(12), time.Time{}, nil))...) {
		if path.Ext(f.path) == ".woff2" || path.Ext(f.path) == ".txt" {
			continue
		}
		text := string(f.data)
		plain := strings.ReplaceAll(text, `href="https://example.com/sea"`, "")
		plain = strings.ReplaceAll(plain, `xmlns="http://www.w3.org/2000/svg"`, "") // a name, which nobody asks for
		plain = strings.ReplaceAll(plain, `href=&#34;https://example.com/sea&#34;`, "")
		plain = strings.ReplaceAll(plain, `<feed xmlns="`+atomSpace+`"`, "") // a name, not an address
		for _, bad := range []string{
			"http://", "https://", `="//`, "url(http", "@import", "NaN", "Inf", "%!", "<no value>", "ZgotmplZ", "javascript:",
			secretSerial, secretFolder, secretName, "IMG_", "alert(1)</script>", "style=\"",
		} {
			if strings.Contains(plain, bad) {
				i := strings.Index(plain, bad)
				t.Errorf("%s holds %q: …%s…", f.path, bad, plain[max(0, i-60):min(len(plain), i+60)])
			}
		}
	}
}

func TestDrawingsAreXML(t *testing.T) {
	n := 0
	for _, f := range render(t, smallView()) {
		for _, svg := range svgPattern.FindAll(f.data, -1) {
			n++
			d := xml.NewDecoder(bytes.NewReader(svg))
			for {
				if _, err := d.Token(); err == io.EOF {
					break
				} else if err != nil {
					t.Fatalf("%s: %v in %s", f.path, err, svg)
				}
			}
		}
	}
	if n < 20 {
		t.Errorf("only %d drawings", n)
	}
}

// Every template shows its page's zero value.
func TestZeroValues(t *testing.T) {
	used := map[string]bool{"moved": true}
	for _, v := range []*view{smallView(), viewOf(judgedBuilds(12), time.Time{}, nil)} {
		for _, p := range pagesOf(v) {
			used[p.template] = true
		}
	}
	for _, zero := range []struct {
		template string
		value    any
	}{
		{"home", Home{}}, {"build", BuildPage{}}, {"sheet", Sheet{}}, {"compare", Compare{}}, {"pace", PacePage{}},
		{"skill", SkillPage{}}, {"forecast", ForecastPage{}}, {"mistakes", MistakesPage{}}, {"trials", TrialsPage{}},
		{"sort", SortPage{}}, {"home", Home{Teach: &Teach{}}}, {"anytwo", AnyTwo{}}, {"moved", Moved{}},
		{"builds", BuildsPage{}}, {"step", StepPage{}}, {"criterion", CriterionPage{}},
		{"search", SearchPage{}}, {"kit", KitPage{}}, {"takeapart", TakeApart{}}, {"benchsheet", BenchSheet{}}, {"sandingsheet", SandingSheet{}}, {"runnersheet", RunnerSheet{}}, {"showsheet", ShowSheet{}}, {"yearsheet", YearSheet{}}, {"return", ReturnPage{}}, {"supplies", SuppliesPage{}},
		{"day", DayPage{}}, {"week", WeekPage{}}, {"flick", FlickPage{}}, {"year", YearPage{}}, {"archive", ArchivePage{}}, {"home", Home{Empty: true}},
	} {
		if _, err := (making{path: zero.template, template: zero.template, value: func(*texts) any { return zero.value }}).file(smallView().texts()); err != nil {
			t.Error(err)
		}
		if !used[zero.template] {
			t.Errorf("no page uses the template %q", zero.template)
		}
	}
}

func TestEveryPageIsWhole(t *testing.T) {
	files := append(render(t, smallView()), render(t, viewOf(judgedBuilds(12), time.Time{}, nil))...)
	for _, f := range htmlOf(append(files, render(t, readersOf(smallState()))...)) {
		text := string(f.data)
		for _, want := range []string{`<html lang="en">`, `<a class="skip" href="#main">`, `<main id="main"`, "<nav ", "<h1", "</html>",
			`<meta name="description" content="`, `<link rel="icon" href="`} {
			if strings.Count(text, want) != 1 {
				t.Errorf("%s has %q %d times", f.path, want, strings.Count(text, want))
			}
		}
		if !strings.Contains(text, "safety data sheet") {
			t.Errorf("%s does not send to the data sheet", f.path)
		}
		if !strings.Contains(text, "<title>") || strings.Contains(text, "<title></title>") {
			t.Errorf("%s has no title", f.path)
		}
	}
}

// A build whose id is another's in a different case, or joins to the same
// name, still has pages of its own.
func TestAddressesDiffer(t *testing.T) {
	v := viewOf(&journal.State{Builds: []*journal.Build{{ID: "a-b", Title: "A"}, {ID: "A-b", Title: "B"}, {ID: "a b", Title: "C"}, {ID: "über", Title: "D"}}}, time.Time{}, nil)
	var seen []string
	for _, b := range v.order {
		seen = append(seen, strings.ToLower(b.href))
	}
	slices.Sort(seen)
	if len(slices.Compact(seen)) != 4 {
		t.Error(seen)
	}
}
