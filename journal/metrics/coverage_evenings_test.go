// How often the intervals of pace and speed cover the truth where evenings have
// moods.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

// habits are how a simulated person's evenings go.
type habits struct {
	name     string
	sd       float64 // of the log pace of a session
	shared   float64 // share of its variance that the evening's sessions have in common
	lasting  float64 // correlation of the mood of an evening with that of the next
	sessions int     // of an evening
	rate     float64 // parts an hour
	tails    bool    // Student's t on three degrees of freedom
	slow     bool    // one session goes at a tenth of the pace
	missing  float64 // share of sessions without a count
	rounded  bool    // times to a quarter of an hour
}

var manyHabits = []habits{
	{name: "log-sd 0.3", sd: 0.3, sessions: 1},
	{name: "log-sd 0.6", sd: 0.6, sessions: 1},
	{name: "t3 tails", sd: 0.3, sessions: 1, tails: true},
	{name: "one session tenfold slow", sd: 0.3, sessions: 1, slow: true},
	{name: "two sessions of one mood", sd: 0.3, shared: 1, sessions: 2},
	{name: "three sessions, half a mood", sd: 0.4, shared: 0.5, sessions: 3},
	{name: "moods AR(1) 0.6", sd: 0.3, shared: 1, lasting: 0.6, sessions: 1},
	{name: "moods AR(1) 0.6, two sessions", sd: 0.35, shared: 0.7, lasting: 0.6, sessions: 2},
	{name: "30 % of counts missing", sd: 0.3, shared: 0.5, sessions: 2, missing: 0.3},
	{name: "times to 15 minutes", sd: 0.3, shared: 0.5, sessions: 2, rounded: true},
	{name: "one part an hour", sd: 0.3, sessions: 1, rate: 1},
}

// sitter is a simulated person with habits.
type sitter struct {
	habits
	rng  *rand.Rand
	mood float64
	now  time.Time
	n    int
}

func newSitter(rng *rand.Rand, h habits) *sitter {
	if h.rate == 0 {
		h.rate = []float64{6, 15, 30}[rng.IntN(3)]
	}
	return &sitter{habits: h, rng: rng, mood: rng.NormFloat64(), now: time.Date(2026, 1, 2, 19, 0, 0, 0, time.UTC)}
}

// noise is of mean 0 and variance 1.
func (s *sitter) noise() float64 {
	if s.tails {
		t := distuv.StudentsT{Mu: 0, Sigma: 1 / math.Sqrt(3), Nu: 3, Src: s.rng}.Rand()
		return max(-7, min(t, 7)) // else the mean of a pace does not exist
	}
	return s.rng.NormFloat64()
}

// mean is the mean of exp(sd·noise).
func (h habits) mean() float64 {
	if h.tails {
		return meanOfTails()
	}
	return math.Exp(h.sd * h.sd / 2)
}

// meanOfTails is the mean for t3 tails with a log-sd of 0.3.
var meanOfTails = sync.OnceValue(func() float64 {
	const sd = 0.3
	t := distuv.StudentsT{Mu: 0, Sigma: 1 / math.Sqrt(3), Nu: 3}
	sum := t.CDF(-7)*math.Exp(-7*sd) + t.Survival(7)*math.Exp(7*sd)
	for x := -7.0; x < 7; x += 0.001 {
		sum += 0.001 * t.Prob(x+0.0005) * math.Exp(sd*(x+0.0005))
	}
	return sum
})

// evenings sits down on n evenings, at a pace of speed times the usual. classes
// says which class each evening is of.
func (s *sitter) evenings(build string, n int, speed float64, class func(i int) (string, float64)) []Work {
	var ws []Work
	mean := s.habits.mean()
	slow := s.rng.IntN(n * s.sessions)
	for i := range n {
		s.now = s.now.AddDate(0, 0, 1+s.rng.IntN(3))
		s.mood = s.lasting*s.mood + math.Sqrt(1-s.lasting*s.lasting)*s.noise()
		for k := range s.sessions {
			h := (22.5 + 75*s.rng.Float64()) / 60
			name, easy := class(i)
			x := s.sd * (math.Sqrt(s.shared)*s.mood + math.Sqrt(1-s.shared)*s.noise())
			rate := s.rate * speed * easy * math.Exp(x) / mean
			if s.slow && i*s.sessions+k == slow {
				rate /= 10
			}
			w := Work{Session: fmt.Sprintf("%s-%04d", build, s.n), Build: build, Kind: "clean", Class: name, Known: Measured,
				Evening: s.now.Format(time.DateOnly), Start: s.now.Add(time.Duration(k) * time.Hour), Hours: h,
				Parts: distuv.Poisson{Lambda: rate * h, Src: s.rng}.Rand(), Counted: s.rng.Float64() >= s.missing}
			if s.rounded {
				w.Hours = math.Round(4*h) / 4
			}
			s.n++
			ws = append(ws, w)
		}
	}
	return ws
}

func oneClass(int) (string, float64) { return "flat", 1 }

// with gives each Work what the journal knows of the person.
func with(s Scatter, of ...[]Work) {
	for _, ws := range of {
		for i := range ws {
			ws[i].Scatter = s
		}
	}
}

// What the interval of a habit covers where it is outside 93 to 97 %, and why.
var exceptions = map[string][2]float64{
	// One session that goes at a tenth widens the interval more than it moves
	// the pace.
	"one session tenfold slow": {0.95, 1},
	// Counts of one or two an evening: the interval is as good as that of the counts,
	// which are whole numbers.
	"one part an hour": {0.93, 0.995},
	// From so few evenings nobody can tell how long moods last; forty earlier ones tell
	// roughly.
	"moods AR(1) 0.6":               {0.89, 0.97},
	"moods AR(1) 0.6, two sessions": {0.89, 0.97},
}

// Of a person whom forty earlier evenings are known of: the pace of 6, 10 and 20
// evenings, and the speed of two builds of as many.
func TestCoverageOfEvenings(t *testing.T) {
	t.Parallel()
	for _, of := range []string{"pace", "speed"} {
		for _, h := range manyHabits {
			b := newBand(t, of+", "+h.name, level, 150)
			if e, ok := exceptions[h.name]; ok {
				b.least, b.most = e[0], e[1]
			}
			for _, n := range []int{6, 10, 20} {
				b.row(n, 0.1, func(rng *rand.Rand, n int, c *coverage) { h.cover(of, rng, n, c) })
			}
		}
	}
}

func (h habits) cover(of string, rng *rand.Rand, n int, c *coverage) {
	s := newSitter(rng, h)
	before, a := s.evenings("before", 40, 1, oneClass), s.evenings("a", n, 1, oneClass)
	if of == "pace" {
		with(ScatterOf(append(before, a...)), a)
		truth := s.rate
		if h.slow {
			truth *= 1 - 0.9/float64(n*s.sessions)
		}
		p := PaceOf(a)
		c.add(p.Interval, byFactor, p.PerHour, truth)
		return
	}
	b := s.evenings("b", n, 1.25, oneClass)
	with(ScatterOf(slices.Concat(before, a, b)), a, b)
	like := LikeForLike(a, b)
	c.add(like.Interval, byFactor, like.Speed, 1.25)
}

// The person of the power table: moods of 20 %, sessions of 25 % on top, two of
// them on an evening, and counts; a build against three earlier ones.
func TestPowerOfSpeed(t *testing.T) {
	t.Parallel()
	h := habits{sd: math.Hypot(0.2, 0.25), shared: 0.04 / (0.04 + 0.0625), sessions: 2, rate: 20}
	runs := max(200, *coverageRuns)
	for _, row := range []struct {
		n           int
		gain        float64
		least, most float64
	}{{12, 1, 0, 0.08}, {6, 1.25, 0.2, 1}, {12, 1.25, 0.4, 1}, {24, 1.25, 0.7, 1}} {
		var found float64
		for run := range runs {
			s := newSitter(rand.New(rand.NewPCG(*coverageSeed, uint64(run))), h)
			earlier := slices.Concat(s.evenings("a", row.n, 1, oneClass), s.evenings("b", row.n, 1, oneClass),
				s.evenings("c", row.n, 1, oneClass))
			later := s.evenings("d", row.n, row.gain, oneClass)
			with(ScatterOf(slices.Concat(earlier, later)), earlier, later)
			if LikeForLike(earlier, later).PValue < 0.05 {
				found += 1 / float64(runs)
			}
		}
		t.Logf("%2d evenings a build, speed %.2f: p below 0.05 in %.1f %%", row.n, row.gain, 100*found)
		if found < row.least || found > row.most {
			t.Errorf("want %.0f to %.0f %%", 100*row.least, 100*row.most)
		}
	}
}
