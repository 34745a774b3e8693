// This file goes on from a state by folding its tail anew, with the records that came,
// where that is all they can change.

package journal

import (
	"bytes"
	"encoding/json"
	"slices"
	"time"
)

// advanceTail is advance by folding the tail anew.
func (at standing) advanceTail(plan Plan, add []Record) (standing, bool) {
	t := at.ground.Tail
	if t.Since.IsZero() {
		return standing{}, false
	}
	a := at.begin(plan)
	a.f.state.whole()
	mine, ok := a.sortTail(add)
	if !ok {
		return standing{}, false
	}
	anew := foldTail(plan, at.state, &t, slices.Concat(t.Records, mine))
	ok = a.mayTake(anew, mine) && a.splice(anew) && a.sayRest() && a.settle()
	return standing{a.f.state, a.f.ground, at.records}, ok
}

// foldTail folds the records of a tail, with what is known of before.
func foldTail(plan Plan, before *State, t *tail, records []Record) *folding {
	alone := Plan{Config: plan.Config, Zone: plan.Zone, Now: plan.Now}
	for _, b := range plan.Builds {
		if now := before.Build(b.ID); now != nil {
			b = now // perhaps it was finished
		}
		alone.Builds = append(alone.Builds, b)
	}
	return foldSeeded(passes, alone, records, photoCache{}, t, before)
}

// until are the sessions and the photos until a moment.
func (s *State) until(at time.Time) ([]*Session, []*Photo) {
	i, _ := slices.BinarySearchFunc(s.Sessions, at.Add(1),
		func(s *Session, at time.Time) int { return s.Start.Compare(at) })
	photos := s.photos()
	j, _ := slices.BinarySearchFunc(photos, at.Add(1),
		func(p *Photo, at time.Time) int { return p.Instant.At.Compare(at) })
	return s.Sessions[:i], photos[:j]
}

// sortTail tells apart which records are of the tail.
func (a *advancing) sortTail(add []Record) (mine []Record, ok bool) {
	g := &a.f.ground
	here := map[string]Record{}
	for _, r := range g.Tail.Records {
		here[r.ID()] = r
	}
	for _, r := range add {
		id := r.ID()
		if g.Absent[id] || r.Seq <= g.Tops[r.Dev] {
			return nil, false
		}
		g.Last, g.Tops[r.Dev] = r, r.Seq
		var n struct {
			named
			Record string
		}
		switch {
		case is[RetractBody](r):
			if json.Unmarshal(r.Body, &n) != nil {
				return nil, false
			}
			what, known := here[n.Record]
			if !known || is[PastBody](what) || g.Tail.Hidden && (is[PhotoBody](what) || is[BesideBody](what)) {
				return nil, false
			}
			mine = append(mine, r)
		case tailKind(r):
			if json.Unmarshal(r.Body, &n) != nil {
				return nil, false
			}
			here[id] = r
			mine = append(mine, r)
		case is[NoteBody](r), is[MistakeBody](r), is[MarkBody](r), is[VerdictBody](r):
			a.rest = append(a.rest, r)
		default:
			return nil, false
		}
	}
	return mine, true
}

// mayTake reports whether a tail folded anew is all that its records change.
func (a *advancing) mayTake(anew *folding, mine []Record) bool {
	s, g := a.f.state, &a.f.ground
	t := anew.ground.Tail
	if len(anew.state.Problems) > 0 || len(anew.state.Unknown) > 0 || t.Since.Before(g.Tail.Since) {
		return false
	}
	if !g.Tail.Cards && (len(s.Cards) > 0) != (len(anew.state.Cards) > 0) {
		return false // with the first card all photos are looked at again
	}
	// Each record has a say in the tail, or was taken back.
	kept := map[string]bool{}
	for _, r := range t.Records {
		kept[r.ID()] = true
	}
	for _, r := range mine {
		if t.Since.Equal(g.Tail.Since) && !is[RetractBody](r) && !kept[r.ID()] {
			return false
		}
	}
	names, was := namesIn(anew.state, time.Time{}), namesIn(s, g.Tail.Since)
	var gone []string
	for name := range was {
		if !names[name] {
			gone = append(gone, name)
		}
	}
	for name := range names {
		if !was[name] && (g.Absent[name] || s.knows(name)) {
			return false
		}
	}
	for _, p := range anew.state.Photos {
		if !p.Instant.At.After(g.Tail.Since) || len(p.Cards) > 0 && g.Absent[cardSession(p.Hash)] {
			return false
		}
	}
	for _, one := range anew.state.Sessions {
		if !one.Start.After(g.Tail.Since) {
			return false
		}
	}
	return len(gone) == 0 || !s.speaksOf(gone)
}

// namesIn are the names of sessions and photos after a moment, and of files beside them.
func namesIn(s *State, since time.Time) map[string]bool {
	names := map[string]bool{}
	for _, one := range slices.Backward(s.Sessions) {
		if !one.Start.After(since) {
			break
		}
		names[one.ID] = true
	}
	for _, p := range slices.Backward(s.Photos) {
		if !p.Instant.At.After(since) {
			break
		}
		names[p.Hash] = true
		for _, o := range p.Beside {
			names[o.Hash] = true
		}
	}
	return names
}

// knows reports whether a session, a photo or a file put aside bears the name.
func (s *State) knows(name string) bool {
	if _, _, kept := s.Kept(name); kept || s.Session(name) != nil {
		return true
	}
	return slices.ContainsFunc(s.Asides, func(one Aside) bool { return one.Hash == name })
}

// speaksOf reports whether anything is said of what is named, besides tags.
func (s *State) speaksOf(names []string) bool {
	if slices.ContainsFunc(s.Problems, func(p Problem) bool { return p.Record != "" }) {
		return true // a record without effect may be silent once what it names is gone
	}
	said, err := json.Marshal([]any{s.Notes, s.Mistakes, s.Marks, s.Verdicts, s.Packs, s.Trials, s.Points, s.Alikes,
		s.Sheets, s.Repairs, s.Asides, s.Checks, s.Subs, s.Holds, s.Preps, s.Hands, s.Mixes, s.Additions, s.Sandings})
	named := func(name string) bool { return bytes.Contains(said, []byte(name)) }
	return err != nil || slices.ContainsFunc(names, named)
}
