// Like for like over the years: each build beside the one before, and beside
// all before.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
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
	var links []chained
	last := -1
	var before used
	speed := 1.0
	for i, ws := range builds {
		this := o.use(ws)
		out[i] = ChainLink{Build: this.builds}
		if last < 0 {
			if len(this.works) == 0 {
				out[i].Why = "no counted sessions with measured time"
				continue
			}
			out[i].OK, out[i].Speed = true, 1
			out[i].Interval.Why = "the chain begins here"
			last, before = i, this
			continue
		}
		c, sides := compare(before, this, seed)
		out[i].Comparison = c
		if !c.OK {
			out[i].Why = c.Why
			continue
		}
		links = append(links, chained{at: i, from: last, cells: c.Cells, sides: sides})
		speed *= c.Speed
		out[i].OK, out[i].Speed = true, speed
		last, before = i, this
	}
	chainIntervals(out, links, seed)
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
		for l := range links {
			link := &links[l]
			for k := range link.sides {
				for c := range link.sides[k].strata {
					if from := again[l][c]; k == 0 && from >= 0 {
						h[l][0][c] = h[l-1][1][from]
						continue
					}
					v, ok := drawOr(&link.sides[k].strata[c], rng)
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
	moves := moves{at: map[place]int{}}
	for l, link := range links {
		link.note(&moves)
		one := &out[link.at]
		smallest := moves.smallest
		switch {
		case smallest < 2:
			one.Interval = Interval{Why: "too few to tell: a link has one session only in a cell"}
			continue
		case float64(broken[l]) > mostUndefined*replicates:
			one.Interval = Interval{Why: "too few to tell: a link has too few sessions with parts"}
			continue
		}
		df, floor, linear := moves.spread()
		f := math.Exp(tQuantile(df) * math.Max(lesserError(logs[l], linear, smallest), math.Sqrt(floor)))
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

// moves are those of a chain so far, in the order of its links.
type moves struct {
	at       map[place]int
	all      []moved
	smallest int // sessions of the smallest stratum
}

// note adds the moves of a link.
func (c chained) note(to *moves) {
	w := sharesOf(c.sides)
	for k, build := range []int{c.from, c.at} {
		for i, s := range c.sides[k].strata {
			p := place{build, c.cells[i].Cell}
			at, ok := to.at[p]
			if !ok {
				at = len(to.all)
				to.at[p] = at
				to.all = append(to.all, moved{of: s})
				if n := len(s.hours); at == 0 || n < to.smallest {
					to.smallest = n
				}
			}
			to.all[at].by += float64(2*k-1) * w[k][i]
		}
	}
}

// spread is effectiveDF over a chain.
func (m moves) spread() (df, floor, linear float64) {
	var pooled moments
	for _, one := range m.all {
		pooled.add(one.of.moments)
	}
	known := pooled.scatter()
	var total, weighted float64
	for _, one := range m.all {
		v, fl, n := one.of.spread(known)
		v *= one.by * one.by
		total += v
		floor += one.by * one.by * fl
		weighted += v * v / n
	}
	return total * total / weighted, floor, math.Sqrt(total)
}

// drawOr is a redraw that also answers for a stratum of one session.
func drawOr(s *stratum, rng *rand.PCG) (float64, bool) {
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
		return fmt.Sprintf("Build by build from %s to %s: %s times the speed (%s).", title(a.Build), title(b.Build),
			Figure(b.Speed), b.Interval.Why)
	}
	return fmt.Sprintf("Build by build from %s to %s: %s times the speed (%s to %s; %s).", title(a.Build),
		title(b.Build), Figure(b.Speed),
		Figure(b.Interval.Low), Figure(b.Interval.High), Count(last-first, "link"))
}
