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
	// Of the scatter, the share that the sessions of an evening have in common, and
	// how much of it an evening has in common with the next: a half, and a little
	// (our choice, no source).
	usualShared = 0.5
	usualSerial = 0.05
	// The most that the person's own scatter helps a number with few evenings, in
	// degrees of freedom: kinds of work do not scatter alike.
	mostHelp = 14
)

// Scatter is by how much the pace of a person's sessions of one kind of work
// differs from session to session, beyond the chance of counts. The zero value
// is that of a person nothing is known of: 30 %, worth fifteen sessions.
type Scatter struct {
	CV     float64 // coefficient of variation of the pace of sessions
	Shared float64 // of CV², the share that is the mood of the evening: its sessions have it in common
	Serial float64 // correlation of the pace of a session with one of the next evening; it dies off from there
	DF     float64 // degrees of freedom it rests on, the assumption's included
	N      int     // own sessions it rests on
}

// or is s, or the usual scatter where nothing is known.
func (s Scatter) or() Scatter {
	if s.DF > 0 {
		return s
	}
	return moments{}.scatter()
}

// own is the variance of a session's own log pace, mood that of its evening, and
// lasting what an evening has in common with the next.
func (s Scatter) own() float64     { return s.CV * s.CV * (1 - s.Shared) }
func (s Scatter) mood() float64    { return s.CV * s.CV * s.Shared }
func (s Scatter) lasting() float64 { return s.CV * s.CV * s.Serial }

// worth is what the scatter is worth beside a number's own df: all of it where
// the number has as good as no scatter of its own, else the half of what the person's
// own sessions tell beyond the number's, as far as that helps.
func (s Scatter) worth(df float64) float64 {
	return max(s.DF*(1-df/2), min((s.DF-usualWorth)/2-df, mostHelp), 0)
}

// ScatterOf returns the scatter of the sessions of ws about the pace of their
// build and cell, pooled over all of them, and drawn towards the usual 30 % as if
// that had been seen in fifteen sessions. The log pace of a session is taken to be
// the mood of its evening, with variance m, plus its own, with variance s; the moods
// of evenings k apart have a covariance of l·0.6^(k-1). The three are found by the
// method of moments: squares of p - r·h, with r the pace of the cell, their products
// within an evening, and those of evenings that follow each other, set against what
// they should be, the chance of counts and the bend of r to each included. Cells of
// one session say nothing. It answers what a few evenings cannot say of themselves.
func ScatterOf(ws []Work) Scatter { return scatterAmong(ordered(ws)) }

func scatterAmong(ws []*Work) Scatter {
	type group struct {
		build string
		cell  Cell
	}
	in := map[group][]*Work{}
	for _, w := range ws {
		if w.Counted && w.timed() {
			g := group{w.Build, cellOf(w)}
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
		m.add(momentsOf(bySession(in[g])))
	}
	return m.scatter()
}

// moments are what a scatter is estimated from: three sums of squares and
// products less what counts bring to them, and what a session's own variance, that
// of moods and what lasts of them, each of 1, would add to each.
type moments struct {
	sum         [3]float64
	by          [3][3]float64
	n, df       int
	raw, counts float64 // squares of evenings in all, and of them what counts bring
	met, pairs  float64 // evenings with several sessions, and evenings that follow one
}

func (m *moments) add(o moments) {
	for i := range m.sum {
		m.sum[i] += o.sum[i]
		for j := range m.by[i] {
			m.by[i][j] += o.by[i][j]
		}
	}
	m.raw, m.counts = m.raw+o.raw, m.counts+o.counts
	m.n, m.df, m.met, m.pairs = m.n+o.n, m.df+o.df, m.met+o.met, m.pairs+o.pairs
}

// lateral is the sums of one evening: hours, Σ hours², and the deviation of its parts.
type lateral struct {
	h, hh, off, squared float64
	n                   int
}

// momentsOf are nothing for one session, or for none that brought a part. It
// takes sessions of one cell.
func momentsOf(sessions []*Work) moments {
	// The order must not hang on names: sums differ by it in the last digit.
	slices.SortStableFunc(sessions, func(a, b *Work) int {
		return cmp.Or(a.begun().Compare(b.begun()), cmp.Compare(a.Hours, b.Hours), cmp.Compare(a.Parts, b.Parts))
	})
	c := calendarOf(sessions)
	var p, h, hh float64
	for _, w := range sessions {
		if w.timed() {
			p, h, hh = p+w.Parts, h+w.Hours, hh+w.Hours*w.Hours
		}
	}
	if len(c.block) == 0 || !(p > 0) {
		return moments{}
	}
	r := p / h
	rows := lateralsOf(sessions, r)
	var m moments
	for _, e := range rows {
		m.n += e.n
	}
	if m.n < 2 {
		return moments{}
	}
	m.df = m.n - 1
	// Squares of sessions: μ² of each with what it bends, all over r².
	var hhh float64
	for _, w := range sessions {
		if w.timed() {
			hhh += w.Hours * w.Hours * w.Hours
		}
	}
	cw, all := lasts(rows, h, c.serial)
	for k, e := range rows {
		m.sum[0] += e.squared / (r * r)
		m.by[0][1] += e.hh * (1 - 2*e.h/h + sumSquares(rows)/(h*h))
		m.by[0][2] += e.hh * (all - 2*cw[k])
		if e.n > 1 {
			m.met++
		}
	}
	m.by[0][0] = hh - 2*hhh/h + hh*hh/(h*h)
	m.sum[0] -= (h - hh/h) / r
	// Products within evenings, and those of evenings that follow each other.
	ss := sumSquares(rows)
	for k, e := range rows {
		m.raw += e.off * e.off / (r * r)
		m.counts += (e.h - e.h*e.h/h) / r
		for j := k; j < len(rows) && j <= k+serialReach && (j == k || c.serial); j++ {
			f := rows[j]
			row, weight := 1, 1.0
			if j > k {
				row, weight = 2, math.Pow(fading, float64(j-k-1))
			}
			same := 0.0
			if j == k {
				same = 1
			}
			m.sum[row] += weight * (e.off*f.off/(r*r) - (same*e.h-e.h*f.h/h)/r)
			m.by[row][0] += weight * (same*e.hh - e.h*f.hh/h - f.h*e.hh/h + e.h*f.h*hh/(h*h))
			m.by[row][1] += weight * e.h * f.h * (same - (e.h+f.h)/h + ss/(h*h))
			last := 0.0
			if j > k {
				last = weight
				if j == k+1 {
					m.pairs++
				}
			}
			m.by[row][2] += weight * e.h * f.h * (last - cw[k] - cw[j] + all)
		}
	}
	return m
}

// Products of evenings farther apart than this say next to nothing.
const serialReach = 4

func sumSquares(rows []lateral) (ss float64) {
	for _, e := range rows {
		ss += e.h * e.h
	}
	return ss
}

// lasts is, for moods of which 1 lasts, the covariance of each with their mean by
// hours, and the variance of that mean.
func lasts(rows []lateral, h float64, serial bool) (with []float64, all float64) {
	with = make([]float64, len(rows))
	if !serial {
		return with, 0
	}
	for k := range rows {
		by := 1.0
		for j := k + 1; j < len(rows) && j <= k+faded; j++ {
			with[k] += by * rows[j].h / h
			with[j] += by * rows[k].h / h
			by *= fading
		}
	}
	for k, e := range rows {
		all += with[k] * e.h / h
	}
	return with, all
}

// lateralsOf adds up the sessions of each evening, in order; evenings are not taken
// together here.
func lateralsOf(sessions []*Work, r float64) []lateral {
	byDay := map[evening]int{}
	type dated struct {
		lateral
		w *Work
	}
	var rows []dated
	for _, w := range sessions {
		if !w.timed() {
			continue
		}
		e := eveningOf(w)
		k, ok := byDay[e]
		if !ok || e == (evening{build: w.Build}) {
			k = len(rows)
			byDay[e] = k
			rows = append(rows, dated{w: w})
		}
		off := w.Parts - r*w.Hours
		l := &rows[k].lateral
		l.h, l.hh, l.off, l.squared, l.n = l.h+w.Hours, l.hh+w.Hours*w.Hours, l.off+off, l.squared+off*off, l.n+1
	}
	slices.SortStableFunc(rows, func(a, b dated) int { return a.w.begun().Compare(b.w.begun()) })
	out := make([]lateral, len(rows))
	for i, d := range rows {
		out[i] = d.lateral
	}
	return out
}

// scatter solves the three equations and draws what they say towards the usual.
func (m moments) scatter() Scatter {
	own, mood, lasting := m.solve()
	df := float64(m.df)
	total := (usualWorth*usualScatter*usualScatter + df*max(own+mood, 0)) / (usualWorth + df)
	s := Scatter{CV: math.Sqrt(total), DF: usualWorth + df, N: m.n}
	share, serial := 0.0, 0.0
	if own+mood > 0 {
		share, serial = clamp(mood/(own+mood)), lasting/(own+mood)
	}
	s.Shared = (usualWorth*usualShared + m.met*share) / (usualWorth + m.met)
	s.Serial = m.believed(serial)
	s.Shared = max(s.Shared, s.Serial/fading) // what lasts is mood
	return s
}

// believed is the serial correlation that is believed of one that was seen.
func (m moments) believed(seen float64) float64 {
	if m.pairs == 0 {
		return usualSerial
	}
	seen = clamp(seen)
	z := 0.0
	if beyond := m.raw - m.counts; beyond > 0 {
		z = min(seen*beyond/m.raw*math.Sqrt(m.pairs*serialGain), 10)
	}
	odds := serialOdds / math.Sqrt(1+m.pairs) * math.Exp(z*z/2)
	believe := odds / (1 + odds)
	usual := usualSerial * serialWorth / (serialWorth + m.pairs)
	return max(0, min(believe*seen+(1-believe)*usual, fading))
}

const (
	// One over the variance of a serial correlation of 0, over pairs: products up to
	// four evenings apart, each weighted by 0.6 to its distance less one, are Σ 0.36^k.
	serialGain = 1.5
	// Odds for moods that last before anything is seen, over the root of the pairs, as
	// the information criterion of Schwarz (1978) has it; and what the usual is worth, in
	// pairs (our choice, by simulation: lower odds cost coverage where moods last, higher
	// ones power where they do not).
	serialOdds  = 2.5
	serialWorth = 20.0
)

func clamp(x float64) float64 { return max(0, min(x, 1)) }

// solve returns the variances of sessions and of moods, and what lasts of them.
// Where no evening has two sessions, mood and own cannot be told apart, and all is
// taken as own; where no evening follows another, nothing lasts.
func (m moments) solve() (own, mood, lasting float64) {
	b, y := m.by, m.sum
	if m.met == 0 { // rows 0 and 1 are the same then
		b[1], y[1] = [3]float64{0, 1, 0}, 0
		b[0][1], b[2][1] = 0, 0
	}
	if m.pairs > 0 {
		if x := slices.Clone(y[:]); solve(slices.Concat(b[0][:], b[1][:], b[2][:]), x) {
			return x[0], x[1], x[2]
		}
	}
	b[2], y[2] = [3]float64{0, 0, 1}, 0
	if !solve(slices.Concat(b[0][:], b[1][:], b[2][:]), y[:]) {
		return 0, 0, 0
	}
	return y[0], y[1], y[2]
}

// scatterIn is the scatter that the Works bring, or the usual one.
func scatterIn(ws []*Work) Scatter {
	for _, w := range ws {
		if s := w.Scatter; s.DF > 0 {
			return s
		}
	}
	return Scatter{}.or()
}

// scatterOr is the scatter that the Works bring, or their own.
func scatterOr(sides ...[]*Work) Scatter {
	for _, ws := range sides {
		if s := scatterIn(ws); s.N > 0 {
			return s
		}
	}
	return scatterAmong(inOrder(slices.Concat(sides...)))
}

// widen stretches the exact Poisson limits of a pace by the scatter of the
// sessions it rests on: the logs of both are taken as independent.
func (s Scatter) widen(iv Interval, pace, variance float64) Interval {
	reach := tQuantile(s.DF) * math.Sqrt(math.Log1p(variance))
	if !(pace > 0) {
		iv.High *= math.Exp(reach)
		return iv
	}
	iv.Low = pace * math.Exp(-math.Hypot(math.Log(pace/iv.Low), reach))
	iv.High = pace * math.Exp(math.Hypot(math.Log(iv.High/pace), reach))
	return iv
}
