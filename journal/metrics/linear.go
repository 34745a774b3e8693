// Small systems of linear equations, solved many times over.

package metrics

import "math"

// solve turns y into the x of a·x = y, a being n rows of n. Both are used up. ok is
// false where a is singular to nine digits. gonum's solver also estimates the
// condition, which for three unknowns takes ten times as long as the rest.
func solve(a, y []float64) (ok bool) {
	n := len(y)
	largest := 0.0
	for _, x := range a {
		largest = max(largest, math.Abs(x))
	}
	for c := range n {
		pivot := c
		for r := c + 1; r < n; r++ {
			if math.Abs(a[r*n+c]) > math.Abs(a[pivot*n+c]) {
				pivot = r
			}
		}
		if !(math.Abs(a[pivot*n+c]) > 1e-9*largest) {
			return false
		}
		for k := range n {
			a[c*n+k], a[pivot*n+k] = a[pivot*n+k], a[c*n+k]
		}
		y[c], y[pivot] = y[pivot], y[c]
		for r := range n {
			if r == c {
				continue
			}
			by := a[r*n+c] / a[c*n+c]
			for k := c; k < n; k++ {
				a[r*n+k] -= by * a[c*n+k]
			}
			y[r] -= by * y[c]
		}
	}
	for c := range n {
		y[c] /= a[c*n+c]
	}
	return true
}

// definite says whether the symmetric a, n rows of n, is positive definite. It is used up.
func definite(a []float64, n int) bool {
	for c := range n {
		if !(a[c*n+c] > 0) {
			return false
		}
		for r := c + 1; r < n; r++ {
			by := a[r*n+c] / a[c*n+c]
			for k := c; k < n; k++ {
				a[r*n+k] -= by * a[c*n+k]
			}
		}
	}
	return true
}
