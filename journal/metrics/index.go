// Index numbers: one figure for the change of many prices.

package metrics

import "math"

// Indices returns the Laspeyres, Paasche and Fisher indices of prices p1
// against p0, with quantities q0 and q1:
//
//	Laspeyres = Σ p1·q0 / Σ p0·q0     the earlier mix
//	Paasche   = Σ p1·q1 / Σ p0·q1     the later mix
//	Fisher    = √(Laspeyres · Paasche)
//
// The four slices have equal length, else it panics. At the bench the price of
// a part is the hours it takes, so the indices are time indices: 0.8 means the
// same parts take four fifths of the time, and speed is 1/index. A denominator
// of 0 (no goods, or none bought) gives NaN.
//
// ILO/IMF/OECD/UNECE/World Bank, Producer Price Index Manual (2004), chapter
// 15; Balk B.M. (2008), Price and Quantity Index Numbers, chapter 3.
func Indices(p0, q0, p1, q1 []float64) (laspeyres, paasche, fisher float64) {
	if len(p0) != len(q0) || len(p0) != len(p1) || len(p0) != len(q1) {
		panic("metrics: prices and quantities differ in length")
	}
	var l1, l0, s1, s0 float64
	for i := range p0 {
		l1 += p1[i] * q0[i]
		l0 += p0[i] * q0[i]
		s1 += p1[i] * q1[i]
		s0 += p0[i] * q1[i]
	}
	if l0 == 0 || s0 == 0 {
		return math.NaN(), math.NaN(), math.NaN()
	}
	laspeyres, paasche = l1/l0, s1/s0
	return laspeyres, paasche, math.Sqrt(laspeyres * paasche)
}
