// How often the intervals cover the truth, over simulated builders.
//
//	go test ./journal/metrics -run Coverage -v -coverage-runs 2000 -coverage-seed 1
//
// prints the table. A simulated builder sits down for 20 to 90 minutes, is in
// a better or worse mood each time (a spread of about 30 % on top of the chance
// of counts), learns, and works on a mix of part classes. Every interval is held
// to the band its level promises, or is refused at that number of sessions.
//
// A test that passes says something only where it could have failed. So each
// also narrows every interval by a fifth, and widens it by a fifth, about its own
// estimate, and holds that the band is left then: there are enough runs to tell.

package metrics

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

var (
	coverageRuns = flag.Int("coverage-runs", 0, "simulated builders for each row of the coverage table; 0 = as many as tell an interval that is a fifth too narrow")
	coverageSeed = flag.Uint64("coverage-seed", 1, "seed of the simulated builders")
)

// builder is a simulated person at the bench.
type builder struct {
	rng   *rand.Rand
	rate  float64 // parts an hour at the first part, in class 0
	mood  float64 // standard deviation of the log pace from session to session
	learn float64 // hours per part after a doubling over those before; 1 = does not learn
	mix   int     // part classes
	done  float64
	now   time.Time
}

func newBuilder(rng *rand.Rand, learn float64, mix int) *builder {
	return &builder{rng: rng, rate: []float64{6, 15, 30}[rng.IntN(3)], mood: 0.2 + 0.2*rng.Float64(), learn: learn, mix: mix,
		now: time.Date(2026, 1, 2, 19, 0, 0, 0, time.UTC)}
}

// classRate is the pace of a class over that of the first.
func classRate(class int) float64 { return 1 / (1 + 0.6*float64(class)) }

// session works once on a class and returns it with the parts its hours should bring.
func (b *builder) session(build string, i, class int) (Work, float64) {
	h := (20 + 70*b.rng.Float64()) / 60
	rate := b.rate * classRate(class)
	mean := rate * h
	for range 30 { // the time of the middle part
		mean = rate * h / math.Pow(b.done+mean/2+0.5, math.Log2(b.learn))
	}
	mood := math.Exp(b.mood*b.rng.NormFloat64() - b.mood*b.mood/2)
	p := distuv.Poisson{Lambda: mean * mood, Src: b.rng}.Rand()
	b.done += p
	b.now = b.now.AddDate(0, 0, 1+b.rng.IntN(4))
	y, w := b.now.ISOWeek()
	return Work{Session: fmt.Sprintf("%s-%04d", build, i), Build: build, Kind: "clean", Class: fmt.Sprint("class ", class),
		Hours: h, Parts: p, Counted: true, Known: Measured, Start: b.now, Week: fmt.Sprintf("%d-W%02d", y, w)}, mean
}

// coverage tallies one row, or several.
type coverage struct {
	hit, given, refused int
	low, high           int // misses: the truth below, above
	narrowed, widened   int // hits if the intervals were a fifth narrower, a fifth wider
}

// An interval is laid about its estimate on a scale on which both sides are alike.
type scale func(float64) float64

var (
	byFactor scale = math.Log
	byAmount scale = func(x float64) float64 { return x }
	byOdds   scale = func(p float64) float64 { return math.Log(p / (1 - p)) }
)

// add tallies an interval of a number whose estimate is at.
func (c *coverage) add(iv Interval, on scale, at, truth float64) {
	switch {
	case !iv.OK:
		c.refused++
		return
	case truth < iv.Low:
		c.low++
	case truth > iv.High:
		c.high++
	default:
		c.hit++
	}
	c.given++
	// How far the truth lies, in lengths of the side of the interval it lies on.
	off, side := on(truth)-on(at), on(iv.High)-on(at)
	if off < 0 {
		off, side = -off, on(at)-on(iv.Low)
	}
	if off <= 0.8*side {
		c.narrowed++
	}
	if off <= 1.2*side {
		c.widened++
	}
}

func (c *coverage) and(o coverage) {
	c.hit, c.given, c.refused, c.low, c.high = c.hit+o.hit, c.given+o.given, c.refused+o.refused, c.low+o.low, c.high+o.high
	c.narrowed, c.widened = c.narrowed+o.narrowed, c.widened+o.widened
}

func (c *coverage) share(of int) float64 { return float64(of) / float64(c.given) }

// band is what a kind of interval promises.
type band struct {
	*testing.T
	what        string
	least, most float64 // of the intervals that cover the truth
	runs        int     // of each row
	all         coverage
}

// newBand is a kind of interval of the level, with the runs of a row where nobody
// asks for others.
func newBand(t *testing.T, what string, level float64, runs int) *band {
	b := &band{T: t, what: what, least: level - 0.02, most: level + 0.02, runs: runs}
	if level < 0.9 {
		b.least, b.most = level-0.05, level+0.05
	}
	if *coverageRuns > 0 {
		b.runs = *coverageRuns
	}
	t.Logf("%s: %d runs a row, seed %d", what, b.runs, *coverageSeed)
	return b
}

// row runs one row of n sessions. It fails when it lies outside the band by more
// than the luck of its runs, or when more is refused than the share allowed: at 1
// everything has to be.
func (b *band) row(n int, refused float64, one func(rng *rand.Rand, n int, c *coverage)) {
	b.Helper()
	var c coverage
	for run := range b.runs {
		one(rand.New(rand.NewPCG(*coverageSeed, uint64(run)<<8|uint64(n))), n, &c)
	}
	if refused == 1 {
		b.Logf("%-34s n = %2d  refused", b.what, n)
		if c.given > 0 {
			b.Errorf("%s, n = %d: %d intervals where there is too little for any", b.what, n, c.given)
		}
		return
	}
	b.tell(fmt.Sprintf("n = %2d", n), c)
	if share := float64(c.refused) / float64(b.runs); share > refused {
		b.Errorf("%s, n = %d: %.1f %% refused, at most %.0f %% should be", b.what, n, 100*share, 100*refused)
	}
	if c.given == 0 {
		return
	}
	mid := (b.least + b.most) / 2
	grace := 3 * math.Sqrt(mid*(1-mid)/float64(c.given))
	if share := c.share(c.hit); share < b.least-grace || share > b.most+grace {
		b.Errorf("%s, n = %d: covers %.1f %%, want %.0f to %.0f", b.what, n, 100*share, 100*b.least, 100*b.most)
	}
	b.all.and(c)
}

func (b *band) tell(which string, c coverage) {
	b.Logf("%-34s %s  covers %5.1f %%  (truth below %4.1f, above %4.1f; a fifth narrower %4.1f, wider %4.1f)  refused %4.1f %%", b.what, which,
		100*c.share(c.hit), 100*c.share(c.low), 100*c.share(c.high), 100*c.share(c.narrowed), 100*c.share(c.widened),
		100*float64(c.refused)/float64(c.given+c.refused))
}

// close judges all rows together: there are enough runs for no grace.
func (b *band) close() {
	b.Helper()
	if b.all.given == 0 {
		b.Errorf("%s: no interval at all, seed %d", b.what, *coverageSeed)
		return
	}
	b.tell("in all", b.all)
	if share := b.all.share(b.all.hit); share < b.least || share > b.most {
		b.Errorf("%s: covers %.1f %%, want %.0f to %.0f (seed %d)", b.what, 100*share, 100*b.least, 100*b.most, *coverageSeed)
	}
	if share := b.all.share(b.all.narrowed); share >= b.least {
		b.Errorf("%s: intervals a fifth narrower would cover %.1f %%, and nobody would notice", b.what, 100*share)
	}
	if share := b.all.share(b.all.widened); share <= b.most {
		b.Errorf("%s: intervals a fifth wider would cover %.1f %%, and nobody would notice", b.what, 100*share)
	}
}

// rows runs the rows of 3, 6, 12 and 30 sessions, with the share of each that may
// be refused.
func (b *band) rows(refused [4]float64, one func(rng *rand.Rand, n int, c *coverage)) {
	b.Helper()
	for i, n := range []int{3, 6, 12, 30} {
		b.row(n, refused[i], one)
	}
	b.close()
}

// One or two sessions show no scatter of their own: it is assumed, or taken from
// the builder's other work, here four classes of three sessions each.
func TestCoverageOfPaceOfFew(t *testing.T) {
	t.Parallel()
	for _, known := range []bool{false, true} {
		what := "pace, usual scatter"
		if known {
			what = "pace, own scatter"
		}
		b := newBand(t, what, level, 1500)
		for _, n := range []int{1, 2} {
			b.row(n, 0, func(rng *rand.Rand, n int, c *coverage) {
				b := newBuilder(rng, 1, 5)
				var s Scatter
				if known {
					var other []Work
					for i := range 12 {
						w, _ := b.session("a", i, 1+i%4)
						other = append(other, w)
					}
					s = ScatterOf(other)
				}
				var ws []Work
				for i := range n {
					w, _ := b.session("b", i, 0)
					w.Scatter = s
					ws = append(ws, w)
				}
				p := PaceOf(ws)
				c.add(p.Interval, byFactor, p.PerHour, b.rate)
			})
		}
		b.close()
	}
}

// Three evenings of unequal length have fewer than two degrees of freedom, where
// Satterthwaite's t is wider than it need be.
func TestCoverageOfPace(t *testing.T) {
	t.Parallel()
	steady := func(rng *rand.Rand, n int, c *coverage) {
		b := newBuilder(rng, 1, 1)
		var ws []Work
		for i := range n {
			w, _ := b.session("b", i, 0)
			ws = append(ws, w)
		}
		p := PaceOf(ws)
		c.add(p.Interval, byFactor, p.PerHour, b.rate)
	}
	// With learning there is no one pace: the truth is what the hours of these
	// sessions should have brought.
	learning := func(rng *rand.Rand, n int, c *coverage) {
		b := newBuilder(rng, 0.9, 2)
		var ws []Work
		var mean, hours float64
		for i := range n {
			w, m := b.session("b", i, rng.IntN(2))
			ws, mean, hours = append(ws, w), mean+m, hours+w.Hours
		}
		p := PaceOf(ws)
		c.add(p.Interval, byFactor, p.PerHour, mean/hours)
	}
	for what, one := range map[string]func(*rand.Rand, int, *coverage){"pace, steady": steady, "pace, learning, mixed": learning} {
		three := newBand(t, what, level, 1500)
		three.most = 0.99
		three.row(3, 0, one)
		more := newBand(t, what, level, 1500)
		for _, n := range []int{6, 12, 30} {
			more.row(n, 0, one)
		}
		more.close()
	}
}

// Cells in which a build has one session are left out, and a comparison needs
// one: with three sessions on three classes most have none.
func TestCoverageOfLikeForLike(t *testing.T) {
	t.Parallel()
	refused := map[int][4]float64{1: {0.1, 0.01, 0, 0}, 3: {0.9, 0.3, 0.3, 0.03}}
	for _, mix := range []int{1, 3} {
		newBand(t, fmt.Sprintf("like for like, %s", Count(mix, "class")), level, 1000).rows(refused[mix], func(rng *rand.Rand, n int, c *coverage) {
			a := newBuilder(rng, 1, mix)
			b := *a
			b.rate *= 1.25
			var earlier, later []Work
			for i := range n {
				one, _ := a.session("a", i, rng.IntN(mix))
				two, _ := b.session("b", i, rng.IntN(mix))
				earlier, later = append(earlier, one), append(later, two)
			}
			like := LikeForLike(earlier, later)
			c.add(like.Interval, byFactor, like.Speed, 1.25)
		})
	}
}

// Marks are whole numbers within 0 and 4: here the truth plus a scatter, rounded.
func marksOf(rng *rand.Rand, n int, middle float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = min(max(math.Round(middle+0.8*rng.NormFloat64()), 0), topScore)
	}
	return out
}

// expected is what the mark of marksOf is on average.
func expected(middle float64) (mean float64) {
	n := distuv.Normal{Mu: middle, Sigma: 0.8}
	for k := 1.0; k <= topScore; k++ {
		mean += 1 - n.CDF(k-0.5) // Σ P(mark ≥ k)
	}
	return mean
}

// Marks that happen to be equal show no scatter and have no interval: one in seven
// of three. The other threes are the ones that scatter, so theirs covers nearly
// always.
func TestCoverageOfMarks(t *testing.T) {
	t.Parallel()
	mean := func(rng *rand.Rand, n int, c *coverage) {
		middle := 1.5 + rng.Float64()
		m := Marks{Scores: marksOf(rng, n, middle)}.Mean()
		c.add(m.Interval, byAmount, m.Value, expected(middle))
	}
	three := newBand(t, "mean of three marks", level, 2000)
	three.least, three.most = 0.98, 1
	three.row(3, 0.2, mean)
	more := newBand(t, "mean of marks", level, 2000)
	for _, n := range []int{6, 12, 30} {
		more.row(n, 0.02, mean)
	}
	more.close()
	newBand(t, "marks with a tool and without", level, 2000).rows([4]float64{1, 0.01, 0, 0}, func(rng *rand.Rand, n int, c *coverage) {
		a, b := 1.5+rng.Float64(), 1.5+rng.Float64()
		g := GapOf(marksOf(rng, n, a), marksOf(rng, n+2, b))
		c.add(g.Interval, byAmount, g.Value, expected(a)-expected(b))
	})
}
