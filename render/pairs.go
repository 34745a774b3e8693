// Which photos have a page beside each other, and whether they may be compared.
// How many there are grows with the builds, not with their square: any other two
// are shown by the page that takes them by its address (anytwo.go).

package render

import (
	"cmp"
	"slices"

	"rakelight/journal"
	"rakelight/journal/say"
)

// pair is two photos that have a page together, the earlier one first.
type pair struct {
	a, b   side
	kind   string // of the step both show, "" = different ones
	stage  string // only before and after
	within bool   // before and after of a stage inside one build
	byHand bool   // a person put them beside each other
	alike  bool   // a person called them alike
	href   string
	chosen bool // other prints than those of the sheet: alike in view and light
}

type side struct {
	b     *build
	photo *journal.Photo
}

// pairs lists all comparisons that have a page of their own: each step of a
// build beside the same step of the build before it and of the first one, before
// and after of each stage, and the photos a person laid over each other. Their
// addresses are reserved in this order, the first time.
func (v *view) pairs() []pair {
	if v.paired == nil {
		v.paired = slices.Concat(v.pairsOfSteps(), v.pairsWithin())
		v.paired = append(v.paired, v.pairsByHand(v.paired)...)
		v.pairsIn = map[*build][]pair{}
		for _, p := range v.paired {
			v.pairsIn[p.a.b] = append(v.pairsIn[p.a.b], p)
			if p.b.b != p.a.b {
				v.pairsIn[p.b.b] = append(v.pairsIn[p.b.b], p)
			}
		}
	}
	return v.paired
}

// shownIn are the builds with a print of a kind of step, in their order.
func (v *view) shownIn(kind string) []*build {
	var out []*build
	for _, b := range v.order {
		if len(b.byKind[kind]) > 0 {
			out = append(out, b)
		}
	}
	return out
}

func (v *view) pairsOfSteps() []pair {
	var out []pair
	for _, kind := range journal.Kinds {
		shown := v.shownIn(kind)
		for i := 1; i < len(shown); i++ {
			earlier := []*build{shown[0]}
			if i > 1 {
				earlier = append(earlier, shown[i-1])
			}
			for _, a := range earlier {
				p := v.pairOf(kind, a, shown[i])
				p.href = v.address(stepPair(kind, a, shown[i]))
				out = append(out, p)
			}
		}
	}
	return out
}

// stepPair is the address of a step of two builds, without ending.
func stepPair(kind string, a, b *build) string { return "compare/" + fileName(kind+"-"+a.ID+"-"+b.ID) }

// pairOf chooses the photos by which a step of two builds is compared: two that were
// called alike, or else the sheet's prints or, where those do not compare, the best two
// that do.
func (v *view) pairOf(kind string, a, b *build) pair {
	p := pair{kind: kind}
	x, y := v.standing(a, kind), v.standing(b, kind)
	if one, other := v.calledOf(kind, a, b); one != nil {
		x, y, p.alike = one, other, true
	} else if !fair(x, y) {
		if like := alikeTagged(a.byKind[kind], b.byKind[kind]); like[0] != nil {
			x, y, p.chosen = like[0], like[1], true
		}
	}
	p.a, p.b = side{a, x}, side{b, y}
	return p
}

func (v *view) pairsWithin() []pair {
	var out []pair
	for _, b := range v.order {
		byStage := map[string][]*journal.Photo{}
		for _, p := range b.prints {
			byStage[p.Tags.Stage] = append(byStage[p.Tags.Stage], p)
		}
		for _, st := range b.Stages {
			if before, after := beforeAfter(byStage[st.ID]); before != nil {
				out = append(out, pair{
					a: side{b, before}, b: side{b, after}, kind: st.Kind, stage: st.ID, within: true,
					href: v.address("compare/" + fileName(b.ID+"-"+st.ID) + "-before-after"),
				})
			}
		}
	}
	return out
}

// pairsByHand are the photos that a person put beside each other: by pointing at the
// same spots in both, or by calling them alike. Those that have a page already are left
// out.
func (v *view) pairsByHand(have []pair) []pair {
	paired := map[[2]string]bool{}
	for _, p := range have {
		paired[hashesOf(p.a.photo, p.b.photo)] = true
	}
	var out []pair
	add := func(x, y string) *pair {
		a, b := v.byHash[x], v.byHash[y]
		if a == nil || b == nil || !v.print(a) || !v.print(b) || paired[hashesOf(a, b)] {
			return nil
		}
		if cmp.Or(a.Instant.At.Compare(b.Instant.At), cmp.Compare(a.Hash, b.Hash)) > 0 {
			a, b = b, a
		}
		p := pair{a: side{v.builds[a.Tags.Build], a}, b: side{v.builds[b.Tags.Build], b}, byHand: true}
		if p.a.b == nil || p.b.b == nil {
			return nil
		}
		if a.Kind == b.Kind {
			p.kind = a.Kind
		}
		p.href = v.address("compare/" + v.stem[a.Hash] + "-" + v.stem[b.Hash])
		paired[hashesOf(a, b)] = true
		out = append(out, p)
		return &out[len(out)-1]
	}
	for _, one := range v.Points {
		add(one.A, one.B)
	}
	for _, one := range v.Alikes {
		if one.Not {
			continue
		}
		if p := add(one.A, one.B); p != nil {
			p.alike = true
		}
	}
	return out
}

// hashesOf are the hashes of two photos in an order that does not depend on
// which comes first.
func hashesOf(a, b *journal.Photo) [2]string {
	return [2]string{min(a.Hash, b.Hash), max(a.Hash, b.Hash)}
}

// alikeTagged finds the best two photos of two lists in time order that have the
// same view and the same light: finished work before progress, late before
// early.
func alikeTagged(as, bs []*journal.Photo) (found [2]*journal.Photo) {
	score := -1
	for _, a := range as {
		for _, b := range bs {
			said := a.Tags.View != "" && a.Tags.Light != ""
			like := said && a.Tags.View == b.Tags.View && a.Tags.Light == b.Tags.Light
			if like && rank(a)+rank(b) >= score {
				found, score = [2]*journal.Photo{a, b}, rank(a)+rank(b)
			}
		}
	}
	return found
}

// beforeAfter picks the two photos of a stage that show most: alike in view
// and light if there are such, else the first before and the last after.
func beforeAfter(photos []*journal.Photo) (before, after *journal.Photo) {
	befores := keepPhotos(photos, func(p *journal.Photo) bool { return p.Tags.Role == "before" })
	afters := keepPhotos(photos, func(p *journal.Photo) bool { return isResult(p) })
	if len(befores) == 0 || len(afters) == 0 {
		return nil, nil
	}
	if like := alikeTagged(befores, afters); like[0] != nil {
		return like[0], like[1]
	}
	return befores[0], afters[len(afters)-1]
}

// refused reports whether two photos must not be held against each other.
func refused(a, b *journal.Photo) bool {
	return a.Tags.View != "" && b.Tags.View != "" && a.Tags.View != b.Tags.View ||
		a.Tags.Light != "" && b.Tags.Light != "" && a.Tags.Light != b.Tags.Light
}

// refusal says why, "" when nothing speaks against it. anytwo.js says the same.
func (in voice) refusal(a, b *journal.Photo) string {
	var words []string
	if a.Tags.View != "" && b.Tags.View != "" && a.Tags.View != b.Tags.View {
		words = append(words, in.Say("different view (%s, %s)", in.viewName(a.Tags.View), in.viewName(b.Tags.View)))
	}
	if a.Tags.Light != "" && b.Tags.Light != "" && a.Tags.Light != b.Tags.Light {
		words = append(words, in.Say("different light (%s, %s)", in.lightName(a.Tags.Light),
			in.lightName(b.Tags.Light)))
	}
	if len(words) == 0 {
		return ""
	}
	return in.Say("Not comparable: %s.", in.List(words))
}

// fair reports whether two photos may stand beside each other without a caution.
func fair(a, b *journal.Photo) bool { return !refused(a, b) && unsaid(a, b) == "" }

// unsaid says which tags are missing to know whether two photos compare.
// anytwo.js says the same.
func unsaid(a, b *journal.Photo) say.Key {
	view := a.Tags.View == "" || b.Tags.View == ""
	light := a.Tags.Light == "" || b.Tags.Light == ""
	switch {
	case view && light:
		return "View and light are not tagged on both photos: compare with care."
	case view:
		return "The view is not tagged on both photos: compare with care."
	case light:
		return "The light is not tagged on both photos: compare with care."
	}
	return ""
}
