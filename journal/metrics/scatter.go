// Scatter: how much a person's sessions differ beyond the chance of counts.

package metrics

import (
	"cmp"
	"math"
	"slices"
)

const (
	// The coefficient of variation that sessions are taken to have beyond the
	// chance of counts while nothing is known: work study plans its samples for a
	// scatter of 30 % between blocks of like manual work.
	usualScatter = 0.3
	// What that assumption is worth, in sessions of one's own: after fifteen, one's
	// own weigh as much. A scatter known from fifteen sessions is off by a fifth
	// (1/√30), and by about that people differ. It widens the tail accordingly.
	usualWorth = 15
)

// Scatter is by how much the pace of a person's sessions of one kind of work
// differs from session to session, beyond the chance of counts. The zero value
// is that of a person nothing is known of: 30 %, worth fifteen sessions.
type Scatter struct {
	CV float64 // coefficient of variation of the pace of sessions
	DF float64 // degrees of freedom it rests on, the assumption's included
	N  int     // own sessions it rests on
}

// ScatterOf returns the scatter of the sessions of ws about the pace of their
// build and cell, pooled over all of them, and drawn towards the usual 30 % as if
// that had been seen in fifteen sessions. A count of mean μ is taken to vary by
//
//	μ + c²·μ²
//
// and c² is found by the method of moments: the squares of p - r·h, with r the
// pace of the cell, set against what they should be. Cells of one session say
// nothing. It answers what a cell of one or two sessions cannot say of itself.
func ScatterOf(ws []Work) Scatter {
	type group struct {
		build string
		cell  Cell
	}
	in := map[group][]Work{}
	for _, w := range ordered(ws) {
		if w.Counted && w.timed() {
			g := group{w.Build, cellOf(&w)}
			in[g] = append(in[g], w)
		}
	}
	groups := make([]group, 0, len(in))
	for g := range in {
		groups = append(groups, g)
	}
	slices.SortFunc(groups, func(a, b group) int {
		return cmp.Or(cmp.Compare(a.build, b.build),
			compareCells(a.cell, b.cell))
	})
	var m moments
	for _, g := range groups {
		m.add(stratumOf(bySession(in[g])).moments)
	}
	return m.scatter()
}

// moments are what the scatter of a stratum is estimated from: by how much the
// squares exceed those of counts, what c² = 1 would add to them, and sessions.
type moments struct {
	over, square float64
	n, df        int
}

func (m *moments) add(o moments) {
	m.over, m.square, m.n, m.df = m.over+o.over, m.square+o.square, m.n+o.n, m.df+o.df
}

// momentsOf are nothing for one session, or for none that brought a part.
func momentsOf(hours, parts []float64) moments {
	var p, h, hh float64
	for i, one := range hours {
		p, h, hh = p+parts[i], h+one, hh+one*one
	}
	if len(hours) < 2 || !(p > 0) {
		return moments{}
	}
	m := moments{n: len(hours), df: len(hours) - 1}
	for i, one := range hours {
		mean := p * one / h
		a := 1 - 2*one/h + hh/(h*h) // the pace of the whole bends to each session
		m.over += (parts[i]-mean)*(parts[i]-mean) - mean*a
		m.square += mean * mean * a
	}
	return m
}

func (m moments) scatter() Scatter {
	var own float64
	if m.square > 0 {
		own = math.Max(m.over/m.square, 0)
	}
	df := float64(m.df)
	return Scatter{
		CV: math.Sqrt((usualWorth*usualScatter*usualScatter + df*own) / (usualWorth + df)),
		DF: usualWorth + df, N: m.n,
	}
}

// scatterIn is the scatter that the Works bring, or the usual one.
func scatterIn(ws []Work) Scatter {
	for i := range ws {
		if s := ws[i].Scatter; s.DF > 0 {
			return s
		}
	}
	return Scatter{CV: usualScatter, DF: usualWorth}
}

// widen stretches the exact Poisson limits of a pace by the scatter of the
// sessions it rests on: the logs of both are taken as independent.
func (s Scatter) widen(iv Interval, pace float64, hours []float64) Interval {
	var h, hh float64
	for _, one := range hours {
		h, hh = h+one, hh+one*one
	}
	reach := tQuantile(s.DF) * math.Sqrt(math.Log1p(s.CV*s.CV)*hh/(h*h))
	if !(pace > 0) {
		iv.High *= math.Exp(reach)
		return iv
	}
	iv.Low = pace * math.Exp(-math.Hypot(math.Log(pace/iv.Low), reach))
	iv.High = pace * math.Exp(math.Hypot(math.Log(iv.High/pace), reach))
	return iv
}
