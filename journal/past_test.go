// Tests of what is said of pictures of the years before.

package journal

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal/reason"
)

// What is said counts for the photo as a person's own tags and date, whether it came
// before or comes after, in the order of all that was said of it.
func TestPastCountsWheneverThePhotoComes(t *testing.T) {
	hash, other := strings.Repeat("a", 64), strings.Repeat("b", 64)
	photo := PhotoBody{Hash: hash, Path: "photos/a.jpg", Instant: Instant{At: historyStart, Source: "file time"}, Tags: Tags{Build: "seaplane", Stage: "clean", View: "left"},
		Guess: true, Why: reason.Whys{"build": {By: reason.Folder, Name: "seaplane"}}}
	named := PastBody{Photos: []string{hash, other}, Set: Tags{Build: "lorry", Role: "before"}}
	staged := PastBody{Photos: []string{hash}, Set: Tags{Stage: "paint"}, Clear: []string{"view"}, First: "1998-03-01", Last: "1998-05-31", Said: "spring 1998"}
	tagged := TagBody{Photo: hash, Set: Tags{Role: "after"}}
	for _, order := range [][]Body{{photo, named, staged}, {named, photo, staged}, {named, staged, photo}} {
		s := Fold(testPlan, history(t, order...))
		if p := s.Photos[0]; !reflect.DeepEqual(p.Tags, Tags{Build: "lorry", Stage: "paint", Role: "before"}) || p.Guess || p.Why["stage"] != said ||
			p.Instant.Said != "spring 1998" || p.DatedBy == "" || len(s.Problems) > 0 {
			t.Errorf("%T last: %+v, %v", order[2], p, s.Problems)
		}
		want := PastSaid{Photo: hash, Tags: Tags{Build: "lorry", Stage: "paint", Role: "before"}, First: "1998-03-01", Last: "1998-05-31", Said: "spring 1998"}
		got := *s.PastOf(hash)
		if got.Records = nil; !reflect.DeepEqual(got, want) || s.PastOf(other).Tags.Build != "lorry" || s.PastOf("c") != nil {
			t.Errorf("%T last: said is %+v", order[2], got)
		}
	}
	if s := Fold(testPlan, history(t, photo, named, tagged)); s.Photos[0].Tags.Role != "after" {
		t.Errorf("a tag said later: %+v", s.Photos[0].Tags)
	}
	if s := Fold(testPlan, history(t, photo, tagged, named)); s.Photos[0].Tags.Role != "before" {
		t.Errorf("a tag said earlier: %+v", s.Photos[0].Tags)
	}
	// Another build takes the stage of the one before along.
	if s := Fold(testPlan, history(t, named, staged, PastBody{Photos: []string{hash}, Set: Tags{Build: "seaplane"}})); s.PastOf(hash).Tags.Stage != "" {
		t.Errorf("another build: %+v", s.PastOf(hash))
	}
}

// Out and back again, and nothing of it after it is taken back. Of a kept photo, out
// hides nothing.
func TestPastOut(t *testing.T) {
	h := &says{t: t}
	hash, yes, no := strings.Repeat("a", 64), true, false
	h.add(PhotoBody{Hash: hash, Path: "photos/a.jpg", Instant: Instant{At: historyStart}})
	h.add(PastBody{Photos: []string{hash}, Out: &yes})
	if s := h.fold(); !s.PastOf(hash).Out || s.PastOf(hash).Wanted || len(s.Photos) != 1 {
		t.Errorf("%+v", s.Past)
	}
	back := h.add(PastBody{Photos: []string{hash}, Out: &no})
	if s := h.fold(); s.PastOf(hash).Out || !s.PastOf(hash).Wanted || len(s.PastOf(hash).Records) != 2 {
		t.Errorf("%+v", s.Past)
	}
	h.add(RetractBody{Record: back})
	if s := h.fold(); !s.PastOf(hash).Out || s.PastOf(hash).Wanted || len(s.PastOf(hash).Records) != 1 {
		t.Errorf("taken back: %+v", s.Past)
	}
	for _, wrong := range []PastBody{{}, {Photos: []string{""}}, {Photos: []string{hash}, First: "1998-05-31", Last: "1998-03-01"}} {
		if s := Fold(testPlan, history(t, wrong)); len(s.Problems) != 1 || len(s.Past) != 0 {
			t.Errorf("%+v: %v", wrong, s.Problems)
		}
	}
}

// What is said of pictures that are not here costs no fold of all; of a kept one it
// does, and gives the same.
func TestPastIsGoneOnFrom(t *testing.T) {
	hash, other := strings.Repeat("a", 64), strings.Repeat("b", 64)
	records := history(t, PhotoBody{Hash: hash, Path: "photos/a.jpg", Instant: Instant{At: historyStart, Wall: "2026:03:14 19:00:00", Source: "DateTimeOriginal", Offset: "stated"}},
		PastBody{Photos: []string{other}, Set: Tags{Build: "lorry"}}, PastBody{Photos: []string{other}, Set: Tags{Stage: "paint"}}, PastBody{Photos: []string{hash}, Set: Tags{Build: "lorry"}})
	now := historyStart.Add(24 * time.Hour)
	plan := testPlan
	plan.Now = now
	at := LookAt(plan, records[:1], now).stood
	for i, quick := range []bool{true, true, false} {
		next, ok := at.advance(plan, records[i+1:i+2])
		if ok != quick {
			t.Errorf("record %d: the quick way was taken: %v", i+1, ok)
		}
		if !ok {
			break
		}
		want := Fold(plan, records[:i+2])
		if !reflect.DeepEqual(next.state.Past, want.Past) || !slices.EqualFunc(next.state.Photos, want.Photos, func(a, b *Photo) bool { return reflect.DeepEqual(a, b) }) {
			t.Errorf("record %d: %+v, not %+v", i+1, next.state.Past, want.Past)
		}
		at = next
	}
}

// Taken back, it is said of no picture any more: of those that are not here as of the
// photos of the last evening.
func TestPastTakenBackIsGoneOnFrom(t *testing.T) {
	hash, other := strings.Repeat("a", 64), strings.Repeat("b", 64)
	taken := func(hash string, at time.Time) PhotoBody {
		return PhotoBody{Hash: hash, Path: "photos/" + hash[:8], Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: "stated"}}
	}
	records := history(t, taken(strings.Repeat("c", 64), historyStart.AddDate(0, -1, 0)), taken(hash, historyStart),
		PastBody{Photos: []string{hash, other}, Set: Tags{Build: "lorry"}})
	records = append(records, history(t, RetractBody{Record: records[2].ID()})[0])
	last := &records[3]
	last.Seq, last.At = 9, records[2].At.Add(time.Second)
	now := historyStart.Add(24 * time.Hour)
	plan := testPlan
	plan.Now = now
	want := Fold(plan, records)
	if len(want.Past) > 0 || want.Photos[1].Tags.Build != "" {
		t.Fatalf("the fold has %+v, %+v", want.Past, want.Photos[1].Tags)
	}
	next, ok := LookAt(plan, records[:3], now).stood.advance(plan, records[3:])
	if ok && (!reflect.DeepEqual(next.state.Past, want.Past) || next.state.Photos[1].Tags.Build != "") {
		t.Errorf("gone on from: %+v", next.state.Past)
	}
}
