// LikeForLike: the lorry and the seaplane, edges, changes that must not matter.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

func ExampleLikeForLike() {
	lorry := []Work{
		{Session: "l1", Build: "lorry", Kind: "clean", Class: "flat", Parts: 60, Hours: 3, Counted: true, Known: Measured},
		{Session: "l2", Build: "lorry", Kind: "clean", Class: "curved", Parts: 20, Hours: 2, Counted: true, Known: Measured},
	}
	seaplane := []Work{
		{Session: "s1", Build: "seaplane", Kind: "clean", Class: "flat", Parts: 20, Hours: 0.8, Counted: true, Known: Measured},
		{Session: "s2", Build: "seaplane", Kind: "clean", Class: "curved", Parts: 60, Hours: 5, Counted: true, Known: Measured},
	}
	c := LikeForLike(lorry, seaplane)
	fmt.Printf("raw %.1f and %.1f parts an hour\n", c.RawEarlier.PerHour, c.RawLater.PerHour)
	fmt.Printf("like for like %.2f, at the earlier rates %.2f\n", c.Speed, c.SpeedAtEarlierRates)
	fmt.Printf("n = %d and %d: %s\n", c.N1, c.N2, c.Verdict())
	// Output:
	// raw 16.0 and 13.8 parts an hour
	// like for like 1.13, at the earlier rates 1.21
	// n = 2 and 2: unclear
}

func TestLorryAndSeaplane(t *testing.T) {
	lorry, seaplane := lorryAndSeaplane()
	c := LikeForLike(lorry, seaplane)
	near(t, "raw lorry", c.RawEarlier.PerHour, 16.0, 1e-12)
	near(t, "raw seaplane", c.RawLater.PerHour, 80/5.8, 1e-12) // 13.8
	near(t, "raw ratio", c.RawRatio, 80/5.8/16, 1e-12)         // "14 % down"
	// 7.0 h at the lorry's rates over the 5.8 h taken prices the seaplane's
	// mix: one over the Paasche time index.
	near(t, "speed at the earlier rates", c.SpeedAtEarlierRates, 7.0/5.8, 1e-12)
	near(t, "Paasche", c.Paasche, 5.8/7.0, 1e-12)
	// The lorry's mix at the seaplane's rates: 60/25 + 20/12 h instead of 5.
	near(t, "Laspeyres", c.Laspeyres, (60.0/25+20.0/12)/5, 1e-12)
	near(t, "Fisher²", c.Fisher*c.Fisher, c.Laspeyres*c.Paasche, 1e-12)
	// Two evenings of one class each do not tell how much longer a curved part takes:
	// the common ratio lies between the raw one and that of the cells, and its range is wide.
	near(t, "speed", c.Speed, 1.04, 0.16)
	near(t, "coverage", c.Coverage, 1, 1e-12)
	if !c.OK || !c.Interval.OK || !c.Interval.contains(1) || !c.Interval.contains(1.25) {
		t.Errorf("one session a cell: %+v", c)
	}
	if c.Earlier != "lorry" || c.Later != "seaplane" || c.N1 != 2 || c.N2 != 2 ||
		!slices.Equal(c.LaterSessions, []string{"s1", "s2"}) || !slices.Equal(c.RawUnits, []string{"part"}) {
		t.Errorf("%+v", c)
	}
	if len(c.Cells) != 2 || c.Cells[0].Class != "curved" || c.Cells[0].Unit != "part" {
		t.Fatalf("cells: %+v", c.Cells)
	}
	near(t, "curved speed", c.Cells[0].Speed, 1.2, 1e-12)
	near(t, "flat speed", c.Cells[1].Speed, 1.25, 1e-12)
}

func TestLikeForLikeLeavesOut(t *testing.T) {
	lorry, seaplane := lorryAndSeaplane()
	seaplane = append(seaplane, clean("seaplane", "s3", "clear", 4, 2.2))
	lorry = append(lorry, clean("lorry", "l3", "resin", 5, 1), clean("lorry", "l4", "small", 0, 1))
	seaplane = append(seaplane, clean("seaplane", "s4", "small", 3, 2))
	remembered := clean("seaplane", "s5", "flat", 100, 1)
	remembered.Known = Remembered
	estimated := clean("seaplane", "s6", "flat", 100, 1)
	estimated.Known = Estimated
	unsaid := clean("seaplane", "s7", "flat", 100, 1)
	unsaid.Known = ""
	uncounted := clean("seaplane", "s8", "flat", 0, 50)
	uncounted.Counted = false
	seaplane = append(seaplane, remembered, estimated, unsaid, uncounted)

	c := LikeForLike(lorry, seaplane)
	near(t, "speed at the earlier rates", c.SpeedAtEarlierRates, 7.0/5.8, 1e-12)
	near(t, "coverage", c.Coverage, 7.8/13, 1e-12) // 5.8 + 2 of 5.8 + 2.2 + 2 + 3 h
	var why []string
	for _, r := range c.LeftOut {
		why = append(why, r.Class+": "+r.Why.String())
	}
	if want := []string{"clear: only in the later build", "resin: only in the earlier build",
		"small: earlier build: no parts done"}; !slices.Equal(why, want) {
		t.Errorf("left out %q, want %q", why, want)
	}
	if want := (Unused{Estimated: 1, Remembered: 1, Unsaid: 1, Hours: 3}); c.LeftOutLater != want || c.LeftOutEarlier != (Unused{}) || c.Remembered != 0 {
		t.Errorf("left out %+v and %+v", c.LeftOutEarlier, c.LeftOutLater)
	}

	asked := Compare(lorry, seaplane, Options{Remembered: true})
	if asked.Remembered != 1 || asked.LeftOutLater.Remembered != 0 || asked.LeftOutLater.Estimated != 1 {
		t.Errorf("remembered asked for: %+v", asked)
	}
	near(t, "flat with remembered time", asked.Cells[1].Later.PerHour, 120/1.8, 1e-12)
	both := Compare(lorry, seaplane, Options{Remembered: true, Estimated: true})
	near(t, "flat with all but unsaid", both.Cells[1].Later.PerHour, 220/2.8, 1e-12)
}

func TestLikeForLikeNothingShared(t *testing.T) {
	lorry, _ := lorryAndSeaplane()
	for name, later := range map[string][]Work{
		"none":        nil,
		"other class": {clean("b", "1", "clear", 3, 1)},
		"no hours":    {clean("b", "1", "flat", 3, 0)},
		"reopened":    {clean("b", "1", "flat", -3, 1)},
	} {
		c := LikeForLike(lorry, later)
		if c.OK || !c.Why.Any() || c.Verdict() != TooFew || c.Interval.OK || c.Speed != 0 || c.Coverage != 0 {
			t.Errorf("%s: %+v", name, c)
		}
		if c.RawEarlier.N != 2 {
			t.Errorf("%s: the raw pace of the earlier build is gone", name)
		}
	}
}

func TestLikeForLikeVerdicts(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	a := evenings(rng, "a", 10, 20, "flat", "curved")
	quick := evenings(rng, "b", 10, 40, "flat", "curved")
	slow := evenings(rng, "b", 10, 10, "flat", "curved")
	equal := evenings(rng, "b", 10, 20, "flat", "curved")
	for want, later := range map[string][]Work{Faster: quick, Slower: slow, Unclear: equal} {
		c := LikeForLike(a, later)
		if !c.Tested || c.Verdict() != Unclear || !c.Interval.OK || c.Interval.Why.Any() || !c.Interval.contains(c.Speed) {
			t.Errorf("%s: %s, speed %g in %+v", want, c.Verdict(), c.Speed, c.Interval)
		}
		// The interval leaves out 1 exactly where p is below 0.05.
		if c.Interval.contains(1) != (c.PValue >= 0.05) {
			t.Errorf("%s: p = %g beside %+v", want, c.PValue, c.Interval)
		}
		if c.Claimed = c.PValue < 0.05; c.Verdict() != want {
			t.Errorf("claimed: %s, want %s", c.Verdict(), want)
		}
	}
	var ws []Work
	for i := range 40 {
		ws = append(ws, clean("a", fmt.Sprint(i), "flat", float64(20+i%3), 1))
	}
	if c := LikeForLike(ws, ws); c.Verdict() != Same {
		t.Errorf("with itself: %s, %+v", c.Verdict(), c.Interval)
	}
	few := LikeForLike(evenings(rng, "a", 3, 20, "flat"), evenings(rng, "b", 4, 20, "flat"))
	if few.Interval.Why.String() != "few evenings: 3 in one of the builds" {
		t.Errorf("caution %q", few.Interval.Why)
	}
}

func TestLikeForLikeCellHangsOnOneSession(t *testing.T) {
	a := []Work{clean("a", "1", "flat", 0, 1), clean("a", "2", "flat", 9, 1)}
	b := []Work{clean("b", "1", "flat", 8, 1), clean("b", "2", "flat", 9, 1)}
	c := LikeForLike(a, b)
	if !c.OK || c.Interval.OK || c.Verdict() != TooFew || c.Interval.Why.String() != "too few to tell: all parts of one side done on one evening, so its spread is unknown" {
		t.Errorf("%+v", c)
	}
}

// Evenings at exactly one pace leave the rounding of their counts: the standard
// error is √(Σ n/(6P²)) over both builds, on 2 + 2 degrees of freedom.
func TestLikeForLikeEqualSessionsAreNotCertain(t *testing.T) {
	a := []Work{clean("a", "1", "flat", 10, 1), clean("a", "2", "flat", 10, 1), clean("a", "3", "flat", 10, 1)}
	b := []Work{clean("b", "1", "flat", 10, 1), clean("b", "2", "flat", 10, 1), clean("b", "3", "flat", 10, 1)}
	c := LikeForLike(a, b)
	near(t, "high", c.Interval.High, math.Exp(2.7764451051977987*math.Sqrt(2*3/(6*900.0))), 1e-9)
}

func TestLikeForLikeChangesThatMustNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for i := range uint64(5) {
		a := evenings(rng, "a", 6+rng.IntN(4), 20, "flat", "curved", "small")
		b := evenings(rng, "b", 6+rng.IntN(4), 25, "curved", "flat", "clear")
		c := LikeForLike(a, b)
		if got := LikeForLike(shuffled(a, i), shuffled(b, i+1)); !reflect.DeepEqual(got, c) {
			t.Fatalf("shuffled: %+v\nwas %+v", got, c)
		}
		back := LikeForLike(b, a)
		near(t, "exchanged Fisher", back.Fisher*c.Fisher, 1, 1e-12)
		near(t, "exchanged Laspeyres", back.Laspeyres*c.Paasche, 1, 1e-12)
		near(t, "exchanged limit", back.Interval.Low*c.Interval.High, 1, 1e-9)
		near(t, "exchanged p", back.PValue, c.PValue, 1e-9)

		quick := slices.Clone(b)
		for k := range quick {
			quick[k].Parts *= 2
		}
		near(t, "twice the parts, Paasche speed", LikeForLike(a, quick).SpeedAtEarlierRates,
			2*c.SpeedAtEarlierRates, 1e-9)

		more := LikeForLike(append(slices.Clone(a), clean("a", "0", "flat", 0, 0)), b)
		if more.N1 != c.N1+1 || more.N2 != c.N2 || more.Speed != c.Speed || more.Interval != c.Interval ||
			more.Coverage != c.Coverage || more.RawRatio != c.RawRatio || more.Verdict() != c.Verdict() {
			t.Fatalf("an empty session changes more than n: %+v\nwas %+v", more, c)
		}
	}
}

func BenchmarkPaceAndLikeForLike20000(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 2))
	earlier := evenings(rng, "a", 2000, 20, "flat", "curved", "small", "clear", "resin")
	later := evenings(rng, "b", 2000, 22, "flat", "curved", "small", "clear", "resin")
	all := append(slices.Clone(earlier), later...)
	if len(all) != 20000 {
		b.Fatal(len(all))
	}
	b.ReportAllocs()
	for b.Loop() {
		if p := PaceOf(all); !p.OK {
			b.Fatal(p.Why)
		}
		if c := LikeForLike(earlier, later); !c.OK {
			b.Fatal(c.Why)
		}
	}
}

// One evening of priming must not silence fifty of cleaning, and is in all the same.
func TestOneSessionCellIsIn(t *testing.T) {
	builder := func(build string, rate float64) []Work {
		var ws []Work
		for i, hours := range []float64{1, 1.2, 0.8, 1.1} {
			ws = append(ws, Work{Session: fmt.Sprint(build, i), Build: build, Kind: "clean", Class: "flat", Hours: hours, Parts: rate * hours * (1 + 0.1*float64(i%2)), Counted: true, Known: Measured})
		}
		return append(ws, Work{Session: build + "prime", Build: build, Kind: "prime", Hours: 1, Parts: 4, Counted: true, Known: Measured})
	}
	earlier, later := builder("lorry", 10), builder("seaplane", 20)
	c := LikeForLike(earlier, later)
	if !(c.PValue < 0.05) || len(c.Cells) != 2 || len(c.LeftOut) != 0 || c.N1 != 5 || c.N2 != 5 {
		t.Errorf("p %v over %d cells", c.PValue, len(c.Cells))
	}
	near(t, "coverage", c.Coverage, 1, 1e-12)
	if !(1 < c.Speed && c.Speed < 2) { // between that of priming and that of cleaning
		t.Errorf("speed %g", c.Speed)
	}
}

// In short a comparison says the same and has no table.
func TestShortSaysTheSame(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 1))
	earlier, later := evenings(rng, "boat", 9, 20, "flat", "curved"), evenings(rng, "lorry", 8, 26, "flat", "curved")
	long, short := LikeForLike(earlier, later), Compare(earlier, later, Options{Short: true})
	if len(long.Cells) == 0 || long.RawRatio == 0 || short.Cells != nil || short.RawRatio != 0 || short.RawEarlier.N != 0 {
		t.Errorf("%d and %d cells, raw %v and %v", len(long.Cells), len(short.Cells), long.RawRatio, short.RawRatio)
	}
	if short.Speed != long.Speed || short.Interval != long.Interval || short.Claim != long.Claim || short.Coverage != long.Coverage ||
		short.spread != long.spread || !reflect.DeepEqual(short.LaterSessions, long.LaterSessions) {
		t.Errorf("short %+v, long %+v", short, long)
	}
	if short.Sentence("a", "b").String() != long.Sentence("a", "b").String() {
		t.Errorf("%s\n%s", short.Sentence("a", "b").String(), long.Sentence("a", "b").String())
	}
}
