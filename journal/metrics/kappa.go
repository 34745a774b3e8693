// Agreement of marks given twice, by one judge or by two.

package metrics

import (
	"math"

	"rakelight/journal/say"
)

// enoughMarks is how many things must be marked twice before agreement is
// said: with fewer the large-sample interval means nothing.
const enoughMarks = 10

// Agreement is Cohen's kappa, weighted: 1 = always the same, 0 = as chance
// would have it, below 0 = less than chance.
type Agreement struct {
	Kappa    float64
	SE       float64  // large-sample standard error
	Interval Interval // 95 %, within −1 and 1
	Same     float64  // share of exactly equal marks
	N        int
	Photos   int // on which the marks of a Retest were given; else 0
	OK       bool
	Why      Why
}

// QuadraticWeights gives k ordered marks the agreement 1 − (i−j)²/(k−1)²: one
// point apart is nearly agreed, the ends of the scale are not at all.
func QuadraticWeights(k int) [][]float64 {
	w := make([][]float64, k)
	for i := range w {
		w[i] = make([]float64, k)
		for j := range w[i] {
			d := float64(i-j) / float64(k-1)
			w[i][j] = 1 - d*d
		}
	}
	return w
}

// WeightedKappa returns the agreement of a square table of counts: row = first
// marks, column = second marks; weights are 1 on the diagonal.
//
//	κ = (p_o − p_e) / (1 − p_e)
//
// The standard error is that of Fleiss, Cohen and Everitt (1969), Psychological
// Bulletin 72, 323–327. It refuses below ten things and when one mark was given
// all the time: then there is nothing to agree about. Tables and weights of
// other shapes panic.
func WeightedKappa(counts, weights [][]float64) Agreement {
	k := len(counts)
	var n, same float64
	for i, row := range counts {
		if len(row) != k || len(weights) != k || len(weights[i]) != k {
			panic("metrics: table and weights are not square and alike")
		}
		for _, c := range row {
			n += c
		}
		same += row[i]
	}
	a := Agreement{N: int(math.Round(n))}
	if a.N < enoughMarks {
		a.Why = tooFew(Because("%d marked twice, %d needed", a.N, enoughMarks))
		a.Interval.Why = a.Why
		return a
	}
	a.Same = same / n
	rows, cols := margins(counts)
	po, pe := agreedOf(counts, weights)
	if 1-pe < 1e-12 {
		a.Why = Because("the same mark was given every time, so there is nothing to compare")
		a.Interval.Why = a.Why
		return a
	}
	a.OK, a.Kappa = true, (po-pe)/(1-pe)
	var sum float64
	for i, row := range pulls(weights, rows, cols, po, pe) {
		for j, d := range row {
			sum += counts[i][j] / n * d * d
		}
	}
	a.lay(math.Sqrt(sum/n), zQuantile())
	return a
}

// lay sets the standard error, and the interval of so many of them to either side.
func (a *Agreement) lay(se, times float64) {
	a.SE = se
	a.Interval = Interval{Low: math.Max(-1, a.Kappa-times*se), High: math.Min(1, a.Kappa+times*se), OK: true}
	if se == 0 {
		a.Interval.Why = Because("no two marks differed, so the interval has no width")
	}
}

// pulls are by how much a share more in each place of the table moves kappa; over the
// table they come to 0.
func pulls(weights [][]float64, rows, cols []float64, po, pe float64) [][]float64 {
	k := len(weights)
	across, down := make([]float64, k), make([]float64, k) // mean weights by row and by column
	for i := range k {
		for j := range k {
			across[i] += weights[i][j] * cols[j]
			down[j] += weights[i][j] * rows[i]
		}
	}
	centre := po*pe - 2*pe + po
	out := make([][]float64, k)
	for i := range out {
		out[i] = make([]float64, k)
		for j := range k {
			d := weights[i][j]*(1-pe) - (across[i]+down[j])*(1-po)
			out[i][j] = (d - centre) / ((1 - pe) * (1 - pe))
		}
	}
	return out
}

// margins returns the shares of the rows and of the columns.
func margins(counts [][]float64) (rows, cols []float64) {
	rows, cols = make([]float64, len(counts)), make([]float64, len(counts))
	var n float64
	for i := range counts {
		for j, c := range counts[i] {
			n += c
			rows[i] += c
			cols[j] += c
		}
	}
	for i := range rows {
		rows[i] /= n
		cols[i] /= n
	}
	return rows, cols
}

// agreedOf returns the weighted agreement that was seen, and the one that
// chance alone would give.
func agreedOf(counts, weights [][]float64) (seen, chance float64) {
	rows, cols := margins(counts)
	var n float64
	for i := range counts {
		for j, c := range counts[i] {
			n += c
			seen += weights[i][j] * c
			chance += weights[i][j] * rows[i] * cols[j]
		}
	}
	return seen / n, chance
}

// Sentence says the agreement in words.
func (a Agreement) Sentence(label say.Wording) say.Text {
	if !a.OK {
		return say.Of("%s: no agreement to give (%s).", label, a.Why)
	}
	twice := say.Of("%s given twice", say.Count{N: a.N, Noun: "mark"})
	if a.Photos > 0 {
		twice = say.Of("%s given twice on %s", say.Count{N: a.N, Noun: "mark"},
			say.Count{N: a.Photos, Noun: "dative¦photo"})
	}
	return say.Of("%s: weighted kappa %s (%s to %s; %s, %.0f %% exactly alike).", label, say.Decimal(a.Kappa, 2),
		say.Decimal(a.Interval.Low, 2), say.Decimal(a.Interval.High, 2), twice, 100*a.Same)
}
