// Tests of what sort of parts sessions were of.

package journal

import (
	"reflect"
	"testing"
	"time"

	"rakelight/journal/metrics"
)

// The class of a part comes from its runner, in every session, however it was
// told of; a person's word and a count by number stand above it.
func TestClassesByReference(t *testing.T) {
	small := PartRef{Runner: "A", Number: "2", Count: 1}
	curved := PartRef{Runner: "B", Number: "1", Count: 1}
	for _, c := range []struct {
		name    string
		class   string
		parts   []PartRef
		bare    int
		want    string
		classes []ClassCount
	}{
		{"all of one", "", []PartRef{part("1"), part("3")}, 0, "flat", []ClassCount{{"flat", 2}}},
		{"of several", "", []PartRef{part("1"), small, curved}, 0, "", []ClassCount{{"curved", 1}, {"flat", 1}, {"small", 1}}},
		{"as said", "resin", []PartRef{part("1")}, 0, "resin", []ClassCount{{"flat", 1}}},
		{"some by number", "", []PartRef{part("1")}, 4, "", []ClassCount{{"flat", 1}}},
		{"by number alone", "", nil, 4, "", nil},
	} {
		h := &says{t: t}
		timer := h.add(BeginBody{Build: "pilot-boat", Stage: "cut", Kind: "cut", Class: c.class, Start: historyStart})
		h.add(DoneBody{Session: timer, Parts: c.parts, Count: c.bare, At: historyStart})
		h.add(EndBody{Session: timer, End: historyStart.Add(time.Hour)})
		typed := h.add(WorkBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Class: c.class, Date: "2026-03-15", Minutes: 30,
			Known: Remembered, Parts: c.parts, Count: c.bare})
		s := h.fold()
		for _, id := range []string{timer, typed} {
			if one := s.Session(id); one.Class != c.want || !reflect.DeepEqual(one.Classes, c.classes) {
				t.Errorf("%s, %s: %q %v, want %q %v", c.name, one.Stage, one.Class, one.Classes, c.want, c.classes)
			}
		}
	}
}

// What was opened again is of no class any more, and the session keeps its own.
func TestClassesOfOpenedParts(t *testing.T) {
	h := &says{t: t}
	id := h.add(WorkBody{Build: "pilot-boat", Stage: "clean", Kind: "clean", Date: "2026-03-14", Start: historyStart, Minutes: 30,
		Known: Remembered, Parts: []PartRef{part("1"), part("3")}})
	h.add(ReopenBody{Build: "pilot-boat", Parts: []PartRef{part("1"), part("3")}, At: historyStart.Add(time.Hour)})
	if one := h.fold().Session(id); one.Class != "flat" || len(one.Classes) != 0 || one.Done() != 0 {
		t.Errorf("%+v", one)
	}
}

// What the numbers take of a session on several classes: the parts of each; or that
// they are not told, where the plan tells classes. A person's word and a session
// that did nothing need neither.
func TestWorkOfSeveralClasses(t *testing.T) {
	small := PartRef{Runner: "A", Number: "2", Count: 1}
	for _, c := range []struct {
		name      string
		class     string
		parts     []PartRef
		bare      int
		stage     string
		mix       []metrics.ClassParts
		unclassed bool
	}{
		{"all of one", "", []PartRef{part("1"), part("3")}, 0, "clean", nil, false},
		{"of two", "", []PartRef{part("1"), part("3"), small}, 0, "clean", []metrics.ClassParts{{Class: "flat", Parts: 2}, {Class: "small", Parts: 1}}, false},
		{"as said", "resin", []PartRef{part("1"), small}, 0, "clean", nil, false},
		{"some by number", "", []PartRef{part("1"), small}, 3, "clean", nil, true},
		{"by number alone", "", nil, 3, "clean", nil, true},
		{"coats", "", nil, 3, "prime", nil, false},
		{"nothing done", "", nil, 0, "clean", nil, false},
	} {
		h := &says{t: t}
		id := h.add(BeginBody{Build: "pilot-boat", Stage: c.stage, Kind: c.stage, Class: c.class, Start: historyStart})
		h.add(DoneBody{Session: id, Parts: c.parts, Count: c.bare, At: historyStart})
		h.add(EndBody{Session: id, End: historyStart.Add(time.Hour)})
		works := h.fold().Work("")
		if len(works) != 1 || !reflect.DeepEqual(works[0].Mix, c.mix) || works[0].Unclassed != c.unclassed || !works[0].Counted {
			t.Errorf("%s: %+v, want %v, %v", c.name, works, c.mix, c.unclassed)
		}
	}
}
