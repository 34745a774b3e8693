// The take-apart sheet of a build: what must be known to take it apart for paint and to
// put it together again, with a box for each part's tray or bag.

package render

import (
	"slices"

	"rakelight/journal"
)

// TakeApart is builds/<id>/take-apart.html.
type TakeApart struct {
	Frame
	Head   PaperHead
	Groups []TakeGroup // the sub-assemblies by name, then what is in none
	Notes  Blank
}

// TakeGroup is a sub-assembly, or the parts that are in none.
type TakeGroup struct {
	Title, Text string
	Parts       []Link
	Lines       []TakeLine // in the order in which it is taken apart
	Blank       Blank
}

// TakeLine is one thing to see to, with a box to tick.
type TakeLine struct {
	Head  string // "Dry-fitted, not glued", "Pegs cut"
	Parts []Link // of the group, "" = all of it
	With  []Link // the mating parts
	Words string // how it goes back
	Lies  string // where it was put already, "" = to be written
}

func (v *view) takeApart(b *build) TakeApart {
	p := TakeApart{Notes: lines(40)}
	p.Frame, p.Head = v.paper(b, "Take-apart sheet")
	p.Head.AsOf = v.dayOf(b.lastWorked())
	r, _ := v.State.Return(b.ID)
	subs := v.SubsOf(b.ID)
	groups := make([]TakeGroup, len(subs)+1)
	for i, sub := range subs {
		groups[i] = TakeGroup{Title: sub.Sub, Text: sub.Text, Parts: v.partLinks(p.Root, b, sub.Parts)}
	}
	groups[len(subs)].Title = "In no sub-assembly"
	add := func(n journal.Noted, line TakeLine) {
		if n.Sub == "" {
			line.Parts = v.partLinks(p.Root, b, n.Parts)
		}
		to := &groups[groupOf(subs, n)]
		to.Lines = append(to.Lines, line)
	}
	for _, h := range slices.Concat(r.NotGlued, r.MasksOn, r.Curing) {
		add(h.Noted, TakeLine{Head: v.Say(holdTitles[h.Is]), Words: joinWords("; ", v.sinceWords(h), h.Text)})
	}
	for _, what := range append(slices.Clone(prepOrder), "") {
		for _, one := range r.Mind {
			if one.Is == what {
				add(one.Noted, TakeLine{Head: v.prepTitle(what), Words: v.prepWords(one),
					With: v.partLinks(p.Root, b, one.With)})
			}
		}
	}
	for _, one := range r.Stored {
		line := TakeLine{Head: "Loose", Lies: v.prepWords(one)}
		if one.Sub != "" {
			line.Head = "All of it, loose"
		}
		add(one.Noted, line)
	}
	for i, g := range groups {
		if i == len(subs) || len(g.Lines)+len(g.Parts) > 0 {
			g.Blank = lines(2)
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
