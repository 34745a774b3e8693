// This file says what the photos of a build tell of the evenings of which nothing else
// tells: of the years before the journal, and of evenings without a timer.

package journal

import (
	"time"

	"rakelight/journal/metrics"
)

// Glimpse is what photos alone tell of the work on a build. It is a lower bound and
// enters no number but itself: no pace, no comparison, no forecast, no claim.
type Glimpse struct {
	Photos   int           // of evenings without a session, or whose day nobody knows
	Evenings int           // those evenings whose day is known
	Least    time.Duration // at the bench on them, at least; 0 = the photos tell no hours
	Alone    bool          // no timer and no card tells of the build on any evening
}

// Glimpse is that of a build. Only photos whose hour a camera tells, and nobody doubts,
// count in its hours: a copy from a messenger has no camera, a scan tells when it was
// scanned, what a person dated has a day at most. Photos of the finished model need no
// bench. An evening on which a session lies over the photos, of whatever build, counts
// nothing: one pair of hands does one thing. Where fewer than one evening in leastPairs
// has two photos that count, nothing is said of hours at all: "at least 5 min" of 26
// evenings would be true and mislead.
func (s *State) Glimpse(build string) Glimpse {
	g := Glimpse{Alone: true}
	told := map[string]bool{}
	for _, one := range s.Sessions {
		if one.Build == build {
			told[evening(one)] = true
			g.Alone = g.Alone && (one.Series != "" || one.Known == Remembered)
		}
	}
	shots := map[string][]metrics.Shot{}
	var evenings []string
	for _, p := range s.photos() {
		if p.Tags.Build != build || p.OfCards() {
			continue
		}
		day := p.evening()
		if told[day] && day != "" {
			continue
		}
		g.Photos++
		if _, had := shots[day]; day != "" && !had {
			evenings, shots[day] = append(evenings, day), nil
		}
		if p.mayBeFrame() && p.Tags.Role != "finished" {
			camera := p.Camera.Make + "\n" + p.Camera.Model + "\n" + p.Camera.Serial
			shots[day] = append(shots[day], metrics.Shot{Camera: camera, At: p.Instant.At})
		}
	}
	g.Evenings = len(evenings)
	several := 0
	for _, day := range evenings {
		all := shots[day]
		if len(all) < 2 {
			continue
		}
		several++
		if s.nothingRan(all) {
			g.Least += metrics.LeastTime(all)
		}
	}
	if several*leastPairs < len(evenings) {
		g.Least = 0
	}
	return g
}

// leastPairs: at least one evening in three has two photos, else these tell no hours.
// Common practice, no source.
const leastPairs = 3

// evening is the day of the evening a photo belongs to, as those of sessions; "" when
// its day is not known.
func (p *Photo) evening() string {
	switch {
	case p.Instant.Wall == "" && !p.Instant.Hour(), p.vague():
		return ""
	case !p.Instant.ByClock():
		return p.Instant.At.Format(time.DateOnly)
	}
	return p.Instant.At.Add(-smallHours).Format(time.DateOnly)
}

// nothingRan reports whether no session lies over photos of an evening.
func (s *State) nothingRan(shots []metrics.Shot) bool {
	first, last := shots[0].At, shots[len(shots)-1].At // by instant
	for _, one := range around(s.Sessions, reachOf(s.Sessions, s.Config.LongestTimer()), first, last.Sub(first)) {
		end := one.End
		if one.Open {
			end = one.Start.Add(s.Config.LongestTimer())
		}
		if one.Kind != "wait" && s.Clocked(one) && !one.Start.After(last) && !end.Before(first) {
			return false
		}
	}
	return true
}
