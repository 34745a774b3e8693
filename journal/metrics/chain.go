// Like for like over the years: each build beside the one before, and beside
// all before.

package metrics

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// ChainLink is a build in a chain.
type ChainLink struct {
	Build      string
	Comparison Comparison // with the build before it in the chain; zero value in the first
	Speed      float64    // over the first build of the chain; 1 in the first, 0 when !OK
	Interval   Interval   // of Speed, 95 %; none in the first
	OK         bool
	Why        string // why it does not hang on the chain
}

// Chain compares builds, given in their order, each with the one before it, and
// multiplies the speeds. A build that shares no kind of work with the build
// before it does not hang on the chain; the next is compared with the last that
// does. A chain can drift where a link compares few cells: beside it belongs the
// comparison with all earlier builds, which is Compare with their Works together.
//
// The interval of a speed over several links comes from drawing each build's
// sessions once for both links it stands in, because a lucky evening of the
// build in the middle slows the one link as it speeds the other. Its tail is
// that of Student's t on the degrees of freedom of all strata together.
//
// Methods as in the Producer Price Index Manual (2004), chapter 15 (chaining).
func Chain(builds [][]Work, seed uint64, o Options) []ChainLink {
	out := make([]ChainLink, len(builds))
	var drawn []chained
	last := -1
	speed := 1.0
	for i, ws := range builds {
		out[i] = ChainLink{Build: buildsOf(ws)}
		if last < 0 {
			if used, _, _ := o.usable(ws); len(used) == 0 {
				out[i].Why = "no counted sessions with measured time"
				continue
			}
			out[i].OK, out[i].Speed = true, 1
			out[i].Interval.Why = "the chain begins here"
			last = i
			continue
		}
		c := Compare(builds[last], ws, seed, o)
		out[i].Comparison = c
		if !c.OK {
			out[i].Why = c.Why
			continue
		}
		earlier, _, _ := o.usable(builds[last])
		later, _, _ := o.usable(ws)
		drawn = append(drawn, chained{at: i, from: last, cells: c.Cells, sides: sidesOf(c.Cells, earlier, later)})
		speed *= c.Speed
		out[i].OK, out[i].Speed = true, speed
		last = i
	}
	chainIntervals(out, drawn, seed)
	return out
}

// chained is a link with its strata.
type chained struct {
	at, from int
	cells    []CellRow
	sides    [2]side
}

// place is one cell of one build.
type place struct {
	build int
	cell  Cell
}

// chainIntervals draws all builds together and fills in the intervals.
func chainIntervals(out []ChainLink, links []chained, seed uint64) {
	logs := make([][]float64, len(links))
	broken := make([]int, len(links))
	rng := rand.NewPCG(seed, 2)
	again := reused(links)
	h := make([][2][]float64, len(links))
	for l, link := range links {
		for k := range link.sides {
			h[l][k] = make([]float64, len(link.cells))
		}
		logs[l] = make([]float64, 0, replicates)
	}
	for range replicates {
		sum, whole := 0.0, true
		for l, link := range links {
			for k := range link.sides {
				for c, s := range link.sides[k].strata {
					if from := again[l][c]; k == 0 && from >= 0 {
						h[l][0][c] = h[l-1][1][from]
						continue
					}
					v, ok := drawOr(s, rng)
					whole = whole && ok
					h[l][k][c] = v
				}
			}
			if !whole {
				broken[l]++
				continue
			}
			_, _, fisher := Indices(h[l][0], link.sides[0].q, h[l][1], link.sides[1].q)
			sum -= math.Log(fisher)
			logs[l] = append(logs[l], sum)
		}
	}
	moves := map[place]*moved{}
	for l, link := range links {
		smallest := link.note(moves)
		one := &out[link.at]
		for _, m := range moves {
			smallest = min(smallest, len(m.of.hours))
		}
		switch {
		case smallest < 2:
			one.Interval = Interval{Why: "too few to tell: a link has one session only in a cell"}
			continue
		case float64(broken[l]) > mostUndefined*replicates:
			one.Interval = Interval{Why: "too few to tell: a link has too few sessions with parts"}
			continue
		}
		df, floor, linear := spreadOfMoves(moves)
		se := stat.StdDev(logs[l], nil)
		if smallest < enoughToDraw {
			se = math.Min(se, linear)
		}
		f := math.Exp(tQuantile(df) * math.Max(se, math.Sqrt(floor)))
		one.Interval = Interval{Low: one.Speed / f, High: one.Speed * f, OK: true}
	}
}

// reused says, for each cell of a link, which cell of the link before drew the
// same sessions of the build they share; −1 = none.
func reused(links []chained) [][]int {
	out := make([][]int, len(links))
	for l, link := range links {
		for _, c := range link.cells {
			at := -1
			if l > 0 {
				at = slices.IndexFunc(links[l-1].cells, func(o CellRow) bool { return o.Cell == c.Cell })
			}
			out[l] = append(out[l], at)
		}
	}
	return out
}

// moved is a stratum and by how much the log of the chain moves with the log
// of its hours per part. A cell that all builds share moves out again at the
// link after: the chain then compares its ends.
type moved struct {
	of stratum
	by float64
}

// note adds the moves of a link and returns its smallest stratum.
func (c chained) note(moves map[place]*moved) (smallest int) {
	smallest = math.MaxInt
	w := sharesOf(c.sides)
	for k, build := range []int{c.from, c.at} {
		for i, s := range c.sides[k].strata {
			p := place{build, c.cells[i].Cell}
			if moves[p] == nil {
				moves[p] = &moved{of: s}
			}
			moves[p].by += float64(2*k-1) * w[k][i]
			smallest = min(smallest, len(s.hours))
		}
	}
	return smallest
}

// spreadOfMoves is effectiveDF over a chain.
func spreadOfMoves(moves map[place]*moved) (df, floor, linear float64) {
	var terms [][3]float64
	for _, m := range moves {
		v, fl := m.of.logVariance()
		v *= m.by * m.by
		terms = append(terms, [3]float64{v, m.by * m.by * fl, v * v / float64(len(m.of.hours)-1)})
	}
	slices.SortFunc(terms, func(a, b [3]float64) int { return cmp.Compare(a[0], b[0]) }) // a map has no order, a sum has
	var total, weighted float64
	for _, t := range terms {
		total += t[0]
		floor += t[1]
		weighted += t[2]
	}
	return total * total / weighted, floor, math.Sqrt(total)
}

// drawOr is a redraw that also answers for a stratum of one session.
func drawOr(s stratum, rng *rand.PCG) (float64, bool) {
	if len(s.hours) < 2 {
		return s.sumHours / s.sumOut, s.sumOut > 0
	}
	return s.redraw(rng)
}

// ChainSentence says where the chain ends; title names a build by its id.
func ChainSentence(chain []ChainLink, title func(id string) string) string {
	first := slices.IndexFunc(chain, func(l ChainLink) bool { return l.OK })
	last := len(chain) - 1
	for last >= 0 && !chain[last].OK {
		last--
	}
	if first < 0 || last <= first {
		return "No two builds in a row share a kind of work that can be compared."
	}
	a, b := chain[first], chain[last]
	if !b.Interval.OK {
		return fmt.Sprintf("Build by build from %s to %s: %s times the speed (%s).", title(a.Build), title(b.Build), figure(b.Speed), b.Interval.Why)
	}
	return fmt.Sprintf("Build by build from %s to %s: %s times the speed (%s to %s; %s).", title(a.Build), title(b.Build), figure(b.Speed),
		figure(b.Interval.Low), figure(b.Interval.High), plural(last-first, "link"))
}
