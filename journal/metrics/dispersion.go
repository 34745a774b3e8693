// How much more, or less, sessions scatter than Poisson counts would.

package metrics

// PearsonDispersion returns the Pearson statistic of counts p against one
// common rate, and its degrees of freedom:
//
//	r = Σp / Σh      statistic = Σ (p - r·h)² / (r·h)      df = n - 1
//
// Their quotient is the dispersion of the quasi-Poisson model with an intercept
// and the offset log h: about 1 for Poisson counts, above 1 when sessions are
// more uneven than that. parts and hours have equal length (else it panics);
// pairs without time are left out.
//
// ok is false, with the df there are, for fewer than two pairs or when the
// counts do not add up to more than 0: then there is no rate to scatter about.
//
// McCullagh P., Nelder J.A. (1989), Generalized Linear Models, 2nd ed.,
// chapter 6.
func PearsonDispersion(parts, hours []float64) (statistic float64, df int, ok bool) {
	if len(parts) != len(hours) {
		panic("metrics: parts and hours differ in length")
	}
	var p, h float64
	n := 0
	for i := range hours {
		if hours[i] > 0 {
			p += parts[i]
			h += hours[i]
			n++
		}
	}
	df = max(n-1, 0)
	if n < 2 || !(p > 0) {
		return 0, df, false
	}
	r := p / h
	for i := range hours {
		if hours[i] > 0 {
			d := parts[i] - r*hours[i]
			statistic += d * d / (r * hours[i])
		}
	}
	return statistic, df, true
}
