// This file folds corrections of sessions. A correction says how it was; what
// it does not speak of stays.

package journal

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"
)

func (f *folding) correct(r Record) error {
	b, err := read[CorrectBody](r)
	if err != nil {
		return err
	}
	s, err := f.session(b.Session)
	if err != nil {
		return err
	}
	if err := b.check(); err != nil {
		return err
	}
	if err := f.correctTimes(s, b); err != nil {
		return err
	}
	f.correctPlace(s, b)
	f.correctParts(s, r, b)
	if b.Note != nil {
		s.Note = *b.Note
	}
	if b.Tools != nil {
		s.Tools = addTools(nil, *b.Tools)
	}
	s.Tools = addTools(s.Tools, b.AddTool)
	if b.Accept {
		f.accepted[s.ID] = true
	}
	return nil
}

// check refuses what cannot be.
func (b CorrectBody) check() error {
	if b.Minutes != nil && (*b.Minutes < 0 || *b.Minutes > maxMinutes) {
		return fmt.Errorf("%v minutes is no length of a session", *b.Minutes)
	}
	if b.Count != nil && *b.Count < 0 {
		return fmt.Errorf("%d parts cannot be", *b.Count)
	}
	if b.Breaks != nil {
		for _, one := range *b.Breaks {
			if one.Start.IsZero() || one.End.Before(one.Start) {
				return errors.New("a break would end before it began")
			}
		}
	}
	for _, parts := range [][]PartRef{derefParts(b.Parts), b.Add, b.Take} {
		if err := countable(parts, 0); err != nil {
			return err
		}
	}
	return nil
}

func derefParts(p *[]PartRef) []PartRef {
	if p == nil {
		return nil
	}
	return *p
}

// correctTimes sets when the session was.
func (f *folding) correctTimes(s *Session, b CorrectBody) error {
	start, end, open := s.Start, s.End, s.Open
	if b.Start != nil {
		start = *b.Start
		if net, said := f.net[s.ID]; said && !open {
			end = start.Add(net)
		}
	}
	if b.End != nil {
		end, open = *b.End, false
	}
	if !open && end.Before(start) {
		return errors.New("the session would end before it began")
	}
	if b.Start != nil {
		s.Date = start.In(f.state.Zone).Format(time.DateOnly)
	}
	s.Start, s.End, s.Open = start, end, open
	if b.End != nil {
		delete(f.net, s.ID) // the length follows from start and end again
	}
	if b.Minutes != nil {
		// What somebody says afterwards is a memory, whatever the timer said.
		f.net[s.ID], s.Known = minutes(*b.Minutes), Remembered
		s.End, s.Open = s.Start.Add(f.net[s.ID]), false
	}
	if b.Breaks != nil {
		s.Breaks = nil
		for _, one := range *b.Breaks {
			s.Breaks = append(s.Breaks, Span(one))
		}
	}
	return nil
}

// correctPlace sets where the session belongs.
func (f *folding) correctPlace(s *Session, b CorrectBody) {
	for _, one := range []struct {
		from *string
		to   *string
	}{{b.Build, &s.Build}, {b.Stage, &s.Stage}, {b.Class, &s.Class}, {b.For, &s.For}} {
		if one.from != nil {
			*one.to = *one.from
		}
	}
	if b.Kit != nil {
		s.Kit = *b.Kit
	}
	if b.Class != nil {
		f.classSaid[s.ID] = true
	}
	if b.Build != nil || b.Stage != nil {
		s.Kind = f.kind(s.Build, s.Stage, s.Kind)
	}
}

// correctParts sets what was done. Parts and Count replace, Add and Take change
// the parts by name. A card that says a whole runner is done is folded later;
// it does not bring back what was taken away here.
func (f *folding) correctParts(s *Session, r Record, b CorrectBody) {
	if b.Count != nil {
		s.Bare, s.Counted = *b.Count, true
		for i := range s.Tallies {
			s.Tallies[i].Bare = 0
		}
		if *b.Count > 0 {
			s.Tallies = append(s.Tallies, Tally{Bare: *b.Count, Record: r.ID()})
		}
	}
	if b.Parts != nil {
		s.Parts, s.Counted = nil, true
		for i := range s.Tallies {
			s.Tallies[i].Parts = nil
		}
		s.addParts(*b.Parts, r)
		f.replaced[s.ID] = true
	}
	if len(b.Add) > 0 {
		s.addParts(b.Add, r)
	}
	for _, part := range b.Take {
		s.takePart(part)
		f.taken[s.ID+" "+part.Key()] = true
	}
	s.Tallies = slices.DeleteFunc(s.Tallies, func(t Tally) bool { return t.Bare == 0 && len(t.Parts) == 0 })
}

func (s *Session) addParts(parts []PartRef, r Record) {
	if len(parts) == 0 {
		return
	}
	s.Parts, s.Counted = append(slices.Clone(s.Parts), parts...), true
	s.Tallies = append(s.Tallies, Tally{Parts: parts, Record: r.ID()})
}

// takePart takes so many of a part off the session, those counted last first.
func (s *Session) takePart(part PartRef) {
	s.Parts = lessOf(s.Parts, part)
	left := part.Count
	for i := len(s.Tallies) - 1; i >= 0 && left > 0; i-- {
		t := &s.Tallies[i]
		if had := countOf(t.Parts, part); had > 0 && !t.Back {
			off := part
			off.Count = min(had, left)
			t.Parts = lessOf(t.Parts, off)
			left -= off.Count
		}
	}
}

// lessOf is the parts without so many of one. The list given is left as it is.
func lessOf(parts []PartRef, off PartRef) []PartRef {
	var out []PartRef
	left := off.Count
	for _, p := range parts {
		if p.Is(off) && left > 0 {
			less := min(p.Count, left)
			left -= less
			p.Count -= less
		}
		if p.Count > 0 {
			out = append(out, p)
		}
	}
	return out
}

// absentError is a reference to something that is not here. If it was taken
// back, what hung on it went with it, and there is nothing to tell.
type absentError struct{ what, id string }

func (e *absentError) Error() string {
	switch e.what {
	case "trial":
		return "there is no trial " + e.id
	case "pack":
		return fmt.Sprintf("it answers a pack %q that is not here (perhaps another device's records are still to come)", e.id)
	case "photo":
		return "it names a photo that is not here (perhaps another device's records are still to come)"
	}
	return fmt.Sprintf("it names the %s %q, which is not here (perhaps another device's records are still to come)", e.what, e.id)
}

// tookBack remembers that parts counted in a session went with it, if it was
// taken back.
func (f *folding) tookBack(session, build string, parts []PartRef) {
	if !f.isTakenBack(session) {
		return
	}
	for _, p := range parts {
		f.lostParts[build+" "+p.Key()] = true
	}
}

// wasTakenBack reports whether what is to be opened again is missing because a
// count of it was taken back.
func (f *folding) wasTakenBack(s *Session, build string, parts []PartRef) bool {
	if s != nil && f.lostCounts[s.ID] {
		return true
	}
	return slices.ContainsFunc(parts, func(p PartRef) bool { return f.lostParts[build+" "+p.Key()] })
}

// noteTakenBack gathers what was taken back and others may hang on.
func (f *folding) noteTakenBack(records []Record, gone gone) {
	f.gone = gone
	standing := map[string]bool{}
	for _, r := range records {
		switch {
		case is[PhotoBody](r):
			if b, err := f.bodies.read(r); err == nil {
				if !gone.has(r) {
					standing[b.Hash] = true
				} else {
					f.goneHashes[b.Hash] = true
				}
			}
		case !gone.has(r):
		case is[BesideBody](r):
			if b, err := read[BesideBody](r); err == nil {
				f.goneHashes[b.Hash] = true
			}
		case is[PackBody](r):
			if b, err := read[PackBody](r); err == nil {
				f.gonePacks[b.Pack] = true
			}
		case is[DoneBody](r):
			if b, err := read[DoneBody](r); err == nil {
				f.lostCounts[b.Session] = true
				for _, p := range b.Parts {
					f.lostParts[b.Build+" "+p.Key()] = true
				}
			}
		case is[WorkBody](r):
			if b, err := read[WorkBody](r); err == nil {
				for _, p := range b.Parts {
					f.lostParts[b.Build+" "+p.Key()] = true
				}
			}
		}
	}
	for hash := range f.goneHashes {
		if standing[hash] {
			delete(f.goneHashes, hash)
		} else {
			f.gone[cardSession(hash)] = true
		}
	}
}

// isTakenBack reports whether the id names something that was taken back.
func (f *folding) isTakenBack(id string) bool {
	return f.gone[cmp.Or(f.alias[id], id)] || f.goneHashes[id] || f.gonePacks[id]
}
