// This file puts a tail that was folded anew in the place of the tail of a state.

package journal

import (
	"reflect"
	"slices"
	"time"
)

// splice puts a tail folded anew in the place of the tail.
func (a *advancing) splice(anew *folding) bool {
	s, g, since := a.f.state, &a.f.ground, a.f.ground.Tail.Since
	was := map[string]*Session{}
	base := 0
	for i, one := range slices.Backward(s.Sessions) {
		if base = i + 1; !one.Start.After(since) {
			break
		}
		was[one.ID], base = one, i
		delete(g.Strands, one.ID)
	}
	s.Sessions = slices.Clip(s.Sessions[:base])
	for _, one := range anew.state.Sessions {
		old := was[one.ID]
		delete(was, one.ID)
		if old != nil && reflect.DeepEqual(old, one) {
			one = old
		} else {
			a.changes = append(a.changes, change{old, one})
		}
		s.Sessions = append(s.Sessions, one)
	}
	for _, old := range was {
		a.changes = append(a.changes, change{old, old})
	}
	if a.changesRunners(s.Sessions[:base], since) {
		return false
	}
	a.splicePhotos(anew, since)
	a.spliced = true
	cards := slices.IndexFunc(s.Cards, func(c CardSaid) bool { return c.At.After(since) })
	if cards < 0 {
		cards = len(s.Cards)
	}
	s.Cards = append(slices.Clone(s.Cards[:cards]), anew.state.Cards...)
	s.Pauses = anew.state.Pauses
	s.Series = someOf(append(slices.Clone(seriesUntil(s.Series, since)), anew.state.Series...))
	s.reach = reachOf(s.Sessions, s.Config.LongestTimer())
	a.spliceGround(anew, since)
	s.Sessions, s.Photos, s.Cards = someOf(s.Sessions), someOf(s.Photos), someOf(s.Cards)
	return true
}

// changesRunners reports whether parts are counted otherwise of a runner that a card
// before says is done as a whole: it counts those that nothing else counts, be it
// earlier or later.
func (a *advancing) changesRunners(base []*Session, since time.Time) bool {
	counted := map[string]bool{} // build and runner
	for _, c := range a.changes {
		for _, p := range c.parts() {
			counted[c.new.Build+" "+p.Runner] = true
			if c.old != nil {
				counted[c.old.Build+" "+p.Runner] = true
			}
		}
	}
	if len(counted) == 0 {
		return false
	}
	builds := map[string]string{}
	for _, one := range base {
		builds[one.ID] = one.Build
	}
	for _, c := range a.f.state.Cards {
		if c.At.After(since) {
			break
		}
		if c.Card.Says == RunnerCard && c.Did.Runner != "" && counted[builds[c.Session]+" "+c.Did.Runner] {
			return true
		}
	}
	return false
}

// parts are those of which the session counts more than before, or fewer.
func (c change) parts() []PartRef {
	if c.old == nil || c.old == c.new || c.old.Build != c.new.Build || c.old.Stage != c.new.Stage {
		all := slices.Clone(c.new.Parts)
		if c.old != nil {
			all = append(all, c.old.Parts...)
		}
		return all
	}
	return slices.DeleteFunc(slices.Concat(c.old.Parts, c.new.Parts),
		func(p PartRef) bool { return countOf(c.old.Parts, p) == countOf(c.new.Parts, p) })
}

// someOf is a list as the fold leaves it: nil where it holds nothing.
func someOf[T any](all []T) []T {
	if len(all) == 0 {
		return nil
	}
	return all
}

func (a *advancing) splicePhotos(anew *folding, since time.Time) {
	s := a.f.state
	base := len(s.Photos)
	was := map[string]*Photo{}
	for base > 0 && s.Photos[base-1].Instant.At.After(since) {
		base--
		was[s.Photos[base].Hash] = s.Photos[base]
	}
	s.Photos = slices.Clip(s.Photos[:base])
	for _, p := range anew.state.Photos {
		old := was[p.Hash]
		delete(was, p.Hash)
		if old != nil && reflect.DeepEqual(old, p) {
			p = old
		} else {
			a.fresh = append(a.fresh, p)
		}
		s.Photos = append(s.Photos, p)
	}
	for _, old := range was {
		a.left = append(a.left, old)
	}
}

// spliceGround brings the ground of a tail to that of all.
func (a *advancing) spliceGround(anew *folding, since time.Time) {
	g, of := &a.f.ground, anew.ground
	for id, records := range of.Strands {
		g.Strands[id] = records
	}
	for id := range of.Absent {
		g.Absent[id] = true
	}
	for build := range of.Runners {
		g.Runners[build] = true
	}
	for build, at := range of.Loose {
		noteLater(g.Loose, build, at)
	}
	for build, at := range of.Resumed {
		noteLater(g.Resumed, build, at)
	}
	g.Moved = g.Moved || of.Moved
	g.spliceClips(anew, a.left)
	g.From, g.Until, g.Tail = of.From, of.Until, of.Tail
	if g.Cards = of.Cards; len(a.f.state.Cards) > 0 && since.After(g.Cards) {
		g.Cards = since
	}
}
