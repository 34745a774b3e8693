// Tests of taking back where two records bear one id.

package journal

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"rakelight/journal/record"
)

// two makes a journal in which two different records bear one id, as when two
// computers shared one .cache folder.
func two(t *testing.T) (j *Journal, first, second Record) {
	t.Helper()
	j, _ = bench(t)
	first = pause(t, j, "no wire")
	second = first
	second.At = first.At.Add(time.Second)
	second.Body = []byte(`{"build":"lorry","from":"2026-03-14T19:00:00Z","why":"no paint"}`)
	line, err := record.EncodeLine(second)
	try(t, err)
	add(t, recordsFile(t, j), string(line)+"\n")
	try(t, j.Reload())
	return j, first, second
}

// Of two records under one id, the person says which is meant, and only that
// one goes.
func TestRetractOneOfTwo(t *testing.T) {
	j, first, second := two(t)
	all := j.Look().Bearers(first.ID())
	if len(all) != 2 || all[0].Sum() != first.Sum() || all[1].Sum() != second.Sum() {
		t.Fatalf("%d bear the id: %+v", len(all), all)
	}
	if one := j.Look().Bearers(second.ID() + "#" + second.Sum()); len(one) != 1 || one[0].Sum() != second.Sum() {
		t.Fatalf("the checksum names %+v", one)
	}
	if none := j.Look().Bearers(first.ID() + "#00000000"); len(none) > 0 {
		t.Errorf("a checksum nobody bears names %+v", none)
	}
	by, err := j.Append(RetractBody{Record: second.ID(), Sum: second.Sum()})
	try(t, err)
	if len(j.State.Pauses) != 1 || j.State.Pauses[0].Why != "no wire" {
		t.Errorf("pauses %+v; want the first alone", j.State.Pauses)
	}
	if l := j.Look(); l.RetractedBy(second) != by.ID() || l.RetractedBy(first) != "" {
		t.Errorf("taken back by %q and %q; want the second alone", l.RetractedBy(first), l.RetractedBy(second))
	}
	// The retraction taken back brings it back.
	if _, err = j.Append(RetractBody{Record: by.ID(), Sum: by.Sum()}); err != nil || len(j.State.Pauses) != 2 {
		t.Errorf("%d pauses, %v", len(j.State.Pauses), err)
	}
	sameState(t, j)
}

// A record that bears the id of one taken back, and comes later, stays.
func TestTwinComesAfterRetraction(t *testing.T) {
	j, first, second := two(t)
	body := RetractBody{Record: first.ID(), Sum: first.Sum()}
	r := Record{At: first.At.Add(time.Minute), Dev: "z", Seq: 1, Kind: "retract", Body: []byte(`{"record":"` + body.Record + `","sum":"` + body.Sum + `"}`)}
	for _, all := range [][]Record{{first, second, r}, {r, second, first, first}} {
		s := Fold(j.plan, all)
		if len(s.Pauses) != 1 || s.Pauses[0].Why != "no paint" {
			t.Errorf("pauses %+v; want the second alone", s.Pauses)
		}
	}
}

// The retraction of an older version names the id alone. It takes both back, as
// it did then, and that is told with the way to mend it.
func TestOlderRetractionOfTwo(t *testing.T) {
	j, first, _ := two(t)
	by, err := j.Append(RetractBody{Record: first.ID()})
	try(t, err)
	if len(j.State.Pauses) != 0 {
		t.Errorf("%d pauses stand", len(j.State.Pauses))
	}
	var told []string
	for _, p := range j.State.Problems {
		told = append(told, p.What)
	}
	if len(told) != 1 || !strings.Contains(told[0], "rakelight retract "+by.ID()) {
		t.Errorf("told %q", told)
	}
}

// What is said later counts, though another device dated its word in 2099.
func TestLaterWordCounts(t *testing.T) {
	j, now := bench(t)
	hash := strings.Repeat("1", 64)
	_, err := j.Append(PhotoBody{Hash: hash, Path: "photos/2026/03/x.jpg"})
	try(t, err)
	ahead := Record{At: time.Date(2099, 1, 1, 0, 0, 0, 0, time.UTC), Dev: "bench-91c0", Seq: 1, Kind: "tag", Body: []byte(`{"photo":"` + hash + `","set":{"role":"before"}}`)}
	line, err := record.EncodeLine(ahead)
	try(t, err)
	try(t, WriteFile(j.Path("records/bench-91c0/2099-01.jsonl"), append(line, '\n')))
	try(t, j.Reload())
	if role := j.State.Photos[0].Tags.Role; role != "before" {
		t.Fatalf("the role is %q", role)
	}
	mark := func(score int) Record {
		r, err := j.Append(MarkBody{Photo: hash, Criterion: 1, Score: &score, Rubric: Rubric})
		try(t, err)
		return r
	}
	_, err = j.Append(TagBody{Photo: hash, Set: Tags{Role: "after"}})
	try(t, err)
	if role := j.State.Photos[0].Tags.Role; role != "after" {
		t.Errorf("the role is %q; the word of 2099 still counts", role)
	}
	supposed, err := j.Look().Suppose(TagBody{Photo: hash, Set: Tags{Role: "problem"}})
	try(t, err)
	if role := supposed.Photos[0].Tags.Role; role != "problem" {
		t.Errorf("supposed, the role is %q", role)
	}
	// Marks stand in the order they were given, also when the clock goes back.
	first := mark(1)
	*now = now.Add(-48 * time.Hour)
	second := mark(3)
	if m := j.State.Marks; len(m) != 2 || m[0].Record != first.ID() || m[1].Record != second.ID() {
		t.Errorf("marks %+v", m)
	}
	found := j.Check(true)
	odd := 0
	for _, f := range found {
		if f.Kind == OddClock {
			odd++
		}
	}
	if odd == 0 {
		t.Errorf("the odd clock is not told: %+v", found)
	}
	sameState(t, j)
}

// Retractions that name each other in a ring fold the same in every order.
func TestRingOfRetractions(t *testing.T) {
	mk := func(seq int64, of string) Record {
		return Record{At: time.Date(2026, 3, 1, 0, int(seq), 0, 0, time.UTC), Dev: "d", Seq: seq, Kind: "retract", Body: []byte(`{"record":"` + of + `"}`)}
	}
	ring := []Record{mk(1, "d/2"), mk(2, "d/3"), mk(3, "d/1")}
	want := Fold(testPlan, ring)
	for _, all := range [][]Record{{ring[2], ring[0], ring[1]}, {ring[1], ring[2], ring[0], ring[1]}} {
		if got := Fold(testPlan, all); !reflect.DeepEqual(got, want) {
			t.Errorf("%+v, want %+v", got, want)
		}
	}
}
