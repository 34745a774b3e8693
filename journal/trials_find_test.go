// Tests of finding trials, and of cards shown before they began.

package journal

import (
	"strings"
	"testing"
	"time"
)

func TestTrialsFound(t *testing.T) {
	day := func(n int) time.Time { return time.Date(2026, 3, n, 19, 0, 0, 0, time.UTC) }
	s := &State{Zone: time.UTC, Trials: []*Trial{
		{ID: "d/1", What: "glass file", Card: 1, At: day(1), Closed: day(5), Review: "kept"},
		{ID: "d/2", What: "new glue", Card: 2, At: day(2)},
		{ID: "d/3", What: "new gloss", At: day(2)},
	}, Sessions: []*Session{{Start: day(4), Trials: []int{1}}, {Start: day(9), Trials: []int{1}}, {Start: day(7), Trials: []int{1}}, {Start: day(12), Trials: []int{1}}}}
	if at, shown := s.TrialCardShown(1, day(12)); !shown || !at.Equal(day(7)) {
		t.Errorf("shown %v %v, want day 7: day 4 is the earlier trial's", shown, at)
	}
	if at, shown := s.TrialCardShown(2, day(12)); shown {
		t.Errorf("card 2 shown %v", at)
	}
	if one, err := s.FindTrial("GLASS"); err != nil || one.ID != "d/1" {
		t.Errorf("%+v, %v", one, err)
	}
	for name, want := range map[string]string{"new": "fits 2 trials", "brass": "there is no trial"} {
		if _, err := s.FindTrial(name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
