// Pace: parts per hour over sessions, with its interval.

package metrics

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
)

// The interval level used throughout. One level, so that two intervals on a
// page can be compared by eye.
const level = 0.95

// Below this many timed sessions their scatter says nothing usable: with one
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
	Timed    int      // of those, the ones with hours: what the interval rests on
	Few      bool     // fewer than three timed sessions
	OK       bool
	Why      string // why there is no pace, when !OK
	Sessions []string

	Dispersion   float64 // quasi-Poisson dispersion; 0 when there is none
	Untimed      int     // counted sessions with parts but no hours, left out of everything above
	UntimedParts float64 // their parts
	Reopened     float64 // parts opened again, not in Parts
}

// PaceOf returns parts per hour over the counted sessions of ws:
//
//	pace r = Σ parts / Σ hours
//
// Works that are not Counted are passed over. All kinds of knowing enter: the
// caller selects, and shows measured, estimated and remembered pace apart.
//
// With three timed sessions or more the interval is quasi-Poisson on sessions.
// The dispersion φ is the Pearson statistic over n-1, and the interval is laid
// on the log scale:
//
//	φ = Σ (p - r·h)²/(r·h) / (n-1)      r · exp(± t(0.975; n-1) · √(φ / Σp))
//
// The log scale is chosen because a pace is a positive quantity that is off by a
// factor rather than by an amount: the limits stay above 0 however few parts
// there are, and the interval of hours per part is exactly the reciprocal. The
// linear scale, r ± t·√(φ·r/Σh), agrees when Σp is large and goes below
// 0 when it is not. φ may be below 1 (a person works more evenly than chance),
// but Σp is never taken to be known better than its rounding: φ·Σp ≥ n/6.
//
// From twelve dated sessions on φ is taken from sessions that follow each other
// on parts of one cell (localDispersion), so that learning and a change of parts
// do not count as scatter: about one common pace a simulated learner's interval at
// 30 sessions covers in 97.5 % instead of 93.5 %.
//
// One or two timed sessions cannot show their scatter, and the exact Poisson
// interval of Σp (Garwood 1936) knows only that of counts: with 30 parts in an
// evening and moods of 30 % it is half as wide as it should be. It is widened by
// the scatter the person is known to have, or by the usual one (Work.Scatter); Few
// is set and the interval carries the caution "few sessions". None: OK false. Zero
// parts in some hours is a pace of 0 whose upper limit is the exact Poisson one,
// since nothing scatters about 0. More reopened than done gives OK false. Parts in
// a session without hours cannot stand in a rate: they are left out and told in
// Untimed. A session with neither raises N and changes nothing else.
//
// McCullagh P., Nelder J.A. (1989), Generalized Linear Models, chapter 6;
// Wedderburn R.W.M. (1974), Biometrika 61, 439–447.
func PaceOf(ws []Work) Pace {
	counted := make([]Work, 0, len(ws))
	for i := range ws {
		if ws[i].Counted {
			counted = append(counted, ws[i])
		}
	}
	return paceOfSessions(bySession(ordered(counted)))
}

// paceOfSessions is PaceOf for counted Works, ordered, one a session.
func paceOfSessions(ws []Work) Pace {
	var p Pace
	parts, hours := make([]float64, 0, len(ws)), make([]float64, 0, len(ws))
	p.Sessions = make([]string, 0, len(ws))
	dated := true
	for i := range ws {
		w := &ws[i]
		switch {
		case w.timed():
			p.Parts += w.Parts
			p.Reopened += w.Reopened
			p.Hours += w.Hours
			p.Timed++
			parts, hours = append(parts, w.Parts), append(hours, w.Hours)
			dated = dated && !w.Start.IsZero()
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
	p.Few = p.Timed < enoughForScatter
	switch {
	case p.N+p.Untimed == 0:
		p.Why = "no counted sessions"
	case p.Timed == 0:
		p.Why = "no hours in the counted sessions"
	case !(p.Parts >= 0):
		p.Why = "more parts reopened than done"
	}
	if p.Why != "" {
		p.Interval.Why = p.Why
		return p
	}
	p.OK = true
	p.PerHour = p.Parts / p.Hours
	if p.Few || p.Parts == 0 {
		p.Interval = exactPace(p)
		if p.Few {
			p.Interval = scatterIn(ws).widen(p.Interval, p.PerHour, hours)
		}
		return p
	}
	// ok holds: at least three timed sessions and parts above 0.
	stat, n, _ := PearsonDispersion(parts, hours)
	df := float64(n)
	p.Dispersion = stat / df
	if dated && p.Timed >= enoughToBend {
		if phi, local, ok := localDispersion(ws); ok {
			p.Dispersion, df = phi, local
		}
	}
	variance := math.Max(p.Dispersion*p.Parts, roundingVariance*float64(p.Timed)) // of Σp
	f := math.Exp(tQuantile(df) * math.Sqrt(variance) / p.Parts)
	p.Interval = Interval{Low: p.PerHour / f, High: p.PerHour * f, OK: true}
	return p
}

// exactPace is the Garwood interval of a pace, with the caution that fits.
func exactPace(p Pace) Interval {
	low, high := PoissonInterval(p.Parts, level)
	iv := Interval{Low: low / p.Hours, High: high / p.Hours, OK: true}
	if p.Few {
		iv.Why = "few sessions"
	} else {
		iv.Why = fmt.Sprintf("no parts done in %d sessions", p.Timed)
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

func tPoint(df float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(1 - (1-level)/2)
}
