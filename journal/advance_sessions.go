// This file folds anew, from their own records, the sessions that records are of.

package journal

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"time"

	"rakelight/journal/record"
)

// hasStrand looks that the records of a session are at hand. Those of an older one are
// looked for among all records, which takes a while, though not as long as folding them.
func (a *advancing) hasStrand(id string) bool {
	g := &a.f.ground
	if g.Strands[id] != nil {
		return true
	}
	one := a.before.Session(id)
	if a.records == nil || one == nil || one.Cards || len(one.Again) > 0 || one.Reopened > 0 ||
		a.before.Session(id+"~2") != nil || !a.mayChange(change{one, one}) ||
		slices.ContainsFunc(one.Tallies, func(t Tally) bool { return t.Photo != "" }) {
		return false
	}
	strand := strandOf(id, unique(a.records()), a.last)
	if !slices.ContainsFunc(strand, func(r Record) bool { return r.ID() == id }) {
		return false
	}
	g.Strands[id] = strand
	return true
}

// strandOf are the records that a session is made of, until the last; none where others
// had a say in it.
func strandOf(id string, records []Record, last Record) []Record {
	gone := retracted(records)
	names := map[string]bool{id: true}
	var strand []Record
	for _, r := range records {
		if record.Compare(r, last) > 0 || r.ID() != id && !mentions(r, names) || gone.has(r) {
			continue
		}
		var b struct{ Session string }
		switch err := json.Unmarshal(r.Body, &b); {
		case err != nil || is[ReopenBody](r):
			return nil
		case slices.Contains(strandKinds, r.Kind) && (r.ID() == id || b.Session == id):
			strand = append(strand, r)
		}
	}
	return strand
}

// refold folds the sessions anew that the records are of.
func (a *advancing) refold() bool {
	if len(a.touched) == 0 {
		return true
	}
	s, g := a.f.state, &a.f.ground
	var records []Record
	for id := range a.touched {
		records = append(records, g.Strands[id]...)
	}
	for _, p := range a.before.Problems { // it may be none any more
		if slices.ContainsFunc(records, func(r Record) bool { return r.ID() == p.Record }) {
			return false
		}
	}
	plan := Plan{Config: a.plan.Config, Zone: a.plan.Zone, Builds: a.plan.Builds}
	alone := foldAll(passes, plan, records, photoCache{})
	if len(alone.state.Problems) > 0 || len(alone.ground.Absent) > 0 || len(alone.state.Sessions) != len(a.touched) {
		return false
	}
	s.Sessions = slices.Clone(s.Sessions)
	for _, one := range alone.state.Sessions {
		c := change{a.before.Session(one.ID), one}
		if !a.touched[one.ID] || !a.mayChange(c) {
			return false
		}
		a.changes = append(a.changes, c)
		if c.old == nil {
			s.Sessions = append(s.Sessions, one)
		} else {
			s.Sessions[slices.Index(s.Sessions, c.old)] = one
		}
	}
	slices.SortFunc(s.Sessions, orderOfSessions)
	s.reach = reachOf(s.Sessions, s.Config.LongestTimer())
	return a.photosStay()
}

// mayChange reports whether a session changes alone: nothing that was opened again,
// counted without a session, or said by a card, hangs on it.
func (a *advancing) mayChange(c change) bool {
	g := a.f.ground
	for _, s := range []*Session{c.old, c.new} {
		if s == nil {
			continue
		}
		for _, latest := range []map[string]time.Time{g.Reopened, g.Loose} {
			if at, ok := latest[s.Build]; ok && !s.Start.After(at) {
				return false
			}
		}
		if g.Runners[s.Build] || !s.Start.After(g.Cards) && !g.Cards.IsZero() {
			return false
		}
	}
	return true
}

// photosStay reports whether the photos that hang on sessions stay as they are.
func (a *advancing) photosStay() bool {
	s := a.f.state
	if len(s.Cards) == 0 && !a.f.ground.Moved {
		return true // tags that a record gave are looked for again in neither
	}
	for _, c := range a.changes {
		if c.old != nil && alike(c.old, c.new) {
			continue
		}
		from, to := a.about(c)
		for _, p := range s.photosBetween(from, to) {
			if !a.staysWith(p, s) {
				return false
			}
		}
	}
	return true
}

// alike reports whether two sessions give photos the same tags.
func alike(x, y *Session) bool {
	return x.Start.Equal(y.Start) && x.End.Equal(y.End) && x.Open == y.Open && x.Build == y.Build &&
		x.Stage == y.Stage && x.Kit == y.Kit && x.Kind == y.Kind &&
		x.Known == y.Known && x.Date == y.Date && x.Doubt.Any() == y.Doubt.Any()
}

// about is the time in which a photo could be of a session.
func (a *advancing) about(c change) (from, to time.Time) {
	config := a.f.state.Config
	from, to = c.new.Start, c.new.Start
	for _, s := range []*Session{c.old, c.new} {
		if s == nil {
			continue
		}
		if s.Start.Before(from) {
			from = s.Start
		}
		end := s.End
		if s.Open {
			end = s.Start.Add(config.LongestTimer())
		}
		if end.After(to) {
			to = end
		}
	}
	return from.Add(-config.SettleTime() - 1), to.Add(config.SettleTime() + 1)
}

// photosBetween are the photos taken from one moment to another.
func (s *State) photosBetween(from, to time.Time) []*Photo {
	at := func(p *Photo, t time.Time) int { return p.Instant.At.Compare(t) }
	photos := s.photos()
	i, _ := slices.BinarySearchFunc(photos, from, at)
	j, _ := slices.BinarySearchFunc(photos, to.Add(1), at)
	return photos[i:max(i, j)]
}

// staysWith reports whether a photo is tagged by the sessions of a state as it is.
// Of one of which a person said something it does not know.
func (a *advancing) staysWith(p *Photo, s *State) bool {
	for _, why := range p.Why {
		if why == said || why == otherBuild {
			return false
		}
	}
	one := *p
	one.Why = maps.Clone(p.Why)
	s.tagAgain(&one)
	return reflect.DeepEqual(&one, p)
}

// ofWork reports whether the session is one that numbers are made of, or was.
func (c change) ofWork() bool { return !c.new.Open || c.old != nil && !c.old.Open }

// charge charges repairs anew: to what they mend, which may have come, or changed.
func (a *advancing) charge() {
	s := a.f.state
	if len(a.changes) == 0 && len(s.Mistakes) == len(a.before.Mistakes) {
		return
	}
	repairs := slices.ContainsFunc(s.Sessions, func(one *Session) bool { return one.Kind == repairKind })
	if !repairs {
		return
	}
	s.Sessions = slices.Clone(s.Sessions)
	for i, one := range s.Sessions {
		if one.Kind == repairKind {
			anew := *one
			anew.Charged, s.Sessions[i] = nil, &anew
		}
	}
	a.f.chargeRepairs()
}

// trim leaves the records of the latest sessions.
func (g *ground) trim(s *State) {
	kept := 0
	for _, one := range slices.Backward(s.Sessions) {
		if g.Strands[one.ID] == nil {
			continue
		}
		if kept++; kept > strandsKept && !one.Open {
			delete(g.Strands, one.ID)
		}
	}
}
