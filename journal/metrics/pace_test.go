// PaceOf: by hand, at its edges, and under changes that must not matter.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

func ExamplePaceOf() {
	p := PaceOf([]Work{
		{Session: "mon", Kind: "clean", Parts: 14, Hours: 1, Counted: true, Known: Measured},
		{Session: "wed", Kind: "clean", Parts: 22, Hours: 2, Counted: true, Known: Measured},
		{Session: "fri", Kind: "clean", Parts: 9, Hours: 0.5, Counted: true, Known: Measured},
		{Session: "sun", Kind: "clean", Parts: 27, Hours: 2.5, Counted: true, Known: Measured},
	})
	fmt.Printf("%.1f parts an hour (%.1f to %.1f), n = %d\n",
		p.PerHour, p.Interval.Low, p.Interval.High, p.N)
	// Output:
	// 12.0 parts an hour (7.8 to 18.4), n = 4
}

// Evenings of equal length: the standard error of the log is that of the mean of
// the counts over their mean. Mean 18, squares 16 + 16 + 81 + 81 = 194, s² = 194/3, so
// √(194/3/4)/18 on 3 degrees of freedom; t(0.975; 3) = 3.182446.
func TestPaceByHand(t *testing.T) {
	p := PaceOf([]Work{clean("b", "1", "flat", 14, 1), clean("b", "2", "flat", 22, 1),
		clean("b", "3", "flat", 9, 1), clean("b", "4", "flat", 27, 1)})
	f := math.Exp(3.182446305284264 * math.Sqrt(194.0/12) / 18)
	near(t, "dispersion", p.Dispersion, 194.0/12/18/18*72, 1e-9)
	near(t, "low", p.Interval.Low, 18/f, 1e-9)
	near(t, "high", p.Interval.High, 18*f, 1e-9)
	if !p.OK || p.N != 4 || p.Timed != 4 || p.Evenings != 4 || p.Few || p.Parts != 72 || p.Hours != 4 || p.Interval.Why.Any() {
		t.Errorf("%+v", p)
	}
}

// Two sessions of an hour: the exact Poisson limits 4.795389 and 18.390356 of 10
// parts, widened by two moods of 30 % whose mean counts, on 15 degrees of freedom.
func TestPaceOfFewSessions(t *testing.T) {
	ws := []Work{clean("b", "1", "flat", 7, 1), clean("b", "2", "flat", 3, 1)}
	p := PaceOf(ws)
	reach := 2.131449545559323 * math.Sqrt(math.Log1p(0.09/2))
	near(t, "low", p.Interval.Low, 5*math.Exp(-math.Hypot(math.Log(10/4.795389), reach)), 1e-5)
	near(t, "high", p.Interval.High, 5*math.Exp(math.Hypot(math.Log(18.390356/10), reach)), 1e-5)
	if !p.OK || !p.Few || p.Interval.Why.String() != "few evenings" {
		t.Errorf("%+v", p)
	}
	judged := func(cv float64) Pace {
		own := slices.Clone(ws)
		for i := range own {
			own[i].Scatter = Scatter{CV: cv, DF: 40}
		}
		return PaceOf(own)
	}
	even, uneven := judged(0.001), judged(0.6)
	near(t, "an even hand scatters as counts do", even.Interval.High, 18.390356/2, 1e-3)
	if !(uneven.Interval.High > p.Interval.High && uneven.Interval.Low < p.Interval.Low && uneven.PerHour == p.PerHour) {
		t.Errorf("a moody hand: %+v, usual %+v", uneven.Interval, p.Interval)
	}
	none := PaceOf([]Work{clean("b", "1", "flat", 0, 1)})
	near(t, "no parts in an hour", none.Interval.High, 3.688879*math.Exp(2.131449545559323*math.Sqrt(math.Log(1.09))), 1e-4)
}

// The scatter of many sessions is found again, whatever their pace; nothing known
// is the usual one, and few sessions move it a little.
func TestScatterOf(t *testing.T) {
	if s := ScatterOf(nil); math.Abs(s.CV-0.3) > 1e-15 || s.DF != 15 || s.N != 0 {
		t.Errorf("of nothing: %+v", s)
	}
	rng := rand.New(rand.NewPCG(3, 3))
	for _, mood := range []float64{0, 0.2, 0.5} {
		var ws []Work
		for cell := range 40 {
			for i := range 30 {
				h := 0.5 + rng.Float64()
				mean := h * []float64{5, 20, 60}[cell%3] * math.Exp(mood*rng.NormFloat64()-mood*mood/2)
				ws = append(ws, clean(fmt.Sprint("b", cell), fmt.Sprint(i), "flat", distuv.Poisson{Lambda: mean, Src: rng}.Rand(), h))
			}
		}
		s := ScatterOf(ws)
		near(t, fmt.Sprint("mood ", mood), s.CV, math.Sqrt(math.Expm1(mood*mood)), 0.05)
		if s.N != 1200 || s.DF != 15+40*29 {
			t.Errorf("%+v", s)
		}
		if got := ScatterOf(shuffled(ws, 2)); got != s {
			t.Errorf("shuffled: %+v, was %+v", got, s)
		}
		if one := ScatterOf(ws[:3]); one.DF != 17 || math.Abs(one.CV-0.3) > 0.2 {
			t.Errorf("three sessions: %+v", one)
		}
	}
}

// Sessions that become quicker and quicker do not scatter; about one pace they would.
func TestTrendIsNotScatter(t *testing.T) {
	var ws, undated []Work
	for i := range 24 {
		w := clean("b", fmt.Sprintf("%02d", i), []string{"flat", "curved"}[i%2], float64(10+i)*float64(1+i%2), 1)
		undated = append(undated, w)
		w.Start = time.Date(2026, 1, 1+i, 19, 0, 0, 0, time.UTC)
		ws = append(ws, w)
	}
	p, common := PaceOf(ws), PaceOf(undated)
	if p.PerHour != common.PerHour || !(p.Dispersion < 0.2) || !(common.Dispersion > 3) {
		t.Errorf("%v and %v an hour, dispersion %v by neighbours, %v about one pace", p.PerHour, common.PerHour, p.Dispersion, common.Dispersion)
	}
	if few := PaceOf(ws[:20]); !(few.Dispersion > 1) {
		t.Errorf("ten evenings of a class are too few for a trend: %v", few.Dispersion)
	}
}

func TestPaceEdges(t *testing.T) {
	uncounted := clean("b", "9", "flat", 0, 3)
	uncounted.Counted = false
	open := clean("b", "9", "flat", 4, math.Inf(1))
	for name, c := range map[string]struct {
		ws      []Work
		ok      bool
		n       int
		perHour float64
		why     string
		ivOK    bool
	}{
		"none":           {nil, false, 0, 0, "no counted sessions", false},
		"uncounted only": {[]Work{uncounted}, false, 0, 0, "no counted sessions", false},
		"no hours":       {[]Work{clean("b", "1", "flat", 5, 0)}, false, 0, 0, "no hours in the counted sessions", false},
		"endless hours":  {[]Work{open}, false, 0, 0, "no hours in the counted sessions", false},
		"empty only":     {[]Work{clean("b", "1", "flat", 0, 0)}, false, 1, 0, "no hours in the counted sessions", false},
		"all reopened":   {[]Work{clean("b", "1", "flat", -2, 1)}, false, 1, 0, "more parts reopened than done", false},
		"one":            {[]Work{clean("b", "1", "flat", 5, 2)}, true, 1, 2.5, "", true},
		"untimed beside": {[]Work{clean("b", "1", "flat", 5, 2), clean("b", "2", "flat", 50, 0)}, true, 1, 2.5, "", true},
		"no parts":       {[]Work{clean("b", "1", "flat", 0, 2), clean("b", "2", "flat", 0, 1), clean("b", "3", "flat", 0, 1)}, true, 3, 0, "", true},
	} {
		p := PaceOf(c.ws)
		if p.OK != c.ok || p.N != c.n || p.PerHour != c.perHour || p.Why.String() != c.why || p.Interval.OK != c.ivOK {
			t.Errorf("%s: %+v", name, p)
		}
		if !p.Interval.OK && !p.Interval.Why.Any() {
			t.Errorf("%s: no interval and no reason", name)
		}
	}
	zero := PaceOf([]Work{clean("b", "1", "flat", 0, 2), clean("b", "2", "flat", 0, 1), clean("b", "3", "flat", 0, 1)})
	near(t, "upper limit of no parts in 4 h", zero.Interval.High, 3.688879/4, 1e-6)
	if zero.Interval.Low != 0 || zero.Interval.Why.String() != "no parts done in 3 sessions" {
		t.Errorf("%+v", zero.Interval)
	}
	un := PaceOf([]Work{clean("b", "1", "flat", 5, 2), clean("b", "2", "flat", 50, 0)})
	if un.Untimed != 1 || un.UntimedParts != 50 || un.Parts != 5 {
		t.Errorf("parts without hours: %+v", un)
	}
}

// Three evenings at exactly one pace still leave the rounding of the counts.
func TestPaceEqualSessionsAreNotCertain(t *testing.T) {
	p := PaceOf([]Work{clean("b", "1", "flat", 10, 1), clean("b", "2", "flat", 10, 1), clean("b", "3", "flat", 10, 1)})
	f := math.Exp(4.302652729911275 * math.Sqrt(0.5) / 30) // n/6 = 0.5
	near(t, "high", p.Interval.High, 10*f, 1e-9)
}

func TestPaceSessionIsTheUnit(t *testing.T) {
	split := PaceOf([]Work{clean("b", "1", "flat", 6, 0.5), clean("b", "1", "flat", 4, 0.5),
		clean("b", "2", "flat", 8, 1), clean("b", "3", "flat", 12, 1)})
	whole := PaceOf([]Work{clean("b", "1", "flat", 10, 1), clean("b", "2", "flat", 8, 1), clean("b", "3", "flat", 12, 1)})
	if !reflect.DeepEqual(split, whole) {
		t.Errorf("one evening in two lines: %+v\nin one: %+v", split, whole)
	}
	unnamed := PaceOf([]Work{clean("b", "", "flat", 10, 1), clean("b", "", "flat", 8, 1), clean("b", "", "flat", 12, 1)})
	if unnamed.N != 3 || unnamed.Interval != whole.Interval {
		t.Errorf("sessions without id are not their own: %+v", unnamed)
	}
}

func TestPaceChangesThatMustNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for range 20 {
		ws := evenings(rng, "boat", 3+rng.IntN(8), 15, "flat", "curved")
		p := PaceOf(ws)
		if !(p.Interval.Low > 0 && p.Interval.Low <= p.PerHour && p.PerHour <= p.Interval.High) {
			t.Fatalf("interval does not hold the pace, or is not above 0: %+v", p)
		}
		if got := PaceOf(shuffled(ws, rng.Uint64())); !reflect.DeepEqual(got, p) {
			t.Fatalf("shuffled: %+v\nwas %+v", got, p)
		}
		doubled := shuffled(ws, 1)
		for i := range doubled {
			doubled[i].Parts *= 2
		}
		near(t, "twice the parts", PaceOf(doubled).PerHour, 2*p.PerHour, 1e-12*p.PerHour)

		more := PaceOf(append(shuffled(ws, 2), clean("boat", "zz", "flat", 0, 0)))
		if more.N != p.N+1 {
			t.Fatalf("an empty session: n = %d, want %d", more.N, p.N+1)
		}
		more.N, more.Sessions = p.N, p.Sessions
		if !reflect.DeepEqual(more, p) {
			t.Fatalf("an empty session changes more than n: %+v\nwas %+v", more, p)
		}
	}
}

// The interval covers the true pace about as often as it says, also for uneven
// evenings and few of them.
func TestPaceIntervalCovers(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 3))
	const trials, truth = 2000, 12.0
	hit := 0
	for range trials {
		var ws []Work
		for i := range 5 {
			h := 0.5 + 2*rng.Float64()
			mood := math.Exp(0.3*rng.NormFloat64() - 0.045) // mean 1
			ws = append(ws, clean("b", fmt.Sprint(i), "flat", math.Round(truth*mood*h), h))
		}
		if iv := PaceOf(ws).Interval; iv.contains(truth) {
			hit++
		}
	}
	if share := float64(hit) / trials; share < 0.92 || share > 0.98 {
		t.Errorf("95 %% intervals cover in %.1f %%", 100*share)
	}
}

// Of two evenings of a cell one is as far above their pace as the other is below:
// they say nothing of what lasts from one to the next.
func TestScatterOfTwoEvenings(t *testing.T) {
	one, two := clean("b", "1", "flat", 25, 0.9), clean("b", "2", "flat", 20, 0.87)
	one.Start = time.Date(2026, 1, 2, 19, 0, 0, 0, time.UTC)
	two.Start = one.Start.AddDate(0, 0, 1)
	none := Scatter{}.or()
	if s := ScatterOf([]Work{one, two}); !(s.CV < 0.31 && s.CV > 0.2) || s.Shared != none.Shared || !(s.Serial <= none.Serial) {
		t.Errorf("%+v, of nothing %+v", s, none)
	}
}

// The point of Student's t against the inversion of the incomplete beta function.
func TestStudentsPoint(t *testing.T) {
	for _, df := range []float64{0.7, 1, 2.5, 3, 3.2, 4.5, 7.1, 12, 29.3, 100.5, 1e4} {
		want := distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(0.975)
		near(t, fmt.Sprint("df ", df), tPoint(df)/want, 1, 1e-11)
	}
	near(t, "table, 10", tQuantile(10), 2.228139, 5e-7) // any textbook's
	near(t, "table, 30", tQuantile(30), 2.042272, 5e-7)
}
