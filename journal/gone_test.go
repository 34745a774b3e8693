package journal

import (
	"testing"
	"time"
)

// A build that was given away is no open build until somebody takes it up again.
func TestGone(t *testing.T) {
	from := time.Date(2021, 3, 15, 19, 0, 0, 0, time.UTC)
	for why, gone := range map[Answer]bool{GivenAway: true, Scrapped: true, NoReason: false, "no wire": false, "": false} {
		s := &State{Builds: []*Build{{ID: "lorry"}}, Pauses: []Pause{{Build: "lorry", From: from, Why: string(why)}}}
		if got := s.Gone("lorry") != nil; got != gone || len(s.OpenBuilds()) == 0 != gone {
			t.Errorf("%q: gone %v, %d open", why, got, len(s.OpenBuilds()))
		}
		s.Pauses[0].Until = from.AddDate(1, 0, 0)
		if s.Gone("lorry") != nil || len(s.OpenBuilds()) != 1 {
			t.Errorf("%q: taken up again it is not open", why)
		}
	}
}
