// Hours, summed by whatever a page asks for.

package metrics

import (
	"cmp"
	"math"
	"slices"

	"rakelight/journal/say"
)

// Tenths writes hours with one digit, as every page and command does: whole seconds
// first, then half a tenth up. So 1 h 39 min is 1.7 wherever it stands, in whatever
// order its sessions were added up.
func Tenths(hours float64) say.Number {
	return say.Decimal(math.Round(math.Round(hours*3600)/360)/10, 1)
}

// Sum is the bench time under one key.
type Sum struct {
	Key        string
	Hours      float64 // all of it: the three below and what nobody said
	Measured   float64 // hours from timers and bench cards
	Estimated  float64 // hours from photos, a lower bound
	Remembered float64 // hours typed afterwards
	N          int     // sessions
}

// Hours adds up net bench hours by a key, such as the week, the kind or the
// build, sorted by key. The ways of knowing stay apart, so a page can show them
// apart. Counted or not plays no part. Kind "wait" is curing, which is never
// bench time, and is passed over; so are hours that are not above 0 or not
// finite, though their session counts in N. No Works give nil.
func Hours(ws []Work, by func(Work) string) []Sum {
	type seen struct{ key, build, session string }
	sums := map[string]*Sum{}
	sessions := map[seen]bool{}
	for _, w := range ordered(ws) {
		if w.Kind == "wait" {
			continue
		}
		key := by(*w)
		s := sums[key]
		if s == nil {
			s = &Sum{Key: key}
			sums[key] = s
		}
		if id := (seen{key, w.Build, w.Session}); w.Session == "" || !sessions[id] {
			sessions[id] = true
			s.N++
		}
		if !w.timed() {
			continue
		}
		s.Hours += w.Hours
		switch w.Known {
		case Measured:
			s.Measured += w.Hours
		case Estimated:
			s.Estimated += w.Hours
		case Remembered:
			s.Remembered += w.Hours
		}
	}
	var out []Sum
	for _, s := range sums {
		out = append(out, *s)
	}
	slices.SortFunc(out, func(a, b Sum) int { return cmp.Compare(a.Key, b.Key) })
	return out
}
