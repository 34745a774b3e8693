// This file says which caution fits a stage of a build.

package journal

import (
	"slices"

	"rakelight/journal/caution"
)

// Caution is what is said as the session begins: the care for its kind of work, and
// for its class of parts or, where none was said, for all classes of its kit.
func (s *State) Caution(one *Session) string {
	if one.Class != "" {
		return caution.For(one.Kind, one.Class)
	}
	return caution.For(one.Kind, classesOf(s.Build(one.Build), one.Kit)...)
}

// CautionOf is the care for a kind of work on a build, with what the classes of its
// parts add.
func (s *State) CautionOf(b *Build, kind string) string { return caution.For(kind, classesOf(b, 0)...) }

// classesOf are the classes of the parts of a kit, 0 = of all kits, that are for use.
func classesOf(b *Build, kit int) []string {
	if b == nil {
		return nil
	}
	var all []string
	for i, k := range b.Kits {
		if kit > 0 && kit != i+1 {
			continue
		}
		for _, r := range k.Runners {
			all = append(all, r.Class)
			for _, class := range r.Classes {
				all = append(all, class)
			}
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// CautionAtCard is what is said as a card begins a stage, and what that stage is
// called; key is how the card names it. b is the build of the card, nil = any, whose
// stages are kinds.
func CautionAtCard(b *Build, key string) (stage, text string) {
	if b != nil {
		for _, st := range b.Stages {
			if StageKey(st.ID) == key {
				return st.Title, caution.For(st.Kind, classesOf(b, 0)...)
			}
		}
	}
	for _, kind := range Kinds {
		if StageKey(kind) == key {
			return Title(kind), caution.For(kind)
		}
	}
	return "", ""
}
