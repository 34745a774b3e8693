// This file answers what must be known before something is said at the bench:
// what runs and for how long, and which parts stand done.

package journal

import (
	"fmt"
	"time"

	"rakelight/journal/reason"
)

// Overdue reports whether a running session has run longer than a person
// stays at the bench, so that it was probably forgotten.
func (s *Session) Overdue(now time.Time, longest time.Duration) bool {
	return s.Open && now.Sub(s.Start) > longest
}

// DoneBefore is those of refs that stand done in the stage of the build and were
// not reopened since. Multiples are let through: the same number may be on a
// runner several times.
func (s *State) DoneBefore(build, stage string, refs []PartRef) []PartRef {
	var done []PartRef
	for _, ref := range refs {
		if ref.Count == 1 && s.Standing(build, stage, ref) > 0 {
			done = append(done, ref)
		}
	}
	return done
}

// Standing is how many of a part stand done in a stage of a build.
func (s *State) Standing(build, stage string, ref PartRef) int {
	n := 0
	for _, one := range s.SessionsOf(build) {
		if one.Stage != stage {
			continue
		}
		n += countOf(one.Parts, ref) - countOf(one.Again, ref)
	}
	return n
}

func countOf(parts []PartRef, ref PartRef) int {
	n := 0
	for _, p := range parts {
		if p.Is(ref) {
			n += p.Count
		}
	}
	return n
}

// Session returns the session with the id, or nil.
func (s *State) Session(id string) *Session {
	for _, one := range s.Sessions {
		if one.ID == id {
			return one
		}
	}
	return nil
}

// FellSilent is the session worked on last, if it went by cards and nothing but
// a silence ended it: a person can still say when it ended. Else nil.
func (s *State) FellSilent() *Session {
	if len(s.Sessions) == 0 {
		return nil
	}
	if last := s.Sessions[len(s.Sessions)-1]; last.Cards && last.Known == Estimated && last.How == reason.FellSilent {
		return last
	}
	return nil
}

// BegunBy is the photo of the bench card that began the session, nil when none
// did.
func (s *State) BegunBy(one *Session) *Photo {
	for _, p := range s.photos() {
		if one.Cards && cardSession(p.Hash) == one.ID {
			return p
		}
	}
	return nil
}

// minute is how a moment is shown and typed, in the journal's zone.
const minute = "2006-01-02 15:04"

// SpellShort writes a short time to the second: "20 s", "1 min 30 s"; from an hour on it
// is Spell.
func SpellShort(d time.Duration) string {
	d = d.Round(time.Second)
	m, s := int(d/time.Minute), int(d%time.Minute/time.Second)
	switch {
	case m == 0:
		return fmt.Sprintf("%d s", s)
	case s == 0 || m >= 60:
		return Spell(d)
	}
	return fmt.Sprintf("%d min %d s", m, s)
}

// Spell writes a duration as a person would: "1 h 20 min".
func Spell(d time.Duration) string {
	m := int(d.Round(time.Minute).Minutes())
	switch {
	case d < time.Minute:
		return "under 1 min"
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	}
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}
