// This file finds how one picture lies over another: scaled, turned and shifted.

package metrics

import (
	"errors"
	"math"
)

// errOnePlace says that points do not fix a similarity.
var errOnePlace = errors.New("the points lie on a line or fall together")

// Similarity takes x, y to scale * turn * (x, y) + shift; points of two
// pictures that show the same from the same side.
type Similarity struct {
	Scale  float64
	Turn   float64 // radians
	DX, DY float64
	Error  float64 // root mean square of what is left over
}

// SimilarityOf finds the similarity that takes points nearest to others in the
// sense of least squares (Umeyama 1991), without reflection. It takes at least
// two pairs.
func SimilarityOf(from, to [][2]float64) (Similarity, error) {
	n := float64(len(from))
	if len(from) < 2 || len(from) != len(to) {
		return Similarity{}, errors.New("it takes two pairs of points or more")
	}
	var mf, mt [2]float64
	for i := range from {
		for k := range 2 {
			mf[k] += from[i][k] / n
			mt[k] += to[i][k] / n
		}
	}
	var spread, along, across, other float64
	for i := range from {
		x, y := from[i][0]-mf[0], from[i][1]-mf[1]
		u, v := to[i][0]-mt[0], to[i][1]-mt[1]
		spread += x*x + y*y
		other += u*u + v*v
		along += x*u + y*v
		across += x*v - y*u
	}
	if spread == 0 || along == 0 && across == 0 {
		return Similarity{}, errOnePlace
	}
	s := Similarity{Scale: math.Hypot(along, across) / spread, Turn: math.Atan2(across, along)}
	sin, cos := math.Sincos(s.Turn)
	s.DX = mt[0] - s.Scale*(cos*mf[0]-sin*mf[1])
	s.DY = mt[1] - s.Scale*(sin*mf[0]+cos*mf[1])
	s.Error = math.Sqrt(max(0, other-(along*along+across*across)/spread) / n)
	return s, nil
}

// At is where a point comes to lie.
func (s Similarity) At(x, y float64) (float64, float64) {
	sin, cos := math.Sincos(s.Turn)
	return s.Scale*(cos*x-sin*y) + s.DX, s.Scale*(sin*x+cos*y) + s.DY
}
