// This file makes sessions of what series show: the bench was in use while a camera
// over it took pictures that changed. Where a timer or a card covers that time, or a
// person told it, nothing is added.

package journal

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"rakelight/journal/reason"
)

// leastSeries is the shortest time that a series makes a session of: what is left
// between the start of a camera and that of a timer is neither's.
const leastSeries = 5 * time.Minute

// addSeriesSessions adds the sessions of all series to those that are there. Of two
// cameras that ran at one time, the one that began first makes them.
//
// A session of a series is as long as its camera ran and its pictures changed, no
// longer: stops, and stretches in which nothing moved, are breaks, or lie outside. It
// is measured where the camera's clock is believed (Series.Trust) and it is known how
// the pictures look, else estimated (Session.How). A camera sees the bench and not who
// sits there: what changes in the pictures is all that speaks for work. Nothing is
// counted in it, so it enters no pace and no comparison.
func (s *State) addSeriesSessions() {
	for _, series := range s.Series {
		for _, one := range s.sessionsOf(series) {
			i, _ := slices.BinarySearchFunc(s.Sessions, one, orderOfSessions)
			s.Sessions = slices.Insert(s.Sessions, i, one)
			s.reach = max(s.reach, one.End.Sub(one.Start))
		}
	}
}

// SeriesNet is the time at the bench that the sessions of a series come to.
func (s *State) SeriesNet(id string) time.Duration {
	var net time.Duration
	for _, one := range s.Sessions {
		if one.Series == id {
			net += one.Net
		}
	}
	return net
}

// seriesSession names a session of a series.
func seriesSession(id string, n int) string {
	name := "series-" + id[:min(16, len(id))]
	if n > 1 {
		name += fmt.Sprintf("-%d", n)
	}
	return name
}

// sessionsOf are the sessions that a series shows, besides those that are there.
func (s *State) sessionsOf(series Series) []*Session {
	if series.Build == "" || series.Stage == "" || series.Guess || s.toldOf(series) {
		return nil
	}
	known, how := Measured, reason.How("")
	switch {
	case !series.Compared:
		known, how = Estimated, reason.UnlikeUnknown
	case series.Trust == "":
		known, how = Estimated, reason.BySeries
	}
	var out []*Session
	for _, free := range s.uncovered(Span{series.First, series.Last}) {
		spans := within(series.Lively, free)
		if lengthOf(spans) < leastSeries {
			continue
		}
		one := &Session{
			ID: seriesSession(series.ID, len(out)+1), Series: series.ID, Build: series.Build, Kit: series.Kit,
			Stage: series.Stage, Kind: s.kind(series.Build, series.Stage, ""), Start: spans[0].Start,
			End: spans[len(spans)-1].End, Net: lengthOf(spans), Known: known, How: how,
		}
		for i := 1; i < len(spans); i++ {
			one.Breaks = append(one.Breaks, Span{spans[i-1].End, spans[i].Start})
		}
		one.Date = one.Start.In(s.Zone).Format(time.DateOnly)
		out = append(out, one)
	}
	return out
}

// toldOf reports whether a person told of work on the build on the day of a series,
// without the hour: that may be the very same.
func (s *State) toldOf(series Series) bool {
	day := series.First.In(s.Zone).Format(time.DateOnly)
	at := FirstMoment(day, s.Zone)
	i, _ := slices.BinarySearchFunc(s.Sessions, at, func(one *Session, t time.Time) int { return one.Start.Compare(t) })
	for _, one := range s.Sessions[i:] {
		if one.Start.After(at) {
			break
		}
		if one.Build == series.Build && one.Date == day && !s.Clocked(one) {
			return true
		}
	}
	return false
}

// uncovered are the parts of a stretch of time in which no session lies, by start. What
// cures needs nobody, and covers nothing.
func (s *State) uncovered(span Span) []Span {
	var covered []Span
	for _, one := range around(s.Sessions, s.reach, span.Start, span.End.Sub(span.Start)) {
		end := one.End
		if one.Open {
			end = one.Start.Add(s.Config.LongestTimer())
		}
		if one.Kind != "wait" && s.Clocked(one) && one.Start.Before(span.End) && end.After(span.Start) {
			covered = append(covered, Span{one.Start, end})
		}
	}
	slices.SortFunc(covered, func(a, b Span) int { return cmp.Or(a.Start.Compare(b.Start), a.End.Compare(b.End)) })
	var out []Span
	from := span.Start
	for _, c := range covered {
		if c.Start.After(from) {
			out = append(out, Span{from, c.Start})
		}
		from = laterOf(from, c.End)
	}
	if span.End.After(from) {
		out = append(out, Span{from, span.End})
	}
	return out
}

// within are the parts of spans that lie in one.
func within(spans []Span, in Span) []Span {
	var out []Span
	for _, one := range spans {
		from, to := laterOf(one.Start, in.Start), one.End
		if in.End.Before(to) {
			to = in.End
		}
		if to.After(from) {
			out = append(out, Span{from, to})
		}
	}
	return out
}
