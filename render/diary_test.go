// Which pictures a day and a week show, and in which order; what is said was done.

package render

import (
	"fmt"
	"path"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// taken is a photo of the tests of moments: a letter, its role, its caption, whether a
// card is in it.
func taken(name, role, caption string, card bool) *journal.Photo {
	p := &journal.Photo{Hash: name, Caption: caption, Tags: journal.Tags{Build: "lorry", Stage: "clean", Role: role}}
	if card {
		p.Cards = []journal.CardSeen{{}}
	}
	return p
}

func TestBestMoment(t *testing.T) {
	from := func(name, view string) *journal.Photo {
		p := taken(name, "finished", "", false)
		p.Tags.View = view
		return p
	}
	for _, c := range []struct {
		name   string
		photos []*journal.Photo
		words  map[string]bool
		want   string
	}{
		{"nothing", nil, nil, ""},
		{"the latest", []*journal.Photo{taken("a", "", "", false), taken("b", "progress", "", false)}, nil, "b"},
		{"words before the latest", []*journal.Photo{taken("a", "", "The keel", false), taken("b", "", "", false)}, nil, "a"},
		{"done work before words", []*journal.Photo{taken("a", "after", "", false), taken("b", "", "The keel", false)}, nil, "a"},
		{"finished as after: the latest", []*journal.Photo{taken("a", "finished", "", false), taken("b", "after", "", false)}, nil, "b"},
		{"before only where nothing else is", []*journal.Photo{taken("a", "", "", false), taken("b", "before", "", false)}, nil, "a"},
		{"a problem neither", []*journal.Photo{taken("a", "progress", "", false), taken("b", "problem", "", false)}, nil, "a"},
		{"a card in it comes last", []*journal.Photo{taken("a", "progress", "", false), taken("b", "after", "", true)}, nil, "a"},
		{"a card in all", []*journal.Photo{taken("a", "after", "", true), taken("b", "progress", "", true)}, nil, "a"},
		{"not the one in the words", []*journal.Photo{taken("a", "after", "", false), taken("b", "after", "", false)}, map[string]bool{"b": true}, "a"},
		{"the one in the words shows more", []*journal.Photo{taken("a", "", "", false), taken("b", "after", "", false)}, map[string]bool{"b": true}, "b"},
		{"the model from the corner", []*journal.Photo{from("a", "three-quarter"), from("b", "top")}, nil, "a"},
		{"not where the words show it", []*journal.Photo{from("a", "three-quarter"), from("b", "top")}, map[string]bool{"a": true}, "b"},
	} {
		got := ""
		if p := bestMoment(c.photos, c.words); p != nil {
			got = p.Hash
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestBeforeAfters(t *testing.T) {
	photo := func(name, stage, role, view, light string, parts ...string) *journal.Photo {
		p := &journal.Photo{Hash: name, Tags: journal.Tags{Build: "lorry", Stage: stage, Role: role, View: view, Light: light}}
		for _, n := range parts {
			p.Tags.Parts = append(p.Tags.Parts, journal.PartRef{Runner: "A", Number: n, Count: 1})
		}
		return p
	}
	for _, c := range []struct {
		name   string
		photos []*journal.Photo
		want   string
	}{
		{"a pair", []*journal.Photo{photo("a", "seam", "before", "left", "raking"), photo("b", "seam", "after", "left", "raking")}, "ab"},
		{"after comes first", []*journal.Photo{photo("a", "seam", "after", "", ""), photo("b", "seam", "before", "", "")}, ""},
		{"other stage", []*journal.Photo{photo("a", "seam", "before", "", ""), photo("b", "clean", "after", "", "")}, ""},
		{"other light", []*journal.Photo{photo("a", "seam", "before", "", "raking"), photo("b", "seam", "after", "", "diffuse")}, ""},
		{"other view", []*journal.Photo{photo("a", "seam", "before", "left", ""), photo("b", "seam", "after", "top", "")}, ""},
		{"the latest before", []*journal.Photo{photo("a", "seam", "before", "", ""), photo("b", "seam", "before", "", ""), photo("c", "seam", "after", "", "")}, "bc"},
		{"each once", []*journal.Photo{photo("a", "seam", "before", "", ""), photo("b", "seam", "after", "", ""), photo("c", "seam", "after", "", "")}, "ab"},
		{"by parts", []*journal.Photo{photo("a", "seam", "before", "", "", "1"), photo("b", "seam", "before", "", "", "2"), photo("c", "seam", "after", "", "", "1", "3")}, "ac"},
		{"finished is no after of a step", []*journal.Photo{photo("a", "seam", "before", "", ""), photo("b", "seam", "finished", "", "")}, ""},
	} {
		got := ""
		for _, p := range beforeAfters(c.photos) {
			got += p[0].Hash + p[1].Hash
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestTellingAndUnlike(t *testing.T) {
	photos := []*journal.Photo{taken("a", "before", "", false), taken("b", "progress", "", false), taken("c", "after", "", false), taken("d", "progress", "Words", false)}
	names := func(photos []*journal.Photo) (s string) {
		for _, p := range photos {
			s += p.Hash
		}
		return s
	}
	if got := names(telling(photos, 3)); got != "bcd" {
		t.Errorf("%q", got)
	}
	again := append(photos, taken("e", "after", "", false), taken("f", "after", "Words", false))
	if got := names(unlike(again)); got != "abcdef" {
		t.Errorf("without view and light: %q", got)
	}
	for _, p := range again {
		p.Tags.View, p.Tags.Light = "left", "raking"
	}
	if got := names(unlike(again)); got != "adf" {
		t.Errorf("%q", got)
	}
	x := taken("x", "before", "", false)
	x.Tags.View, x.Tags.Light = "left", "raking"
	if got := names(unlike(photos, x)); got != "cd" {
		t.Errorf("%q", got)
	}
}

func TestRunsOf(t *testing.T) {
	var photos []*journal.Photo
	for _, stage := range []string{"clean", "clean", "seam", "clean"} {
		photos = append(photos, &journal.Photo{Tags: journal.Tags{Build: "lorry", Stage: stage}})
	}
	var got []string
	for _, run := range runsOf(photos) {
		got = append(got, fmt.Sprint(run.stage, len(run.photos)))
	}
	if want := []string{"clean2", "seam1", "clean1"}; !reflect.DeepEqual(got, want) {
		t.Errorf("%q", got)
	}
}

func TestDoneWords(t *testing.T) {
	b := &build{Build: &journal.Build{ID: "lorry", Title: "Lorry", Stages: []journal.Stage{{ID: "clean", Title: "Clean", Kind: "clean"}, {ID: "seam", Title: "Seam", Kind: "seam"}}}}
	session := func(stage string, minutes float64, known string, n int, parts ...journal.PartRef) *journal.Session {
		return &journal.Session{ID: fmt.Sprint(stage, minutes, known), Build: "lorry", Stage: stage, Kind: stage, Net: time.Duration(minutes * float64(time.Minute)), Known: known, Bare: n, Parts: parts, Counted: n+len(parts) > 0}
	}
	many := parts(0, "A", 1, 12)
	for _, c := range []struct {
		sessions []*journal.Session
		want     string
	}{
		{[]*journal.Session{session("clean", 72, journal.Measured, 0, many...)}, "Cleanup: 12 parts in 1.2 h (A1-A12)."},
		{[]*journal.Session{session("clean", 30, journal.Measured, 4), session("seam", 40, journal.Estimated, 3), session("clean", 30, journal.Measured, 2)},
			"Cleanup: 6 parts in 1.0 h. Seams: 3 joins in 40 min estimated."},
		{[]*journal.Session{session("clean", 30, journal.Measured, 0), session("clean", 60, journal.Remembered, 0)}, "Cleanup: 1.5 h (30 min measured, 1.0 h remembered)."},
		{[]*journal.Session{session("clean", 0, journal.Remembered, 5)}, "Cleanup: 5 parts."},
		{[]*journal.Session{{ID: "o", Build: "lorry", Stage: "clean", Kind: "clean", Open: true, Known: journal.Measured}}, "Cleanup."},
	} {
		if got := inEnglish.doneWords(b, c.sessions); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if got := inEnglish.partsTold(append(parts(0, "A", 1, 1), append(parts(0, "B", 1, 30), parts(1, "C", 3, 3)...)...)); got != "A1, B1-B30, 1/C3" {
		t.Error(got)
	}
	var scattered []journal.PartRef
	for n := 1; n < 60; n += 2 {
		scattered = append(scattered, parts(0, []string{"A", "C"}[n/2%2], n, n)...)
	}
	if got := inEnglish.partsTold(scattered); got != "runners A and C" {
		t.Error(got)
	}
}

// What a span of time got done is said as in a sentence, the word parts once.
func TestCountsAreASentence(t *testing.T) {
	session := func(kind string, n int) *journal.Session {
		return &journal.Session{ID: kind, Build: "lorry", Stage: kind, Kind: kind, Net: time.Hour, Known: journal.Measured, Bare: n, Counted: true}
	}
	for _, c := range []struct {
		sessions []*journal.Session
		want     string
	}{
		{[]*journal.Session{session("paint", 1), session("clean", 18), session("cut", 24)}, "24 parts cut off, 18 cleaned up and 1 coat of paint"},
		{[]*journal.Session{session("assemble", 1)}, "1 part assembled"},
		{[]*journal.Session{session("seam", 1), session("decal", 12), session("top-coat", 2)}, "1 join at the seams, 12 decals and 2 top coats"},
	} {
		if got := journal.Listed(inEnglish.countsOf(c.sessions)); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for _, kind := range journal.Kinds {
		if _, counted := metrics.CountedKind(kind); counted != (doneAs[kind].words != "") {
			t.Errorf("%s is counted: %v, and said as %q", kind, counted, doneAs[kind].words)
		}
	}
}

// A week or a day beside one of another year names that year.
func TestWeeksBeside(t *testing.T) {
	if got := inEnglish.weekBeside("2024-W06", "2024-W07"); got != "Week 6" {
		t.Error(got)
	}
	if got := inEnglish.weekBeside("2023-W52", "2024-W01"); got != "Week 52 of 2023" {
		t.Error(got)
	}
	if got := inEnglish.dayBeside("2024-02-10", "2024-02-12"); got != "10 February" {
		t.Error(got)
	}
	if got := inEnglish.dayBeside("2023-12-30", "2024-01-02"); got != "30 December 2023" {
		t.Error(got)
	}
}

// Mistakes are told with the picture of the problem that was taken nearest.
func TestSlipsHaveTheirPicture(t *testing.T) {
	s := small()
	var day string
	for _, m := range s.Mistakes {
		if m.Build == "lightship" && m.Kind == "gouge" {
			day = m.At.Format(time.DateOnly)
			p := &journal.Photo{Hash: strings.Repeat("ab", 32), Width: 800, Height: 600, Kind: "clean", Instant: journal.Instant{At: m.At.Add(time.Minute)},
				Tags: journal.Tags{Build: "lightship", Stage: "clean", Role: "problem"}}
			far := *p
			far.Hash, far.Instant.At = strings.Repeat("cd", 32), m.At.Add(30*time.Minute)
			s.Photos = append(s.Photos, p, &far)
			break
		}
	}
	slices.SortFunc(s.Photos, func(a, b *journal.Photo) int { return a.Instant.At.Compare(b.Instant.At) })
	v := viewOf(s, time.Time{}, nil)
	p := v.dayPage(v.calendar().byDate[day], v.texts())
	if len(p.Slips) == 0 || len(p.Slips[0].Plate) != 1 || p.Slips[0].Plate[0].Pics[0].Short != "abababab" {
		t.Fatalf("%+v", p.Slips)
	}
	if got := p.Slips[0].Words; !strings.HasPrefix(got, "Gouge on 2/A") || !strings.Contains(got, "(cleanup): blunt blade. Filled.") {
		t.Error(got)
	}
}

// Every day and week can be walked to from its neighbors and from the archive.
func TestDiaryIsOneWalk(t *testing.T) {
	v := smallView()
	pages := map[string]string{}
	for _, f := range render(t, v) {
		pages[f.path] = string(f.data)
	}
	days, weeks := v.calendar().days, v.calendar().weeks
	for i := 1; i < len(days); i++ {
		here, before := pages[v.dayHref(days[i].date)], pages[v.dayHref(days[i-1].date)]
		if !strings.Contains(here, `rel="prev" href="`+days[i-1].date+`.html"`) || !strings.Contains(before, `rel="next" href="`+days[i].date+`.html"`) {
			t.Errorf("%s and %s do not lead to each other", days[i-1].date, days[i].date)
		}
		if !strings.Contains(here, `href="../`+v.weekHref(days[i].date)+`"`) || !strings.Contains(pages[archivePage], `href="`+v.dayHref(days[i].date)+`"`) {
			t.Errorf("%s: no way to its week, or from the archive", days[i].date)
		}
	}
	for i := 1; i < len(weeks); i++ {
		if !strings.Contains(pages[v.weekNamedHref(weeks[i].id)], `rel="prev" href="`+weeks[i-1].id+`.html"`) {
			t.Errorf("%s does not lead to the week before it", weeks[i].id)
		}
	}
}

// headingLevels are those of a page in their order.
var headingLevels = regexp.MustCompile(`<h([1-6])[ >]`)

// No page leaves a level of headings out on the way down.
func TestHeadingsHaveNoGaps(t *testing.T) {
	for _, v := range []*view{smallView(), readersView()} {
		for _, f := range htmlOf(render(t, v)) {
			last := 0
			for _, m := range headingLevels.FindAllStringSubmatch(string(f.data), -1) {
				level := int(m[1][0] - '0')
				if last == 0 && strings.HasPrefix(f.path, "builds/") {
					last = level - 1 // a build put aside begins with that
				}
				if level > last+1 {
					t.Errorf("%s: a heading of level %d under one of level %d", f.path, level, last)
				}
				last = level
			}
		}
	}
}

// For readers nothing is shown that is typed, and the first page is the newest week.
func TestDiaryForReaders(t *testing.T) {
	v := readersView()
	for _, f := range htmlOf(render(t, v)) {
		folder := path.Dir(f.path)
		if folder != "days" && folder != "weeks" && folder != "years" && f.path != archivePage && f.path != "index.html" {
			continue
		}
		main := string(f.data[strings.Index(string(f.data), "<main"):])
		for _, bad := range []string{`class="digits"`, "rakelight ", "To sort", "leads nowhere", "stage is a guess"} {
			if strings.Contains(main, bad) {
				t.Errorf("%s holds %q", f.path, bad)
			}
		}
		if f.path == "index.html" {
			if newest := v.newestWeek().id; !strings.Contains(main, `href="weeks/`+newest+`.html">Read on</a>`) || strings.Contains(main, "Latest from the bench") {
				t.Error("the first page does not begin with the newest week alone")
			}
		}
		if !strings.Contains(string(f.data), `<link rel="alternate" type="application/atom+xml"`) {
			t.Errorf("%s does not name the feed", f.path)
		}
	}
	empty := viewWith(&journal.State{Zone: time.UTC}, Options{Edition: ForReaders}, originals{}, nil)
	for _, f := range render(t, empty) {
		if f.path == "index.html" && (!strings.Contains(string(f.data), "Nothing is here yet.") || strings.Contains(string(f.data), "rakelight on")) {
			t.Errorf("%s", f.data)
		}
		if f.path == feedPage {
			t.Error("an empty journal has a feed")
		}
	}
}

// Before the newest week the builder finds what is on the bench and the next step.
func TestHomeBeginsWithTheBench(t *testing.T) {
	s := small()
	s.Pauses = s.Pauses[:1]
	for _, f := range render(t, viewOf(s, time.Time{}, nil)) {
		if f.path == "index.html" {
			text := string(f.data)
			bench, week := strings.Index(text, "is on the bench"), strings.Index(text, "Read on")
			if bench < 0 || week < bench || !strings.Contains(text, "Next: <strong>") {
				t.Errorf("bench at %d, week at %d", bench, week)
			}
		}
	}
}

// What goes on with a later build makes no page of a year in which nobody worked on it.
func TestYearsLongPastAreLeft(t *testing.T) {
	digestOf := func(later bool) digest {
		s := smallState()
		if later {
			s.Diary = append(s.Diary, journal.DiaryDay{Build: "lightship", Date: "2024-12-24", Body: "Words."})
		}
		v := viewOf(s, time.Time{}, nil)
		return v.yearDigest(v.calendar().byYear["2021"])
	}
	if digestOf(false) != digestOf(true) {
		t.Error("a day of 2024 makes the page of 2021 anew")
	}
}

// A picture that the words of a day show does not open its page too; a week of which
// only a pause is known says so; hours stand beside the days they were worked on.
func TestDiarySaysThingsOnce(t *testing.T) {
	v := smallView()
	c := v.calendar()
	for _, d := range c.days {
		if shown := v.inWords(d); len(shown) > 0 && len(d.photos) == len(shown) {
			if p := v.dayPage(d, v.texts()); p.Opening.Src != "" {
				t.Errorf("%s opens with a picture of its words", d.date)
			}
		}
	}
	newest := c.weeks[len(c.weeks)-1]
	if got, own := v.firstWords(newest, nil, v.texts()); own || got != "Lightship. Put aside: No mast wire." {
		t.Errorf("%q", got)
	}
	y := c.years[len(c.years)-1]
	worked := 0
	for _, d := range y.days {
		if len(d.sessions) > 0 {
			worked++
		}
	}
	if p := v.yearPage(y, v.texts()); worked == len(y.days) || !strings.HasSuffix(p.Facts[0].Is, fmt.Sprintf(" in %d days", worked)) {
		t.Errorf("%q, worked on %d of %d days", p.Facts[0].Is, worked, len(y.days))
	}
}
