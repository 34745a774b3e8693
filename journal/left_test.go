// Tests of what is left of a build, and of the weeks.

package journal

import (
	"reflect"
	"testing"
	"time"

	"rakelight/journal/metrics"
)

func TestLeft(t *testing.T) {
	b := &Build{ID: "boat", Finish: "bare", Stages: []Stage{{"cut", "Cut", "cut"}, {"clean", "Clean", "clean"}, {"paint", "Paint", "paint"}, {"wait", "Wait", "wait"}},
		Kits: []Kit{
			{Runners: []Runner{{Letter: "A", Parts: numberRange(1, 10), Class: "flat", NotUsed: []string{"7"}}, {Letter: "B", Parts: numberRange(1, 4), Class: "clear"}}},
			{Runners: []Runner{{Letter: "A", Parts: numberRange(1, 3), Class: "flat"}}},
		}}
	part := func(kit int, letter, number string) PartRef { return PartRef{kit, letter, number, 1} }
	s := &State{Builds: []*Build{b}, Sessions: []*Session{
		{Build: "boat", Kit: 1, Stage: "cut", Parts: []PartRef{part(1, "A", "1"), part(1, "A", "2"), part(1, "B", "1")}, Reopened: 1, Again: []PartRef{part(1, "A", "2")}},
		{Build: "boat", Kit: 1, Stage: "cut", Bare: 2, Class: "clear"},
		{Build: "boat", Kit: 1, Stage: "cut", Bare: 3}, // of whichever class has most left
		{Build: "boat", Kit: 2, Stage: "cut", Bare: 3},
		{Build: "boat", Kit: 1, Stage: "cut", Bare: 5, Doubt: "ran overnight"},
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

func TestWeeks(t *testing.T) {
	now := time.Date(2026, 3, 18, 20, 0, 0, 0, time.UTC) // a Wednesday
	at := func(date string, h time.Duration) *Session {
		return &Session{Build: "boat", Date: date, Kind: "clean", Net: h * time.Hour}
	}
	s := &State{Sessions: []*Session{at("2026-01-26", 2), at("2026-02-01", 1), at("2026-02-10", 3), at("2026-03-15", 4), at("2026-03-17", 9), at("2026-02", 9)},
		Pauses: []Pause{{Build: "boat", From: time.Date(2026, 2, 16, 0, 0, 0, 0, time.UTC), Until: time.Date(2026, 2, 23, 0, 0, 0, 0, time.UTC)}}}
	// Weeks from 26 January; that of 16 February was a pause, this one is not over.
	if got, want := s.Weeks("boat", now), []float64{3, 0, 3, 0, 0, 4}; !reflect.DeepEqual(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if got := s.Weeks("lorry", now); len(got) != 7 {
		t.Errorf("a build without weeks of its own: %v, want those of all builds", got)
	}
	if got := (&State{}).Weeks("boat", now); got != nil {
		t.Errorf("no sessions: %v", got)
	}
}
