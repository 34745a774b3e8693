// This file answers what builds need and have, as their task lists say, and writes
// there what became of it.

package journal

import (
	"slices"

	"rakelight/journal/plan"
)

// What is so of a supply, and what may become of it; see plan.
type SupplyChange = plan.SupplyChange

// States of a supply; see plan.
const (
	SupplyMissing = plan.SupplyMissing
	SupplyOrdered = plan.SupplyOrdered
	SupplyCome    = plan.SupplyCome
	SupplyHad     = plan.SupplyHad
)

// SupplyStates are all of them, in the order in which a supply gets them.
var SupplyStates = plan.SupplyStates

// ErrNoSupply says that a supply is on no list by now.
var ErrNoSupply = plan.ErrNoSupply

// SuppliesOf are the supplies of a build, in the order of its build.md.
func (s *State) SuppliesOf(b *Build) []Supply {
	return plan.SuppliesOf(b.Body, s.Config.SupplyHeadings())
}

// StepsOf are the items of the task lists of a build that are no supplies, in the order
// of its build.md.
func (s *State) StepsOf(b *Build) []CheckItem { return plan.StepsOf(b.Body, s.Config.SupplyHeadings()) }

// BuildSupplies is what one build needs.
type BuildSupplies struct {
	Build *Build
	All   []Supply // in the order of its build.md
}

// Open are those that are not there yet: missing, or on their way.
func (b BuildSupplies) Open() []Supply { return keep(b.All, Supply.Open) }

// Supplies are the lists of all builds that have one: the open builds first, each in
// the order of the builds.
func (s *State) Supplies() []BuildSupplies {
	var out []BuildSupplies
	for _, b := range s.Builds {
		if all := s.SuppliesOf(b); len(all) > 0 {
			out = append(out, BuildSupplies{b, all})
		}
	}
	slices.SortStableFunc(out, func(a, b BuildSupplies) int {
		return boolFirst(a.Build.Finished == "", b.Build.Finished == "")
	})
	return out
}

// boolFirst puts what is so before what is not.
func boolFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// ChangeSupply writes into build.md what became of a supply, as plan.ChangeSupply
// does, and reads it again.
func (j *Journal) ChangeSupply(build string, was Supply, change SupplyChange) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	if err := plan.ChangeSupply(j.Dir, build, was, change, j.State.Config.SupplyHeadings()); err != nil {
		return err
	}
	return j.replan()
}

// AddSupply writes a new supply into build.md, as plan.NewSupply does, and reads it
// again.
func (j *Journal) AddSupply(build, words string) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	if err := plan.NewSupply(j.Dir, build, words, j.State.Config.SupplyHeadings()); err != nil {
		return err
	}
	return j.replan()
}
