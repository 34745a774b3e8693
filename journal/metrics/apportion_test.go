// Sessions on several classes: how their hours are split.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"
)

// blends draws n evenings on a quick and a slow class, of whose hours the slow one
// takes about share, give or take vary. The pace is speed times 30 and 8 an hour.
func blends(rng *rand.Rand, build string, n int, speed, share, vary float64) (ws []Work) {
	day := time.Date(2026, 1, 2, 19, 0, 0, 0, time.UTC)
	for i := range n {
		day = day.AddDate(0, 0, 1+rng.IntN(3))
		h := (30 + 70*rng.Float64()) / 60
		x := min(max(share+vary*(2*rng.Float64()-1), 0), 1)
		mood := h * speed * math.Exp(0.28*rng.NormFloat64())
		count := func(mean float64) float64 { return distuv.Poisson{Lambda: mean + 1e-9, Src: rng}.Rand() }
		ws = append(ws, blended2(build, i, day, h, count(30*(1-x)*mood), count(8*x*mood)))
	}
	return ws
}

// blended2 is an evening with so many flat and small parts.
func blended2(build string, i int, day time.Time, h, flat, small float64) Work {
	w := Work{Session: fmt.Sprintf("%s-%03d", build, i), Build: build, Kind: "clean", Known: Measured, Counted: true,
		Evening: day.Format(time.DateOnly), Start: day, Hours: h, Parts: flat + small}
	switch {
	case flat > 0 && small > 0:
		w.Mix = []ClassParts{{"flat", flat}, {"small", small}}
	case flat > 0:
		w.Class = "flat"
	case small > 0:
		w.Class = "small"
	}
	return w
}

// Two classes, the later build heavier in the slow one, each class a quarter
// faster: raw it is slower, like for like it is 1.25.
func TestCoverageOfMixedSessions(t *testing.T) {
	t.Parallel()
	b := newBand(t, "speed of mixed sessions", level, 400)
	var raw, speed float64
	for _, n := range []int{10, 20} {
		b.row(n, 0.15, func(rng *rand.Rand, n int, c *coverage) {
			like := LikeForLike(blends(rng, "a", n, 1, 0.3, 0.5), blends(rng, "b", n, 1.25, 0.7, 0.5))
			c.add(like.Interval, byFactor, like.Speed, 1.25)
			if like.Interval.OK {
				raw, speed = raw+math.Log(like.RawRatio), speed+math.Log(like.Speed)
			}
		})
	}
	given := float64(b.all.given)
	near(t, "raw", math.Exp(raw/given), 0.85, 0.08)
	near(t, "like for like", math.Exp(speed/given), 1.25, 0.03)
	if share := b.all.share(b.all.hit); share < 0.93 || share > 0.975 {
		t.Errorf("covers %.1f %%", 100*share)
	}
}

// Without chance the minutes a part are found exactly: an hour for twelve flat parts
// or three small ones in the earlier build, and half as long in the later one.
func TestApportionFindsTheMinutes(t *testing.T) {
	var a, b []Work
	day := time.Date(2026, 1, 2, 19, 0, 0, 0, time.UTC)
	for i := range 8 {
		flat, small := float64(1000*(i+1)), float64(1000*(9-i)) // so many that counts have no chance
		a = append(a, blended2("a", i, day.AddDate(0, 0, i), flat/12+small/3, flat, small))
		b = append(b, blended2("b", i, day.AddDate(0, 0, 20+i), (flat/12+2*small/3)/2, flat, 2*small))
	}
	c := LikeForLike(a, b)
	if len(c.Cells) != 2 || c.Split != 16 || len(c.LeftOut) > 0 {
		t.Fatalf("%+v", c)
	}
	near(t, "flat", c.Cells[0].Earlier.PerHour, 12, 0.05)
	near(t, "small", c.Cells[1].Earlier.PerHour, 3, 0.01)
	near(t, "at the earlier rates", c.SpeedAtEarlierRates, 2, 1e-3)
	near(t, "Fisher", c.Fisher, 0.5, 1e-3)
	near(t, "speed, classes held to differ less", c.Speed, 2, 0.03)
	near(t, "coverage", c.Coverage, 1, 1e-12)
	near(t, "hours", c.Cells[0].Later.Hours+c.Cells[1].Later.Hours, c.RawLater.Hours, 1e-9)
	if got := LikeForLike(shuffled(a, 1), shuffled(b, 2)); !reflect.DeepEqual(got, c) {
		t.Error("the order of sessions matters")
	}
	near(t, "exchanged", LikeForLike(b, a).Speed*c.Speed, 1, 1e-6)
}

// Always in one proportion, the classes cannot be told apart: no cell has a speed,
// and all together have, because the mix is the same. What nobody classed is like nothing.
func TestWhatCannotBeSplit(t *testing.T) {
	var a, b []Work
	day := time.Date(2026, 1, 2, 19, 0, 0, 0, time.UTC)
	for i := range 8 {
		h := 0.5 + 0.1*float64(i%4)
		a = append(a, blended2("a", i, day.AddDate(0, 0, i), h, math.Round(20*h), math.Round(10*h)))
		b = append(b, blended2("b", i, day.AddDate(0, 0, 20+i), h, math.Round(24*h), math.Round(12*h)))
	}
	c := LikeForLike(a, b)
	if !c.OK || len(c.Cells) != 0 || len(c.LeftOut) != 1 || c.LeftOut[0].Why != notParted {
		t.Errorf("%+v", c.LeftOut)
	}
	near(t, "speed", c.Speed, c.RawRatio, 1e-3)
	near(t, "coverage", c.Coverage, 1, 1e-12)
	same := c.Interval.High / c.Interval.Low
	for i := range b { // another mix, and nobody knows what it takes
		b[i].Mix[0].Parts, b[i].Mix[1].Parts = b[i].Mix[1].Parts, b[i].Mix[0].Parts
	}
	if c = LikeForLike(a, b); !(c.Interval.High/c.Interval.Low > 1.5*same) {
		t.Errorf("another mix: %+v beside a factor of %g", c.Interval, same)
	}
	for i := range a {
		a[i].Mix, a[i].Unclassed, b[i].Mix, b[i].Class = nil, true, nil, "flat"
	}
	c = LikeForLike(a, b)
	if c.OK || len(c.LeftOut) != 2 || c.LeftOut[0].Why != notTold && c.LeftOut[1].Why != notTold {
		t.Errorf("%+v", c.LeftOut)
	}
}

// A pace by class has the hours of each class, also of mixed sessions.
func TestPaceByClassOfMixedSessions(t *testing.T) {
	var ws []Work
	day := time.Date(2026, 1, 2, 19, 0, 0, 0, time.UTC)
	for i := range 8 {
		flat, small := float64(1000*(i+1)), float64(1000*(9-i))
		ws = append(ws, blended2("a", i, day.AddDate(0, 0, i), flat/12+small/3, flat, small))
	}
	not := ws[0]
	not.Session, not.Counted, not.Mix, not.Class, not.Parts = "not", false, nil, "flat", 0
	by := PacesBy(SplitMixed(append(ws, not)), []string{"clean"}, func(w Work) []string { return []string{w.Class} })
	if len(by) != 2 || by[0].Key != "flat" || by[0].Uncounted != 1 || by[1].N != 8 {
		t.Fatalf("%+v", by)
	}
	near(t, "flat", by[0].PerHour, 12, 0.05)
	near(t, "small", by[1].PerHour, 3, 0.01)
	near(t, "hours not counted", by[0].UncountedHours, not.Hours, 1e-12)
}
