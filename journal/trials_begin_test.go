// Tests of which trials can begin, and of cards shown before they did.

package journal

import (
	"strings"
	"testing"
	"time"
)

func TestTrialsBegin(t *testing.T) {
	day := func(n int) time.Time { return time.Date(2026, 3, n, 19, 0, 0, 0, time.UTC) }
	s := &State{Zone: time.UTC, Trials: []*Trial{
		{ID: "d/1", What: "glass file", Card: 1, At: day(1), Closed: day(5), Review: "kept"},
		{ID: "d/2", What: "new glue", Card: 2, At: day(2)},
		{ID: "d/3", What: "new gloss", At: day(2)},
	}, Sessions: []*Session{{Start: day(4), Trials: []int{1}}, {Start: day(9), Trials: []int{1}}, {Start: day(7), Trials: []int{1}}, {Start: day(12), Trials: []int{1}}}}
	for _, one := range []struct {
		body TrialBody
		want string
	}{
		{TrialBody{What: "glass file", Card: 1, At: day(12)}, ""},
		{TrialBody{What: "glass file", Card: 1, At: day(5)}, "until 2026-03-05"},
		{TrialBody{What: "New Glue", At: day(12)}, "on trial already as d/2"},
		{TrialBody{What: "saw", Card: 2, At: day(12)}, "belongs to the trial of new glue, d/2"},
		{TrialBody{What: "saw", At: day(12)}, ""},
	} {
		err := s.CheckTrial(one.body)
		if (err == nil) != (one.want == "") || err != nil && !strings.Contains(err.Error(), one.want) {
			t.Errorf("%+v: %v, want %q", one.body, err, one.want)
		}
	}
	if at, shown := s.TrialCardShown(1, day(12)); !shown || !at.Equal(day(7)) {
		t.Errorf("shown %v %v, want day 7: day 4 is the earlier trial's", shown, at)
	}
	if at, shown := s.TrialCardShown(2, day(12)); shown {
		t.Errorf("card 2 shown %v", at)
	}
	if one, err := s.FindTrial("GLASS"); err != nil || one.ID != "d/1" || one.CheckNote() == nil {
		t.Errorf("%+v, %v", one, err)
	}
	for name, want := range map[string]string{"new": "fits 2 trials", "brass": "there is no trial"} {
		if _, err := s.FindTrial(name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
