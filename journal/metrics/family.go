// The family of a journal's claims: which words of change may be said at once.

package metrics

import "math"

// FamilyLevel is the chance that a journal in which nothing changed shows any
// claim of change at all: one in twenty.
const FamilyLevel = 0.05

// Claim is what a number brings to the family of claims, and what the family
// says of it. The zero value claims nothing: words of change are for Claimed alone,
// however far a range lies from no change.
type Claim struct {
	Tested  bool    // there is a p value: else nothing can be claimed
	PValue  float64 // of what was seen, or more, if nothing had changed; two-sided
	Claimed bool    // the family lets it be said
}

// Hypothesis is one claim that a journal may make, by the name its caller gives
// it. Its parts say more of the same thing ("faster", then "faster at cleaning"):
// it is taken to hold nothing changed exactly when nothing changed in any part.
// Not Tested, or a weight that is not above 0, is not in the family, and its parts
// are judged in its place.
type Hypothesis struct {
	Name   string
	Tested bool
	PValue float64
	Weight float64 // beside its sisters; their sum does not matter
	Parts  []Hypothesis
}

// Family returns the names that may be claimed together, so that with the given
// chance or less any of them is false: whatever is true of the others, and
// however they hang together.
//
// The level is shared out by weight. A claim whose p value is no more than its
// share is made; its share then goes to its parts, and where it has none, or all of
// them are made, back to what is left beside and above it. So a whole comes
// before its parts, a part needs no second payment for the whole, and without
// parts and with equal weights it is Holm's procedure.
//
// Goeman J.J., Finos L. (2012), The inheritance procedure, Statistical
// Applications in Genetics and Molecular Biology 11(1), article 11; Meinshausen N.
// (2008), Biometrika 95, 265–278; Holm S. (1979), Scandinavian Journal of
// Statistics 6, 65–70.
func Family(level float64, all ...Hypothesis) map[string]bool {
	made := map[string]bool{}
	roots := tree(all)
	for {
		heirs := shareOut(roots, level)
		n := 0
		for _, h := range heirs {
			if h.node.PValue <= h.share {
				h.node.made = true
				made[h.node.Name] = true
				n++
			}
		}
		if n == 0 {
			return made
		}
	}
}

// node is a Hypothesis that can be tested, with those behind it.
type node struct {
	Hypothesis
	parts []*node
	made  bool
}

// heir is a node whose turn it is, with its share of the level.
type heir struct {
	node  *node
	share float64
}

// tree leaves out what cannot be tested and lets its parts stand in its place,
// with its weight shared among them.
func tree(all []Hypothesis) []*node {
	var out []*node
	for _, h := range all {
		parts := tree(h.Parts)
		if h.Tested && h.Weight > 0 && !math.IsNaN(h.PValue) {
			out = append(out, &node{Hypothesis: h, parts: parts})
			continue
		}
		var sum float64
		for _, p := range parts {
			sum += p.Weight
		}
		for _, p := range parts {
			if h.Weight > 0 {
				p.Weight *= h.Weight / sum
			}
			out = append(out, p)
		}
	}
	return out
}

// shareOut gives the level to the nodes that are not made yet: to each its share,
// and that of a made one to its parts.
func shareOut(nodes []*node, level float64) []heir {
	var sum float64
	for _, n := range nodes {
		if !n.spent() {
			sum += n.Weight
		}
	}
	var out []heir
	for _, n := range nodes {
		switch share := level * n.Weight / sum; {
		case n.spent():
		case n.made:
			out = append(out, shareOut(n.parts, share)...)
		default:
			out = append(out, heir{n, share})
		}
	}
	return out
}

// spent says that a node and all behind it are made, so that nothing in it
// needs a share.
func (n *node) spent() bool {
	if !n.made {
		return false
	}
	for _, p := range n.parts {
		if !p.spent() {
			return false
		}
	}
	return true
}
