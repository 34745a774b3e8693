// The take-apart list of a build: what must be known to take it apart for paint and to
// put it together again. It is made to be printed, with boxes to tick.

package render

import (
	"slices"

	"rakelight/journal"
)

// TakeApart is builds/<id>/take-apart.html.
type TakeApart struct {
	Frame
	Build  Tag
	Groups []TakeGroup // the sub-assemblies by name, then what is in none
	Back   Link        // the return page
}

// TakeGroup is a sub-assembly, or the parts that are in none.
type TakeGroup struct {
	Title, Text string
	Parts       []Link
	Lines       []TakeLine
}

// TakeLine is one thing to see to, with a box to tick.
type TakeLine struct {
	Head  string // "Dry-fitted, not glued", "Pegs cut"
	Parts []Link // of the group, "" = all of it
	With  []Link // the mating parts
	Words string
}

// takesApart reports whether a build has a take-apart list.
func (v *view) takesApart(b *build) bool {
	return v.mine() && b.Finished == "" && (len(v.HoldsOf(b.ID))+len(v.PrepsOf(b.ID))+len(v.SubsOf(b.ID)) > 0)
}

func (b *build) takeApartHref() string { return b.folder() + "take-apart.html" }

func (v *view) takeApart(b *build) TakeApart {
	root := "../../"
	p := TakeApart{Frame: v.frameIn(root, "book", joinWords(": ", b.Title, "take-apart list"), b), Build: b.tag(root)}
	if v.returns(b) {
		p.Back = Link{Words: "everything you need to go on", Href: root + b.returnHref()}
	}
	r, _ := v.State.Return(b.ID)
	subs := v.SubsOf(b.ID)
	groups := make([]TakeGroup, len(subs)+1)
	for i, sub := range subs {
		groups[i] = TakeGroup{Title: sub.Sub, Text: sub.Text, Parts: v.partLinks(root, b, sub.Parts)}
	}
	groups[len(subs)].Title = "In no sub-assembly"
	add := func(n journal.Noted, head, words string, with []journal.PartRef) {
		line := TakeLine{Head: head, Words: words, With: v.partLinks(root, b, with)}
		if n.Sub == "" {
			line.Parts = v.partLinks(root, b, n.Parts)
		}
		to := &groups[groupOf(subs, n)]
		to.Lines = append(to.Lines, line)
	}
	for _, h := range slices.Concat(r.NotGlued, r.MasksOn, r.Curing) {
		add(h.Noted, holdTitles[h.Is], joinWords("; ", v.sinceWords(h), h.Text), nil)
	}
	for _, what := range append(slices.Clone(prepOrder), "") {
		for _, one := range r.Mind {
			if one.Is == what {
				add(one.Noted, prepTitle(what), prepWords(one), one.With)
			}
		}
	}
	for _, one := range r.Stored {
		add(one.Noted, prepTitle(one.Is), prepWords(one), nil)
	}
	for _, g := range groups {
		if len(g.Lines)+len(g.Parts) > 0 {
			p.Groups = append(p.Groups, g)
		}
	}
	return p
}

// prepOrder is the order in which things are taken apart.
var prepOrder = []string{"pull", "pegs", "gates-together", "gates-apart", "shim", "pin", "swap"}

// groupOf is the place of the sub-assembly that an entry is about; behind all of them,
// if it is about none.
func groupOf(subs []journal.Sub, n journal.Noted) int {
	for i, sub := range subs {
		same := n.Sub != "" && journal.SubKey(sub.Sub) == journal.SubKey(n.Sub)
		if same || n.Sub == "" && len(n.Parts) > 0 && has(sub.Parts, n.Parts[0]) {
			return i
		}
	}
	return len(subs)
}
