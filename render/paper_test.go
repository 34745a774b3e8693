// Sheets for print: which builds have them, for whom, and what they rest on.

package render

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// sheetNames are the sheets among the pages of a view, and the pages by name.
func sheetNames(t *testing.T, v *view) (sheets []string, pages map[string]string) {
	t.Helper()
	pages = map[string]string{}
	for _, f := range htmlOf(render(t, v)) {
		pages[f.path] = string(f.data)
		if strings.Contains(string(f.data), `class="page-paper"`) {
			sheets = append(sheets, f.path)
		}
	}
	slices.Sort(sheets)
	return sheets, pages
}

// An open build has all sheets, a finished one the show sheet; readers see the review
// of the year alone, and no way to any other.
func TestSheetsAreTheBuilders(t *testing.T) {
	var want []string
	for _, name := range []string{"bench-sheet", "runner-check", "sanding-plan", "show-sheet", "take-apart"} {
		want = append(want, "builds/lightship/"+name+".html")
	}
	want = append(want, "builds/mail-seaplane/show-sheet.html", "builds/pilot-boat/show-sheet.html")
	years := []string{"years/2021-review.html", "years/2022-review.html", "years/2023-review.html", "years/2024-review.html"}
	got, pages := sheetNames(t, smallView())
	if !slices.Equal(got, append(slices.Clone(want), years...)) {
		t.Errorf("sheets %q", got)
	}
	for _, name := range want {
		build, _, _ := strings.Cut(strings.TrimPrefix(name, "builds/"), "/")
		if page := "builds/" + build + ".html"; !strings.Contains(pages[page], `href="../`+name+`"`) {
			t.Errorf("%s has no way to %s", page, name)
		}
	}
	v := viewWith(small(), Options{Edition: ForReaders}, originalsOf(small()), map[string]noShow{})
	got, pages = sheetNames(t, v)
	if !slices.Equal(got, years) {
		t.Errorf("sheets for readers %q", got)
	}
	for name, text := range pages {
		for _, sheet := range want {
			if _, file, _ := strings.Cut(strings.TrimPrefix(sheet, "builds/"), "/"); strings.Contains(text, file) {
				t.Errorf("%s leads to %s", name, file)
			}
		}
		if strings.HasPrefix(name, "years/") && strings.Contains(text, "Rig the foremast") {
			t.Errorf("%s tells readers the next small step", name)
		}
	}
}

// A part done makes the sheets of its build anew, and of the reviews that of its year.
func TestAPartDoneMakesFewSheets(t *testing.T) {
	digests := func(v *view) map[string]digest {
		out := map[string]digest{}
		for _, m := range pagesOf(v) {
			if m.of != nil && slices.ContainsFunc([]string{"sheet", "plan", "apart", "check", "review"},
				func(s string) bool { return strings.HasSuffix(m.path, s+".html") }) {
				out[m.path] = m.of()
			}
		}
		return out
	}
	two := func() *journal.State {
		s := small()
		s.Builds[1].Finished = "" // a second open build
		return s
	}
	before := digests(viewOf(two(), time.Time{}, nil))
	s := two()
	for _, one := range s.SessionsOf("lightship") {
		if one.Kind == "clean" {
			one.Tallies = append(one.Tallies, journal.Tally{Parts: parts(1, "A", 3, 3), Record: device + "/d90"})
			break
		}
	}
	var changed []string
	for path, is := range digests(viewOf(s, time.Time{}, nil)) {
		if before[path] != is {
			changed = append(changed, path)
		}
	}
	slices.Sort(changed)
	want := []string{"builds/lightship/bench-sheet.html", "builds/lightship/runner-check.html", "builds/lightship/sanding-plan.html",
		"builds/lightship/take-apart.html", "years/2024-review.html"}
	if len(before) < 12 || !slices.Equal(changed, want) {
		t.Errorf("of %d sheets these are made anew: %q", len(before), changed)
	}
}

// What is left of a stage: a part that is further on was passed over, what was counted
// without a name is told, and the same parts are drawn once.
func TestBenchSheetLeft(t *testing.T) {
	b := &journal.Build{ID: "tug", Title: "Tug", Started: "2024-01-01", Finish: "painted",
		Kits: []journal.Kit{{Title: "Tug", Runners: []journal.Runner{{Letter: "A", Parts: []string{"1", "2", "3", "4"}}}}}}
	for _, k := range []string{"cut", "clean", "dry-fit", "assemble", "paint"} {
		b.Stages = append(b.Stages, journal.Stage{ID: k, Title: journal.Title(k), Kind: k})
	}
	session := func(n int, kind string, bare int, done ...journal.PartRef) *journal.Session {
		start := at("2024-02-01").AddDate(0, 0, n)
		return &journal.Session{ID: fmt.Sprint("d/", n), Build: b.ID, Stage: kind, Kind: kind, Start: start, End: start.Add(time.Hour), Net: time.Hour,
			Date: start.Format(time.DateOnly), Known: journal.Measured, Counted: true, Bare: bare, Parts: done, Tallies: []journal.Tally{{Parts: done}}}
	}
	s := &journal.State{Builds: []*journal.Build{b}, Zone: time.UTC, Sessions: []*journal.Session{
		session(1, "cut", 4), session(2, "clean", 1, parts(0, "A", 1, 1)...), session(3, "assemble", 0, parts(0, "A", 2, 2)...)}}
	v := viewOf(s, time.Time{}, nil)
	p := v.benchSheet(v.builds["tug"])
	var told []string
	for _, st := range p.Stages {
		told = append(told, st.Title+": "+st.Words)
	}
	if want := []string{"Cleanup: 1 of 4 parts left; 1 passed over", "Dry fit: 3 of 4 parts left; 1 passed over", "Assemble: 3 of 4 parts left",
		"Paint: not begun"}; !slices.Equal(told, want) {
		t.Errorf("stages %q", told)
	}
	if p.Done != "Cut off" {
		t.Errorf("done %q", p.Done)
	}
	told = nil
	for _, l := range p.Left {
		words := l.Title + ":"
		for _, r := range l.Runners {
			for _, sq := range r.Squares {
				words += " " + r.Name + sq.Number
			}
		}
		told = append(told, joinWords("; ", words, l.Note))
	}
	if want := []string{"Cleanup: A3 A4; 1 of these 2 are done already; which, nobody said.", "Dry fit, assemble: A1 A3 A4"}; !slices.Equal(told, want) {
		t.Errorf("left %q", told)
	}
}

// A build without a parts list has empty runners to fill in, and says why.
func TestRunnerCheckWithoutPartsList(t *testing.T) {
	s := &journal.State{Builds: []*journal.Build{
		{ID: "bare", Title: "Bare", Finish: "bare"},
		{ID: "letters", Title: "Letters", Finish: "painted", Kits: []journal.Kit{{Title: "Letters", Runners: []journal.Runner{{Letter: "A"},
			{Letter: "B", Parts: []string{"1", "2", "3"}, NotUsed: []string{"2"}, Class: "flat", Classes: map[string]string{"3": "clear"}}}}}},
	}}
	v := viewOf(s, time.Time{}, nil)
	p := v.runnerSheet(v.builds["bare"])
	if len(p.Kits) != 1 || len(p.Kits[0].Runners) != emptyRunners || !p.Kits[0].Runners[0].Empty || !strings.Contains(p.Why, "lists no runners") {
		t.Errorf("%+v", p.Kits)
	}
	p = v.runnerSheet(v.builds["letters"])
	a, b := p.Kits[0].Runners[0], p.Kits[0].Runners[1]
	if len(a.Squares) != emptyParts || a.Empty || !strings.Contains(p.Why, "which parts") {
		t.Errorf("runner A %+v, %q", a, p.Why)
	}
	if len(b.Squares) != 3 || b.Words != "flat, 2 parts; clear: B3; not for use: B2" || b.Look == "" || !p.Spare {
		t.Errorf("runner B %+v", b)
	}
}

// The plan is that of the finish, by the surfaces the build has, each grit with its
// scale; of bare plastic there are two.
func TestSandingSheetFollowsTheBuild(t *testing.T) {
	s := &journal.State{Builds: []*journal.Build{
		{ID: "bare", Title: "Bare", Finish: "bare", Kits: []journal.Kit{{Runners: []journal.Runner{{Letter: "A", Parts: []string{"1"}, Class: "clear"},
			{Letter: "B", Parts: []string{"1"}, Class: "etched"}}}}},
		{ID: "plain", Title: "Plain", Finish: "painted"},
	}}
	v := viewOf(s, time.Time{}, nil)
	p := v.sandingSheet(v.builds["bare"])
	if len(p.Surfaces) != 1 || p.Surfaces[0].Title != "Clear parts" || len(p.Surfaces[0].To) != 2 || !strings.Contains(p.Others, "etched") {
		t.Errorf("%+v %q", p.Surfaces, p.Others)
	}
	if got := fmt.Sprint(p.Grits); got != "[{P1500 13 µm} {P2000 10 µm} {P3000 } {polish }]" {
		t.Error(got)
	}
	if p = v.sandingSheet(v.builds["plain"]); len(p.Surfaces) != 3 || p.Untold == "" || len(p.Surfaces[0].To) != 1 {
		t.Errorf("%+v %q", p.Surfaces, p.Untold)
	}
}

// The review of a year has the weeks of that year alone, and no week twice.
func TestYearSheetCounts(t *testing.T) {
	b := &journal.Build{ID: "tug", Title: "Tug", Stages: []journal.Stage{{ID: "clean", Title: "Clean", Kind: "clean"}}}
	s := &journal.State{Builds: []*journal.Build{b}, Zone: time.UTC}
	// 2 January 2025 lies in the first week of 2025, 30 December 2025 in that of 2026.
	for i, date := range []string{"2024-12-30", "2025-01-02", "2025-01-03", "2025-12-30", "2025"} {
		known := journal.Measured
		if len(date) == 4 {
			known = journal.Remembered
		}
		s.Sessions = append(s.Sessions, &journal.Session{ID: fmt.Sprint("d/", i), Build: b.ID, Stage: "clean", Kind: "clean", Net: time.Hour,
			Date: date, Known: known, Counted: true, Bare: 5})
	}
	v := viewOf(s, time.Time{}, nil)
	if got := v.yearsWorked(); !slices.Equal(got, []string{"2025", "2024"}) {
		t.Error(got)
	}
	p := v.yearSheet("2025")
	want := []Fact{{"At the bench", "4.0 h in 4 sessions; 3.0 h measured, 1.0 h remembered"}, {"Days", "3 days in 2 weeks"}, {"Builds", "1 worked on, 0 finished"}}
	if !slices.Equal(p.Facts, want) || !slices.Equal(p.Done, []Fact{{"Cleanup", "20 parts"}}) {
		t.Errorf("%q %q", p.Facts, p.Done)
	}
}

// What stands in for a result is no pair of the year.
func TestYearPairShowsResults(t *testing.T) {
	v := smallView()
	n := 0
	for _, year := range v.yearsWorked() {
		p, ok := v.pairIn(year)
		if !ok || p.within {
			continue
		}
		n++
		if !isResult(p.a.photo) || !isResult(p.b.photo) {
			t.Errorf("%s shows %s", year, p.href)
		}
		a, b := p.a.photo, p.b.photo
		for _, photo := range []*journal.Photo{a, b} {
			role := photo.Tags.Role
			photo.Tags.Role = "before"
			if q, ok := v.pairIn(year); ok && !q.within && q.href == p.href {
				t.Errorf("%s shows %s with a photo from before", year, q.href)
			}
			photo.Tags.Role = role
		}
	}
	if n == 0 {
		t.Error("no pair of two years to look at")
	}
}
