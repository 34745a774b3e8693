package wording

import (
	"strings"
	"testing"

	"rakelight/journal"
)

// A stage can be typed as pages call it, in any case, where that names one.
func TestStagesAreTypedAsPagesCallThem(t *testing.T) {
	s := &journal.State{}
	b := &journal.Build{ID: "pilot-boat"}
	for kind := range stageNames {
		b.Stages = append(b.Stages, journal.Stage{ID: kind, Title: journal.Title(kind), Kind: kind})
	}
	for kind := range stageNames {
		name := KindName(kind)
		for _, typed := range []string{name, strings.ToUpper(name), kind} {
			if st, err := s.StageCalled(b, typed); err != nil || st.ID != kind {
				t.Errorf("%q is %v, %v, want %s", typed, st, err, kind)
			}
		}
	}
	two := &journal.Build{ID: "lorry", Stages: []journal.Stage{
		{ID: "clean-cab", Title: "Cab, cleaned", Kind: "clean"}, {ID: "clean-bed", Title: "Clean bed", Kind: "clean"},
		{ID: "hull", Title: "Hull color", Kind: "paint"}}}
	if st, err := s.StageCalled(two, "Cleanup"); err == nil {
		t.Errorf("Cleanup is %s, and two are called so", st.ID)
	}
	for typed, want := range map[string]string{"cab, cleaned": "clean-cab", "Hull color": "hull", "paint": "hull"} {
		if st, err := s.StageCalled(two, typed); err != nil || st.ID != want {
			t.Errorf("%q is %v, %v, want %s", typed, st, err, want)
		}
	}
	if _, err := s.StageCalled(two, "polish"); err == nil || !strings.Contains(err.Error(), "no stage of lorry") {
		t.Errorf("polish: %v", err)
	}
}
