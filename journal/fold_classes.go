// This file finds out what sort of parts a session was of. The class of a part
// comes from its runner; what a person said of a session stands above it.

package journal

import (
	"cmp"
	"slices"

	"rakelight/journal/metrics"
)

// ClassCount is how many parts of a class a session did.
type ClassCount struct {
	Class string // "" = a class that nothing tells
	Parts int
}

// sortOf tells of a session the classes of its parts, and gives it the class and
// the kit that all of them have. A count by number among them may be of anything.
func (f *folding) sortOf(s *Session) {
	b := f.state.Build(s.Build)
	if b == nil || len(s.Parts) == 0 {
		return
	}
	s.Classes = s.classesIn(b)
	if s.Bare != 0 {
		return
	}
	kit, class := s.Parts[0].Kit, b.ClassOf(s.Parts[0])
	for _, p := range s.Parts {
		if p.Kit != kit {
			kit = 0
		}
		if b.ClassOf(p) != class {
			class = ""
		}
	}
	s.Kit = cmp.Or(s.Kit, kit)
	if s.Class == "" && !f.classSaid[s.ID] {
		s.Class = class
	}
}

// classesIn counts the parts that stand done in the session by their classes, by
// name.
func (s *Session) classesIn(b *Build) []ClassCount {
	count := map[string]int{}
	for _, p := range s.Parts {
		count[b.ClassOf(p)] += p.Count
	}
	for _, p := range s.Again {
		count[b.ClassOf(p)] -= p.Count
	}
	var out []ClassCount
	for class, n := range count {
		if n > 0 {
			out = append(out, ClassCount{class, n})
		}
	}
	slices.SortFunc(out, func(a, b ClassCount) int { return cmp.Compare(a.Class, b.Class) })
	return out
}

// mixOf is what the numbers take of the classes of a session that has not one for
// all its parts: how many of each, or that they are not told although the plan tells
// classes of parts. Kinds of work that are not counted in parts need none.
func (s *State) mixOf(one *Session) (mix []metrics.ClassParts, unclassed bool) {
	unit, _ := metrics.CountedKind(one.Kind)
	if one.Class != "" || one.Done() == 0 {
		return nil, false
	}
	untold := one.Bare != 0
	for _, c := range one.Classes {
		untold = untold || c.Class == ""
		mix = append(mix, metrics.ClassParts{Class: c.Class, Parts: float64(c.Parts)})
	}
	if untold || len(mix) < 2 {
		b := s.Build(one.Build)
		return nil, unit == "part" && b != nil && b.TellsClasses(one.Kit)
	}
	return mix, false
}
