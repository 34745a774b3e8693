// This file gathers what somebody needs who comes back to a build after weeks: the
// state can be read off the model, the intention cannot.

package journal

import "slices"

// Return is what is needed to go on with a build, on one screen. Empty parts are not
// known, or there are none.
type Return struct {
	Build     *Build
	Pause     *Pause // that it is in, or that ended after its last session; nil = none
	LastPhoto *Photo // of the work
	Last      *Session
	NextStage string           // the stage to go on with, as far as counts tell
	NotGlued  []Hold           // dry-fitted
	MasksOn   []Hold           //
	Curing    []Hold           // ReadyAt tells until when; nobody said that it ended
	Subs      []Sub            // what the build is in, as sub-assemblies
	Stored    []Prep           // where loose parts are
	Lacking   []Found          // parts
	Questions []DryFitQuestion // to be answered before the parts are glued
	Mind      []Prep           // what was done to parts that are not assembled yet: pegs, gates, shims, pins
	Doubtful  []*Session       // whose length nobody vouched for
	Mixes     []Mix            // of the paints in use
	Supplies  []Supply         // missing, or on their way
}

// Return is what is needed to go on with a build; false where there is no such build.
func (s *State) Return(build string) (Return, bool) {
	b := s.Build(build)
	if b == nil {
		return Return{}, false
	}
	r := Return{Build: b, Subs: s.SubsOf(build), Stored: s.StoredOf(build), Lacking: s.Lacking(build),
		Questions: s.DryFitQuestions(build), NextStage: s.Remains(b).Next,
		Mixes: s.MixesOf(build), Supplies: keep(s.SuppliesOf(b), Supply.Open)}
	for _, one := range s.SessionsOf(build) {
		if one.Doubt.Any() && !one.Open {
			r.Doubtful = append(r.Doubtful, one)
		}
		r.Last = one
	}
	r.Pause = s.pauseAt(build, r.Last)
	for _, p := range slices.Backward(s.photos()) {
		if p.Tags.Build == build && !p.OfCards() {
			r.LastPhoto = p
			break
		}
	}
	for _, h := range s.HoldsOf(build) {
		switch h.Is {
		case "unglued":
			r.NotGlued = append(r.NotGlued, h)
		case "masked":
			r.MasksOn = append(r.MasksOn, h)
		default:
			r.Curing = append(r.Curing, h)
		}
	}
	for _, p := range s.PrepsOf(build) {
		if p.Is != "store" && s.loose(p) {
			r.Mind = append(r.Mind, p)
		}
	}
	return r, true
}

// pauseAt is the pause a build is in, or the last one, if nothing was done since.
func (s *State) pauseAt(build string, last *Session) *Pause {
	if p := s.Paused(build); p != nil {
		return p
	}
	for i := range slices.Backward(s.Pauses) {
		p := &s.Pauses[i]
		if p.Build == build {
			if last == nil || !last.Start.After(p.Until) {
				return p
			}
			return nil
		}
	}
	return nil
}

// loose reports whether any part a note is about was not assembled since.
func (s *State) loose(p Prep) bool {
	_, there := s.FindSub(p.Build, p.Sub)
	return p.Sub != "" && there ||
		slices.ContainsFunc(p.Parts, func(ref PartRef) bool { return !s.joined(p.Build, ref, p.At) })
}
