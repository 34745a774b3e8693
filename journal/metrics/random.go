// A linear model with random effects by group: what differs from build to build
// is drawn, not chosen. The variances by REML, the effects by best linear
// unbiased prediction.

package metrics

import "math"

// block is what the rows of one group tell of the model
//
//	y = X·b + Z·u + e     u ~ N(0, φ·(each·I + all·11ᵀ))     e ~ N(0, φ·V)
//
// with V known. Groups are independent of each other. It holds the inner products
// of the columns of X, y and Z under V⁻¹, in that order: all that any value of each
// and all needs, so that rows are gone through once for all of them.
type block struct {
	fixed, random int       // columns of X and of Z
	in            []float64 // (fixed+1+random)², symmetric
	logDet        float64   // of V
	rows          int
}

func (b *block) cols() int { return b.fixed + 1 + b.random }

// ratios are the variances of the random effects over φ: of each on its own, and
// of what those of a group share.
type ratios struct{ each, all float64 }

// fitted is the model at given ratios.
type fitted struct {
	coef    []float64
	root    []float64 // lower Cholesky root of XᵀV⁻¹X, V that of y
	left    float64   // weighted sum of the squares of residuals
	logDet  float64   // of V and of XᵀV⁻¹X together
	rows, k int
}

// at solves the generalized least squares of all groups together. ok is false for
// columns that depend on each other.
func at(blocks []block, r ratios) (f fitted, ok bool) {
	k := blocks[0].fixed
	q := k + 1
	sum := make([]float64, q*q)
	f.k = k
	for i := range blocks {
		f.logDet += blocks[i].marginal(r, sum)
		f.rows += blocks[i].rows
	}
	xx, xy := make([]float64, k*k), make([]float64, k)
	for i := range k {
		copy(xx[i*k:(i+1)*k], sum[i*q:i*q+k])
		xy[i] = sum[i*q+k]
	}
	logDet, ok := cholesky(xx, k)
	if !ok {
		return f, false
	}
	f.logDet += logDet
	f.root, f.coef = xx, xy
	forward(xx, k, xy)
	f.left = sum[k*q+k]
	for _, v := range xy {
		f.left -= v * v
	}
	f.left = max(f.left, 0)
	backward(xx, k, xy)
	return f, true
}

// marginal adds the inner products of X and y under the inverse of the variance
// that has the random effects in it,
//
//	(V + Z·G·Zᵀ)⁻¹ = V⁻¹ - V⁻¹·Z·G·(I + ZᵀV⁻¹Z·G)⁻¹·ZᵀV⁻¹,
//
// and returns the log of its determinant. Nothing is divided by G, which may be 0.
func (b *block) marginal(r ratios, sum []float64) (logDet float64) {
	n, q, m := b.cols(), b.fixed+1, b.random
	for i := range q {
		for j := range q {
			sum[i*q+j] += b.in[i*n+j]
		}
	}
	if m == 0 || r.each+r.all == 0 {
		return b.logDet
	}
	if m == 1 { // the usual case, and the one asked for by the thousand
		inner := 1 + (r.each+r.all)*b.in[q*n+q]
		w := (r.each + r.all) / inner
		for i := range q {
			a := w * b.in[i*n+q]
			for j := range q {
				sum[i*q+j] -= a * b.in[j*n+q]
			}
		}
		return b.logDet + math.Log(inner)
	}
	w, logDet := b.shrinker(r)
	// sum -= A·W·Aᵀ, with A = [X y]ᵀV⁻¹Z
	aw := make([]float64, m)
	for i := range q {
		a := b.in[i*n+q : i*n+n]
		for s := range m {
			aw[s] = 0
			for t := range m {
				aw[s] += a[t] * w[t*m+s]
			}
		}
		for j := range i + 1 {
			var d float64
			for s, v := range b.in[j*n+q : j*n+n] {
				d += aw[s] * v
			}
			sum[i*q+j] -= d
			if i != j {
				sum[j*q+i] -= d
			}
		}
	}
	return b.logDet + logDet
}

// shrinker returns W = G·(I + C·G)⁻¹ with C = ZᵀV⁻¹Z, and log|I + C·G|, by way of
// the root L of G: W = L·(I + LᵀCL)⁻¹·Lᵀ.
func (b *block) shrinker(r ratios) (w []float64, logDet float64) {
	n, q, m := b.cols(), b.fixed+1, b.random
	root := make([]float64, m*m)
	for i := range m {
		for j := range m {
			root[i*m+j] = r.all
		}
		root[i*m+i] += r.each
	}
	semiRoot(root, m)
	cl := make([]float64, m*m)
	for i := range m {
		for j := range m {
			for t := j; t < m; t++ {
				cl[i*m+j] += b.in[(q+i)*n+q+t] * root[t*m+j]
			}
		}
	}
	inner := make([]float64, m*m)
	for i := range m {
		for j := range m {
			for t := i; t < m; t++ {
				inner[i*m+j] += root[t*m+i] * cl[t*m+j]
			}
		}
		inner[i*m+i]++
	}
	logDet, _ = cholesky(inner, m) // I and something not negative: it has a root
	w = make([]float64, m*m)
	// Rows of Y = inner^-1/2 · Lᵀ; W = YᵀY.
	y := make([]float64, m)
	for i := range m {
		for t := range m {
			y[t] = root[i*m+t]
		}
		forward(inner, m, y)
		for j := range m {
			w[j*m+i] = y[j] // Y by columns
		}
	}
	out := make([]float64, m*m)
	for i := range m {
		for j := range i + 1 {
			var d float64
			for t := range m {
				d += w[t*m+i] * w[t*m+j]
			}
			out[i*m+j], out[j*m+i] = d, d
		}
	}
	return out, logDet
}

// effects are the best linear unbiased predictions of u in the group.
//
// Robinson G.K. (1991), That BLUP is a good thing, Statistical Science 6, 15–32.
func (b *block) effects(r ratios, coef []float64) []float64 {
	n, q, m := b.cols(), b.fixed+1, b.random
	out := make([]float64, m)
	if m == 0 || r.each+r.all == 0 {
		return out
	}
	w, _ := b.shrinker(r)
	left := make([]float64, m) // ZᵀV⁻¹(y - X·b)
	for s := range m {
		left[s] = b.in[b.fixed*n+q+s]
		for j, c := range coef {
			left[s] -= c * b.in[j*n+q+s]
		}
	}
	for s := range m {
		for t, v := range left {
			out[s] += w[s*m+t] * v
		}
	}
	return out
}

// restricted is the log of the restricted likelihood, less a constant, with φ at its
// best or, which comes to the same, averaged over under the prior 1/φ. least bounds
// the squares from below.
//
// Patterson H.D., Thompson R. (1971), Biometrika 58, 545–554; Harville D.A. (1974),
// Biometrika 61, 383–385.
func (f fitted) restricted(least float64) float64 {
	return -f.logDet/2 - f.df()/2*math.Log(max(f.left, least))
}

func (f fitted) df() float64 { return float64(f.rows - f.k) }

// phi is the estimate of φ, under the same bound.
func (f fitted) phi(least float64) float64 { return max(f.left, least) / f.df() }

// of returns a linear combination of the coefficients, and its variance over φ.
func (f fitted) of(combination []float64) (value, variance float64) {
	v := append([]float64(nil), combination...)
	for i, c := range v {
		value += c * f.coef[i]
	}
	forward(f.root, f.k, v)
	for _, one := range v {
		variance += one * one
	}
	return value, variance
}

// goldenMax is where f is highest between a and b: the best of coarse steps, then
// by golden section.
//
// Kiefer J. (1953), Proceedings of the American Mathematical Society 4, 502–506.
func goldenMax(a, b float64, f func(float64) float64) float64 {
	const steps = 40
	best, high := a, math.Inf(-1)
	for i := range steps + 1 {
		x := a + (b-a)*float64(i)/steps
		if y := f(x); y > high {
			best, high = x, y
		}
	}
	width := (b - a) / steps
	a, b = max(a, best-width), min(b, best+width)
	golden := (math.Sqrt(5) - 1) / 2
	for b-a > 1e-10*(1+math.Abs(a)) {
		c, d := b-golden*(b-a), a+golden*(b-a)
		if f(c) > f(d) {
			b = d
		} else {
			a = c
		}
	}
	return (a + b) / 2
}

// cholesky turns a symmetric matrix into its lower root, in place, and returns the
// log of its determinant. ok is false where it is not clearly positive.
func cholesky(a []float64, n int) (logDet float64, ok bool) {
	for j := range n {
		was := a[j*n+j]
		for t := range j {
			a[j*n+j] -= a[j*n+t] * a[j*n+t]
		}
		if !(a[j*n+j] > 1e-11*was) || math.IsInf(a[j*n+j], 0) {
			return 0, false
		}
		d := math.Sqrt(a[j*n+j])
		a[j*n+j] = d
		logDet += 2 * math.Log(d)
		for i := j + 1; i < n; i++ {
			for t := range j {
				a[i*n+j] -= a[i*n+t] * a[j*n+t]
			}
			a[i*n+j] /= d
		}
	}
	return logDet, true
}

// semiRoot is the lower root of a matrix that may be singular, zeros above.
func semiRoot(a []float64, n int) {
	for j := range n {
		was := a[j*n+j]
		for t := range j {
			a[j*n+j] -= a[j*n+t] * a[j*n+t]
		}
		d := math.Sqrt(max(a[j*n+j], 0))
		if a[j*n+j] <= 1e-12*was {
			d = 0
		}
		a[j*n+j] = d
		for i := j + 1; i < n; i++ {
			for t := range j {
				a[i*n+j] -= a[i*n+t] * a[j*n+t]
			}
			if d > 0 {
				a[i*n+j] /= d
			} else {
				a[i*n+j] = 0
			}
			a[j*n+i] = 0
		}
	}
}

// forward solves L·x = v in place, L lower.
func forward(l []float64, n int, v []float64) {
	for i := range n {
		for t := range i {
			v[i] -= l[i*n+t] * v[t]
		}
		v[i] /= l[i*n+i]
	}
}

// backward solves Lᵀ·x = v in place, L lower.
func backward(l []float64, n int, v []float64) {
	for i := n - 1; i >= 0; i-- {
		for t := i + 1; t < n; t++ {
			v[i] -= l[t*n+i] * v[t]
		}
		v[i] /= l[i*n+i]
	}
}
