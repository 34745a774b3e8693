// This file lets take effect, on a state, what changes no session: what is said of
// photos, notes, the bench book, pauses.

package journal

import (
	"encoding/json"
	"slices"
)

// unsay takes a note back. Nothing hangs on one.
func (a *advancing) unsay(r Record) bool {
	s, b := a.f.state, RetractBody{}
	if json.Unmarshal(r.Body, &b) != nil || a.records == nil {
		return false
	}
	note := func(n Note) bool { return n.Record == b.Record }
	if !slices.ContainsFunc(s.Notes, note) {
		return false
	}
	for _, one := range unique(a.records()) {
		if one.ID() == b.Record && (!is[NoteBody](one) || b.Sum != "" && b.Sum != one.Sum()) {
			return false
		}
	}
	s.Notes = someOf(slices.DeleteFunc(slices.Clone(s.Notes), note))
	a.f.ground.Absent[b.Record] = true
	return true
}

// sayAlone is what the records do that change what they name, and nothing else.
var sayAlone = map[string]effect{
	NoteBody{}.RecordKind(): (*folding).note, MistakeBody{}.RecordKind(): (*folding).mistake,
	MarkBody{}.RecordKind(): (*folding).mark, VerdictBody{}.RecordKind(): (*folding).verdict,
	TagBody{}.RecordKind(): (*folding).tag, CheckedBody{}.RecordKind(): (*folding).checked,
	SubBody{}.RecordKind(): (*folding).sub, HoldBody{}.RecordKind(): (*folding).hold,
	ReleaseBody{}.RecordKind(): (*folding).release, PrepBody{}.RecordKind(): (*folding).prep,
	HandsBody{}.RecordKind(): (*folding).hands,
}

// sayRest lets the records take effect that change no session.
func (a *advancing) sayRest() bool {
	s := a.f.state
	s.Notes, s.Mistakes = slices.Clip(s.Notes), slices.Clip(s.Mistakes)
	s.Marks, s.Verdicts = slices.Clip(s.Marks), slices.Clip(s.Verdicts)
	if slices.ContainsFunc(a.rest, ofBook) {
		s.cloneBook()
	}
	s.Privates = slices.Clone(s.Privates)
	for _, r := range a.rest {
		var ok bool
		switch {
		case is[PauseBody](r):
			ok = a.pause(r)
		case is[PrivateBody](r):
			ok = a.f.private(r) == nil // it needs nothing to be there
		case is[PastBody](r):
			ok = a.sayPast(r)
		case is[ResumeBody](r):
			s.Pauses = slices.Clone(s.Pauses)
			ok = a.f.resume(r) == nil
		case sayShop[r.Kind] != nil:
			s.ownShop()
			ok = a.bring(r) && sayShop[r.Kind](&a.f, r) == nil
		default:
			ok = a.bring(r) && sayAlone[r.Kind](&a.f, r) == nil
		}
		if !ok {
			return false
		}
	}
	return true
}

// sayPast takes in what is said of pictures that are not here: they may come yet.
func (a *advancing) sayPast(r Record) bool {
	b, err := read[PastBody](r)
	if err != nil || slices.ContainsFunc(a.photos, func(one Record) bool {
		p, err := read[PhotoBody](one)
		return err != nil || slices.Contains(b.Photos, p.Hash)
	}) {
		return false
	}
	a.f.datedBy = map[string]given{}
	for _, hash := range b.Photos {
		a.f.ground.Absent[hash] = true
	}
	return a.f.past(r) == nil
}

// ofBook reports whether a record is of the bench book.
func ofBook(r Record) bool {
	return is[CheckedBody](r) || is[SubBody](r) || is[HoldBody](r) || is[ReleaseBody](r) || is[PrepBody](r) ||
		is[HandsBody](r)
}

// checkRunners lets what the runner check found be part of the plan. Whole
// runners by card are counted by it.
func (a *advancing) checkRunners() bool {
	if !slices.ContainsFunc(a.rest, is[CheckedBody]) {
		return true
	}
	s := a.f.state
	for _, c := range s.Checks[len(a.before.Checks):] {
		if a.f.ground.Runners[c.Build] {
			return false
		}
	}
	s.Builds = slices.Clone(s.Builds)
	a.f.planned = a.plan.Builds
	a.f.setNotUsed()
	return true
}

// pause puts a build aside that was not taken up again since.
func (a *advancing) pause(r Record) bool {
	b, err := read[PauseBody](r)
	resumed, was := a.f.ground.Resumed[b.Build]
	if err != nil || was && !b.From.After(resumed) || !a.f.ground.Cards.IsZero() {
		return false
	}
	a.f.state.Pauses = slices.Clip(a.f.state.Pauses)
	return a.f.pause(r) == nil
}

// bring makes known to the fold what a record names.
func (a *advancing) bring(r Record) bool {
	var b struct{ Session, Photo, Left, Right string }
	if json.Unmarshal(r.Body, &b) != nil {
		return false
	}
	if one := a.f.state.Session(b.Session); one != nil && one.Series == "" {
		a.f.sessions[one.ID] = one
	}
	for _, hash := range []string{b.Photo, b.Left, b.Right} {
		p, _, ok := a.f.state.Kept(hash)
		if !ok {
			continue // the fold tells of it, or needs none
		}
		if p.Hash != hash {
			a.f.shownBy[hash] = p.Hash
		}
		if is[TagBody](r) && !slices.Contains(a.fresh, p) {
			p = a.renew(p)
		}
		a.f.photos[p.Hash] = p
	}
	return true
}
