// Forecasts: by hand where everything is sure, at their edges, and replayed.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"
)

var flat = Cell{"clean", "flat", "painted"}

// history makes n sessions of an hour with about ten parts each.
func history(n int, spread float64) []Work {
	rng := rand.New(rand.NewPCG(uint64(n), 4))
	var ws []Work
	for i := range n {
		w := clean("b", fmt.Sprintf("s%03d", i), "flat", 10, math.Exp(spread*rng.NormFloat64()))
		w.Start = time.Date(2026, 1, 1+i, 19, 0, 0, 0, time.UTC)
		ws = append(ws, w)
	}
	return ws
}

// Sessions all alike leave nothing to chance: the hours are the parts over the pace.
func TestPredictWithoutScatter(t *testing.T) {
	f := Predict([]Task{{Cell: flat, Parts: 25}}, history(8, 0), []float64{2, 2, 2, 2, 2}, 1)
	if !f.OK || !f.WeeksOK || f.N != 8 || f.NWeeks != 5 || len(f.Kits) != 0 {
		t.Fatalf("%+v", f)
	}
	// Only the slope of learning is not quite known.
	near(t, "hours", f.Hours.Middle, 2.5, 0.05)
	near(t, "hours at least", f.Hours.Low80, 2.5, 0.3)
	near(t, "hours at most", f.Hours.High80, 2.5, 0.3)
	near(t, "weeks", f.Weeks.Middle, 1.25, 0.03)
	undated := history(8, 0)
	for i := range undated {
		undated[i].Start = time.Time{}
	}
	near(t, "hours without a curve", Predict([]Task{{Cell: flat, Parts: 25}}, undated, nil, 1).Hours.High80, 2.5, 1e-9)
}

func TestPredictSpread(t *testing.T) {
	f := Predict([]Task{{Cell: flat, Parts: 40}}, history(12, 0.4), []float64{0, 3, 1, 5, 2, 0, 4}, 3)
	for _, s := range []Spread{f.Hours, f.Weeks} {
		if !(0 < s.Low80 && s.Low80 < s.Low50 && s.Low50 < s.Middle && s.Middle < s.High50 && s.High50 < s.High80) {
			t.Errorf("%+v", s)
		}
	}
	if again := Predict([]Task{{Cell: flat, Parts: 40}}, shuffled(history(12, 0.4), 7), []float64{0, 3, 1, 5, 2, 0, 4}, 3); !reflect.DeepEqual(again, f) {
		t.Error("the order of the sessions matters")
	}
	more := Predict([]Task{{Cell: flat, Parts: 80}}, history(12, 0.4), nil, 3)
	near(t, "twice the parts", more.Hours.Middle/f.Hours.Middle, 2, 0.25)
	slow := history(12, 0.4)
	for i := range slow {
		slow[i].Hours *= 3
	}
	near(t, "a third of the pace", Predict([]Task{{Cell: flat, Parts: 40}}, slow, nil, 3).Hours.High80, 3*f.Hours.High80, 1e-6)
}

// Kits come one after another, what is not known is named, and a class without
// sessions of its own goes by its kind.
func TestPredictKits(t *testing.T) {
	clear := Cell{"clean", "clear", "painted"}
	decals := Task{Cell{"decal", "", "painted"}, 2, 14}
	f := Predict([]Task{{flat, 1, 20}, {clear, 2, 10}, decals}, history(9, 0.3), []float64{1, 2, 3, 1, 2}, 5)
	if !f.OK || len(f.Kits) != 2 || f.Kits[1].Hours != f.Hours || f.Kits[0].Hours.Middle >= f.Hours.Middle ||
		f.Kits[0].Weeks.Middle >= f.Kits[1].Weeks.Middle {
		t.Errorf("%+v", f)
	}
	if !reflect.DeepEqual(f.LeftOut, []Task{decals}) || !reflect.DeepEqual(f.Pooled, []Cell{clear}) {
		t.Errorf("left out %v, pooled %v", f.LeftOut, f.Pooled)
	}
}

func TestPredictRefuses(t *testing.T) {
	none := history(8, 0)
	for i := range none {
		none[i].Parts = 0
	}
	for name, f := range map[string]Forecast{
		"nothing left":  Predict(nil, history(8, 0.2), nil, 1),
		"four sessions": Predict([]Task{{Cell: flat, Parts: 9}}, history(4, 0.2), nil, 1),
		"no parts ever": Predict([]Task{{Cell: flat, Parts: 9}}, none, nil, 1),
	} {
		if f.OK || f.WeeksOK || f.Why == "" || f.WhyNot == "" {
			t.Errorf("%s: %+v", name, f)
		}
	}
	if f := Predict([]Task{{Cell: flat, Parts: 9}}, history(8, 0.2), []float64{1, 1}, 1); !f.OK || f.WeeksOK || f.WhyNot == "" {
		t.Errorf("two weeks: %+v", f)
	}
}

// Replayed on builds like the simulated ones, the limits hold what they promise.
func TestCalibrate(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	var builds [][]Work
	b := newBuilder(rng, 1, 2)
	for k := range 40 {
		var ws []Work
		for i := range 24 {
			w, _ := b.session(fmt.Sprint("build ", k), i, rng.IntN(2))
			ws = append(ws, w)
		}
		builds = append(builds, ws)
	}
	for _, r := range Calibrate(builds, 1) {
		t.Logf("%+v", r)
		in50, in80 := float64(r.In50)/float64(r.N), float64(r.In80)/float64(r.N)
		if r.N < 39 || in80 < 0.6 || in80 > 0.97 || in50 < 0.28 || in50 > 0.75 || r.In50 > r.In80 {
			t.Errorf("%.0f %% done: %d forecasts, %.2f in the half, %.2f in the four fifths", 100*r.Share, r.N, in50, in80)
		}
	}
	for _, r := range Calibrate(nil, 1) {
		if r.N != 0 {
			t.Errorf("no builds: %+v", r)
		}
	}
}

// A habit of minutes a week names no day beyond a lifetime: dates that far say
// nothing, and instants do not reach them.
func TestPredictNamesNoCentury(t *testing.T) {
	weeks := []float64{0, 0.001, 0, 0, 0.002, 0}
	f := Predict([]Task{{Cell: flat, Parts: 5000, Kit: 1}, {Cell: flat, Parts: 5000, Kit: 2}}, history(8, 0.2), weeks, 1)
	if !f.OK || f.WeeksOK || f.WhyNot == "" || f.Weeks != (Spread{}) || f.NWeeks != 6 {
		t.Errorf("%+v", f)
	}
	if len(f.Kits) != 2 || f.Kits[0].Weeks != (Spread{}) || f.Kits[0].Hours.Middle <= 0 {
		t.Errorf("kits %+v", f.Kits)
	}
}
