// Tests of learning as a journal tells it.

package journal

import (
	"fmt"
	"testing"
	"time"
)

// cleaning folds a plan with twelve evenings of cleaning on each of so many builds, at
// half an hour the ten parts.
func cleaning(t *testing.T, before map[string]int, builds ...string) *State {
	t.Helper()
	plan := testPlan
	plan.Builds, plan.Config.Before = nil, before
	var said []Body
	day := time.Date(2026, 1, 1, 19, 0, 0, 0, time.UTC)
	for _, id := range builds {
		plan.Builds = append(plan.Builds, &Build{ID: id, Title: id, Stages: []Stage{{ID: "clean", Kind: "clean"}}})
		for i := range 12 {
			day = day.AddDate(0, 0, 1)
			said = append(said, WorkBody{Build: id, Stage: "clean", Kind: "clean", Date: day.Format(time.DateOnly), Start: day, Minutes: 30,
				Known: Measured, Count: 9 + i%3, Counted: true})
		}
	}
	return Fold(plan, history(t, said...))
}

func TestLearningsByBuilds(t *testing.T) {
	for n, want := range map[int]string{1: "", 2: "b1", 3: "b2", 4: ""} {
		var ids []string
		for i := range n {
			ids = append(ids, fmt.Sprint("b", i))
		}
		s := cleaning(t, nil, ids...)
		b := s.Builds[n-1]
		if l := s.LearningTogether(b); !l.OK || !l.Tested || l.Build != want || l.Kind != "" {
			t.Errorf("%d builds: %+v", n, l)
		}
		all := s.Learnings(b)[0]
		if all.Build != "" || all.OK != (n == 1 || n > 3) {
			t.Errorf("%d builds: %+v", n, all)
		}
	}
}

// What was done before the journal is where the curve over all builds begins.
func TestLearningsAfterBefore(t *testing.T) {
	s := cleaning(t, map[string]int{"clean": 25, "prime": 7}, "b0")
	l, together := s.Learnings(s.Builds[0])[0], s.LearningTogether(s.Builds[0])
	if !l.OK || l.Before != 25 || together.Before != 25 {
		t.Errorf("%+v, together %+v", l, together)
	}
	if plain := cleaning(t, nil, "b0").Learnings(s.Builds[0])[0]; !(plain.Doublings > l.Doublings) {
		t.Errorf("doublings %v, after those before %v", plain.Doublings, l.Doublings)
	}
}
