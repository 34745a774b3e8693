// This file folds what a person says at once: a note, when a photo was taken,
// that a build is finished.

package journal

import (
	"errors"
	"fmt"
	"time"

	"rakelight/journal/reason"
)

// Note is a note made at the bench.
type Note struct {
	At      time.Time
	Build   string
	Session string // the session it was made in, "" = none
	Stage   string
	Parts   []PartRef
	Text    string // plain text
	Record  string
}

func (f *folding) note(r Record) error {
	b, err := read[NoteBody](r)
	if err != nil {
		return err
	}
	if b.Text == "" {
		return errors.New("it says nothing")
	}
	n := Note{At: b.At, Build: b.Build, Stage: b.Stage, Parts: b.Parts, Text: b.Text, Record: r.ID()}
	if n.At.IsZero() {
		n.At = r.At
	}
	if b.Session != "" {
		s, err := f.session(b.Session)
		if err != nil {
			return err
		}
		n.Session = s.ID
	}
	if err := countable(n.Parts, 0); err != nil {
		return err
	}
	f.state.Notes = append(f.state.Notes, n)
	return nil
}

// NotesOf returns the notes of a part of a build, by instant.
func (s *State) NotesOf(build string, part PartRef) []Note {
	return keep(s.Notes, func(n Note) bool { return n.Build == build && countOf(n.Parts, part) > 0 })
}

// NotesIn returns the notes made in a session, by instant.
func (s *State) NotesIn(session string) []Note {
	return keep(s.Notes, func(n Note) bool { return n.Session == session })
}

// finishBuild closes a build, or opens it again. What build.md says comes
// above it.
func (f *folding) finishBuild(r Record) error {
	b, err := read[FinishBody](r)
	if err != nil {
		return err
	}
	if _, err := time.Parse(time.DateOnly, b.Date); b.Date != "" && err != nil {
		return fmt.Errorf("%q is not a day", b.Date)
	}
	for i, one := range f.state.Builds {
		if one.ID != b.Build || one.Finished != "" && one.Closed == "" {
			continue
		}
		// The plan's own build is not the state's to change.
		closed := *one
		closed.Finished, closed.Closed = b.Date, r.ID()
		if b.Date == "" {
			closed.Closed, closed.Resumed = "", b.At
		}
		f.state.Builds[i] = &closed
	}
	return nil
}

// SaidSo is the source of an instant that a person gave.
const SaidSo = "you"

// setDates gives photos the dates that a person said. They owe nothing to any
// clock, so this comes after the clocks.
func (f *folding) setDates() {
	for _, hash := range sortedKeys(f.datedBy) {
		p, b := f.photos[hash], f.datedBy[hash]
		if p == nil {
			continue // perhaps it lies beside another by now, which has a date of its own
		}
		in := Instant{Source: SaidSo}
		switch {
		case !b.At.IsZero():
			in.At = b.At
		case b.First == b.Last:
			in.At, in.Doubts = f.noon(b.First), reason.Doubts{{Is: reason.DayOnly}}
		default:
			first, last := f.noon(b.First), f.noon(b.Last)
			in.At, in.Said = first.Add(last.Sub(first)/2), b.Said
			in.Doubts = reason.Doubts{{Is: reason.SomeDay, First: b.First, Last: b.Last}}
			if in.Said == "" {
				in.Said = b.First + " to " + b.Last
			}
		}
		p.Instant, p.DatedBy = in, b.record
	}
}

// noon is the middle of a day in the journal's zone: the hour least likely to
// fall on another day elsewhere.
func (f *folding) noon(day string) time.Time {
	t, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return time.Time{} // dated looked at it
	}
	at, _ := InZone(t.Add(12*time.Hour), f.state.Zone)
	return at
}
