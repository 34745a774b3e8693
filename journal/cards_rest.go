// This file makes breaks of break cards. The card is shown when the break begins
// and again when it ends; who forgets the second is back at the first sign of
// work, which may have come some time after the person did.

package journal

import (
	"slices"
	"time"

	"rakelight/journal/reason"
)

// resting is the break that runs by card; the zero resting is none.
type resting struct {
	session *Session
	from    time.Time
}

// takeBreak begins a break in the session, or ends the one that runs.
func (run *cardRun) takeBreak(s *Session, c *CardSaid) {
	if run.rest.session != s {
		if said, ok := run.restSaid(s, c.At); ok {
			run.rest = resting{s, said} // begun by hand, and ended by card
			s.Breaks = append(s.Breaks, Span{Start: said})
		}
	}
	if run.rest.session == s {
		c.Did.What, c.Did.Since = BreakEnded, run.rest.from
		run.endRest(c.At, true)
		return
	}
	c.Did.What = BreakBegan
	run.rest = resting{s, c.At}
	s.Breaks = append(s.Breaks, Span{Start: c.At})
}

// endRest ends the break that runs by card. Only a card that says so tells when:
// else the end is at the latest then.
func (run *cardRun) endRest(at time.Time, told bool) {
	s, from := run.rest.session, run.rest.from
	run.rest = resting{}
	i := slices.IndexFunc(s.Breaks, func(b Span) bool { return b.Start.Equal(from) })
	s.Breaks[i].End = at
	if !told {
		run.f.loose[s.ID] = append(run.f.loose[s.ID], s.Breaks[i])
	}
}

// stopRest leaves a break that runs to end with its session.
func (run *cardRun) stopRest(s *Session) {
	if run.rest.session == s {
		run.rest = resting{}
	}
}

// workAgain ends a break by card at a begin card of the same stage.
func (run *cardRun) workAgain(s *Session, at time.Time) {
	if run.rest.session == s {
		run.endRest(at, true)
	}
}

// back ends a break by card at a count or a runner: parts were done since. Just
// after the break began they were done before it.
func (run *cardRun) back(s *Session, at time.Time) {
	if run.rest.session == s && at.Sub(run.rest.from) > CardAfter {
		run.endRest(at, false)
	}
}

// seen looks through the photos before a moment (zero = all) for the first that
// shows the work again after a break by card began. In the first minutes a person
// may take a last one while getting up.
func (run *cardRun) seen(until time.Time) {
	if run.rest.session == nil {
		return
	}
	from := run.rest.from
	for _, b := range run.rests[run.rest.session.ID] {
		if b.Start.Equal(from) && !b.End.IsZero() && (until.IsZero() || !b.End.After(until)) {
			run.rest = resting{} // it was ended by hand
			return
		}
	}
	i, _ := slices.BinarySearchFunc(run.photos, from.Add(CardAfter),
		func(p *Photo, at time.Time) int { return p.Instant.At.Compare(at) })
	for _, p := range run.photos[i:] {
		if !until.IsZero() && !p.Instant.At.Before(until) {
			return
		}
		if p.Instant.At.Sub(from) > CardAfter && !p.OfCards() {
			run.endRest(p.Instant.At, false)
			return
		}
	}
}

// restSaid is when a break began by hand that runs at the moment.
func (run *cardRun) restSaid(s *Session, at time.Time) (time.Time, bool) {
	for _, b := range run.rests[s.ID] {
		if !b.Start.After(at) && b.End.IsZero() {
			return b.Start, true
		}
	}
	return time.Time{}, false
}

// restsSaid are the breaks that were said by hand, by session.
func restsSaid(records []Record, gone map[string]bool) map[string][]Span {
	all := map[string][]Span{}
	for _, r := range records {
		if r.Kind != "break" || gone[r.ID()] {
			continue
		}
		b, err := read[BreakBody](r)
		if err != nil {
			continue
		}
		i := slices.IndexFunc(all[b.Session], func(one Span) bool { return one.Start.Equal(b.Start) })
		switch {
		case i < 0:
			all[b.Session] = append(all[b.Session], Span{b.Start, b.End})
		case !b.End.IsZero():
			all[b.Session][i].End = b.End
		}
	}
	return all
}

// loosen says of a session whose breaks end where only a photo tells that its
// length is estimated, unless a person said since when they ended.
func (f *folding) loosen(s *Session) {
	if s.Known != Measured || f.accepted[s.ID] {
		return
	}
	for _, b := range s.Breaks {
		if slices.ContainsFunc(f.loose[s.ID], func(one Span) bool {
			return one.Start.Equal(b.Start) &&
				one.End.Equal(b.End)
		}) {
			s.Known, s.How = Estimated, reason.LooseRest
		}
	}
}
