// The moods of evenings: what the sessions of one evening share, and what follows
// an evening into the next.

package metrics

import "math"

// moods is the covariance of the rows of one group, over φ:
//
//	V = D + shared · Z·R·Zᵀ     R[s][t] = follows^|s-t|
//
// D is diagonal, Z tells the evening of each row, and evenings are numbered in their
// order. All of the algebra is over matrices with three diagonals, so that it goes
// with the number of rows.
type moods struct {
	shared  float64 // variance of the mood of an evening
	follows float64 // correlation of the moods of evenings that follow each other
}

// entry is one value of a row that is not 0.
type entry struct {
	col   int
	value float64
}

// row is one row of a model: few of its columns are not 0. Rows of a group lie in the
// order of their evenings.
type row struct {
	evening  int
	variance float64 // its own, beside the mood
	entries  []entry // columns as in block
}

// block reduces the rows of a group to inner products under V⁻¹, by
//
//	V⁻¹ = D⁻¹ - D⁻¹Z (R⁻¹/shared + ZᵀD⁻¹Z)⁻¹ ZᵀD⁻¹
func (m moods) block(fixed, random int, rows []row) block {
	b := block{fixed: fixed, random: random, rows: len(rows)}
	n := b.cols()
	b.in = make([]float64, n*n)
	weight := make([]float64, eveningsIn(rows))
	for _, r := range rows {
		w := 1 / r.variance
		b.logDet += math.Log(r.variance)
		weight[r.evening] += w
		for _, e := range r.entries {
			to := b.in[e.col*n : e.col*n+n]
			for _, o := range r.entries {
				to[o.col] += w * e.value * o.value
			}
		}
	}
	if m.shared == 0 {
		return b
	}
	m.lift(&b, rows, weight)
	for i := range n {
		for j := range i {
			b.in[j*n+i] = b.in[i*n+j]
		}
	}
	return b
}

// lift takes the moods out of the inner products below the diagonal, evening by
// evening: rows lie in the order of their evenings, and each needs the one before alone.
func (m moods) lift(b *block, rows []row, weight []float64) {
	n, evenings := b.cols(), len(weight)
	pivots, steps := m.pivots(weight)
	b.logDet += float64(evenings)*math.Log(m.shared) + float64(evenings-1)*math.Log(1-m.follows*m.follows)
	both := make([]float64, 2*n) // ZᵀD⁻¹ of all columns, of this evening and of the one before
	s, last := both[:n], both[n:]
	held := make([]int, 0, n)
	from := 0
	for t, pivot := range pivots {
		b.logDet += math.Log(pivot)
		clear(s)
		for ; from < len(rows) && rows[from].evening == t; from++ {
			w := 1 / rows[from].variance
			for _, e := range rows[from].entries {
				s[e.col] += w * e.value
			}
		}
		if t > 0 && steps[t] != 0 {
			for j, v := range last {
				s[j] -= steps[t] * v
			}
		}
		held = held[:0] // of a single evening only a few columns are not 0
		for j, v := range s {
			if v != 0 {
				held = append(held, j)
			}
		}
		for at, i := range held {
			v := s[i] / pivot
			to := b.in[i*n : i*n+n]
			for _, j := range held[:at+1] {
				to[j] -= v * s[j]
			}
		}
		s, last = last, s
	}
}

// predict is the mood of each evening, drawn in, from what the model leaves of each
// row without it.
func (m moods) predict(rows []row, left []float64) []float64 {
	evenings := eveningsIn(rows)
	v, weight := make([]float64, evenings), make([]float64, evenings)
	for i, r := range rows {
		weight[r.evening] += 1 / r.variance
		v[r.evening] += left[i] / r.variance
	}
	pivots, steps := m.pivots(weight)
	for t := 1; t < evenings; t++ {
		v[t] -= steps[t] * v[t-1]
	}
	for t := evenings - 1; t >= 0; t-- {
		v[t] /= pivots[t]
		if t < evenings-1 {
			v[t] -= steps[t+1] * v[t+1]
		}
	}
	return v
}

func eveningsIn(rows []row) (n int) {
	for _, r := range rows {
		n = max(n, r.evening+1)
	}
	return n
}

// pivots decompose R⁻¹/shared + diag(weight), which has three diagonals, into
// L·diag(pivots)·Lᵀ; steps are what L has below its diagonal.
func (m moods) pivots(weight []float64) (pivots, steps []float64) {
	n := len(weight)
	pivots, steps = make([]float64, n), make([]float64, n)
	stay := (1 - m.follows*m.follows) * m.shared
	off := -m.follows / stay
	for t := range n {
		inner := 1 + m.follows*m.follows
		switch {
		case n == 1:
			inner = 1 - m.follows*m.follows
		case t == 0 || t == n-1:
			inner = 1
		}
		pivots[t] = inner/stay + weight[t]
		if t > 0 {
			steps[t] = off / pivots[t-1]
			pivots[t] -= steps[t] * off
		}
	}
	return pivots, steps
}
