// This file gathers learning and comparisons over the years, for commands and
// pages alike.

package journal

import (
	"slices"

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
	return metrics.LikeForLike(s.workOf(earlier), s.Work(b.ID), Seed)
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
	return metrics.Chain(builds, Seed, metrics.Options{})
}
