// This file tells to which evening a moment belongs: work that goes on after midnight
// is of the day it began on.

package journal

import (
	"slices"
	"sort"
	"time"
)

// Evenings are the evenings of a journal at the bench.
type Evenings struct {
	sessions []*Session // whose hour is known, by start
	near     time.Duration
	longest  time.Duration // that a timer runs
	zone     *time.Location
}

// Evenings are those of the sessions of the state.
func (s *State) Evenings() Evenings {
	e := Evenings{near: s.Config.SettleTime(), longest: s.Config.LongestTimer(), zone: s.zone()}
	for _, one := range s.Sessions {
		if !one.Start.IsZero() && len(one.Date) == len(time.DateOnly) && one.Kind != "wait" && s.Clocked(one) {
			e.sessions = append(e.sessions, one)
		}
	}
	slices.SortStableFunc(e.sessions, func(a, b *Session) int { return a.Start.Compare(b.Start) })
	return e
}

// Of is the day, YYYY-MM-DD, of the evening that a moment belongs to, where date is its
// own day by the calendar: that on which a session began which goes on after midnight,
// for what lies in it or comes within the time in which a photo counts as of a session.
// It is "" for no moment.
func (e Evenings) Of(at time.Time, date string) string {
	if at.IsZero() {
		return ""
	}
	i := sort.Search(len(e.sessions), func(i int) bool { return e.sessions[i].Start.After(at) })
	if i == 0 {
		return date
	}
	if s := e.sessions[i-1]; s.Date < date && distance(s, at, e.longest) <= e.near {
		return s.Date
	}
	return date
}

// Here is Of for a moment in the journal's own zone.
func (e Evenings) Here(at time.Time) string {
	return e.Of(at, at.In(e.zone).Format(time.DateOnly))
}
