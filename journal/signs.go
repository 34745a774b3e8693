// This file tells of a session what was seen of it last, and which session ended
// last: what a person is asked who forgot to say it.

package journal

import (
	"slices"
	"time"
)

// Sign is something that shows that somebody was at the bench.
type Sign struct {
	At    time.Time // in the journal's zone; zero = there was none
	Photo *Photo    // one that was taken then; nil = parts were counted, or a break began or ended
}

// LastSign is the last that is known of a session before it had lasted too long:
// parts counted, a break, or a photo of its build, or of none. False when there
// is nothing.
func (s *State) LastSign(one *Session) (Sign, bool) {
	until := one.Start.Add(s.Config.LongestTimer())
	if !one.Open && one.End.Before(until) {
		until = one.End
	}
	var last Sign
	see := func(at time.Time, p *Photo) {
		if at.After(one.Start) && !at.After(until) && at.After(last.At) {
			last = Sign{at, p}
		}
	}
	for _, t := range one.Tallies {
		see(t.At, nil)
	}
	for _, b := range one.Breaks {
		see(b.Start, nil)
		see(b.End, nil)
	}
	first, _ := slices.BinarySearchFunc(s.photos(), one.Start,
		func(p *Photo, at time.Time) int { return p.Instant.At.Compare(at) })
	for _, p := range s.photos()[first:] {
		if p.Instant.At.After(until) {
			break
		}
		if !p.Instant.Doubts.Any() && (p.Tags.Build == one.Build || p.Tags.Build == "") {
			see(p.Instant.At, p)
		}
	}
	last.At = last.At.In(s.zone())
	return last, !last.At.IsZero()
}

// LastEnded is the session that ended last before a moment, nil when none did. What a
// series shows nobody began, and nothing can be counted in it.
func (s *State) LastEnded(before time.Time) *Session {
	var last *Session
	for _, one := range s.Sessions {
		if !one.Open && one.Series == "" && one.Kind != "wait" && !one.End.After(before) &&
			(last == nil || !one.End.Before(last.End)) {
			last = one
		}
	}
	return last
}

// NetSoFar is how long a session that runs has been at the bench by a moment,
// breaks left out.
func (s *Session) NetSoFar(now time.Time) time.Duration {
	return max(0, s.benchUntil(now))
}

// Resting is the break that runs in the session; false when none does.
func (s *Session) Resting() (Span, bool) {
	for _, b := range s.Breaks {
		if b.End.IsZero() {
			return b, true
		}
	}
	return Span{}, false
}
