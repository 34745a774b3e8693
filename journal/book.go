// This file asks the bench book: what is lacking, what is grouped with what, what has
// to be remembered until it ends, what was done to a part.

package journal

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
	"time"

	"rakelight/journal/metrics"
)

// SubKey is the name of a sub-assembly as names are compared.
func SubKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// Found is what the runner check found of a part last.
type Found struct {
	Part    PartRef
	State   string // one of CheckStates
	Checked *Checked
}

// Lacks reports whether a part in that state is lacking: it cannot be used, and
// nothing that could has come.
func (f Found) Lacks() bool {
	return f.State == "missing" || f.State == "damaged" || f.State == "asked"
}

// FoundOf is what the runner check found last of each part of a build, by kit,
// runner and number.
func (s *State) FoundOf(build string) []Found {
	latest := map[string]Found{}
	for i := range s.Checks {
		c := &s.Checks[i]
		if c.Build != build || !c.Counts() {
			continue
		}
		for _, p := range c.Parts {
			p.Count = 1
			latest[p.Key()] = Found{p, c.State, c}
		}
	}
	var all []Found
	for _, key := range sortedKeys(latest) {
		all = append(all, latest[key])
	}
	slices.SortStableFunc(all, func(a, b Found) int { return orderOfParts(a.Part, b.Part) })
	return all
}

// Lacking is what is lacking of a build: parts that the runner check found
// missing or damaged, also where a replacement was asked for, and those that build.md
// says are missing, as long as none was said to have come.
func (s *State) Lacking(build string) []Found {
	found := s.FoundOf(build)
	lacks := keep(found, Found.Lacks)
	b := s.Build(build)
	if b == nil {
		return lacks
	}
	for i, k := range b.Kits {
		for _, r := range k.Runners {
			for _, n := range r.Missing {
				p := PartRef{Runner: r.Letter, Number: n, Count: 1}
				if len(b.Kits) > 1 {
					p.Kit = i + 1
				}
				told := slices.ContainsFunc(found, func(f Found) bool { return f.Part.Is(p) })
				if !told && !slices.Contains(r.NotUsed, n) {
					lacks = append(lacks, Found{Part: p, State: "missing"})
				}
			}
		}
	}
	slices.SortStableFunc(lacks, func(a, b Found) int { return orderOfParts(a.Part, b.Part) })
	return lacks
}

// LackingIn is what is lacking of a stage of a build: of one in which parts are counted
// one by one, those not done yet. kit is 0 for all.
func (s *State) LackingIn(b *Build, st *Stage, kit int) []Found {
	if unit, _ := metrics.CountedKind(st.Kind); unit != "part" {
		return nil
	}
	return keep(s.Lacking(b.ID), func(f Found) bool {
		return (kit == 0 || f.Part.Kit == 0 || f.Part.Kit == kit) && s.Standing(b.ID, st.ID, f.Part) == 0
	})
}

// SubsOf are the sub-assemblies that a build has now, each as it was said last, by
// name.
func (s *State) SubsOf(build string) []Sub {
	latest := map[string]Sub{}
	for _, one := range s.Subs {
		if one.Build == build && one.Counts() {
			latest[SubKey(one.Sub)] = one
		}
	}
	var all []Sub
	for _, key := range sortedKeys(latest) {
		if one := latest[key]; !one.Over {
			all = append(all, one)
		}
	}
	return all
}

// FindSub is the sub-assembly of that name which a build has now.
func (s *State) FindSub(build, name string) (Sub, bool) {
	for _, one := range s.SubsOf(build) {
		if SubKey(one.Sub) == SubKey(name) {
			return one, true
		}
	}
	return Sub{}, false
}

// partsOfSub are the parts a sub-assembly was made of at a moment; before it was
// named, those it was named with first.
func (s *State) partsOfSub(build, name string, at time.Time) (parts []PartRef) {
	first := true
	for _, one := range s.Subs {
		if one.Build != build || SubKey(one.Sub) != SubKey(name) || !one.Counts() {
			continue
		}
		if first || !one.At.After(at) {
			parts, first = one.Parts, false
		}
	}
	return parts
}

// About reports whether an entry of the bench book is about a part: by its reference,
// or because it is of a sub-assembly that holds it.
func (s *State) About(n Noted, build string, part PartRef) bool {
	if n.Build != build {
		return false
	}
	return countOf(n.Parts, part) > 0 || n.Sub != "" && countOf(s.partsOfSub(build, n.Sub, n.At), part) > 0
}

// HoldsOf are what has to be remembered of a build now, by instant. One that cures is
// among them until somebody ends it; ReadyAt tells when it will have cured.
func (s *State) HoldsOf(build string) []Hold {
	return keep(s.Holds, func(h Hold) bool { return h.Build == build && h.Holds() })
}

// Holds reports whether it has to be remembered still.
func (h Hold) Holds() bool { return h.Counts() && h.Until.IsZero() }

// Names reports whether a hold is of exactly these parts, or of this sub-assembly.
func (h Hold) Names(parts []PartRef, sub string) bool {
	if sub != "" || h.Sub != "" {
		return SubKey(h.Sub) == SubKey(sub)
	}
	return len(parts) == len(h.Parts) && !slices.ContainsFunc(parts, func(p PartRef) bool {
		return countOf(h.Parts, p) == 0
	})
}

// ReadyAt is when what cures will have cured: by the time that was said, else by the
// person's own times in journal.toml. Zero = nobody said how long it takes.
func (s *State) ReadyAt(h Hold) time.Time {
	if h.Is != "curing" {
		return time.Time{}
	}
	if h.Hours > 0 {
		return h.At.Add(time.Duration(h.Hours * float64(time.Hour)))
	}
	if d, ok := s.Config.CuringTime(h.Of); ok {
		return h.At.Add(d)
	}
	return time.Time{}
}

// PrepsOf is what was done to parts of a build, by instant.
func (s *State) PrepsOf(build string) []Prep {
	return keep(s.Preps, func(p Prep) bool { return p.Build == build && p.Counts() })
}

// StoredOf is where the loose parts of a build are: of each part or sub-assembly the
// last place that was said, unless it was assembled since.
func (s *State) StoredOf(build string) []Prep {
	var out []Prep
	preps := s.PrepsOf(build)
	for i, p := range preps {
		if p.Is != "store" {
			continue
		}
		left := keep(p.Parts, func(ref PartRef) bool {
			moved := slices.ContainsFunc(preps[i+1:], func(o Prep) bool {
				return o.Is == "store" && countOf(o.Parts, ref) > 0
			})
			return !moved && !s.joined(build, ref, p.At)
		})
		moved := p.Sub != "" && slices.ContainsFunc(preps[i+1:], func(o Prep) bool {
			return o.Is == "store" && SubKey(o.Sub) == SubKey(p.Sub)
		})
		_, there := s.FindSub(build, p.Sub)
		if p.Sub != "" && !moved && there || len(left) > 0 {
			p.Parts = left
			out = append(out, p)
		}
	}
	return out
}

// joined reports whether a part was counted as assembled after a moment.
func (s *State) joined(build string, ref PartRef, since time.Time) bool {
	for _, one := range s.SessionsOf(build) {
		if one.Kind == "assemble" && one.Start.Add(one.Net).After(since) &&
			countOf(one.Parts, ref) > countOf(one.Again, ref) {
			return true
		}
	}
	return false
}

// DryFitQuestion is what nobody said of a part that was fitted dry: it cannot be seen
// any more once it is glued.
type DryFitQuestion struct {
	Part  PartRef
	Gates bool // whether its gates were cut together with those of the mating part
	Pegs  bool // which pegs were cut, and whether any show
}

// GatesAndPegs are the parts of which gates, and pegs, are to be told.
func GatesAndPegs(all []DryFitQuestion) (gates, pegs []PartRef) {
	for _, q := range all {
		if q.Gates {
			gates = append(gates, q.Part)
		}
		if q.Pegs {
			pegs = append(pegs, q.Part)
		}
	}
	return gates, pegs
}

// DryFitQuestions are the questions of a build: of each part that stands done in a
// stage of dry fit and not in one of assembly.
func (s *State) DryFitQuestions(build string) []DryFitQuestion {
	var fitted []PartRef
	for _, one := range s.SessionsOf(build) {
		if one.Kind != "dry-fit" {
			continue
		}
		for _, p := range one.Parts {
			p.Count = 1
			if countOf(one.Parts, p) > countOf(one.Again, p) && !slices.ContainsFunc(fitted, p.Is) {
				fitted = append(fitted, p)
			}
		}
	}
	fitted = slices.DeleteFunc(fitted, func(p PartRef) bool { return s.joined(build, p, time.Time{}) })
	return s.asked(build, fitted)
}

// asked are the questions of parts that were fitted dry.
func (s *State) asked(build string, fitted []PartRef) []DryFitQuestion {
	if len(fitted) == 0 {
		return nil
	}
	preps := s.PrepsOf(build)
	said := func(p PartRef, what ...string) bool {
		return slices.ContainsFunc(preps, func(one Prep) bool {
			return slices.Contains(what, one.Is) && (s.About(one.Noted, build, p) || countOf(one.With, p) > 0)
		})
	}
	var all []DryFitQuestion
	for _, p := range fitted {
		q := DryFitQuestion{p, !said(p, "gates-together", "gates-apart"), !said(p, "pegs")}
		if q.Gates || q.Pegs {
			all = append(all, q)
		}
	}
	slices.SortStableFunc(all, func(a, b DryFitQuestion) int { return orderOfParts(a.Part, b.Part) })
	return all
}

// DryFitAsks are the questions that counting parts in a stage of dry fit raises.
func (s *State) DryFitAsks(one *Session, parts []PartRef) []DryFitQuestion {
	if one.Kind != "dry-fit" {
		return nil
	}
	return s.asked(one.Build, parts)
}

// orderOfParts orders parts by kit, runner and number.
func orderOfParts(a, b PartRef) int {
	x, _ := strconv.Atoi(a.Number)
	y, _ := strconv.Atoi(b.Number)
	return cmp.Or(a.Kit-b.Kit, len(a.Runner)-len(b.Runner), cmp.Compare(a.Runner, b.Runner), x-y,
		cmp.Compare(a.Number, b.Number))
}
