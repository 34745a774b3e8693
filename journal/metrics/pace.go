// Pace: parts per hour over sessions, with its interval.

package metrics

import (
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
)

// The interval level used throughout. One level, so that two intervals on a
// page can be compared by eye.
const level = 0.95

// Below this many evenings their scatter says nothing usable: with one
// there is none, with two a t on one degree of freedom stretches it 13-fold.
const enoughForScatter = 3

// roundingVariance is the least variance a session's count can have. A session
// begins and ends somewhere within a part, and a count tells neither: two
// roundings, each uniform over one part, 1/12 each.
const roundingVariance = 1.0 / 6

// Pace is parts per hour over a set of sessions.
type Pace struct {
	PerHour  float64  // 0 when !OK
	Interval Interval // 95 %, parts per hour, never below 0
	Parts    float64  // parts done in those hours
	Hours    float64  // net bench hours
	N        int      // counted sessions, empty ones included
	Timed    int      // of those, the ones with hours
	Evenings int      // evenings the timed sessions lie on: what the interval rests on
	Few      bool     // fewer than three of them
	OK       bool
	Why      Why // why there is no pace, when !OK
	Sessions []string

	Dispersion   float64 // variance of the parts over that of counts; 0 when there is none
	Untimed      int     // counted sessions with parts but no hours, left out of everything above
	UntimedParts float64 // their parts
	Reopened     float64 // parts opened again, not in Parts

	// Of the same kinds of work, not counted: nobody said whether anything got done.
	Uncounted      int     // evenings with such sessions
	UncountedHours float64 // their hours
	AtLeast        float64 // the pace if nothing got done in them, 0 when !OK
}

// PaceOf returns parts per hour over the counted sessions of ws:
//
//	pace r = Σ parts / Σ hours
//
// A session of zero parts is in it with its hours. Works that are not Counted are
// not; where their kind is one that is counted, Uncounted, UncountedHours and AtLeast
// tell how far off the pace could be for want of them. All kinds of knowing enter: the
// caller selects, and shows measured, estimated and remembered pace apart.
//
// With three evenings or more the interval is laid on the log scale, with the
// standard error and the degrees of freedom of spreadOf:
//
//	r · exp(± t(0.975; df) · s)
//
// Evenings scatter about the pace of their class of parts, and from twelve on about a
// trend in it: a move to other parts and learning are no scatter.
//
// The log scale is chosen because a pace is a positive quantity that is off by a
// factor rather than by an amount: the limits stay above 0 however few parts
// there are, and the interval of hours per part is exactly the reciprocal. Σ parts is
// never taken to be known better than its rounding.
//
// One or two evenings cannot show their scatter, and the exact Poisson
// interval of Σp (Garwood 1936) knows only that of counts: with 30 parts in an
// evening and moods of 30 % it is half as wide as it should be. It is widened by
// the scatter the person is known to have, or by the usual one (Work.Scatter); Few
// is set and the interval carries the caution "few evenings". None: OK false. Zero
// parts in some hours is a pace of 0 whose upper limit is the exact Poisson one,
// since nothing scatters about 0. More reopened than done gives OK false. Parts in
// a session without hours cannot stand in a rate: they are left out and told in
// Untimed. A session with neither raises N and changes nothing else.
//
// Garwood F. (1936), Biometrika 28, 437–442.
func PaceOf(ws []Work) Pace { return paceAmong(pointers(ws)) }

func paceAmong(ws []*Work) Pace {
	counted := make([]*Work, 0, len(ws))
	var not []*Work
	for _, w := range ws {
		_, countable := CountedKind(w.Kind)
		switch {
		case w.Counted:
			counted = append(counted, w)
		case countable:
			not = append(not, w)
		}
	}
	p := paceOfSessions(bySession(inOrder(counted)))
	if len(not) > 0 {
		p.beside(bySession(inOrder(not)))
	}
	return p
}

// beside tells the sessions of a pace that nobody counted.
func (p *Pace) beside(not []*Work) {
	p.Uncounted = len(calendarOf(not).block)
	for _, w := range not {
		if w.timed() {
			p.UncountedHours += w.Hours
		}
	}
	if p.OK {
		p.AtLeast = p.Parts / (p.Hours + p.UncountedHours)
	}
}

// paceOfSessions is PaceOf for counted Works, ordered, one a session.
func paceOfSessions(ws []*Work) Pace {
	var p Pace
	p.Sessions = make([]string, 0, len(ws))
	for _, w := range ws {
		switch {
		case w.timed():
			p.Parts += w.Parts
			p.Reopened += w.Reopened
			p.Hours += w.Hours
			p.Timed++
		case !w.empty():
			p.Untimed++
			p.UntimedParts += w.Parts
			continue
		}
		p.N++
		if w.Session != "" {
			p.Sessions = append(p.Sessions, w.Session)
		}
	}
	slices.Sort(p.Sessions)
	p.Sessions = slices.Compact(p.Sessions)
	c := calendarOf(ws)
	p.Evenings = len(c.block)
	p.Few = p.Evenings < enoughForScatter
	switch {
	case p.N+p.Untimed == 0:
		p.Why = Because("no counted sessions")
	case p.Timed == 0:
		p.Why = Because("no hours in the counted sessions")
	case !(p.Parts >= 0):
		p.Why = Because("more parts reopened than done")
	}
	if p.Why.Any() {
		p.Interval.Why = p.Why
		return p
	}
	p.OK = true
	p.PerHour = p.Parts / p.Hours
	known := scatterIn(ws)
	if p.Few || p.Parts == 0 {
		p.Interval = exactPace(p)
		if p.Few {
			p.Interval = known.widen(p.Interval, p.PerHour, c.moodOf(ws, known))
		}
		return p
	}
	s := c.spreadOf(c.paceMoves(shareZeros(ws), p.Parts), known, true)
	f := math.Exp(tQuantile(s.df) * math.Sqrt(s.variance))
	p.Dispersion = s.variance * p.Parts
	p.Interval = Interval{Low: p.PerHour / f, High: p.PerHour * f, OK: true}
	return p
}

// paceMoves are the cells of a pace: its log moves with theirs by their shares of
// the parts.
func (c *calendar) paceMoves(ws []*Work, parts float64) []moved {
	in := map[Cell][]*Work{}
	var cells []Cell
	for _, w := range ws {
		cell := cellOf(w)
		if _, ok := in[cell]; !ok {
			cells = append(cells, cell)
		}
		in[cell] = append(in[cell], w)
	}
	slices.SortFunc(cells, compareCells)
	out := make([]moved, 0, len(cells))
	for _, cell := range cells {
		s := c.stratumOf(in[cell])
		out = append(out, moved{of: s, by: s.sumOut / parts})
	}
	return out
}

// moodOf is the variance of the mean of the sessions by what is known of the
// person's scatter alone.
func (c *calendar) moodOf(ws []*Work, known Scatter) float64 {
	s := c.stratumOf(ws)
	var own float64
	for _, l := range s.loads {
		own += l.squares
	}
	mood := c.moods(known)
	variance := known.own() * own
	for _, l := range s.loads {
		for _, m := range s.loads {
			variance += l.hours * m.hours * mood.at(l.at, m.at)
		}
	}
	return variance / (s.sumHours * s.sumHours)
}

// exactPace is the Garwood interval of a pace, with the caution that fits.
func exactPace(p Pace) Interval {
	low, high := PoissonInterval(p.Parts, level)
	iv := Interval{Low: low / p.Hours, High: high / p.Hours, OK: true}
	if p.Few {
		iv.Why = Because("few evenings")
	} else {
		iv.Why = Because("no parts done in %d sessions", p.Timed)
	}
	return iv
}

// tQuantile is the upper point of Student's t for the two-sided level.
func tQuantile(df float64) float64 {
	if n := int(df); float64(n) == df && n >= 1 && n < commonDF {
		return commonT()[n]
	}
	return tPoint(df)
}

// Every cell of a comparison asks for the point of a few sessions less one, and
// finding it takes longer than the rest of its interval.
const commonDF = 64

var commonT = sync.OnceValue(func() []float64 {
	points := make([]float64, commonDF)
	for n := 1; n < commonDF; n++ {
		points[n] = tPoint(float64(n))
	}
	return points
})

// tPoint begins at the series of Cornish and Fisher and goes on by Halley's steps, each of
// which cubes what is left; an inversion of the incomplete beta function takes ten times
// as long. Below few degrees of freedom the series does not begin near enough.
//
// Abramowitz M., Stegun I.A. (1964), Handbook of Mathematical Functions, 26.7.5.
func tPoint(df float64) float64 {
	const chance = 1 - (1-level)/2
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}
	if df < 3 {
		return t.Quantile(chance)
	}
	z := zQuantile()
	y := z * z
	x := z * (1 + ((y+1)/4+(((5*y+16)*y+3)/96+(((3*y+19)*y+17)*y-15)/384/df)/df)/df)
	for range 10 {
		off := (t.CDF(x) - chance) / t.Prob(x)
		x -= off / (1 + off*(df+1)*x/(2*(df+x*x)))
		if math.Abs(off) < 1e-6 {
			break
		}
	}
	return x
}
