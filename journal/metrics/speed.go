// The interval of a like-for-like speed.

package metrics

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Below about so many evenings in the smallest cell the interval carries a
// caution: nine timed blocks are needed for ±20 % at a scatter of 30 %.
const comfortable = 9

// side is one build over the shared cells: strata, hours per part, parts.
type side struct {
	calendar *calendar
	strata   []stratum
	h, q     []float64
	extra    []float64 // by block: what it brings by the minutes a part of mixed sessions
}

// sidesOf sets up both builds over the shared rows, in row order.
func sidesOf(rows []CellRow, of map[Cell]strata, on [2]*calendar) [2]side {
	var out [2]side
	for k := range out {
		out[k].calendar, out[k].extra = on[k], make([]float64, on[k].n)
	}
	for _, r := range rows {
		for k, s := range of[r.Cell] {
			out[k].strata = append(out[k].strata, s)
			out[k].h = append(out[k].h, s.sumHours/s.sumOut)
			out[k].q = append(out[k].q, s.sumOut)
		}
	}
	return out
}

// moves are the strata of both builds, and by how much log Fisher moves with the
// log of each one's hours per part: up for the later build, down for the earlier.
func movesOf(b [2]side) (out [2][]moved) {
	for k := range b {
		var mix [2]float64 // Σ h·q at the earlier and at the later mix
		for i, h := range b[k].h {
			mix[0] += h * b[0].q[i]
			mix[1] += h * b[1].q[i]
		}
		for i, h := range b[k].h {
			by := (h*b[0].q[i]/mix[0] + h*b[1].q[i]/mix[1]) / 2
			out[k] = append(out[k], moved{b[k].strata[i], float64(2*k-1) * by})
		}
	}
	return out
}

// judge fills in the interval and the p value of speed = 1/Fisher. Log speed is
// set against Student's t with the standard error of both builds over their evenings
// (spreadOf): each build has its own, and the degrees of freedom are Satterthwaite's.
// The mix is held at what was done: the question is the speed on this mix. On the
// log scale the limits are positive, and exchanging the builds gives the reciprocals.
func (c *compared) judge() {
	b, moves := c.sides, c.moves
	smallest := math.MaxInt
	for _, r := range c.Cells {
		smallest = min(smallest, r.Earlier.Evenings, r.Later.Evenings)
	}
	s := together(b[0].calendar.spreadOf(moves[0], c.known, b[0].extra, false),
		b[1].calendar.spreadOf(moves[1], c.known, b[1].extra, false))
	c.Interval, c.Claim = s.judge(c.Speed)
	if smallest < comfortable {
		c.Interval.Why = fmt.Sprintf("few evenings: %d in the smallest cell", smallest)
	}
}

// judge lays the interval of a factor about it, and tests it against 1.
func (s spread) judge(factor float64) (Interval, Claim) {
	se := math.Sqrt(s.variance)
	f := math.Exp(tQuantile(s.df) * se)
	t := math.Abs(math.Log(factor)) / se
	return Interval{Low: factor / f, High: factor * f, OK: true},
		Claim{Tested: true, PValue: 2 * distuv.StudentsT{Mu: 0, Sigma: 1, Nu: s.df}.Survival(t)}
}
