// Tests of notes, of dates that a person gives, and of builds that are finished.

package journal

import (
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal/reason"
)

func TestFinish(t *testing.T) {
	h := &says{t: t}
	if b := h.fold().Build("pilot-boat"); b.Finished != "" {
		t.Fatal("finished before it was said")
	}
	id := h.add(FinishBody{Build: "pilot-boat", Date: "2026-03-14"})
	if b := h.fold().Build("pilot-boat"); b.Finished != "2026-03-14" || b.Closed != id {
		t.Errorf("finished: %+v", b)
	}
	h.add(FinishBody{Build: "pilot-boat"})
	if b := h.fold().Build("pilot-boat"); b.Finished != "" || b.Closed != "" {
		t.Errorf("open again: %+v", b)
	}
	id = h.add(FinishBody{Build: "pilot-boat", Date: "2026-03-20"})
	h.add(RetractBody{Record: id})
	if b := h.fold().Build("pilot-boat"); b.Finished != "" {
		t.Errorf("taken back: %+v", b)
	}
	// build.md comes above records, and the plan's own build is left as it is.
	plan := &Build{ID: "lorry", Finished: "2023-06-10"}
	h.add(FinishBody{Build: "lorry", Date: "2026-03-20"})
	h.add(FinishBody{Build: "lorry"})
	if b := Fold(Plan{Builds: []*Build{plan}}, h.all).Build("lorry"); b.Finished != "2023-06-10" {
		t.Errorf("the plan says another day: %+v", b)
	}
	open := &Build{ID: "lorry"}
	if Fold(Plan{Builds: []*Build{open}}, h.all[:len(h.all)-1]); open.Finished != "" {
		t.Error("the fold changed the plan")
	}
}

func TestDated(t *testing.T) {
	h := &says{t: t}
	hash := "aaaaaaaaaaaaaaaa1"
	file := Instant{At: historyStart, Source: "file time", Doubts: reason.Doubts{{Is: reason.FileTime}}}
	h.add(PhotoBody{Hash: hash, Path: "photos/a.jpg", Name: "a.jpg", Instant: file})
	if rows := h.fold().ToDo(); len(rows) == 0 || rows[0].Kind != NoDate {
		t.Fatalf("a photo without a date is not listed: %v", rows)
	}
	for _, c := range []struct {
		said   DatedBody
		at     string
		doubt  reason.Doubts
		asSaid string
	}{
		{DatedBody{Photo: hash, First: "2019-03-01", Last: "2019-05-31", Said: "spring 2019"}, "2019-04-16 00:00", reason.Doubts{{Is: reason.SomeDay, First: "2019-03-01", Last: "2019-05-31"}}, "spring 2019"},
		{DatedBody{Photo: hash, First: "2019-03-14", Last: "2019-03-14"}, "2019-03-14 12:00", reason.Doubts{{Is: reason.DayOnly}}, ""},
		{DatedBody{Photo: hash, At: historyStart.Add(-time.Hour)}, "2026-03-14 18:00", nil, ""},
	} {
		h.add(c.said)
		s := h.fold()
		in := s.Photos[0].Instant
		if in.At.Format(minute) != c.at || !slices.Equal(in.Doubts, c.doubt) || in.Said != c.asSaid || in.Source != SaidSo || in.ByClock() {
			t.Errorf("%+v: %+v", c.said, in)
		}
		for _, row := range s.ToDo() {
			if row.Kind == NoDate || row.Kind == ClockDoubt {
				t.Errorf("%+v: still asked about: %+v", c.said, row)
			}
		}
	}
	last := h.all[len(h.all)-1].ID()
	h.add(RetractBody{Record: last})
	if in := h.fold().Photos[0].Instant; !in.Doubts.Has(reason.DayOnly) {
		t.Errorf("taken back: %+v", in)
	}
	h.add(DatedBody{Photo: hash, First: "2019-03-14", Last: "2019-03-01"})
	if s := h.fold(); len(s.Problems) != 1 {
		t.Errorf("days that run backward: %v", s.Problems)
	}
}

func TestNotes(t *testing.T) {
	h := &says{t: t}
	s := h.add(BeginBody{Build: "pilot-boat", Stage: "cut", Kind: "cut", Start: historyStart})
	id := h.add(NoteBody{Build: "pilot-boat", Session: s, Stage: "cut", Parts: []PartRef{part("2")}, Text: "peg short on the left"})
	state := h.fold()
	if of := state.NotesOf("pilot-boat", part("2")); len(of) != 1 || of[0].Record != id || of[0].Session != s || of[0].At.IsZero() {
		t.Errorf("of the part: %+v", of)
	}
	if len(state.NotesOf("pilot-boat", part("1"))) != 0 || len(state.NotesIn(s)) != 1 || len(state.NotesIn("x")) != 0 {
		t.Error("a note is found where it was not made")
	}
}

// A date that a person gives stands above that of an XMP file, in whatever order
// they came; taken back, the XMP file's counts.
func TestDateSaidStandsAboveXMP(t *testing.T) {
	hash := strings.Repeat("a", 64)
	photo := PhotoBody{Hash: hash, Path: "photos/a.jpg", Instant: Instant{At: clock("19:00"), Source: "file time"}}
	xmp := BesideBody{Photo: hash, Hash: strings.Repeat("c", 64), Path: "photos/a.jpg.xmp", Format: FormatXMP, Instant: &Instant{At: clock("20:00"), Source: "sidecar xmp:CreateDate"}}
	dated := DatedBody{Photo: hash, At: clock("21:00")}
	for _, order := range [][]Body{{photo, xmp, dated}, {photo, dated, xmp}} {
		if in := Fold(testPlan, history(t, order...)).Photos[0].Instant; in.Source != SaidSo || !in.At.Equal(clock("21:00")) {
			t.Errorf("%T last: %+v", order[2], in)
		}
	}
	if in := Fold(testPlan, history(t, photo, xmp, dated, RetractBody{Record: "d/3"})).Photos[0].Instant; !in.At.Equal(clock("20:00")) {
		t.Errorf("taken back: %+v", in)
	}
}
