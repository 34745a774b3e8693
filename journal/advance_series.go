// This file goes on from the series of a state: those at the photos that came or were
// tagged otherwise are found anew, and the sessions of all series are made anew.

package journal

import (
	"reflect"
	"slices"
	"time"
)

// seriesUntil are the series that began by a moment.
func seriesUntil(all []Series, until time.Time) []Series {
	i := slices.IndexFunc(all, func(s Series) bool { return s.First.After(until) })
	if i < 0 {
		return all
	}
	return all[:i]
}

// series finds anew the series at the photos that are not those of the state before.
func (a *advancing) series() {
	looked := map[string]bool{} // photos of stretches that were looked at
	for _, p := range slices.Concat(slices.Clone(a.fresh), a.left) {
		if !p.mayBeFrame() || looked[p.Hash] {
			continue
		}
		stretch := a.f.state.stretchAt(p)
		for _, one := range stretch {
			looked[one.Hash] = true
		}
		a.seriesIn(stretch, p)
	}
}

// stretchAt are the photos of the same stand around a photo, as far as a series could
// reach: until there is none for longer than a camera may stop. The photo itself may be
// none of the state any more.
func (s *State) stretchAt(p *Photo) []*Photo {
	at, _ := slices.BinarySearchFunc(s.Photos, p, orderOfPhotos)
	var stretch []*Photo
	reach := p.Instant.At
	for i := at - 1; i >= 0; i-- {
		one := s.Photos[i]
		if reach.Sub(one.Instant.At) > seriesStop {
			break
		}
		if one.mayBeFrame() && one.stand() == p.stand() {
			stretch, reach = append(stretch, one), one.Instant.At
		}
	}
	slices.Reverse(stretch)
	reach = p.Instant.At
	for i := at; i < len(s.Photos); i++ {
		one := s.Photos[i]
		if one.Instant.At.Sub(reach) > seriesStop {
			break
		}
		if one.mayBeFrame() && one.stand() == p.stand() {
			stretch, reach = append(stretch, one), one.Instant.At
		}
	}
	return stretch
}

// seriesIn puts the series of a stretch in the place of those that were there, and of
// those of a photo that is none any more.
func (a *advancing) seriesIn(stretch []*Photo, of *Photo) {
	s := a.f.state
	was := map[string]bool{}
	if of.Series != "" {
		was[of.Series] = true
	}
	alone := make([]*Photo, len(stretch))
	for i, one := range stretch {
		if one.Series != "" {
			was[one.Series] = true
		}
		copied := *one
		copied.Series, alone[i] = "", &copied
	}
	found := seriesAmong(alone)
	if len(found)+len(was) == 0 {
		return
	}
	for i, one := range alone {
		if stretch[i].Series != one.Series {
			a.renew(stretch[i]).Series = one.Series
		}
	}
	s.Series = slices.DeleteFunc(slices.Clone(s.Series), func(one Series) bool { return was[one.ID] })
	s.Series = append(s.Series, found...)
	slices.SortFunc(s.Series, orderOfSeries)
	s.Series = someOf(s.Series)
}

// seriesSessions makes the sessions of all series anew.
func (a *advancing) seriesSessions() {
	s := a.f.state
	if len(s.Series)+len(a.before.Series) == 0 {
		return
	}
	was := map[string]*Session{}
	mine := make([]*Session, 0, len(s.Sessions))
	for _, one := range s.Sessions {
		if one.Series == "" {
			mine = append(mine, one)
		} else {
			was[one.ID] = one
		}
	}
	s.Sessions, s.reach = mine, reachOf(mine, s.Config.LongestTimer())
	s.addSeriesSessions()
	s.Sessions = someOf(s.Sessions)
	for i, one := range s.Sessions {
		if one.Series == "" {
			continue
		}
		old := was[one.ID]
		delete(was, one.ID)
		switch {
		case old != nil && reflect.DeepEqual(old, one):
			s.Sessions[i] = old
		default:
			a.changes = append(a.changes, change{old, one})
		}
	}
	for _, old := range was {
		a.changes = append(a.changes, change{old, old})
	}
}
