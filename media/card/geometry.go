// Planes seen by a camera: homographies, and the small linear systems they are
// solved with.

package card

import (
	"errors"
	"math"
)

// Homography takes points of one plane to points of another, row by row; the
// last number is 1 unless it was inverted.
type Homography [9]float64

// errFlat says that points lie so that they do not fix what is asked.
var errFlat = errors.New("the points lie on a line or fall together")

// HomographyOf finds the homography that takes four points to four others.
func HomographyOf(from, to [4][2]float64) (Homography, error) {
	a, b := make([][]float64, 8), make([]float64, 8)
	for i := range from {
		x, y, u, v := from[i][0], from[i][1], to[i][0], to[i][1]
		a[2*i] = []float64{x, y, 1, 0, 0, 0, -u * x, -u * y}
		a[2*i+1] = []float64{0, 0, 0, x, y, 1, -v * x, -v * y}
		b[2*i], b[2*i+1] = u, v
	}
	s, err := solve(a, b)
	if err != nil {
		return Homography{}, err
	}
	h := Homography{8: 1}
	copy(h[:], s)
	// A plane seen from behind or through the horizon is no picture of a card.
	for _, p := range from {
		if h[6]*p[0]+h[7]*p[1]+1 <= 0 {
			return Homography{}, errFlat
		}
	}
	return h, nil
}

// At is where a point comes to lie.
func (h Homography) At(x, y float64) (float64, float64) {
	z := h[6]*x + h[7]*y + h[8]
	return (h[0]*x + h[1]*y + h[2]) / z, (h[3]*x + h[4]*y + h[5]) / z
}

// Inverse takes the points back. It is the zero Homography where there is no
// way back.
func (h Homography) Inverse() Homography {
	out := Homography{
		h[4]*h[8] - h[5]*h[7], h[2]*h[7] - h[1]*h[8], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3]*h[8], h[0]*h[8] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
	if out[8] == 0 {
		return Homography{}
	}
	n := out[8]
	for i := range out {
		out[i] /= n
	}
	return out
}

// Then is h first, g after it.
func (h Homography) Then(g Homography) Homography {
	var out Homography
	for r := range 3 {
		for c := range 3 {
			for k := range 3 {
				out[3*r+c] += g[3*r+k] * h[3*k+c]
			}
		}
	}
	return out
}

// slopes are how x and y of the picture grow with x and y of the plane, at a
// point of the plane.
func (h Homography) slopes(x, y float64) (ux, uy, vx, vy float64) {
	z := h[6]*x + h[7]*y + h[8]
	u, v := h.At(x, y)
	return (h[0] - u*h[6]) / z, (h[1] - u*h[7]) / z, (h[3] - v*h[6]) / z, (h[4] - v*h[7]) / z
}

// Stretches are the largest and the smallest growth of a length at a point of
// the plane, over all directions.
func (h Homography) Stretches(x, y float64) (most, least float64) {
	a, b, c, d := h.slopes(x, y)
	// Singular values of a 2 by 2 matrix.
	s, t := math.Hypot(a+d, c-b)/2, math.Hypot(a-d, c+b)/2
	return s + t, math.Abs(s - t)
}

// solve solves a square linear system by elimination with pivots. It uses up a
// and b.
func solve(a [][]float64, b []float64) ([]float64, error) {
	n := len(b)
	largest := 0.0
	for _, row := range a {
		for _, v := range row {
			largest = max(largest, math.Abs(v))
		}
	}
	for c := range n {
		pivot := c
		for r := c + 1; r < n; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[pivot][c]) {
				pivot = r
			}
		}
		// Not > also catches what is no number.
		if !(math.Abs(a[pivot][c]) > 1e-13*largest) || math.IsInf(largest, 0) {
			return nil, errFlat
		}
		a[c], a[pivot], b[c], b[pivot] = a[pivot], a[c], b[pivot], b[c]
		for r := c + 1; r < n; r++ {
			f := a[r][c] / a[c][c]
			for k := c; k < n; k++ {
				a[r][k] -= f * a[c][k]
			}
			b[r] -= f * b[c]
		}
	}
	for c := n - 1; c >= 0; c-- {
		for k := c + 1; k < n; k++ {
			b[c] -= a[c][k] * b[k]
		}
		b[c] /= a[c][c]
	}
	return b, nil
}
