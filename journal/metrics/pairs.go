// Blind pairs: which of two photos was judged the better, each pair once.

package metrics

import (
	"cmp"
	"slices"
)

// Outcomes of a blind pair. A pair nobody could tell is no outcome: leave it out.
const (
	LeftBetter   = "left"
	RightBetter  = "right"
	NoDifference = "no difference"
)

// Pair is one blind comparison: what stood left, what stood right, and what the
// judge said.
type Pair struct {
	Left, Right string // builds
	Outcome     string
	// The photos, by any name that is theirs alone within their build; "" = a photo
	// that stands in this pair only.
	LeftPhoto, RightPhoto string
	Judge                 string // "" = one like any other
	Criterion             int    // 0 = not said
}

// pairing is two photos before one judge on one criterion, however often they were
// shown: all of its showings together weigh as one. It is seen from the photo first.
type pairing struct {
	first, second shown
	judge         string
	criterion     int
	shown         []Pair // each of weight 1/len(shown)
}

// shown is a photo in its build.
type shown struct{ build, photo string }

func (s shown) compare(o shown) int {
	if c := cmp.Compare(s.build, o.build); c != 0 {
		return c
	}
	return cmp.Compare(s.photo, o.photo)
}

// weight is what each showing counts.
func (p pairing) weight() float64 { return 1 / float64(len(p.shown)) }

// pairingsOf puts the showings of one pairing together, in an order that does not
// depend on the order of pairs. Pairs of a thing with itself and outcomes that are
// none of the three are passed over.
func pairingsOf(pairs []Pair) []pairing {
	all := make([]pairing, 0, len(pairs))
	for i := range pairs {
		p := &pairs[i]
		if p.Left == p.Right || p.Outcome != LeftBetter && p.Outcome != RightBetter && p.Outcome != NoDifference {
			continue
		}
		one := pairing{first: shown{p.Left, p.LeftPhoto}, second: shown{p.Right, p.RightPhoto}, judge: p.Judge,
			criterion: p.Criterion, shown: pairs[i : i+1 : i+1]}
		if one.second.compare(one.first) < 0 {
			one.first, one.second = one.second, one.first
		}
		all = append(all, one)
	}
	// A pairing is large: places are sorted instead.
	order := make([]int32, len(all))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, k int32) int { return all[i].compare(&all[k]) })
	out := make([]pairing, 0, len(all))
	for _, at := range order {
		p := &all[at]
		if n := len(out) - 1; n >= 0 && p.known() && out[n].same(p) {
			out[n].shown = append(out[n].shown, p.shown...)
			continue
		}
		out = append(out, *p)
	}
	return out
}

// compare brings the showings of one pairing together.
func (p *pairing) compare(o *pairing) int {
	if c := p.first.compare(o.first); c != 0 {
		return c
	}
	if c := p.second.compare(o.second); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(p.judge, o.judge), cmp.Compare(p.criterion, o.criterion),
		cmp.Compare(p.shown[0].Left, o.shown[0].Left), cmp.Compare(p.shown[0].Outcome, o.shown[0].Outcome))
}

// known says that it is known which photos they are.
func (p *pairing) known() bool { return p.first.photo != "" && p.second.photo != "" }

func (p *pairing) same(o *pairing) bool {
	return p.first == o.first && p.second == o.second && p.judge == o.judge && p.criterion == o.criterion
}
