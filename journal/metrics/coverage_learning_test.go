// How often the intervals of learning cover the truth: within one build whose moods
// follow each other, and across builds whose kits differ.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

// learner is a simulated person whose moods last an evening and follow each other, on
// kits that are harder or easier.
type learner struct {
	learn, sd, follows, kit float64 // sd of the log moods; kit: sd of the log difficulty
	tails                   bool    // moods of Student's t on 3 degrees of freedom
	slow                    bool    // one session of a tenth of the speed
	kinds                   int     // kinds of work, each with sessions on most evenings
	apart                   bool    // each kind of a kit has a difficulty of its own
}

// builds are so many, of so many evenings each.
func (l learner) builds(rng *rand.Rand, builds, evenings int) []Work {
	rate := []float64{6, 15, 30}[rng.IntN(3)]
	now := time.Date(2026, 1, 2, 19, 0, 0, 0, time.UTC)
	done := make([]float64, max(1, l.kinds))
	var ws []Work
	mood := l.shock(rng)
	for b := range builds {
		kit := l.kit * rng.NormFloat64()
		kinds := make([]float64, len(done))
		for k := range kinds {
			if kinds[k] = kit; l.apart {
				kinds[k] = l.kit * rng.NormFloat64()
			}
		}
		for range evenings {
			mood = l.follows*mood + math.Sqrt(1-l.follows*l.follows)*l.shock(rng)
			now = now.AddDate(0, 0, 1+rng.IntN(4))
			for k := range done {
				if l.kinds > 1 && rng.IntN(3) == 0 {
					continue
				}
				for s := range 1 + rng.IntN(2) {
					h := (20 + 70*rng.Float64()) / 60
					m := h * rate * math.Exp(kinds[k])
					mean := m
					for range 30 { // the time of the middle part
						mean = m / math.Pow(done[k]+mean/2+0.5, math.Log2(l.learn))
					}
					p := distuv.Poisson{Lambda: max(1e-9, mean*math.Exp(mood-l.sd*l.sd/2)), Src: rng}.Rand()
					done[k] += p
					ws = append(ws, Work{Session: fmt.Sprintf("%05d", len(ws)), Build: fmt.Sprint("build ", b),
						Kind: fmt.Sprint("kind ", k), Hours: h, Parts: p, Counted: true, Known: Measured,
						Start: now.Add(time.Duration(s*len(done)+k) * time.Minute), Evening: now.Format(time.DateOnly)})
				}
			}
		}
	}
	if l.slow {
		ws[rng.IntN(len(ws))].Hours *= 10
	}
	return ws
}

func (l learner) shock(rng *rand.Rand) float64 {
	if l.tails {
		return l.sd * distuv.StudentsT{Sigma: 1 / math.Sqrt(3), Nu: 3, Src: rng}.Rand()
	}
	return l.sd * rng.NormFloat64()
}

func TestScratch(t *testing.T) {
	runs := 300
	if *coverageRuns > 0 {
		runs = *coverageRuns
	}
	for _, rate := range []float64{1, 0.85} {
		for _, one := range []struct {
			learner
			builds, evenings int
		}{
			{learner{sd: 0.3}, 1, 6},
			{learner{sd: 0.3}, 1, 10},
			{learner{sd: 0.3}, 1, 20},
			{learner{sd: 0.6}, 1, 10},
			{learner{sd: 0.6}, 1, 20},
			{learner{sd: 0.3, tails: true}, 1, 10},
			{learner{sd: 0.3, slow: true}, 1, 10},
			{learner{sd: 0.3, follows: 0.6}, 1, 6},
			{learner{sd: 0.3, follows: 0.6}, 1, 10},
			{learner{sd: 0.3, follows: 0.6}, 1, 20},
			{learner{sd: 0.6, follows: 0.6}, 1, 10},
			{learner{sd: 0.6, follows: 0.6}, 1, 20},
			{learner{sd: 0.3, kit: 0}, 4, 8},
			{learner{sd: 0.3, kit: 0.2}, 4, 8},
			{learner{sd: 0.3, kit: 0.4}, 4, 8},
			{learner{sd: 0.3, kit: 0}, 8, 8},
			{learner{sd: 0.3, kit: 0.2}, 8, 8},
			{learner{sd: 0.3, kit: 0.4}, 8, 8},
			{learner{sd: 0.3, kit: 0.2, follows: 0.6}, 4, 8},
			{learner{sd: 0.3, kit: 0.2, follows: 0.6}, 8, 8},
			{learner{sd: 0.3, kit: 0.4, follows: 0.6}, 6, 20},
			{learner{sd: 0.3, kit: 0.2}, 6, 20},
		} {
			one.learn = rate
			var c coverage
			var width float64
			for run := range runs {
				rng := rand.New(rand.NewPCG(*coverageSeed, uint64(run)))
				l := Learn(one.learner.builds(rng, one.builds, one.evenings))
				c.add(l.Interval, byFactor, l.Rate, one.learn)
				if l.OK {
					width += math.Log(l.Interval.High / l.Interval.Low)
				}
			}
			t.Logf("learn %.2f sd %.1f follows %.1f kit %.1f tails %5v slow %5v builds %d evenings %2d: covers %5.1f (low %4.1f high %4.1f; narrower %4.1f) width %.2f refused %d", one.learn, one.sd,
				one.follows, one.kit, one.tails, one.slow, one.builds, one.evenings, 100*c.share(c.hit), 100*c.share(c.low), 100*c.share(c.high), 100*c.share(c.narrowed), width/float64(c.given), c.refused)
		}
	}
}

func TestScratch2(t *testing.T) {
	for _, one := range []struct {
		learner
		builds, evenings int
	}{
		{learner{sd: 0.3, kinds: 4}, 1, 10},
		{learner{sd: 0.3, kinds: 8, follows: 0.6}, 1, 10},
		{learner{sd: 0.3, kinds: 8, kit: 0.2}, 4, 8},
		{learner{sd: 0.3, kinds: 8, kit: 0.4}, 4, 8},
		{learner{sd: 0.3, kinds: 8, kit: 0.2, apart: true}, 4, 8},
		{learner{sd: 0.3, kinds: 8, kit: 0.4, apart: true}, 4, 8},
		{learner{sd: 0.3, kinds: 8, kit: 0.3}, 8, 8},
		{learner{sd: 0.3, kinds: 8, kit: 0.3, apart: true, follows: 0.6}, 6, 10},
	} {
		one.learn = 1
		var c coverage
		var width float64
		runs := 200
		for run := range runs {
			rng := rand.New(rand.NewPCG(*coverageSeed, uint64(run)))
			l := LearnTogether(one.learner.builds(rng, one.builds, one.evenings), nil)
			c.add(l.Interval, byFactor, l.Rate, one.learn)
			if l.OK {
				width += math.Log(l.Interval.High / l.Interval.Low)
			}
		}
		t.Logf("together %+v builds %d evenings %2d: covers %5.1f (low %4.1f high %4.1f; narrower %4.1f) width %.2f refused %d", one.learner, one.builds, one.evenings,
			100*c.share(c.hit), 100*c.share(c.low), 100*c.share(c.high), 100*c.share(c.narrowed), width/float64(c.given), c.refused)
	}
}
