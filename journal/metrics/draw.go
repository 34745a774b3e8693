// One draw of a forecast, and the dice.

package metrics

import (
	"math"
	"math/bits"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// mostDrawn bounds the evenings of one draw; beyond it the scatter of what is
	// to come is nothing beside that of the pace.
	mostDrawn = 400
	// steepest and risingMost bound a drawn slope: a curve that halves the time of a
	// part at each doubling, or adds a tenth, is luck.
	steepest, risingMost = -1.0, 0.14
	// usualSlope lies between no learning and a tenth off at each doubling, and people
	// differ by as much (log2 of 0.95, and of 0.93): common practice, no source.
	usualSlope, slopesDiffer = -0.074, 0.07
	// Holidays, illness, a move: while a habit is known from few weeks, one in
	// sixty begins a gap of three weeks on average, so that a twentieth of all
	// weeks is off. What is assumed is worth fifteen of them: common practice, no
	// source.
	gapsBegin, gapsLast, gapsWorth = 1.0 / 60, 3.0, 15
)

// dice are the random numbers of a forecast.
type dice struct {
	*rand.Rand
	pcg *rand.PCG // the source of Rand, so that both draw from one stream
}

func newDice(seed uint64) *dice {
	pcg := rand.NewPCG(seed, 1)
	return &dice{rand.New(pcg), pcg}
}

// below draws a number from 0 to n-1, without the detour over an interface that
// Rand takes: forecasts draw evenings by the million. Numbers that would favour the
// first few are drawn again, as Rand does.
func (d *dice) below(n int) int {
	most := uint64(n)
	if most&(most-1) == 0 {
		return int(d.pcg.Uint64() & (most - 1))
	}
	high, low := bits.Mul64(d.pcg.Uint64(), most)
	for low < most && low < -most%most {
		high, low = bits.Mul64(d.pcg.Uint64(), most)
	}
	return int(high)
}

// follow is the evening that is drawn after another of n: the next, the first after the
// last, or one time in long any.
func (d *dice) follow(at, n, long int) int {
	if d.below(long) == 0 {
		return d.below(n)
	}
	if at++; at == n {
		return 0
	}
	return at
}

// draw returns draws of the cost of the given yield.
func (p *pool) draw(rng *dice, yield float64, draws int) []float64 {
	yields := make([]float64, draws)
	for i := range yields {
		yields[i] = yield
	}
	return p.drawEach(rng, yields)
}

// drawEach returns one draw of the cost for each yield. Its steps:
//
//   - What is expected: the yield at the present pace, on a drawn learning curve
//     where there is one.
//   - By how much it may be off, as a log: what the pace may be (evenings drawn
//     anew, one fewer than there are) and how the evenings to come may go (evenings
//     drawn until all is done). They are drawn in blocks of consecutive evenings, so
//     that a bad spell stays a spell. Fewer than six evenings are not drawn.
//   - Few evenings show neither their swings nor how they follow each other: what
//     the logs lack of the variance that swings.logVariance gives is added as a normal
//     error, and each is stretched by the tail of Student's t.
//   - Gaps that the weeks do not know of are put in between.
func (p *pool) drawEach(rng *dice, yields []float64) []float64 {
	out := make([]float64, len(yields))
	off := make([]float64, len(yields))
	var variance, have, last, one float64
	for i, y := range yields {
		if !(y > 0) {
			continue
		}
		out[i] = p.expected(rng, y)
		if out[i] != last { // without a curve and a yield of its own, each draw expects the same
			last, one = out[i], p.logVariance(out[i]/p.mean)
			if p.other {
				one += classesDiffer * classesDiffer
			}
		}
		if len(p.cost) >= enoughToDraw {
			off[i] = p.spell(rng, out[i])
		}
		variance += one
	}
	usual := stat.Mean(off, nil)
	for _, o := range off {
		have += (o - usual) * (o - usual)
	}
	// What the evenings do not show is added; what they show by luck is taken off.
	stretch, more := 1.0, math.Sqrt(max(variance-have, 0)/float64(len(yields)))
	if have > variance {
		stretch = math.Sqrt(variance / have)
	}
	tail := distuv.ChiSquared{K: p.df, Src: rng}
	for i := range out {
		if out[i] > 0 {
			log := stretch*(off[i]-usual) + more*rng.NormFloat64()
			out[i] *= math.Exp(log * math.Sqrt(p.df/tail.Rand()))
			out[i] += p.away(rng, out[i])
		}
	}
	return out
}

// expected is the cost of a yield at the present pace.
func (p *pool) expected(rng *dice, yield float64) float64 {
	if p.mids == nil {
		return yield * p.perYield
	}
	b := distuv.StudentsT{Mu: p.slope.at, Sigma: p.slope.sd, Nu: p.slope.df, Src: rng}.Rand()
	at, _, perYield := p.atPresentCost(b, yield, rng.Float64())
	return at * perYield
}

// furthest is how many times the parts it rests on a learning curve is read.
const furthest = 2

// atPresentCost returns the parts to come, on a slope of the learning curve, and
// those of each evening in parts at what one costs now. Beyond twice the parts done
// the slope goes on by the given share.
func (p *pool) atPresentCost(b, parts, on float64) (yield float64, of []float64, perYield float64) {
	b = min(max(b, steepest+1e-9), risingMost)
	if p.of == nil {
		p.of = make([]float64, len(p.yield))
	}
	var cost, sum float64
	for i, y := range p.yield {
		p.of[i] = y * math.Exp(b*p.mids[i])
		sum += p.of[i]
		cost += p.cost[i]
	}
	end := 1 + parts/p.done
	reach := min(end, furthest)
	yield = p.done * (math.Pow(reach, b+1) - 1) / (b + 1)
	if end > reach {
		on *= b
		yield += p.done * math.Pow(reach, b+1) * (math.Pow(end/reach, on+1) - 1) / (on + 1)
	}
	return yield, p.of, cost / sum
}

// spell draws by how much the log of a cost may be off. Blocks begin anywhere,
// have random lengths and go round from the last evening to the first (the
// stationary bootstrap); their length on average grows with the cube root of the
// evenings, as blocks should (Künsch).
//
// Künsch H.R. (1989), Annals of Statistics 17, 1217–1241; Politis D.N., Romano J.P.
// (1994), Journal of the American Statistical Association 89, 1303–1313.
func (p *pool) spell(rng *dice, expected float64) float64 {
	n := len(p.cost)
	costs, worths := p.cost, p.worth[:n]
	long := int(math.Ceil(math.Cbrt(float64(n))))
	// A draw without a yield is drawn again: it says "never", which no forecast can
	// use.
	var cost, worth float64
	var at int
	for !(worth > 0) {
		cost, worth, at = 0, 0, rng.below(n)
		for range n - 1 {
			at = rng.follow(at, n, long)
			cost += costs[at]
			worth += worths[at]
		}
	}
	var spent float64
	left := expected
	at = rng.below(n)
	for drawn := 0; left > 0 && drawn < mostDrawn; drawn++ {
		at = rng.follow(at, n, long)
		if worths[at] > left {
			spent += costs[at] * left / worths[at]
			left = 0
			break
		}
		spent += costs[at]
		left -= worths[at]
	}
	return math.Log(cost / worth * (spent + left) / expected)
}

// away draws the weeks of the gaps that begin within so many weeks, at most a
// hundred years of them: the tail of a draw may reach beyond any calendar.
func (p *pool) away(rng *dice, weeks float64) (off float64) {
	if p.gaps == 0 {
		return 0
	}
	for at := rng.ExpFloat64() / p.gaps; at < min(weeks, mostWeeks); at += rng.ExpFloat64() / p.gaps {
		off += math.Ceil(gapsLast * rng.ExpFloat64())
	}
	return off
}
