// The bootstrap over sessions behind the interval of a like-for-like speed.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"
)

const (
	// A standard error from b replicates is itself off by about 1/√(2b):
	// 2 % here, well below what a page can show.
	replicates = 1000
	// A replicate that draws only sessions without a part has no hours per
	// part. Leaving a few out does no harm; above this share the speed hangs on
	// single sessions and no interval is given.
	mostUndefined = 0.01
	// About this many timed blocks in a class are needed for ±20 % (scatter of
	// 30 %); below it the interval carries a caution.
	comfortable = 9
	// Below this many sessions in the smallest cell the draws are few and far
	// between, and the log of their quotients bends what they say upward.
	enoughToDraw = 6
)

// stratum is the timed sessions of one cell in one build.
type stratum struct {
	hours, parts     []float64
	sumHours, sumOut float64 // totals; sumOut is parts
	moments          moments
}

// stratumOf takes Works of one each session.
func stratumOf(sessions []Work) stratum {
	s := stratum{hours: make([]float64, 0, len(sessions)), parts: make([]float64, 0, len(sessions))}
	for i := range sessions {
		if w := &sessions[i]; w.timed() {
			s.hours, s.parts = append(s.hours, w.Hours), append(s.parts, w.Parts)
			s.sumHours += w.Hours
			s.sumOut += w.Parts
		}
	}
	s.moments = momentsOf(s.hours, s.parts)
	return s
}

// redraw returns hours per part of n-1 sessions drawn with replacement from the
// n of the stratum. Drawing n-1 instead of n makes the variance that of the
// usual s²/n: n draws understate it by (n-1)/n, which is a half in a cell of
// two sessions (Rao J.N.K., Wu C.F.J. 1988, JASA 83, 231–241). ok is false when the
// draw holds no parts. A stratum has at least two sessions.
func (s *stratum) redraw(rng *rand.PCG) (perPart float64, ok bool) {
	n := uint64(len(s.hours))
	hours, parts := s.hours, s.parts[:n]
	var h, p float64
	for k := uint64(1); k < n; k += 2 {
		// Each half of a draw picks a session: (half · n) / 2³², which favours
		// none by more than n in 2³².
		bits := rng.Uint64()
		i := (bits & 0xffffffff) * n >> 32
		h += hours[i]
		p += parts[i]
		if k+1 < n {
			i = (bits >> 32) * n >> 32
			h += hours[i]
			p += parts[i]
		}
	}
	return h / p, p > 0
}

// logVariance is the variance of log(Σ hours/Σ parts) by linearisation, and its
// floor from the rounding of the counts.
func (s *stratum) logVariance() (variance, floor float64) {
	n := float64(len(s.hours))
	r := s.sumHours / s.sumOut
	for i, h := range s.hours {
		d := (h - r*s.parts[i]) / s.sumHours
		variance += d * d
	}
	variance *= n / (n - 1)
	floor = roundingVariance * n / (s.sumOut * s.sumOut)
	return math.Max(variance, floor), floor
}

// spread is the variance of log(Σ hours/Σ parts), its rounding floor and its
// degrees of freedom. Two sessions have one degree of freedom, on which Student's t
// reaches thirteen standard errors; they are judged by the scatter the person is
// known to have, theirs weighing as the one degree that it is.
func (s *stratum) spread(known Scatter) (variance, floor, df float64) {
	variance, floor = s.logVariance()
	df = float64(len(s.hours) - 1)
	if len(s.hours) >= enoughForScatter {
		return variance, floor, df
	}
	var hh float64
	for _, h := range s.hours {
		hh += h * h
	}
	assumed := 1/s.sumOut + math.Log1p(known.CV*known.CV)*hh/(s.sumHours*s.sumHours)
	return math.Max((df*variance+known.DF*assumed)/(df+known.DF), floor), floor, df + known.DF
}

// side is one build over the shared cells: strata, hours per part, parts.
type side struct {
	strata []stratum
	h, q   []float64
}

// sidesOf sets up both builds over the shared rows, in row order.
func sidesOf(rows []CellRow, of map[Cell]strata) [2]side {
	var out [2]side
	for _, r := range rows {
		for k, s := range of[r.Cell] {
			out[k].strata = append(out[k].strata, s)
			out[k].h = append(out[k].h, s.sumHours/s.sumOut)
			out[k].q = append(out[k].q, s.sumOut)
		}
	}
	return out
}

// speedInterval returns the 95 % interval of speed = 1/Fisher. Why the steps are
// as they are:
//
//   - Sessions are drawn within build and cell. Drawing from a whole build could
//     lose every session of a shared cell, and the replicate would then speak of
//     other cells than the number it is to judge. The mix q is held at what was
//     done: the question is the speed on this mix.
//   - A session that spans two cells is drawn in each on its own; its evening's
//     mood is thereby taken to be independent between them.
//   - The standard error of log speed over the replicates is widened by
//     Student's t on the effective degrees of freedom of the strata
//     (Satterthwaite), because percentiles of draws from two or three sessions
//     cannot reach beyond those sessions and cover far less than they say.
//   - With fewer than six sessions in the smallest cell the standard error is
//     the lesser of that of the replicates and that of linearisation: n-1 draws
//     of three sessions are two, and the log of so short a sum scatters more than
//     the estimate does. Simulated at three sessions a side the draws alone cover
//     in 98 %, the lesser of both in 96 %.
//   - A cell of two sessions is judged by the scatter of all the cells together,
//     and of the usual hand (Scatter), and the standard error is then that of
//     linearisation. By their own one degree of freedom such cells cover in 97.3 %,
//     at a width that says nothing.
//   - On the log scale the limits are positive, and exchanging the builds gives
//     the reciprocals up to the luck of the draws.
//   - The standard error is never below the rounding of whole counts, so equal
//     sessions do not feign certainty.
//
// A cell with one session on a side gives no interval: nothing shows its scatter.
// Efron B., Tibshirani R.J. (1993), An Introduction to the Bootstrap, chapters 6
// and 12; Hesterberg T. (2015), The American Statistician 69, 371–386.
func speedInterval(b [2]side, speed float64, seed uint64) Interval {
	smallest := len(b[0].strata[0].hours)
	for k := range b {
		for _, s := range b[k].strata {
			smallest = min(smallest, len(s.hours))
		}
	}
	if smallest < 2 {
		return Interval{Why: "too few to tell: a shared cell has one session only"}
	}
	logs, undefined := replicateLogs(b, seed)
	if undefined > mostUndefined*replicates {
		return Interval{Why: "too few to tell: a shared cell has too few sessions with parts"}
	}
	df, floor, linear := effectiveDF(b)
	se := lesserError(logs, linear, smallest)
	se = math.Max(se, math.Sqrt(floor))
	f := math.Exp(tQuantile(df) * se)
	iv := Interval{Low: speed / f, High: speed * f, OK: true}
	if smallest < comfortable {
		iv.Why = fmt.Sprintf("few sessions: %d in the smallest cell", smallest)
	}
	return iv
}

// lesserError is the standard error that the smallest stratum allows.
func lesserError(logs []float64, linear float64, smallest int) float64 {
	switch se := stat.StdDev(logs, nil); {
	case smallest < enoughForScatter:
		return linear
	case smallest < enoughToDraw:
		return math.Min(se, linear)
	default:
		return se
	}
}

// replicateLogs returns log Fisher of each defined replicate, and how many
// replicates had none.
func replicateLogs(b [2]side, seed uint64) (logs []float64, undefined int) {
	rng := rand.NewPCG(seed, 0)
	logs = make([]float64, 0, replicates)
	var h [2][]float64
	for k := range h {
		h[k] = make([]float64, len(b[k].strata))
	}
	for range replicates {
		defined := true
		for k := range b {
			for i := range b[k].strata {
				var ok bool
				h[k][i], ok = b[k].strata[i].redraw(rng)
				defined = defined && ok
			}
		}
		if !defined {
			undefined++
			continue
		}
		_, _, fisher := Indices(h[0], b[0].q, h[1], b[1].q)
		logs = append(logs, math.Log(fisher))
	}
	return logs, undefined
}

// effectiveDF returns the Satterthwaite degrees of freedom of log Fisher and the
// rounding floor of its variance.
func effectiveDF(b [2]side) (df, floor, linear float64) {
	var total, weighted float64
	w := sharesOf(b)
	var m moments
	for k := range b {
		for _, s := range b[k].strata {
			m.add(s.moments)
		}
	}
	known := m.scatter()
	for k := range b {
		for i, s := range b[k].strata {
			v, fl, n := s.spread(known)
			v *= w[k][i] * w[k][i]
			total += v
			floor += w[k][i] * w[k][i] * fl
			weighted += v * v / n
		}
	}
	return total * total / weighted, floor, math.Sqrt(total)
}

// sharesOf returns by how much log Fisher moves with the log of each stratum's
// hours per part (up, for the later build; down, for the earlier).
func sharesOf(b [2]side) (w [2][]float64) {
	for k := range b {
		var mix [2]float64 // Σ h·q at the earlier and at the later mix
		for i, h := range b[k].h {
			mix[0] += h * b[0].q[i]
			mix[1] += h * b[1].q[i]
		}
		for i, h := range b[k].h {
			w[k] = append(w[k], (h*b[0].q[i]/mix[0]+h*b[1].q[i]/mix[1])/2)
		}
	}
	return w
}
