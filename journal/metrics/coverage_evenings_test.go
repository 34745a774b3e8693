// How often the intervals of pace and speed cover the truth where evenings have
// moods.

package metrics

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
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
	if !h.tails {
		return math.Exp(h.sd * h.sd / 2)
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1 / math.Sqrt(3), Nu: 3}
	sum := t.CDF(-7)*math.Exp(-7*h.sd) + t.Survival(7)*math.Exp(7*h.sd)
	for x := -7.0; x < 7; x += 0.001 {
		sum += 0.001 * t.Prob(x+0.0005) * math.Exp(h.sd*(x+0.0005))
	}
	return sum
}

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

var only = flag.String("only", "", "")

func TestCoverageSim(t *testing.T) {
	runs := 500
	for _, past := range []int{0, 40} {
		for _, h := range manyHabits {
			if *only != "" && !strings.Contains(h.name, *only) {
				continue
			}
			for _, n := range []int{6, 10, 20} {
				var pace, speed coverage
				var wide, df float64
				for run := range runs {
					rng := rand.New(rand.NewPCG(uint64(run), uint64(n)))
					s := newSitter(rng, h)
					var before []Work
					if past > 0 {
						before = s.evenings("before", past, 1, oneClass)
					}
					a := s.evenings("a", n, 1, oneClass)
					b := s.evenings("b", n, 1.25, oneClass)
					with(ScatterOf(append(before, a...)), a)
					p := PaceOf(a)
					truth := s.rate
					if h.slow {
						truth *= 1 - 0.9/float64(n)
					}
					pace.add(p.Interval, byFactor, p.PerHour, truth)
					all := append(append(before, a...), b...)
					with(ScatterOf(all), a, b)
					c := LikeForLike(a, b)
					speed.add(c.Interval, byFactor, c.Speed, 1.25)
					wide += math.Log(c.Interval.High/c.Interval.Low) / 2
					df += ScatterOf(all).Serial
				}
				t.Logf("past %2d %-30s n=%2d pace %5.1f (below %4.1f above %4.1f)  speed %5.1f  half-width %.3f serial %.3f", past, h.name, n, 100*pace.share(pace.hit), 100*pace.share(pace.low), 100*pace.share(pace.high),
					100*speed.share(speed.hit), wide/float64(runs), df/float64(runs))
			}
		}
	}
}
