// Tests of what sort of parts sessions were of.

package journal

import (
	"reflect"
	"testing"
	"time"
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
