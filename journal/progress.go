// This file gathers learning and comparisons over the years, for commands and
// pages alike.

package journal

import (
	"slices"

	"rakelight/journal/metrics"
)

// Learned is a learning curve of a stage kind, or of all together, over all builds up
// to one, or within one.
type Learned struct {
	metrics.Learning
	Build string // id, "" = over all
	Kind  string // "" = all together
}

// Learnings are the curves by stage kind from measured, counted sessions: over
// all builds up to b, from what was done before the journal on, then within b where
// others hold sessions of the kind too. Within b the parts of b count.
func (s *State) Learnings(b *Build) []Learned {
	if c := s.Claims(); c.Build == b {
		return c.learned
	}
	return s.learnings(b)
}

// learnings are Learnings before any is claimed.
func (s *State) learnings(b *Build) []Learned {
	all, own := map[string][]metrics.Work{}, map[string][]metrics.Work{}
	for _, w := range s.learntFrom(b) {
		all[w.Kind] = append(all[w.Kind], w)
		if w.Build == b.ID {
			own[w.Kind] = append(own[w.Kind], w)
		}
	}
	var out []Learned
	for _, kind := range Kinds {
		if len(all[kind]) > 0 {
			l := metrics.LearnAfter(all[kind], float64(s.Config.Before[kind]))
			out = append(out, Learned{l, "", kind})
		}
		if n := len(own[kind]); n > 0 && n < len(all[kind]) {
			out = append(out, Learned{metrics.Learn(own[kind]), b.ID, kind})
		}
	}
	return out
}

// LearningTogether is the curve of all stage kinds together: over all builds up to b,
// and where those are too few to show how kits differ, within b. Its Kind is "". It
// is what the curves of Learnings stand behind.
func (s *State) LearningTogether(b *Build) Learned {
	if c := s.Claims(); c.Build == b {
		return c.together
	}
	return s.learningTogether(b)
}

// learningTogether is LearningTogether before it is claimed.
func (s *State) learningTogether(b *Build) Learned {
	all := s.learntFrom(b)
	before := map[string]float64{}
	for kind, n := range s.Config.Before {
		before[kind] = float64(n)
	}
	l := metrics.LearnTogether(all, before)
	if l.OK || l.Builds < 2 {
		return Learned{l, "", ""}
	}
	own := keep(all, func(w metrics.Work) bool { return w.Build == b.ID })
	return Learned{metrics.LearnTogether(own, nil), b.ID, ""}
}

// learntFrom are the measured, counted sessions of b and the builds before it.
func (s *State) learntFrom(b *Build) []metrics.Work {
	upTo := map[string]bool{b.ID: true}
	for _, one := range s.Earlier(b) {
		upTo[one.ID] = true
	}
	return keep(s.Work(""), func(w metrics.Work) bool {
		return w.Known == metrics.Measured && w.Counted && upTo[w.Build]
	})
}

// SpeedSince compares a build like for like with all builds before it together.
func (s *State) SpeedSince(b *Build) metrics.Comparison {
	if c := s.Claims(); c.Build == b {
		return c.Since
	}
	return s.since(b)
}

func (s *State) since(b *Build) metrics.Comparison {
	return metrics.LikeForLike(s.workOf(s.Earlier(b)), s.Work(b.ID))
}

// Speed compares a build like for like with an earlier one.
func (s *State) Speed(earlier, later *Build) metrics.Comparison {
	if c := s.Claims(); c.Build == later && c.Before == earlier {
		return c.Beside
	}
	return metrics.LikeForLike(s.Work(earlier.ID), s.Work(later.ID))
}

// SpeedWithRework is Speed with the hours of repairs in the work that caused them. It
// is asked for beside the claims, and claims nothing.
func (s *State) SpeedWithRework(earlier, later *Build) metrics.Comparison {
	return metrics.Compare(s.Work(earlier.ID), s.Work(later.ID), metrics.Options{Rework: true})
}

// SpeedsOfKinds compares a build with all builds before it in each kind of work
// that both sides hold, in short: no table of cells stands under these.
func (s *State) SpeedsOfKinds(b *Build) map[string]metrics.Comparison {
	if c := s.Claims(); c.Build == b {
		return c.Kinds
	}
	return s.speedsOfKinds(b)
}

func (s *State) speedsOfKinds(b *Build) map[string]metrics.Comparison {
	before, now := byKind(s.workOf(s.Earlier(b))), byKind(s.Work(b.ID))
	out := map[string]metrics.Comparison{}
	for kind, ws := range now {
		if _, counted := metrics.CountedKind(kind); counted && len(before[kind]) > 0 {
			out[kind] = metrics.Compare(before[kind], ws, metrics.Options{Short: true})
		}
	}
	return out
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
