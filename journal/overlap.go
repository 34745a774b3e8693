// This file finds sessions that lie over each other. One journal is one person's,
// and one pair of hands does one thing: of two that overlap one is wrong. Nothing
// is taken off: whoever sat at the bench knows which.

package journal

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// Overlap is two sessions that cannot both be right.
type Overlap struct {
	First, Second string        // ids of the sessions, by start
	By            time.Duration // at the bench in both
	Until         time.Duration // of the first, at the bench before the second began
	said          string        // both, as a person knows them
}

// overlapsFrom is how much of an overlap is one: times typed have no seconds.
const overlapsFrom = time.Minute

// Overlaps lists the sessions that lie over each other, by start. Sessions of
// which only the day is known, those that run or are in doubt, and curing are
// never among them.
func (s *State) Overlaps() []Overlap {
	var all []Overlap
	for i, a := range s.Sessions {
		if !s.placedInTime(a) {
			continue
		}
		for _, b := range s.Sessions[i+1:] {
			if !b.Start.Before(a.End) {
				break
			}
			if by := Both(a, b); s.placedInTime(b) && by >= overlapsFrom {
				all = append(all, Overlap{a.ID, b.ID, by, a.benchUntil(b.Start),
					fmt.Sprintf("%s of %s and %s of %s, %s", a.Stage, a.Build, b.Stage, b.Build,
						b.Start.In(s.zone()).Format(minute))})
			}
		}
	}
	return all
}

// placedInTime reports whether the session counts as bench time from one moment
// to another.
func (s *State) placedInTime(one *Session) bool {
	return !one.Open && !one.Doubt.Any() && one.Kind != "wait" && s.Clocked(one)
}

// Clocked reports whether the hour of the session's beginning is known, and not
// only its day.
func (s *State) Clocked(one *Session) bool {
	return one.Cards || !one.Start.Equal(FirstMoment(one.Date, s.zone()))
}

// Both is how long both sessions were at the bench at one time.
func Both(a, b *Session) time.Duration {
	from, to := a.Start, a.End
	if b.Start.After(from) {
		from = b.Start
	}
	if b.End.Before(to) {
		to = b.End
	}
	if !to.After(from) {
		return 0
	}
	return to.Sub(from) - rested(from, to, slices.Concat(a.Breaks, b.Breaks))
}

// benchUntil is how long the session was at the bench before a moment in it.
func (s *Session) benchUntil(at time.Time) time.Duration {
	return at.Sub(s.Start) - rested(s.Start, at, s.Breaks)
}

// rested is how much of a stretch of time lies in one of the breaks.
func rested(from, to time.Time, breaks []Span) time.Duration {
	merged := mergeBreaks(slices.Clone(breaks), &Session{Start: from, End: to})
	var sum time.Duration
	for _, b := range merged {
		sum += b.End.Sub(b.Start)
	}
	return sum
}

// String is the remark.
func (o Overlap) String() string {
	return fmt.Sprintf("%s: they lie over each other for %s, which counts twice", o.said, Spell(o.By))
}

// Mend is how to end it.
func (o Overlap) Mend() string {
	switch photo, card := strings.CutPrefix(o.Second, "card-"); {
	case o.Until >= time.Minute:
	case card:
		return Typed("rakelight cards --ignore %s", photo[:min(8, len(photo))]) +
			" drops the card that began the second"
	default:
		return Typed("rakelight retract %s", o.Second) + " takes the second back"
	}
	return Typed("rakelight correct %s --worked %s", o.First, fmt.Sprintf("%dm", int(o.Until.Minutes()))) +
		" ends the first where the second began"
}
