// Whether cards agree on how large things are. Two cards that lie in one plane
// were printed at the same size, or one of the two scales is wrong; so are the
// scales of two photos in which the same two spots are another length apart.

package card

import (
	"fmt"
	"math"
	"slices"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

const (
	// leastApart is below what nothing is told. A lens that bends straight lines
	// by a hundredth at the corners makes a card there two hundredths larger or
	// smaller than in the middle, and paper curls; a page that was made to fit
	// comes out at 97 % and less.
	leastApart = 0.025
	// surelyApart is how many standard errors two scales must be apart. A journal
	// has hundreds of photos with two cards, and none of them should cry wolf.
	surelyApart = 4
	// flatEnough is how far, by a symbol's side, two cards may be off one plane
	// and still count as lying in one, besides what their corners' errors make.
	flatEnough = 0.003
	// lifted is how far, in radians, a card tilts against the bench it lies on: a
	// third of a millimeter under one side of the symbol. longLens is the focal
	// length by the longer side of the picture, of which no more is known: that of
	// a telephone's main camera. Both common practice, no source.
	lifted   = 0.5 * math.Pi / 180
	longLens = 0.85
	// pointed is how surely a person points at a spot, by the longer side of the
	// photo: two or three pixels of a picture on a screen. Common practice, no
	// source.
	pointed = 0.002
)

// Apart is two scales that do not agree.
type Apart struct {
	Rulers [2]*Ruler
	Log    float64 // logarithm of how many times larger the second shows things than the first
	Error  float64 // its standard error
	Spots  bool    // told by spots pointed at in two photos, not by two cards of one
}

// sure reports whether it is to be told.
func (a Apart) sure() bool { return math.Abs(a.Log) > max(leastApart, surelyApart*a.Error) }

// Percent is how far the scales are apart.
func (a Apart) Percent() float64 { return 100 * (math.Exp(math.Abs(a.Log)) - 1) }

// CardsApart are the two cards of a photo that lie in one plane and disagree
// most, nil if none do. Cards that plainly lie in two planes, one on edge and one
// flat, say nothing. Two parallel planes look like one, so that a card that lies
// on a box is told as one that was printed larger: which it is, only a person
// knows.
func CardsApart(s *journal.State, p *journal.Photo) *Apart {
	if len(p.Cards) < 2 {
		return nil
	}
	var worst *Apart
	rulers := RulersOf(s, p)
	for i, a := range rulers {
		for _, b := range rulers[i+1:] {
			one, ok := inOnePlane(a, b, float64(max(p.Width, p.Height)))
			if ok && one.sure() && (worst == nil || math.Abs(one.Log) > math.Abs(worst.Log)) {
				worst = &one
			}
		}
	}
	return worst
}

// inOnePlane holds each of two cards against the plane of the other. ok is false
// if they do not lie in one.
func inOnePlane(a, b *Ruler, longer float64) (out Apart, ok bool) {
	there, ok := againstPlane(a, b)
	if !ok {
		return Apart{}, false
	}
	back, ok := againstPlane(b, a)
	if !ok {
		return Apart{}, false
	}
	out = Apart{Rulers: [2]*Ruler{a, b}, Log: (there.Log - back.Log) / 2}
	// In one plane each is as much larger as the other is smaller; what is not so
	// comes from planes that were carried too far.
	mismatch := (there.Log + back.Log) / 2
	x, y := middleOf(a.Corners)
	u, v := middleOf(b.Corners)
	lift := math.Sqrt2 * lifted * math.Hypot(x-u, y-v) / (longLens * longer)
	out.Error = math.Hypot(math.Hypot(max(there.Error, back.Error), mismatch), math.Hypot(lift, printError(a, b)))
	return out, true
}

// middleOf is the mean of four corners.
func middleOf(corners [4][2]float64) (x, y float64) {
	for _, c := range corners {
		x, y = x+c[0]/4, y+c[1]/4
	}
	return x, y
}

// againstPlane is how much larger than the first card the second is, if it lies
// in the first one's plane, and how surely by the corners of both. ok is false
// where it does not lie there.
func againstPlane(a, b *Ruler) (out Apart, ok bool) {
	base, err := laidOn(a.Plane, b)
	if err != nil {
		return Apart{}, false
	}
	out.Log = math.Log(base.Scale)
	spread := 0.0 // of what is left over, by the corners' errors
	for side, r := range [2]*Ruler{a, b} {
		for i := range 8 {
			moved := *r
			moved.Corners[i/2][i%2] += r.SD / math.Sqrt2
			if moved.Measure, err = r.With(moved.Corners, r.Printed.Factor()); err != nil {
				return Apart{}, false
			}
			with := [2]*Ruler{a, b}
			with[side] = &moved
			s, err := laidOn(with[0].Plane, with[1])
			if err != nil {
				return Apart{}, false
			}
			out.Error = math.Hypot(out.Error, math.Log(s.Scale/base.Scale))
			for k := range s.left {
				spread += math.Pow(s.left[k]-base.left[k], 2)
			}
		}
	}
	left := 0.0
	for _, v := range base.left {
		left += v * v
	}
	return out, math.Sqrt(left) < 2*math.Sqrt(spread)+2*flatEnough*SymbolSide
}

// onPlane is a symbol in the plane of another card: the similarity that brings
// it there, and what that leaves over at its corners, in millimeters of it.
type onPlane struct {
	metrics.Similarity
	left [8]float64
}

// laidOn looks at the symbol of a card in a plane.
func laidOn(plane Homography, r *Ruler) (onPlane, error) {
	back, own := plane.Inverse(), r.Plane.Inverse()
	var from, to [][2]float64
	for _, c := range r.Corners {
		x, y := own.At(c[0], c[1])
		u, v := back.At(c[0], c[1])
		from, to = append(from, [2]float64{x, y}), append(to, [2]float64{u, v})
	}
	s, err := metrics.SimilarityOf(from, to)
	if err != nil || !(s.Scale > 0) {
		return onPlane{}, errFlat
	}
	out := onPlane{Similarity: s}
	for i := range from {
		x, y := s.At(from[i][0], from[i][1])
		out.left[2*i], out.left[2*i+1] = (to[i][0]-x)/s.Scale, (to[i][1]-y)/s.Scale
	}
	return out, nil
}

// printError is how surely the sizes of two prints are known beside each other.
func printError(a, b *Ruler) float64 {
	if a.Printed.SameSize(b.Printed) {
		return 0
	}
	return math.Hypot(a.Printed.Error(), b.Printed.Error())
}

// SpotsApart holds the scales of two photos against each other by spots that a
// person pointed at in both, in pixels of the upright pictures whose longer sides
// are given. nil if they agree, or if the spots cannot tell.
func SpotsApart(rulers [2]*Ruler, at [2][][2]float64, longer [2]float64) *Apart {
	var mm [2][][2]float64
	var off, spread [2]float64
	for i, r := range rulers {
		back := r.Plane.Inverse()
		var mid [2]float64
		for _, p := range at[i] {
			x, y := back.At(p[0], p[1])
			mm[i] = append(mm[i], [2]float64{x, y})
			mid[0], mid[1] = mid[0]+x/float64(len(at[i])), mid[1]+y/float64(len(at[i]))
		}
		for _, p := range mm[i] {
			spread[i] += math.Pow(p[0]-mid[0], 2) + math.Pow(p[1]-mid[1], 2)
		}
		// The plane is stretched most away from the camera, so the scale at the
		// spots, not at the card, tells what a pixel is there.
		least := math.Inf(1)
		for _, p := range mm[i] {
			_, l := r.Plane.Stretches(p[0], p[1])
			least = min(least, l)
		}
		off[i] = pointed * longer[i] / least / math.Sqrt(spread[i])
	}
	s, err := metrics.SimilarityOf(mm[0], mm[1])
	if err != nil || !(s.Scale > 0) {
		return nil
	}
	a, b := rulers[0], rulers[1]
	out := Apart{Rulers: rulers, Log: math.Log(s.Scale), Spots: true}
	// The errors of the prints are in those of the scales, once for each.
	corners := math.Hypot(alone(a), alone(b))
	out.Error = math.Hypot(math.Hypot(off[0], off[1]), math.Hypot(corners, printError(a, b)))
	if !out.sure() {
		return nil
	}
	return &out
}

// alone is the error of a scale by the corners, without that of the print.
func alone(r *Ruler) float64 {
	whole := r.Error / r.MMPerPixel
	return math.Sqrt(max(0, whole*whole-math.Pow(r.Printed.Error(), 2)))
}

// Names are the two cards as a person tells them from each other.
func (a Apart) Names() (names [2]string) {
	for i, r := range a.Rulers {
		names[i] = "one"
		if c, err := journal.ParseCard(r.Seen.Text); err == nil {
			names[i] = "“" + c.String() + "”"
		}
		if r.Printed.Sheet != "" {
			names[i] += " of sheet " + r.Printed.Sheet
		}
	}
	return names
}

// Disagreement is scales that do not agree, and the photos they are told by: one
// of two cards, or two of the same spots.
type Disagreement struct {
	Apart
	Photos []*journal.Photo
}

// Disagreements are all of a journal, by the instant of the first photo.
func Disagreements(s *journal.State) []Disagreement {
	var out []Disagreement
	for _, p := range s.Photos {
		if a := CardsApart(s, p); a != nil {
			out = append(out, Disagreement{*a, []*journal.Photo{p}})
		}
	}
	byHash := map[string]*journal.Photo{}
	if len(s.Points) > 0 {
		for _, p := range s.Photos {
			byHash[p.Hash] = p
		}
	}
	for _, points := range s.Points {
		a, b := byHash[points.A], byHash[points.B]
		if a == nil || b == nil {
			continue
		}
		if apart := PointsApart(s, a, b, points.Pairs); apart != nil {
			out = append(out, Disagreement{*apart, []*journal.Photo{a, b}})
		}
	}
	slices.SortStableFunc(out,
		func(x, y Disagreement) int { return x.Photos[0].Instant.At.Compare(y.Photos[0].Instant.At) })
	return out
}

// PointsApart is SpotsApart for the spots a record keeps, by the best card of
// each photo; nil if one of them shows none.
func PointsApart(s *journal.State, a, b *journal.Photo, pairs []journal.PointPair) *Apart {
	var rulers [2]*Ruler
	var at [2][][2]float64
	var longer [2]float64
	for i, p := range [2]*journal.Photo{a, b} {
		if rulers[i] = Best(s, p); rulers[i] == nil {
			return nil
		}
		longer[i] = float64(max(p.Width, p.Height))
		for _, pair := range pairs {
			at[i] = append(at[i], [2]float64{pair[2*i] * float64(p.Width), pair[2*i+1] * float64(p.Height)})
		}
	}
	return SpotsApart(rulers, at, longer)
}

// String says it, without the photos.
func (a Apart) String() string {
	names := a.Names()
	if a.Spots {
		return fmt.Sprintf("by the spots pointed at in both, the scales of their cards (%s; %s) are %.1f %% apart: the cards were printed at different sizes, or the spots stand above the plane of the cards",
			names[0], names[1], a.Percent())
	}
	large, small := names[1], names[0]
	if a.Log < 0 {
		large, small = small, large
	}
	return fmt.Sprintf("of its cards, %s is %.1f %% larger than %s: they were printed at different sizes, or it lies nearer to the camera",
		large, a.Percent(), small)
}
