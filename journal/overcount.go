// This file finds stages in which more is done than there is. Nothing is taken
// off: whoever counted knows which of the counts is wrong.

package journal

import (
	"fmt"

	"rakelight/journal/metrics"
)

// Over is a stage in which more is counted as done than its build has.
type Over struct {
	Build, Stage string
	Unit         string // "part", "join", …
	Done, There  int    // There > 0
	Session      string // in which to mend it by number: the last with enough of a bare count, else the one with most; "" = all parts are named
}

// String is the remark: "clean on pilot-boat: 55 parts counted, and there are only 37".
func (o Over) String() string {
	return fmt.Sprintf("%s on %s: %s counted, and there are only %d", o.Stage, o.Build,
		metrics.Count(o.Done, o.Unit), o.There)
}

// place is a stage of a build.
type place struct{ build, stage string }

// Over lists the stages in which more is done than there is, by build and in
// the order of work. A stage of which nothing tells how many there are, in any
// kit, is never among them, nor is what was opened again counted.
func (s *State) Over() []Over {
	done, bare := map[place]int{}, map[place][]*Session{}
	for _, one := range s.Sessions {
		at := place{one.Build, one.Stage}
		if one.Doubt.Any() {
			continue
		}
		done[at] += one.Done()
		if one.Bare > 0 {
			bare[at] = append(bare[at], one)
		}
	}
	var all []Over
	for _, b := range s.Builds {
		for i := range b.Stages {
			st, at := &b.Stages[i], place{b.ID, b.Stages[i].ID}
			if there, known := b.CountOf(st); known && there > 0 && done[at] > there {
				unit, _ := metrics.CountedKind(st.Kind)
				all = append(all, Over{Build: b.ID, Stage: st.ID, Unit: unit, Done: done[at], There: there,
					Session: mendIn(bare[at], done[at]-there)})
			}
		}
	}
	return all
}

// mendIn is the last of the sessions whose bare count is as large as what is too
// much, else the one with the largest.
func mendIn(sessions []*Session, tooMuch int) string {
	id, most := "", 0
	for _, one := range sessions {
		if n := min(one.Bare, tooMuch); n >= most {
			id, most = one.ID, n
		}
	}
	return id
}

// Mend is how to take off what was counted too much.
func (o Over) Mend() string {
	if o.Session == "" {
		return "to take off what was not done: " + Typed("rakelight reopen %s PARTS", o.Build)
	}
	return "to set the count: " + Typed("rakelight correct %s --count N", o.Session)
}

// sayOver says at the last card that counted in a stage that more is done there
// than there is.
func (s *State) sayOver() {
	over := s.Over()
	if len(over) == 0 {
		return
	}
	byID := make(map[string]*Session, len(s.Sessions))
	for _, one := range s.Sessions {
		byID[one.ID] = one
	}
	last := map[place]int{}
	for i, c := range s.Cards {
		if one := byID[c.Session]; one != nil && c.counts() {
			last[place{one.Build, one.Stage}] = i
		}
	}
	for _, o := range over {
		if i, ok := last[place{o.Build, o.Stage}]; ok {
			s.Cards[i].Over = &o
		}
	}
}

// counts reports whether the card counted something.
func (c CardSaid) counts() bool {
	return c.Did.What == Counted || c.Did.What == CountedAfter || c.Did.What == RunnerDone
}
