// How much more, or less, sessions scatter than Poisson counts would.

package metrics

import (
	"slices"
)

// localDispersion is the dispersion of sessions about the pace of their
// neighbours in time, not about one common pace: each two in a row of one cell
// give a Pearson statistic on one degree of freedom, and their mean, weighted by
// the parts, is the dispersion. Learning, or a move to other parts, is a trend and
// not scatter; about a common pace it would count as such and widen every
// interval. Where there is no trend both estimate the same, this one on about two
// thirds of the degrees of freedom, since neighbours share a session.
//
// ok is false with fewer than six pairs. The caller asks with enoughToBend timed
// sessions or more, all of them dated: with fewer the lost degrees of freedom cost
// more than a trend does. Sessions without time are passed over.
//
// von Neumann J., Kent R.H., Bellinson H.R., Hart B.I. (1941), The mean square
// successive difference, Annals of Mathematical Statistics 12, 153–162.
func localDispersion(ws []Work) (phi, df float64, ok bool) {
	inOrder := make([]*Work, 0, len(ws))
	for i := range ws {
		if ws[i].timed() {
			inOrder = append(inOrder, &ws[i])
		}
	}
	slices.SortStableFunc(inOrder, func(a, b *Work) int {
		if c := compareCells(cellOf(a), cellOf(b)); c != 0 {
			return c
		}
		return a.Start.Compare(b.Start)
	})
	var sum, weight, pairs float64
	for i := 1; i < len(inOrder); i++ {
		a, b := inOrder[i-1], inOrder[i]
		if cellOf(a) != cellOf(b) {
			continue
		}
		pairs++
		parts := a.Parts + b.Parts
		if !(parts > 0) {
			continue
		}
		r := parts / (a.Hours + b.Hours)
		da := a.Parts - r*a.Hours
		sum += parts * (da*da/(r*a.Hours) + da*da/(r*b.Hours))
		weight += parts
	}
	if pairs < enoughToBend/2 || !(weight > 0) {
		return 0, 0, false
	}
	return sum / weight, pairs * 2 / 3, true
}

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
