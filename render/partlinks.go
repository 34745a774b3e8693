// Where each part of a build has its place, and the links that lead there.

package render

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"rakelight/journal"
)

// manyParts is how many parts a page of a kit has places for: the runners of a larger
// kit are shared out to several pages.
const manyParts = 250

// kitLeaf is a page of the runners of a kit, or of some of them.
type kitLeaf struct {
	href    string // from the top
	kit     int    // 1-based; 0 in a build with one kit
	number  int    // among the pages of this kit, from 0
	runners []journal.RunnerLedger
}

// leaves are the pages of the runners of a build, worked out once.
func (v *view) leaves(b *build) []*kitLeaf {
	b.leafOnce.Do(func() {
		b.places = map[string]string{}
		var leaf *kitLeaf
		n := 0
		all := v.Ledger(b.Build)
		// Those that only sessions name come last of all, not of their kit.
		slices.SortStableFunc(all, func(a, b journal.RunnerLedger) int { return a.Kit - b.Kit })
		for _, r := range all {
			if len(r.Parts) == 0 {
				continue
			}
			switch {
			case leaf == nil || leaf.kit != r.Kit:
				leaf, n = &kitLeaf{kit: r.Kit}, 0
				b.leaves = append(b.leaves, leaf)
			case n+len(r.Parts) > manyParts:
				leaf, n = &kitLeaf{kit: r.Kit, number: leaf.number + 1}, 0
				b.leaves = append(b.leaves, leaf)
			}
			n += len(r.Parts)
			leaf.runners = append(leaf.runners, r)
		}
		for _, leaf := range b.leaves {
			leaf.href = fmt.Sprintf("%skit-%d", b.folder(), max(1, leaf.kit))
			if leaf.number > 0 {
				leaf.href += fmt.Sprintf("-%d", leaf.number+1)
			}
			leaf.href += ".html"
			b.placesOn(leaf)
		}
	})
	return b.leaves
}

// folder is where the pages of a build lie that are not its own page: "builds/lorry/".
func (b *build) folder() string { return strings.TrimSuffix(b.href, ".html") + "/" }

// placesOn gives each part its place on a page.
func (b *build) placesOn(leaf *kitLeaf) {
	taken := map[string]bool{}
	for _, r := range leaf.runners {
		for _, p := range r.Parts {
			place := anchorOf(p.Ref)
			for n := 2; taken[place]; n++ {
				place = fmt.Sprintf("%s.%d", anchorOf(p.Ref), n)
			}
			taken[place] = true
			b.places[p.Ref.Key()] = leaf.href + "#" + place
		}
	}
}

// anchorOf is the place of a part on the page of its kit, as a person writes it:
// "A12".
func anchorOf(ref journal.PartRef) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return '-' // no anchor holds a space
		}
		return r
	}, ref.Runner+ref.Number)
}

// partAt is where a part has its place, from the top; "" = nowhere.
func (v *view) partAt(b *build, ref journal.PartRef) string {
	v.leaves(b)
	if len(b.Kits) == 1 {
		ref.Kit = 0
	}
	return b.places[ref.Key()]
}

// fewLinks is how many parts are named one by one.
const fewLinks = 8

// partLinks are parts as links to their places. Of many those that follow each other
// are one.
func (v *view) partLinks(root string, b *build, refs []journal.PartRef) []Link {
	var out []Link
	add := func(words string, ref journal.PartRef) {
		one := Link{Words: words}
		if to := v.partAt(b, ref); to != "" {
			one.Href = root + to
		}
		out = append(out, one)
	}
	if len(refs) <= fewLinks {
		for _, ref := range refs {
			add(ref.String(), ref)
		}
		return out
	}
	for i := 0; i < len(refs); {
		last := i
		for last+1 < len(refs) && follows(refs[last], refs[last+1]) {
			last++
		}
		if last < i+2 {
			last = i // two are as short as a range
		}
		add(journal.Ranges(refs[i:last+1]), refs[i])
		i = last + 1
	}
	return out
}

// follows reports whether a part is the next of its runner.
func follows(a, b journal.PartRef) bool {
	m, errA := strconv.Atoi(a.Number)
	n, errB := strconv.Atoi(b.Number)
	return errA == nil && errB == nil && n == m+1 && a.Kit == b.Kit && a.Runner == b.Runner
}
