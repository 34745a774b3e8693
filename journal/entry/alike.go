// Whether two photos that look alike belong beside each other.

package entry

import "rakelight/journal"

// Alike says of two photos that they show a step from the same view and under the same
// light, or that they do not.
type Alike struct {
	A, B string
	Not  bool
	Tag  bool // what the one lacks of view and light it takes over from the other
}

// Plan refuses what says nothing new, and photos whose tags say otherwise.
func (r Alike) Plan(l journal.Look) (Plan, error) {
	a, err := Still(l.State, r.A)
	if err != nil {
		return Plan{}, err
	}
	b, err := Still(l.State, r.B)
	if err != nil {
		return Plan{}, err
	}
	if a == b {
		return Plan{}, &Refusal{Reason: SamePhoto}
	}
	if said := l.AlikeOf(a, b); said.Record != "" && said.Not == r.Not {
		reason := AlikeAlready
		if r.Not {
			reason = UnlikeAlready
		}
		return Plan{}, &Refusal{Reason: reason, Record: said.Record, Known: []string{a.Short(), b.Short()}}
	}
	plan, _ := just(journal.AlikeBody{A: a.Hash, B: b.Hash, Not: r.Not})
	if r.Not {
		return plan, nil
	}
	for _, p := range []*journal.Photo{a, b} {
		if p.OfCards() {
			return Plan{}, &Refusal{Reason: OfCards, Photo: p}
		}
	}
	if field := unlike(a, b); field != "" {
		return Plan{}, &Refusal{Reason: TaggedUnlike, Field: field, Known: []string{a.Short(), b.Short()}}
	}
	if r.Tag {
		for _, one := range [][2]*journal.Photo{{a, b}, {b, a}} {
			if set := lacks(one[0], one[1]); set.View+set.Light != "" {
				plan.Add = append(plan.Add, journal.TagBody{Photo: one[0].Hash, Set: set, Alike: one[1].Hash})
			}
		}
	}
	return plan, nil
}

// unlike is the tag by which two photos were said to differ, "" = none.
func unlike(a, b *journal.Photo) string {
	differ := func(x, y string) bool { return x != "" && y != "" && x != y }
	switch {
	case differ(a.Tags.View, b.Tags.View):
		return "view"
	case differ(a.Tags.Light, b.Tags.Light):
		return "light"
	}
	return ""
}

// lacks is what a photo takes over of another.
func lacks(p, of *journal.Photo) journal.Tags {
	var set journal.Tags
	if p.Tags.View == "" {
		set.View = of.Tags.View
	}
	if p.Tags.Light == "" {
		set.Light = of.Tags.Light
	}
	return set
}
