// PaceOf: by hand, at its edges, and under changes that must not matter.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
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
	// 12.0 parts an hour (8.6 to 16.7), n = 4
}

func TestPaceByHand(t *testing.T) {
	// r = 72/6 = 12; Pearson (14-12)²/12 + (22-24)²/24 + (9-6)²/6 + (27-30)²/30
	// = 1/3 + 1/6 + 3/2 + 3/10 = 2.3; φ = 2.3/3; t(0.975; 3) = 3.182446.
	p := PaceOf([]Work{clean("b", "1", "flat", 14, 1), clean("b", "2", "flat", 22, 2),
		clean("b", "3", "flat", 9, 0.5), clean("b", "4", "flat", 27, 2.5)})
	near(t, "dispersion", p.Dispersion, 2.3/3, 1e-12)
	f := math.Exp(3.182446305284264 * math.Sqrt(2.3/3/72))
	near(t, "low", p.Interval.Low, 12/f, 1e-9)
	near(t, "high", p.Interval.High, 12*f, 1e-9)
	if !p.OK || p.N != 4 || p.Timed != 4 || p.Few || p.Parts != 72 || p.Hours != 6 || p.Interval.Why != "" {
		t.Errorf("%+v", p)
	}
}

func TestPaceFewSessionsIsExact(t *testing.T) {
	p := PaceOf([]Work{clean("b", "1", "flat", 7, 1), clean("b", "2", "flat", 3, 1)})
	low, high := PoissonInterval(10, 0.95)
	if !p.OK || !p.Few || p.Interval.Low != low/2 || p.Interval.High != high/2 || p.Interval.Why != "few sessions" {
		t.Errorf("%+v, want %g..%g", p, low/2, high/2)
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
		if p.OK != c.ok || p.N != c.n || p.PerHour != c.perHour || p.Why != c.why || p.Interval.OK != c.ivOK {
			t.Errorf("%s: %+v", name, p)
		}
		if !p.Interval.OK && p.Interval.Why == "" {
			t.Errorf("%s: no interval and no reason", name)
		}
	}
	zero := PaceOf([]Work{clean("b", "1", "flat", 0, 2), clean("b", "2", "flat", 0, 1), clean("b", "3", "flat", 0, 1)})
	near(t, "upper limit of no parts in 4 h", zero.Interval.High, 3.688879/4, 1e-6)
	if zero.Interval.Low != 0 || zero.Interval.Why != "no parts done in 3 sessions" {
		t.Errorf("%+v", zero.Interval)
	}
	un := PaceOf([]Work{clean("b", "1", "flat", 5, 2), clean("b", "2", "flat", 50, 0)})
	if un.Untimed != 1 || un.UntimedParts != 50 || un.Parts != 5 {
		t.Errorf("parts without hours: %+v", un)
	}
}

// Three evenings at exactly one pace still leave the rounding of the counts.
func TestPaceEqualSessionsAreNotCertain(t *testing.T) {
	p := PaceOf([]Work{clean("b", "1", "flat", 10, 1), clean("b", "2", "flat", 20, 2), clean("b", "3", "flat", 10, 1)})
	f := math.Exp(4.302652729911275 * math.Sqrt(0.5) / 40) // n/6 = 0.5
	if p.Dispersion != 0 {
		t.Errorf("dispersion %g, want 0", p.Dispersion)
	}
	near(t, "high", p.Interval.High, 10*f, 1e-9)
}

func TestPaceSessionIsTheUnit(t *testing.T) {
	split := PaceOf([]Work{clean("b", "1", "flat", 6, 0.5), clean("b", "1", "curved", 4, 0.5),
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
