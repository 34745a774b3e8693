// Tests of what is left of a build, and of the weeks.

package journal

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"rakelight/journal/metrics"
	"rakelight/journal/plan"
	"rakelight/journal/reason"
)

func TestLeft(t *testing.T) {
	b := &Build{ID: "boat", Finish: "bare", Stages: []Stage{{ID: "cut", Title: "Cut", Kind: "cut"}, {ID: "clean", Title: "Clean", Kind: "clean"}, {ID: "paint", Title: "Paint", Kind: "paint"}, {ID: "wait", Title: "Wait", Kind: "wait"}},
		Kits: []Kit{
			{Runners: []Runner{{Letter: "A", Parts: numberRange(1, 10), Class: "flat", NotUsed: []string{"7"}}, {Letter: "B", Parts: numberRange(1, 4), Class: "clear"}}},
			{Runners: []Runner{{Letter: "A", Parts: numberRange(1, 3), Class: "flat"}}},
		}}
	part := func(kit int, letter, number string) PartRef {
		return PartRef{Kit: kit, Runner: letter, Number: number, Count: 1}
	}
	s := &State{Builds: []*Build{b}, Sessions: []*Session{
		{Build: "boat", Kit: 1, Stage: "cut", Parts: []PartRef{part(1, "A", "1"), part(1, "A", "2"), part(1, "B", "1")}, Reopened: 1, Again: []PartRef{part(1, "A", "2")}},
		{Build: "boat", Kit: 1, Stage: "cut", Bare: 2, Class: "clear"},
		{Build: "boat", Kit: 1, Stage: "cut", Bare: 3}, // of whichever class has most left
		{Build: "boat", Kit: 2, Stage: "cut", Bare: 3},
		{Build: "boat", Kit: 1, Stage: "cut", Bare: 5, Doubt: reason.LengthDoubt{Is: reason.RanLong}},
	}}
	tasks, uncounted := s.Left(b)
	cell := func(kind, class string) metrics.Cell { return metrics.Cell{Kind: kind, Class: class, Finish: "bare"} }
	want := []metrics.Task{
		{Kit: 1, Cell: cell("cut", "clear"), Parts: 1}, {Kit: 1, Cell: cell("cut", "flat"), Parts: 5},
		{Kit: 1, Cell: cell("clean", "clear"), Parts: 4}, {Kit: 1, Cell: cell("clean", "flat"), Parts: 9},
		{Kit: 2, Cell: cell("clean", "flat"), Parts: 3},
	}
	if !reflect.DeepEqual(tasks, want) || !reflect.DeepEqual(uncounted, []string{"paint"}) {
		t.Errorf("%+v\nwant %+v; uncounted %v", tasks, want, uncounted)
	}
}

// left is what is left of a build.md after some sessions, in short.
func left(t *testing.T, matter string, sessions ...*Session) string {
	t.Helper()
	b, problems := plan.ParseBuild("boat", []byte("---\n"+matter+"\n---\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, one := range sessions {
		one.Build = "boat"
	}
	tasks, uncounted := (&State{Builds: []*Build{b}, Sessions: sessions}).Left(b)
	var out []string
	for _, task := range tasks {
		out = append(out, fmt.Sprintf("%d %s%s %.0f", task.Kit, task.Kind, task.Class, task.Parts))
	}
	return strings.Join(append(out, uncounted...), ", ")
}

func TestLeftByTotals(t *testing.T) {
	const stages = "stages: [clean, seam, {id: paint, kind: paint}, decal, weather]\n"
	did := func(kit int, stage string, n int) *Session { return &Session{Kit: kit, Stage: stage, Bare: n} }
	for _, c := range []struct {
		name, matter string
		sessions     []*Session
		want         string
	}{
		{"no totals", stages + "runners: {A: 4}", nil, "0 clean 4, seam, paint, decal, weather"},
		{"totals", stages + "runners: {A: 4}\ntotals: {seam: 14, paint: 9, decal: 0}", []*Session{did(0, "seam", 5), did(0, "paint", 12)}, "0 clean 4, 0 seam 9, weather"},
		{"no runners", stages + "totals: {clean: 30, seam: 2}", []*Session{did(0, "clean", 10)}, "0 clean 20, 0 seam 2, paint, decal, weather"},
		{"reopened", stages + "totals: {clean: 0, seam: 4, paint: 0, decal: 0}", []*Session{{Stage: "seam", Bare: 4, Reopened: 1}}, "0 seam 1, weather"},
		{"kits in their order, the whole last", stages + "kits:\n  - {runners: {A: 4}, totals: {seam: 3}}\n  - {runners: {A: 2}, totals: {seam: 5}}\ntotals: {paint: 6, decal: 0}",
			[]*Session{did(1, "seam", 1), did(2, "seam", 5), did(0, "paint", 2), did(1, "paint", 1)},
			"1 clean 4, 1 seam 2, 2 clean 2, 0 paint 3, weather"},
		{"told by one kit and by the whole", stages + "kits:\n  - {runners: {A: 4}, totals: {seam: 3}}\n  - {runners: {A: 2}}\ntotals: {seam: 9, paint: 0, decal: 0}", nil,
			"1 clean 4, 1 seam 3, 2 clean 2, weather, seam"},
		{"a stage by its kind", "stages: [{id: hull, kind: seam}]\ntotals: {seam: 3}", nil, "0 seam 3"},
		{"by class, and bare counts off the most", "stages: [seam, decal]\ntotals: {seam: {flat: 8, curved: 6}, decal: 2}",
			[]*Session{{Stage: "seam", Bare: 3, Class: "curved"}, did(0, "seam", 1)}, "0 seamcurved 3, 0 seamflat 7, 0 decal 2"},
		{"by class in a kit, the kind named", "stages: [{id: hull, kind: seam}]\nkits:\n  - {title: a, totals: {seam: {flat: 2, curved: 1}}}\n  - {title: b, totals: {seam: 4}}",
			[]*Session{{Kit: 1, Stage: "hull", Bare: 1, Class: "flat"}, {Kit: 2, Stage: "hull", Bare: 1, Class: "flat"}}, "1 seamcurved 1, 1 seamflat 1, 2 seam 3"},
		{"a kind of two stages", "stages: [{id: hull, kind: seam}, {id: deck, kind: seam}]\ntotals: {deck: 3}", nil, "0 seam 3, hull"},
	} {
		if got := left(t, c.matter, c.sessions...); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestWeeks(t *testing.T) {
	now := time.Date(2026, 3, 18, 20, 0, 0, 0, time.UTC) // a Wednesday
	at := func(date string, h time.Duration) *Session {
		return &Session{Build: "boat", Date: date, Kind: "clean", Net: h * time.Hour}
	}
	s := &State{Sessions: []*Session{at("2026-01-26", 2), at("2026-02-01", 1), at("2026-02-10", 3), at("2026-03-15", 4), at("2026-03-17", 9), at("2026-02", 9)},
		Pauses: []Pause{{Build: "boat", From: time.Date(2026, 2, 16, 0, 0, 0, 0, time.UTC), Until: time.Date(2026, 2, 23, 0, 0, 0, 0, time.UTC)}}}
	// Weeks from 26 January; that of 16 February was a pause, this one is not over.
	if got, want := s.Weeks("boat", now, false), []float64{3, 0, 3, 0, 0, 4}; !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := s.Weeks("lorry", now, false); len(got) != 7 {
		t.Errorf("a build without weeks of its own: %v, want those of all builds", got)
	}
	if got := (&State{}).Weeks("boat", now, false); got != nil {
		t.Errorf("no sessions: %v", got)
	}
}

// A build too young for weeks of its own takes those of all; the weeks in which
// everything was put aside are none of them.
func TestWeeksOfAllBuilds(t *testing.T) {
	now := time.Date(2026, 3, 18, 20, 0, 0, 0, time.UTC)
	at := func(build, date string, h time.Duration) *Session {
		return &Session{Build: build, Date: date, Kind: "clean", Net: h * time.Hour}
	}
	day := func(d string) time.Time { t, _ := time.Parse(time.DateOnly, d); return t }
	s := &State{
		Builds: []*Build{{ID: "lorry", Finished: "2026-02-08"}, {ID: "boat"}, {ID: "seaplane"}},
		Sessions: []*Session{at("lorry", "2026-01-26", 2), at("lorry", "2026-02-04", 1), at("boat", "2026-02-11", 3),
			at("boat", "2026-03-04", 4), at("seaplane", "2026-03-12", 5)},
		Pauses: []Pause{{Build: "boat", From: day("2026-02-14"), Until: day("2026-03-03")}},
	}
	// The weeks of 16 and 23 February: only the boat was open, and paused. That of
	// 9 February was paused too, and had its hours.
	if got, want := s.Weeks("seaplane", now, false), []float64{2, 1, 3, 4, 5}; !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	s.Builds[0].Finished = "" // the lorry was open too, and not paused
	if got, want := s.Weeks("seaplane", now, false), []float64{2, 1, 3, 0, 0, 4, 5}; !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// Several kits are forecast in their order of work: each ends after the one
// before, and the last with the build. A pause changes neither hours nor weeks.
func TestForecastOfKits(t *testing.T) {
	b, problems := plan.ParseBuild("boat", []byte("---\nstages: [clean, seam]\nkits:\n  - {runners: {A: 40}, totals: {seam: 6}}\n  - {runners: {A: 20}, totals: {seam: 4}}\ntotals: {}\n---\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	now := time.Date(2026, 3, 18, 20, 0, 0, 0, time.UTC)
	s := &State{Builds: []*Build{b}}
	for i := range 12 {
		day := now.AddDate(0, 0, -7*(12-i))
		for _, stage := range []string{"clean", "seam"} {
			s.Sessions = append(s.Sessions, &Session{ID: fmt.Sprint(stage, i), Build: "boat", Kit: 1, Stage: stage, Kind: stage, Start: day, Date: day.Format(time.DateOnly),
				Net: time.Hour, Counted: true, Known: Measured, Bare: []int{2, 3, 4}[i%3]})
		}
	}
	s.Sessions[1].Bare, s.Sessions[3].Bare = 1, 1
	predict := func() metrics.Forecast {
		tasks, _ := s.Left(b)
		return metrics.Predict(tasks, s.Work(""), s.Weeks("boat", now, false), 1)
	}
	f := predict()
	if len(f.Kits) != 2 || f.Kits[0].Kit != 1 || f.Kits[1].Kit != 2 {
		t.Fatalf("%+v", f.Kits)
	}
	one, two := f.Kits[0], f.Kits[1]
	if !(one.Hours.Middle > 0 && one.Hours.Middle < two.Hours.Middle && one.Weeks.Low80 < two.Weeks.Low80 && one.Weeks.High80 < two.Weeks.High80) || two.Hours != f.Hours {
		t.Errorf("the kits do not follow each other: %+v, %+v, all %+v", one, two, f.Hours)
	}
	// The first six weeks lie five weeks further back: a gap in the middle.
	for i, one := range s.Sessions {
		if i < 12 {
			one.Start = one.Start.AddDate(0, 0, -35)
			one.Date = one.Start.Format(time.DateOnly)
		}
	}
	from := now.AddDate(0, 0, -7*6).AddDate(0, 0, -35)
	if idle := predict(); !(idle.Weeks.Middle > f.Weeks.Middle) || idle.Hours != f.Hours {
		t.Errorf("five idle weeks: %+v, before %+v", idle.Weeks, f.Weeks)
	}
	s.Pauses = []Pause{{Build: "boat", From: from, Until: from.AddDate(0, 0, 35)}}
	if paused := predict(); paused.Weeks != f.Weeks || paused.NWeeks != f.NWeeks {
		t.Errorf("five paused weeks: %+v of %d, before %+v of %d", paused.Weeks, paused.NWeeks, f.Weeks, f.NWeeks)
	}
}

// Where the clocks skip the first hour of a Monday, the weeks go on.
func TestWeeksWithoutAMidnight(t *testing.T) {
	zone, err := time.LoadLocation("America/Sao_Paulo") // 6 October 1997 began at 1:00
	if err != nil {
		t.Fatal(err)
	}
	s := &State{Zone: zone}
	for _, date := range []string{"1997-09-30", "1997-10-07", "1997-10-14"} {
		s.Sessions = append(s.Sessions, &Session{Build: "boat", Date: date, Net: time.Hour})
	}
	now := time.Date(1997, 10, 22, 19, 0, 0, 0, zone)
	if got := s.Weeks("boat", now, false); !reflect.DeepEqual(got, []float64{1, 1, 1}) {
		t.Errorf("hours by week %v, want three weeks of one", got)
	}
	if got := weeksOn(monday(time.Date(1997, 10, 29, 19, 0, 0, 0, zone)), -3); !got.Equal(monday(time.Date(1997, 10, 8, 19, 0, 0, 0, zone))) {
		t.Errorf("three weeks back is %v", got)
	}
}
