// This file gathers learning, comparisons over the years and forecasts, for
// commands and pages alike.

package journal

import (
	"slices"
	"time"

	"rakelight/journal/metrics"
)

// Learned is a learning curve of a stage kind, over all builds up to one, or
// within one.
type Learned struct {
	metrics.Learning
	Build string // id, "" = over all
	Kind  string
}

// Learnings are the curves by stage kind from measured, counted sessions: over
// all builds up to b, then within b where others hold sessions of the kind too.
func (s *State) Learnings(b *Build) []Learned {
	upTo := map[string]bool{b.ID: true}
	for _, one := range s.Earlier(b) {
		upTo[one.ID] = true
	}
	all, own := map[string][]metrics.Work{}, map[string][]metrics.Work{}
	for _, w := range s.Work("") {
		if w.Known != metrics.Measured || !w.Counted || !upTo[w.Build] {
			continue
		}
		all[w.Kind] = append(all[w.Kind], w)
		if w.Build == b.ID {
			own[w.Kind] = append(own[w.Kind], w)
		}
	}
	var out []Learned
	for _, kind := range Kinds {
		if len(all[kind]) > 0 {
			out = append(out, Learned{metrics.Learn(all[kind]), "", kind})
		}
		if n := len(own[kind]); n > 0 && n < len(all[kind]) {
			out = append(out, Learned{metrics.Learn(own[kind]), b.ID, kind})
		}
	}
	return out
}

// AgainstAll compares a build like for like with some earlier ones together.
func (s *State) AgainstAll(b *Build, earlier []*Build) metrics.Comparison {
	return metrics.LikeForLike(s.workOf(earlier), s.Work(b.ID))
}

// Chain compares earlier builds and b, each with the one before it. Builds
// without bench time are passed over.
func (s *State) Chain(b *Build, earlier []*Build) []metrics.ChainLink {
	var builds [][]metrics.Work
	for _, e := range append(slices.Clone(earlier), b) {
		if ws := s.Work(e.ID); len(ws) > 0 {
			builds = append(builds, ws)
		}
	}
	return metrics.Chain(builds, metrics.Options{})
}

// Outlook is what is left of an open build.
type Outlook struct {
	metrics.Forecast
	Build     *Build
	Tasks     []metrics.Task // what is left, in the order of work
	Uncounted []string       // ids of stages whose end cannot be counted: their hours come on top
	From      time.Time      // the instant the weeks are counted from
}

// Outlook forecasts a build at an instant, from measured time, and where that is
// too little of all that is left, from remembered time alone.
func (s *State) Outlook(b *Build, now time.Time) Outlook {
	o := Outlook{Build: b, From: now}
	o.Tasks, o.Uncounted = s.Left(b)
	// Measured and remembered time do not mix, and an estimated hour is a lower
	// bound that would promise too much.
	work, weeks := s.Work(""), s.Weeks(b.ID, now)
	o.Forecast = metrics.Predict(o.Tasks, metrics.KnownAs(work, metrics.Measured), weeks, Seed)
	if o.OK || len(o.Tasks) == 0 {
		return o
	}
	if f := metrics.Predict(o.Tasks, metrics.KnownAs(work, metrics.Remembered), weeks, Seed); f.OK {
		o.Forecast, o.Remembered = f, true
	}
	return o
}

// Day is the day so many weeks after the instant of the outlook.
func (o Outlook) Day(weeks float64) time.Time {
	return o.From.Add(time.Duration(weeks * 7 * 24 * float64(time.Hour)))
}

// Replays tells how forecasts would have done on the measured time of the finished
// builds.
func (s *State) Replays() []metrics.Replay {
	var finished [][]metrics.Work
	for _, b := range s.Builds {
		if b.Finished != "" {
			finished = append(finished, metrics.KnownAs(s.Work(b.ID), metrics.Measured))
		}
	}
	return metrics.Calibrate(finished, Seed)
}
