// Learning: what each doubling of the parts done takes off the hours per part.

package metrics

import (
	"fmt"
	"math"
	"slices"
)

const (
	// Below this many sessions, or this many doublings of the parts done
	// between the first session and the last, a slope is a slope through
	// luck. Both are our choice, held to by the simulation of coverage.
	enoughToLearn   = 6
	enoughDoublings = 1.5
	// A bend needs a slope on either side of it.
	enoughToBend = 12
	// A curve is never read further than this many times the parts it rests on.
	furthest = 2
)

// Learning is the learning curve of one stage kind.
type Learning struct {
	Claim             // of a rate that is not 1
	Rate     float64  // hours per part after a doubling over those before: 0.86 takes 14 % off
	Interval Interval // of Rate, 95 %

	N         int     // timed sessions it rests on
	Parts     float64 // parts done in them
	Doublings float64 // of the parts done, from the middle of the first session to the end
	// Flat says that the curve has flattened: over the later half of the
	// sessions it is clearly less steep than before, and Recent's interval has 1 in it.
	Flat   bool
	Recent float64 // the rate over the later half; 0 when it is not judged

	Undated  int // counted sessions left out because nobody knows when they were
	OK       bool
	Why      string // why there is no rate, when !OK
	Sessions []string

	b, se, df float64
	firsts    map[Cell]float64 // hours of the first part, by cell
}

// lesson is a session on the curve.
type lesson struct {
	cell                 Cell
	before, parts, hours float64 // before: parts done until it began
}

// Learn fits a learning curve to the counted, timed, dated sessions of ws, all
// of one stage kind, in one build or in several:
//
//	hours per part = a · n^b     Rate = 2^b
//
// n counts the parts done of that kind (Crawford's unit model: n^b is the time
// of the n-th part, not the mean of the first n). On log–log axes that is a
// straight line, fitted with each session weighing as its parts. Why the steps
// are as they are:
//
//   - Each cell (class and finish) has its own a, and all share b: otherwise a
//     move to easier parts would pass for learning.
//   - A session is put at the middle of its parts. The middle is reckoned from
//     the parts its hours should bring, not from those it brought: a lucky
//     first evening would stand both higher and further right and tilt the line.
//   - The fit solves the quasi-Poisson equations, whose steps are the weighted
//     log–log regressions. An evening that brought no part has no logarithm of
//     hours per part; here it counts all the same.
//   - The interval is by sessions: the sandwich of their residuals, each widened
//     by its leverage (HC2), because the first sessions lie far out on a log
//     axis and the line bends to them; on Student's t with sessions less
//     coefficients. Simulated, it covers in 95 to 97 %; HC3 in 97 to 99 %.
//
// It refuses below six sessions, below one and a half doublings, and without
// degrees of freedom.
//
// Wright T.P. (1936), Journal of the Aeronautical Sciences 3, 122–128; MacKinnon
// J.G., White H. (1985), Journal of Econometrics 29, 305–325.
func Learn(ws []Work) Learning {
	l, lessons := learnFrom(ws, 0)
	if l.OK {
		l.bend(lessons)
	}
	return l
}

// learnFrom is Learn when parts were done before the sessions of ws, without a
// look at whether the curve bends.
func learnFrom(ws []Work, before float64) (l Learning, lessons []lesson) {
	lessons = l.lessons(ws, before)
	l.N = len(lessons)
	for _, s := range lessons {
		l.Parts += s.parts
	}
	if l.N < enoughToLearn {
		l.refuse(fmt.Sprintf("%d timed sessions, %d needed", l.N, enoughToLearn))
		return l, nil
	}
	if first := lessons[0]; l.Parts > 0 {
		l.Doublings = doublings(before, first.parts, before+l.Parts)
	}
	if l.Doublings < enoughDoublings {
		l.refuse(fmt.Sprintf("the parts done doubled %.1f times, %.1f needed", l.Doublings, enoughDoublings))
		return l, nil
	}
	c, ok := fitCurve(lessons, math.Inf(1))
	if !ok {
		l.refuse("the curve cannot be told from the change of parts")
		return l, nil
	}
	l.OK, l.b, l.se, l.df, l.firsts = true, c.slope, c.se, c.df, c.firsts
	l.Rate = math.Exp2(c.slope)
	reach := tQuantile(c.df) * c.se
	l.Interval = Interval{Low: math.Exp2(c.slope - reach), High: math.Exp2(c.slope + reach), OK: true}
	return l, lessons
}

// doublings is how often the parts done doubled from the middle of the first
// session, before which some were done, to the end.
func doublings(before, first, done float64) float64 {
	return math.Log2(done / max(before+first/2, 0.5))
}

func (l *Learning) refuse(why string) { l.Why, l.Interval.Why = "too few to tell: "+why, why }

// lessons puts the sessions in the order in which they were worked.
func (l *Learning) lessons(ws []Work, done float64) []lesson {
	var dated []Work
	for _, w := range ordered(ws) {
		switch {
		case !w.Counted || !w.timed() || w.Parts < 0:
		case w.Start.IsZero():
			l.Undated++
		default:
			dated = append(dated, w)
		}
	}
	l.Sessions = sessionIDs(dated)
	// One session on two cells is two lessons that begin together.
	slices.SortStableFunc(dated, func(a, b Work) int {
		if c := a.Start.Compare(b.Start); c != 0 {
			return c
		}
		return compareCells(cellOf(&a), cellOf(&b))
	})
	var out []lesson
	for i, w := range dated {
		if i > 0 && w.Session != "" && w.Session == dated[i-1].Session && cellOf(&w) == cellOf(&dated[i-1]) {
			out[len(out)-1].parts += w.Parts
			out[len(out)-1].hours += w.Hours
		} else {
			out = append(out, lesson{cellOf(&w), done, w.Parts, w.Hours})
		}
		done += w.Parts
	}
	return out
}

// curve is a fitted learning curve; later is the change of slope beyond the knot.
type curve struct {
	slope, se, later, seLater, seSum float64
	df                               float64
	firsts                           map[Cell]float64
}

// fitCurve fits the curve, with a bend at the knot (in log parts) if that is finite.
func fitCurve(lessons []lesson, knot float64) (curve, bool) {
	cells := map[Cell]int{}
	for _, s := range lessons {
		if s.parts > 0 {
			if _, ok := cells[s.cell]; !ok {
				cells[s.cell] = len(cells)
			}
		}
	}
	var in []lesson // a cell that never saw a part has no hours per part
	for _, s := range lessons {
		if _, ok := cells[s.cell]; ok {
			in = append(in, s)
		}
	}
	slope := len(cells)
	k := slope + 1
	if !math.IsInf(knot, 1) {
		k++
	}
	if len(in) <= k {
		return curve{}, false
	}
	mean, x, f, ok := solveCurve(in, cells, k, knot)
	if !ok {
		return curve{}, false
	}
	cov := sandwich(in, mean, x, f)
	// The model is of parts per hour: its slope is that of hours, turned round.
	c := curve{slope: -f.Coef[slope], se: math.Sqrt(cov[slope][slope]), df: float64(len(in) - k),
		firsts: map[Cell]float64{}}
	if k > slope+1 {
		c.later, c.seLater = -f.Coef[slope+1], math.Sqrt(cov[slope+1][slope+1])
		c.seSum = math.Sqrt(cov[slope][slope] + cov[slope+1][slope+1] + 2*cov[slope][slope+1])
	}
	for cell, j := range cells {
		c.firsts[cell] = math.Exp(-f.Coef[j])
	}
	return c, true
}

// solveCurve iterates the weighted regressions until the fitted parts rest.
func solveCurve(in []lesson, cells map[Cell]int, k int, knot float64) (mean []float64, x [][]float64, f Fit, ok bool) {
	mean = make([]float64, len(in))
	x = make([][]float64, len(in))
	z := make([]float64, len(in))
	sums := map[Cell][2]float64{}
	for _, s := range in {
		v := sums[s.cell]
		sums[s.cell] = [2]float64{v[0] + s.parts, v[1] + s.hours}
	}
	for i, s := range in {
		mean[i] = sums[s.cell][0] / sums[s.cell][1] * s.hours
		x[i] = make([]float64, k)
		x[i][cells[s.cell]] = 1
	}
	for range 100 {
		for i, s := range in {
			at := math.Log(s.before + mean[i]/2 + 0.5)
			x[i][len(cells)] = at
			if k > len(cells)+1 {
				x[i][len(cells)+1] = max(0, at-knot)
			}
			z[i] = math.Log(mean[i]/s.hours) + s.parts/mean[i] - 1
		}
		if f, ok = LeastSquares(x, z, mean); !ok {
			return nil, nil, Fit{}, false
		}
		var moved float64
		for i, s := range in {
			var eta float64
			for j, v := range x[i] {
				eta += f.Coef[j] * v
			}
			// A step of more than e-fold overshoots where the mean is far off.
			step := min(max(math.Log(s.hours)+eta-math.Log(mean[i]), -1), 1)
			mean[i] *= math.Exp(step)
			moved = max(moved, math.Abs(step))
		}
		if moved < 1e-9 {
			return mean, x, f, true
		}
	}
	return nil, nil, Fit{}, false
}

// sandwich is the HC2 covariance of the coefficients, never below what the
// rounding of whole counts leaves open.
func sandwich(in []lesson, mean []float64, x [][]float64, f Fit) [][]float64 {
	k := len(f.Coef)
	out := make([][]float64, k)
	for j := range out {
		out[j] = make([]float64, k)
	}
	for i, s := range in {
		g := make([]float64, k) // (XᵀWX)⁻¹ xᵢ
		var leverage float64
		for j := range k {
			for l, v := range x[i] {
				g[j] += f.Cov[j][l] * v
			}
			leverage += x[i][j] * g[j] * mean[i]
		}
		r := (s.parts - mean[i]) / math.Sqrt(max(1-leverage, 1e-6))
		square := max(r*r, roundingVariance)
		for j := range k {
			for l := range k {
				out[j][l] += g[j] * g[l] * square
			}
		}
	}
	return out
}

// bend looks whether the curve is flat over the later half of the sessions.
func (l *Learning) bend(lessons []lesson) {
	if l.N < enoughToBend {
		return
	}
	c, ok := fitCurve(lessons, math.Log(lessons[l.N/2].before+0.5))
	if !ok {
		return
	}
	t := tQuantile(c.df)
	sum := c.slope + c.later
	l.Recent = math.Exp2(sum)
	l.Flat = c.later-t*c.seLater > 0 && sum+t*c.seSum >= 0
}

// HoursPerPart returns the hours the n-th part of the cell takes on the curve.
// ok is false beyond twice the parts the curve rests on, before the first part,
// and for a cell that is not on it.
func (l Learning) HoursPerPart(c Cell, n float64) (hours float64, ok bool) {
	first, known := l.firsts[c]
	if !l.OK || !known || !(n >= 1) || n > furthest*l.Parts {
		return 0, false
	}
	return first * math.Pow(n, l.b), true
}

// UnitFactor is the time of the n-th part over that of the first, for a
// learning rate such as 0.8 (Crawford's unit model).
func UnitFactor(rate, n float64) float64 { return math.Pow(n, math.Log2(rate)) }

// CumulativeFactor is the time of parts 1 to n together over that of the first.
func CumulativeFactor(rate float64, n int) float64 {
	var sum float64
	for i := 1; i <= n; i++ {
		sum += UnitFactor(rate, float64(i))
	}
	return sum
}

// Sentence says the learning rate in words; unit is what one done is.
func (l Learning) Sentence(label, unit string) string {
	if !l.OK {
		return fmt.Sprintf("%s: no learning rate (%s).", label, l.Why)
	}
	off := func(rate float64) string { return fmt.Sprintf("%.0f", 100*(1-rate)) }
	span := fmt.Sprintf("(%s to %s %%; %s, %s)", Change(l.Interval.Low), Change(l.Interval.High),
		Count(l.N, "session"), Count(int(l.Parts), unit))
	var s string
	switch {
	case l.Interval.High < 1:
		s = fmt.Sprintf("%s: each doubling of the %ss done takes %s %% off the time of one %s", label, unit,
			off(l.Rate), span)
	case l.Interval.Low > 1:
		s = fmt.Sprintf("%s: each doubling of the %ss done adds %.0f %% to the time of one %s", label, unit,
			100*(l.Rate-1), span)
	default:
		s = fmt.Sprintf("%s: no learning that can be told from chance; each doubling of the %ss done changes the time of one by %s %% %s",
			label, unit, Change(l.Rate), span)
	}
	if l.Flat {
		s += "; of late the curve is flat"
	}
	return s + "."
}
