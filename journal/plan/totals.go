// This file reads how many joins, coats, items and decals a build has in all:
// what its runners cannot tell, and what its forecast needs.

package plan

import (
	"fmt"
	"maps"
	"slices"
	"strconv"

	"go.yaml.in/yaml/v3"

	"rakelight/journal/metrics"
)

// maxTotal bounds what a typing error can ask for.
const maxTotal = 9999

// readTotals reads {seam: 14, decal: {flat: 20, small: 12}}: stage ids, or kinds
// of which there is one stage, and how many there are in all, or of each class. Those
// told by class are in both maps, in the first as their sum.
func readTotals(n yaml.Node, say sayer) (totals map[string]int,
	byClass map[string]map[string]int) {
	switch {
	case n.Kind == 0 || n.Tag == "!!null":
		return nil, nil
	case n.Kind != yaml.MappingNode:
		say(n.Line+1, "totals are written {seam: 14, paint: 9, decal: 32}")
		return nil, nil
	}
	count := func(what string, n *yaml.Node) (total int, ok bool) {
		total, err := strconv.Atoi(n.Value)
		if err != nil || total < 0 || total > maxTotal {
			say(n.Line+1, "totals, %s: %q is not a count from 0 to %d", what, n.Value, maxTotal)
			return 0, false
		}
		return total, true
	}
	totals = map[string]int{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		stage, of := n.Content[i].Value, n.Content[i+1]
		if of.Kind != yaml.MappingNode {
			if total, ok := count(stage, of); ok {
				totals[stage] = total
			}
			continue
		}
		for k := 0; k+1 < len(of.Content); k += 2 {
			class := of.Content[k].Value
			if one, ok := count(stage+", "+class, of.Content[k+1]); ok {
				if byClass == nil {
					byClass = map[string]map[string]int{}
				}
				if byClass[stage] == nil {
					byClass[stage] = map[string]int{}
				}
				byClass[stage][class] = one
				totals[stage] += one
			}
		}
	}
	return totals, byClass
}

// Total is what totals say of the stage: by its id, or by its kind when it is
// the only stage of that kind.
func (b *Build) Total(totals map[string]int, st *Stage) (total int, stated bool) {
	if total, stated = totals[st.ID]; stated {
		return total, true
	}
	if total, stated = totals[st.Kind]; stated && b.onlyOf(st.Kind) == st {
		return total, true
	}
	return 0, false
}

// TotalByClass is Total by class of what is counted, nil where no class is told.
// The map is the caller's.
func (b *Build) TotalByClass(byClass map[string]map[string]int, st *Stage) map[string]int {
	if of := byClass[st.ID]; of != nil {
		return maps.Clone(of)
	}
	if b.onlyOf(st.Kind) == st {
		return maps.Clone(byClass[st.Kind])
	}
	return nil
}

// onlyOf is the only stage of the kind, nil when there is none or a second.
func (b *Build) onlyOf(kind string) *Stage {
	var only *Stage
	for i := range b.Stages {
		if b.Stages[i].Kind != kind {
			continue
		}
		if only != nil {
			return nil
		}
		only = &b.Stages[i]
	}
	return only
}

// WholeCounts reports whether the total of the whole build is the one to count
// by: some stage kinds have no count, and what a kit tells is not told twice.
func (b *Build) WholeCounts(st *Stage) bool {
	unit, countable := metrics.CountedKind(st.Kind)
	return countable && !slices.ContainsFunc(b.Kits, func(k Kit) bool {
		_, known := k.PartsByClass()
		_, own := b.Total(k.Totals, st)
		return own || unit == "part" && known
	})
}

// idleTotals says which totals count nothing, and why.
func (b *Build) idleTotals() []string {
	var idle []string
	look := func(totals map[string]int, ofKit *Kit) {
		for _, key := range slices.Sorted(maps.Keys(totals)) {
			st := b.Stage(key)
			if st == nil {
				st = b.onlyOf(key)
			}
			if st == nil {
				what := fmt.Sprintf("this build has no stage %q", key)
				if slices.ContainsFunc(b.Stages, func(one Stage) bool { return one.Kind == key }) {
					what = fmt.Sprintf("%q fits more than one stage of this build; name each by its id", key)
				}
				idle = append(idle, what)
				continue
			}
			unit, countable := metrics.CountedKind(st.Kind)
			known := false
			if ofKit != nil {
				_, known = ofKit.PartsByClass()
			}
			switch {
			case !countable:
				idle = append(idle, fmt.Sprintf("%s has hours and nothing to count", key))
			case unit == "part" && known, ofKit == nil && unit == "part" && !b.WholeCounts(st):
				idle = append(idle, fmt.Sprintf("%s is counted by the parts of the runners", key))
			case ofKit == nil && !b.WholeCounts(st):
				idle = append(idle, fmt.Sprintf("%s is told by a kit already", key))
			}
		}
	}
	look(b.Totals, nil)
	for i := range b.Kits {
		look(b.Kits[i].Totals, &b.Kits[i])
	}
	return idle
}

// PartsByClass counts the parts to use of the kit. known is false when a runner
// does not say how many it has.
func (k Kit) PartsByClass() (total map[string]int, known bool) {
	total = map[string]int{}
	for _, r := range k.Runners {
		if len(r.Parts) == 0 {
			return nil, false
		}
		for _, n := range r.Parts {
			if !slices.Contains(r.NotUsed, n) {
				total[r.ClassOf(n)]++
			}
		}
	}
	return total, len(k.Runners) > 0
}

// CountOf is how many a stage has to do in the whole build. known is false when
// something that counts into it is not told.
func (b *Build) CountOf(st *Stage) (n int, known bool) {
	unit, countable := metrics.CountedKind(st.Kind)
	if !countable {
		return 0, false
	}
	if whole, stated := b.Total(b.Totals, st); stated && b.WholeCounts(st) {
		return whole, true
	}
	for _, k := range b.Kits {
		byClass, ofParts := k.PartsByClass()
		total, stated := b.Total(k.Totals, st)
		switch {
		case unit == "part" && ofParts:
			for _, parts := range byClass {
				n += parts
			}
		case stated:
			n += total
		default:
			return 0, false
		}
	}
	return n, len(b.Kits) > 0
}
