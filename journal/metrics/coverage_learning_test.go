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

// learnt is one row: builders whose learning is asked for.
type learnt struct {
	learner
	builds, evenings int
}

// rowsOf runs the rows and judges them together; together asks for all kinds of work
// at once.
func (b *band) rowsOf(together bool, rows ...learnt) {
	b.Helper()
	for _, r := range rows {
		b.Logf("%d of %d evenings: %+v", r.builds, r.evenings, r.learner)
		b.row(r.evenings, 0.02, func(rng *rand.Rand, n int, c *coverage) {
			ws := r.learner.builds(rng, r.builds, n)
			got := Learn(ws)
			if together {
				got = LearnTogether(ws, nil)
			}
			c.add(got.Interval, byFactor, got.Rate, r.learn)
		})
	}
	b.close()
}

// Kits are harder or easier all the way through; where they are all alike, see
// TestCoverageOfLearningIsWide.
func TestCoverageOfLearningAcrossKits(t *testing.T) {
	t.Parallel()
	newBand(t, "learning, kits differ", level, 120).rowsOf(false,
		learnt{learner{learn: 1, sd: 0.3, kit: 0.2}, 4, 8},
		learnt{learner{learn: 1, sd: 0.3, kit: 0.4}, 4, 9},
		learnt{learner{learn: 1, sd: 0.3, kit: 0.2}, 6, 20},
		learnt{learner{learn: 1, sd: 0.3, kit: 0.4, follows: 0.6}, 6, 10},
		learnt{learner{learn: 1, sd: 0.3, kit: 0.2, follows: 0.6}, 8, 8},
		learnt{learner{learn: 0.85, sd: 0.3, kit: 0.4}, 8, 9},
	)
}

// Within a build, moods that follow each other must not pass for learning.
func TestCoverageOfLearningWithinABuild(t *testing.T) {
	t.Parallel()
	newBand(t, "learning, moods follow", level, 150).rowsOf(false,
		learnt{learner{learn: 1, sd: 0.3, follows: 0.6}, 1, 6},
		learnt{learner{learn: 1, sd: 0.3, follows: 0.6}, 1, 10},
		learnt{learner{learn: 1, sd: 0.3, follows: 0.6}, 1, 20},
		learnt{learner{learn: 1, sd: 0.6, follows: 0.6}, 1, 11},
		learnt{learner{learn: 0.85, sd: 0.3, follows: 0.6}, 1, 12},
		learnt{learner{learn: 1, sd: 0.3, slow: true}, 1, 13},
		learnt{learner{learn: 1, sd: 0.3, tails: true}, 1, 14},
	)
}

// All kinds of work together, which share moods and kits.
func TestCoverageOfLearningTogether(t *testing.T) {
	t.Parallel()
	newBand(t, "learning, all kinds together", level, 70).rowsOf(true,
		learnt{learner{learn: 1, sd: 0.3, kinds: 8, kit: 0.4}, 4, 8},
		learnt{learner{learn: 1, sd: 0.3, kinds: 8, kit: 0.2, apart: true}, 4, 9},
		learnt{learner{learn: 1, sd: 0.3, kinds: 4, kit: 0.3, follows: 0.6}, 6, 6},
		learnt{learner{learn: 1, sd: 0.3, kinds: 8, follows: 0.6}, 1, 10},
	)
}

// Where moods do not follow each other, or kits are all alike, nobody can know so from
// few evenings or builds: the intervals are wider than they would have to be, and are
// only held to cover as often as they say.
func TestCoverageOfLearningIsWide(t *testing.T) {
	t.Parallel()
	b := newBand(t, "learning, nothing hangs together", level, 80)
	b.least, b.most = 0.94, 0.995
	for _, r := range []learnt{
		{learner{learn: 1, sd: 0.3}, 1, 10},
		{learner{learn: 0.85, sd: 0.3}, 1, 12},
		{learner{learn: 0.85, sd: 0.3}, 1, 30},
		{learner{learn: 1, sd: 0.3}, 4, 8},
		{learner{learn: 1, sd: 0.3}, 8, 9},
	} {
		b.Logf("%d of %d evenings: %+v", r.builds, r.evenings, r.learner)
		b.row(r.evenings, 0, func(rng *rand.Rand, n int, c *coverage) {
			l := Learn(r.learner.builds(rng, r.builds, n))
			c.add(l.Interval, byFactor, l.Rate, r.learn)
		})
	}
	if share := b.all.share(b.all.hit); share < b.least || share > b.most {
		b.Errorf("covers %.1f %%", 100*share)
	}
}
