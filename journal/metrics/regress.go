// Weighted straight-line and many-column least squares.

package metrics

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Fit is a least-squares fit. Coef, SD and Cov go by column of the design.
type Fit struct {
	Coef       []float64
	SD         []float64   // of each coefficient, from the residual scatter
	Cov        [][]float64 // unscaled: (XᵀWX)⁻¹
	ResidualSD float64     // √(Σ w·r² / DF); 0 without degrees of freedom
	RSquared   float64     // about the weighted mean of y
	DF         int         // rows less columns
}

// LeastSquares fits y = X·b, row i weighing w[i]; nil w weighs all rows alike.
// Weights are above 0. It solves by the QR decomposition of the rows with
// columns brought to unit length, because forming XᵀX loses half the digits of
// data such as load against strain squared.
//
// ok is false for fewer rows than columns and for columns that depend on each
// other: then the coefficients cannot be told apart. Rows of unequal length, or
// w or y of another length than x, panic.
//
// Golub G.H., Van Loan C.F. (2013), Matrix Computations, 4th ed., section 5.3.
func LeastSquares(x [][]float64, y, w []float64) (f Fit, ok bool) {
	n := len(x)
	if len(y) != n || (w != nil && len(w) != n) {
		panic("metrics: x, y and w differ in length")
	}
	if n == 0 || n < len(x[0]) || len(x[0]) == 0 {
		return Fit{}, false
	}
	k := len(x[0])
	a, b := mat.NewDense(n, k, nil), mat.NewVecDense(n, nil)
	for i, row := range x {
		if len(row) != k {
			panic("metrics: rows differ in length")
		}
		root := 1.0
		if w != nil {
			root = math.Sqrt(w[i])
		}
		for j, v := range row {
			a.Set(i, j, root*v)
		}
		b.SetVec(i, root*y[i])
	}
	scale := make([]float64, k)
	for j := range k {
		if scale[j] = mat.Norm(a.ColView(j), 2); !(scale[j] > 0) {
			return Fit{}, false
		}
		for i := range n {
			a.Set(i, j, a.At(i, j)/scale[j])
		}
	}
	var qr mat.QR
	qr.Factorize(a)
	if !(qr.Cond() < 1e12) {
		return Fit{}, false
	}
	var coef mat.VecDense
	if qr.SolveVecTo(&coef, false, b) != nil {
		return Fit{}, false
	}
	var r, inverse mat.Dense
	qr.RTo(&r)
	if inverse.Inverse(r.Slice(0, k, 0, k)) != nil {
		return Fit{}, false
	}
	var cov mat.Dense
	cov.Mul(&inverse, inverse.T())
	f = Fit{DF: n - k, Coef: make([]float64, k), SD: make([]float64, k), Cov: make([][]float64, k)}
	for j := range k {
		f.Coef[j] = coef.AtVec(j) / scale[j]
		f.Cov[j] = make([]float64, k)
		for l := range k {
			f.Cov[j][l] = cov.At(j, l) / scale[j] / scale[l]
		}
	}
	f.scatter(x, y, w)
	return f, true
}

// scatter fills in what the residuals tell.
func (f *Fit) scatter(x [][]float64, y, w []float64) {
	weigh := func(i int) float64 {
		if w == nil {
			return 1
		}
		return w[i]
	}
	var sum, sw float64
	for i := range y {
		sum += weigh(i) * y[i]
		sw += weigh(i)
	}
	var left, all float64
	for i, row := range x {
		res := y[i]
		for j, v := range row {
			res -= f.Coef[j] * v
		}
		left += weigh(i) * res * res
		all += weigh(i) * (y[i] - sum/sw) * (y[i] - sum/sw)
	}
	if all > 0 {
		f.RSquared = 1 - left/all
	}
	if f.DF > 0 {
		f.ResidualSD = math.Sqrt(left / float64(f.DF))
	}
	for j := range f.SD {
		f.SD[j] = f.ResidualSD * math.Sqrt(f.Cov[j][j])
	}
}
