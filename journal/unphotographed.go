// This file finds long stretches between a begin and an end card in which nothing
// was photographed: a card shown late counts hours nobody was at the bench.

package journal

import (
	"fmt"
	"slices"
	"time"
)

// unseen is the longest stretch of a session in which no photo was taken and no
// break ran, if it is longer than the limit. Signs are the instants of all photos,
// in order; breaks are in order, too, and apart.
func unseen(s *Session, signs []time.Time, limit time.Duration) Span {
	moments := []time.Time{s.Start, s.End}
	from, _ := slices.BinarySearchFunc(signs, s.Start, time.Time.Compare)
	for _, sign := range signs[from:] {
		if sign.After(s.End) {
			break
		}
		moments = append(moments, sign)
	}
	for _, b := range s.Breaks {
		moments = append(moments, b.Start, b.End)
	}
	slices.SortFunc(moments, time.Time.Compare)
	var longest Span
	for i := 1; i < len(moments); i++ {
		one := Span{moments[i-1], moments[i]}
		rested := slices.ContainsFunc(s.Breaks, func(b Span) bool {
			return !one.Start.Before(b.Start) &&
				!one.End.After(b.End)
		})
		if d := one.End.Sub(one.Start); !rested && d > limit && d > longest.End.Sub(longest.Start) {
			longest = one
		}
	}
	return longest
}

// findUnseen looks for such stretches in the sessions by card that count.
func (f *folding) findUnseen() {
	for _, s := range f.sessions {
		if s.Cards && !s.Open && s.Known == Measured && !s.Doubt.Any() && !f.accepted[s.ID] {
			s.Unseen = unseen(s, f.signs, f.state.Config.Unseen())
		}
	}
}

// SaysUnseen is the remark about a session with such a stretch, and what to type:
// "" when it has none.
func (s *State) SaysUnseen(one *Session) string {
	d := one.Unseen.End.Sub(one.Unseen.Start)
	if d == 0 {
		return ""
	}
	in := func(t time.Time, layout string) string { return t.In(s.ZoneAt(t)).Format(layout) }
	return fmt.Sprintf("%s of %s: no photo and no count from %s to %s (%s), and all of it counts as time at the bench; if you were away: %s; if not: %s",
		one.Stage, one.Build, in(one.Unseen.Start, minute), in(one.Unseen.End, "15:04"), Spell(d),
		Typed("rakelight correct %s --worked TIME", one.ID), Typed("rakelight correct %s --yes", one.ID))
}

// unseenFindings are these remarks, by session.
func (s *State) unseenFindings() []Finding {
	var found []Finding
	for _, one := range s.Sessions {
		if words := s.SaysUnseen(one); words != "" {
			found = append(found, Finding{OtherRemark, "builds/" + one.Build, 0, words, false})
		}
	}
	return found
}
