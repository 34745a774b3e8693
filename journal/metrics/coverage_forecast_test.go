// How often the ranges of a forecast hold what then happens, over simulated
// people at the bench: see coverage_test.go for how the table is made and read.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

// coverageDraws are fewer draws than a forecast has: each limit is then off by a
// hundredth and a half of probability, to both sides alike.
const coverageDraws = 400

// hand is somebody whose evenings have moods that may follow each other.
type hand struct {
	rng     *rand.Rand
	rate    float64 // parts an hour at the first part
	learn   float64 // hours per part after a doubling over those before; 1 = does not learn
	sd, rho float64 // of the log of moods, from evening to evening
	quarter bool    // times are written down in quarters of an hour
	mood    float64
	done    float64
	now     time.Time
	n       int
}

func newHand(rng *rand.Rand, learn, sd, rho float64) *hand {
	return &hand{rng: rng, rate: []float64{6, 15, 30}[rng.IntN(3)], learn: learn, sd: sd, rho: rho,
		mood: sd * rng.NormFloat64(), now: time.Date(2024, 1, 2, 19, 0, 0, 0, time.UTC)}
}

// evening works on a kind of work and returns what was written down, and the
// hours it really took.
func (h *hand) evening(kind string) (Work, float64) {
	hours := (20 + 70*h.rng.Float64()) / 60
	mean := h.rate * hours
	for range 30 { // the time of the middle part
		mean = h.rate * hours / math.Pow(h.done+mean/2+0.5, math.Log2(h.learn))
	}
	h.mood = h.rho*h.mood + h.sd*math.Sqrt(1-h.rho*h.rho)*h.rng.NormFloat64()
	p := distuv.Poisson{Lambda: mean * math.Exp(h.mood-h.sd*h.sd/2), Src: h.rng}.Rand()
	h.done += p
	h.now = h.now.AddDate(0, 0, 1+h.rng.IntN(4))
	h.n++
	w := Work{Session: fmt.Sprintf("s%04d", h.n), Build: "b", Kind: kind, Class: "flat", Evening: h.now.Format(time.DateOnly),
		Start: h.now, Hours: hours, Parts: p, Counted: true, Known: Measured}
	if h.quarter {
		w.Hours = max(math.Round(4*hours), 1) / 4
	}
	return w, hours
}

// past is the work of a person before the forecast: other evenings of another kind,
// then n of the one that is asked.
func (h *hand) past(other, n int) (ws []Work, parts float64) {
	for range other {
		w, _ := h.evening("cut")
		ws = append(ws, w)
	}
	if h.learn == 1 {
		h.done = 0
	} else {
		h.done = 200 // who forecasts has built before
	}
	for range n {
		w, _ := h.evening("clean")
		ws, parts = append(ws, w), parts+w.Parts
	}
	known := ScatterOf(ws)
	for i := range ws {
		ws[i].Scatter = known
	}
	return ws, parts
}

// takes is how long so many parts really take.
func (h *hand) takes(left float64) (hours float64) {
	for left > 0 {
		w, took := h.evening("clean")
		hours += took * min(1, left/max(w.Parts, 1e-9))
		left -= w.Parts
	}
	return hours
}

// Where little is known, what is assumed lies between people who differ by a factor of
// two: the swings of their evenings or weeks, and how far moods follow each other.
// From six to ten of them nobody can tell which is which, so the ranges of the
// evenest people hold somewhat too often, and those of people of wide moods in long
// spells too seldom. Other work of theirs, or more of it, settles it. These
// conditions are held where they are, and off says by how much of probability.
//
// spreadBand holds both ranges of a forecast to what they promise.
type spreadBand struct{ outer, inner *band }

func newSpreadBand(t *testing.T, what string, off float64, runs int) spreadBand {
	b := spreadBand{newBand(t, what+", 80 %", 0.8, runs), newBand(t, what+", 50 %", 0.5, runs)}
	b.outer.least, b.outer.most = 0.75+off, 0.85+off
	b.inner.least, b.inner.most = 0.43+off, 0.57+off
	return b
}

func (b spreadBand) row(n int, refused float64, one func(rng *rand.Rand, n int) (Spread, bool, float64)) {
	b.outer.Helper()
	b.outer.row(n, refused, func(rng *rand.Rand, n int, c *coverage) {
		s, ok, truth := one(rng, n)
		c.add(Interval{Low: s.Low80, High: s.High80, OK: ok}, byFactor, s.Middle, truth)
		b.inner.all.add(Interval{Low: s.Low50, High: s.High50, OK: ok}, byFactor, s.Middle, truth)
	})
}

func (b spreadBand) close(all *spreadBand) {
	b.outer.Helper()
	for _, one := range []*band{b.outer, b.inner} {
		one.tell("in all", one.all)
		mid := (one.least + one.most) / 2
		luck := 2 * math.Sqrt(mid*(1-mid)/float64(one.all.given))
		if share := one.all.share(one.all.hit); share < one.least-luck || share > one.most+luck {
			one.Errorf("%s: covers %.1f %%, want %.0f to %.0f (seed %d)", one.what, 100*share, 100*one.least, 100*one.most,
				*coverageSeed)
		}
	}
	all.outer.all.and(b.outer.all)
	all.inner.all.and(b.inner.all)
}

// over holds all conditions together, which is what tells a range that is a fifth
// too narrow or too wide.
func over(t *testing.T, what string) *spreadBand {
	b := newSpreadBand(t, what, 0, 0)
	b.inner.least, b.inner.most = 0.45, 0.55
	return &b
}

// The hours that the parts left take, when 20, 40, 60 or 80 % are done.
func TestCoverageOfForecastHours(t *testing.T) {
	t.Parallel()
	all := over(t, "hours, all conditions")
	for _, c := range []struct {
		what           string
		learn, sd, rho float64
		quarter        bool
		other          int
		n              []int
		off            float64
	}{
		{what: "steady", learn: 1, sd: 0.3},
		{what: "steady, moods 0.6", learn: 1, sd: 0.6},
		{what: "learning", learn: 0.9, sd: 0.3},
		{what: "quarters of an hour", learn: 1, sd: 0.3, quarter: true},
		{what: "moods follow", learn: 1, sd: 0.3, rho: 0.6},
		{what: "moods 0.6 follow", learn: 1, sd: 0.6, rho: 0.6, off: -0.11},
		{what: "moods follow, other work", learn: 1, sd: 0.3, rho: 0.6, other: 40},
		{what: "moods 0.6 follow, other work", learn: 1, sd: 0.6, rho: 0.6, other: 40},
		{what: "few", learn: 1, sd: 0.3, n: []int{2, 4}, off: 0.05},
		{what: "few, moods 0.6", learn: 1, sd: 0.6, n: []int{2, 4}, off: -0.09},
		{what: "few, other work", learn: 1, sd: 0.3, other: 40, n: []int{2, 4}},
		{what: "few, moods 0.6, other work", learn: 1, sd: 0.6, other: 40, n: []int{2, 4}},
	} {
		b := newSpreadBand(t, "hours, "+c.what, c.off, 100)
		if c.n == nil {
			c.n = []int{6, 10, 20, 40}
		}
		for _, n := range c.n {
			b.row(n, 0.02, func(rng *rand.Rand, n int) (Spread, bool, float64) {
				h := newHand(rng, c.learn, c.sd, c.rho)
				h.quarter = c.quarter
				ws, parts := h.past(c.other, n)
				if parts == 0 {
					return Spread{}, false, 0
				}
				share := 0.2 * float64(1+rng.IntN(4))
				left := math.Ceil(parts*(1-share)/share) + 1
				f := newPools(ws).predict([]Task{{Cell: cellOf(&ws[len(ws)-1]), Parts: left}}, nil, rng.Uint64(), coverageDraws)
				return f.Hours, f.OK, h.takes(left)
			})
		}
		b.close(all)
	}
	all.outer.close()
	all.inner.close()
}

// weekly is somebody's bench hours by the week.
type weekly struct {
	rng     *rand.Rand
	idle    float64 // share of single weeks without an hour
	gap     float64 // chance that a week begins a gap; gaps last three weeks on average
	sd, rho float64 // of the log of the hours of a week; sd 0 = between 1 and 7 hours, all alike
	mood    float64
	away    bool
}

func (p *weekly) week() float64 {
	if p.away = p.rng.Float64() < map[bool]float64{true: 2.0 / 3, false: p.gap}[p.away]; p.away {
		return 0
	}
	p.mood = p.rho*p.mood + p.sd*math.Sqrt(1-p.rho*p.rho)*p.rng.NormFloat64()
	switch {
	case p.rng.Float64() < p.idle:
		return 0
	case p.sd == 0:
		return 1 + 6*p.rng.Float64()
	}
	return 4 * math.Exp(p.mood-p.sd*p.sd/2)
}

// The weeks that hours take, from the hours of so many weeks. A twentieth of
// the weeks off and not written down lies in gaps of three weeks on average.
func TestCoverageOfForecastWeeks(t *testing.T) {
	t.Parallel()
	all := over(t, "weeks, all conditions")
	for _, c := range []struct {
		what               string
		idle, gap, sd, rho float64
		off                float64
	}{
		{"one in four idle", 0.25, 0, 0, 0, 0},
		{"even", 0, 0, 0.3, 0, 0.08},
		{"uneven", 0, 0, 0.6, 0, 0},
		{"single weeks off", 0.05, 0, 0.3, 0, 0.06},
		{"gaps", 0, 0.05 / 3, 0.3, 0, 0.05},
		{"gaps, one in four idle", 0.25, 0.05 / 3, 0, 0, 0},
		{"gaps, moods 0.6", 0, 0.05 / 3, 0.6, 0, 0},
		{"gaps, moods follow", 0, 0.05 / 3, 0.3, 0.6, 0},
		{"gaps, moods 0.6 follow", 0, 0.05 / 3, 0.6, 0.6, -0.11},
	} {
		b := newSpreadBand(t, "weeks, "+c.what, c.off, 100)
		for _, n := range []int{6, 10, 20, 40} {
			b.row(n, 0.03, func(rng *rand.Rand, n int) (Spread, bool, float64) {
				p := &weekly{rng: rng, idle: c.idle, gap: c.gap, sd: c.sd, rho: c.rho}
				p.mood = p.sd * rng.NormFloat64()
				weeks := make([]float64, n)
				for i := range weeks {
					weeks[i] = p.week()
				}
				from := poolOfWeeks(weeks)
				if from == nil {
					return Spread{}, false, 0
				}
				need := make([]float64, coverageDraws)
				hours := 10 + 60*rng.Float64()
				for i := range need {
					need[i] = hours
				}
				s := spreadOf(from.drawEach(newDice(rng.Uint64()), need))
				var took float64
				for to := hours; to > 0; {
					h := p.week()
					took += min(1, to/max(h, 1e-9))
					to -= h
				}
				return s, true, took
			})
		}
		b.close(all)
	}
	all.outer.close()
	all.inner.close()
}
