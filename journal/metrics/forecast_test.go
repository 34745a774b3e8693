// Forecasts: by hand where everything is sure, at their edges, and replayed.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
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

// Sessions all alike: the hours are the parts over the pace, a little less by what
// people usually learn. Eight of them do not prove that moods never change, forty nearly
// do; where there is a curve its slope is not quite known.
func TestPredictWithoutScatter(t *testing.T) {
	undated := func(n int) []Work {
		ws := history(n, 0)
		for i := range ws {
			ws[i].Start = time.Time{}
		}
		return ws
	}
	weeks := []float64{2, 2, 2, 2, 2}
	f := Predict([]Task{{Cell: flat, Parts: 25}}, history(8, 0), weeks, 1)
	if !f.OK || !f.WeeksOK || f.N != 8 || f.NWeeks != 5 || f.PerWeek != 2 || len(f.Kits) != 0 || len(f.Thin) != 0 {
		t.Fatalf("%+v", f)
	}
	near(t, "hours", f.Hours.Middle, 2.5, 0.15)
	f = Predict([]Task{{Cell: flat, Parts: 25}}, undated(8), weeks, 1)
	near(t, "hours without a curve", f.Hours.Middle, 2.5, 0.05)
	near(t, "weeks", f.Weeks.Middle, 1.25, 0.1)
	forty := Predict([]Task{{Cell: flat, Parts: 25}}, undated(40), nil, 1)
	near(t, "hours from forty", forty.Hours.Middle, 2.5, 0.03)
	width := func(s Spread) float64 { return math.Log(s.High80 / s.Low80) }
	if !(width(forty.Hours) < 0.6*width(f.Hours) && width(forty.Hours) < 0.35) {
		t.Errorf("forty alike: %+v, eight alike: %+v", forty.Hours, f.Hours)
	}
}

// Few sessions are in the forecast, the wider the fewer; what nothing is known of is
// not.
func TestPredictFromFew(t *testing.T) {
	tasks := []Task{{Cell: flat, Parts: 40}}
	before := math.Inf(1)
	for _, n := range []int{1, 2, 4, 20} {
		f := Predict(tasks, history(n, 0.3), nil, 1)
		width := math.Log(f.Hours.High80 / f.Hours.Low80)
		if !f.OK || f.N != n || (len(f.Thin) == 1) != (n < 5) || !(width < before) || !(width > 0.3) {
			t.Errorf("%d sessions: %+v, as wide as %v, before %v", n, f, width, before)
		}
		before = width
	}
	// One session of a class, twelve of another: the kind tells.
	clear := Cell{"clean", "clear", "painted"}
	one := clean("b", "other", "clear", 4, 1)
	one.Start = time.Date(2026, 3, 1, 19, 0, 0, 0, time.UTC)
	f := Predict([]Task{{Cell: clear, Parts: 40}}, append(history(12, 0.3), one), nil, 1)
	if !f.OK || len(f.Pooled) != 1 || len(f.Thin) != 0 || f.N != 13 {
		t.Errorf("%+v", f)
	}
	own := Predict(tasks, append(history(12, 0.3), one), nil, 1)
	if a, b := f.Hours, own.Hours; !(a.High80/a.Low80 > 1.3*b.High80/b.Low80) {
		t.Errorf("of another class: %+v, of the same: %+v", a, b)
	}
}

// Evenings count, not sessions: the same evening cut in four is still one mood.
func TestPredictByEvening(t *testing.T) {
	whole := history(12, 0.5)
	var cut []Work
	for i := range whole {
		whole[i].Evening = whole[i].Start.Format(time.DateOnly)
		for k := range 4 {
			w := whole[i]
			w.Session, w.Hours, w.Parts = fmt.Sprint(w.Session, k), w.Hours/4, w.Parts/4
			w.Start = w.Start.Add(time.Duration(k) * time.Minute)
			cut = append(cut, w)
		}
	}
	// The latest sessions of which there are more make no difference here.
	cut, whole = cut[len(cut)-latestSessions:], whole[len(whole)-latestSessions/4:]
	a, b := newPools(whole).settle(), newPools(cut).settle()
	p, _ := a.from(flat)
	q, _ := b.from(flat)
	if len(q.cost) != len(p.cost) {
		t.Fatalf("%d evenings of sessions in four, %d of whole ones", len(q.cost), len(p.cost))
	}
	near(t, "their swings", q.mood+q.chance, p.mood+p.chance, 0.02)
	near(t, "their number", q.alike, p.alike, 1e-9)
}

// A bad spell stays a spell: the same evenings in another order, none like the
// one before, make the forecast narrower.
func TestPredictKeepsSpells(t *testing.T) {
	row := func(slow func(i int) bool) Forecast {
		ws := history(24, 0)
		for i := range ws {
			ws[i].Start = time.Date(2026, 1, 1+i, 19, 0, 0, 0, time.UTC)
			ws[i].Hours = 0.6
			if slow(i) {
				ws[i].Hours = 1.4
			}
		}
		return Predict([]Task{{Cell: flat, Parts: 100}}, ws, nil, 1)
	}
	spells := row(func(i int) bool { return i/4%2 == 0 }).Hours
	turns := row(func(i int) bool { return i%2 == 0 }).Hours
	if !(math.Log(spells.High80/spells.Low80) > 1.4*math.Log(turns.High80/turns.Low80)) {
		t.Errorf("in spells %+v, in turns %+v", spells, turns)
	}
}

// The variance of the mean of a row, and that of two rows next to each other,
// against the sum over all pairs.
func TestInRow(t *testing.T) {
	for _, rho := range []float64{0, 0.3, 0.8} {
		for _, n := range []int{1, 2, 7} {
			var own, both float64
			for i := range n {
				for k := range n {
					own += math.Pow(rho, math.Abs(float64(i-k)))
				}
				for k := range 5 {
					both += math.Pow(rho, float64(n-i+k))
				}
			}
			near(t, "in a row", inRow(float64(n), rho), own/float64(n*n), 1e-12)
			near(t, "shared", shared(float64(n), 5, rho), both/float64(n*5), 1e-12)
		}
	}
}

// The chance is the share of the draws, and its quantiles are those of the spread.
func TestChanceOfForecast(t *testing.T) {
	f := Predict([]Task{{Cell: flat, Parts: 200}}, history(12, 0.3), []float64{3, 1, 5, 2, 4, 0, 2, 3}, 3)
	for weeks, want := range map[float64]float64{0: 0, f.Weeks.Low80: 0.1, f.Weeks.Middle: 0.5, f.Weeks.High50: 0.75, 1e9: 1} {
		got, ok := f.Chance(weeks)
		if !ok {
			t.Fatal(f.WhyNot)
		}
		near(t, fmt.Sprint("chance in ", weeks), got, want, 0.002)
	}
	if _, ok := Predict([]Task{{Cell: flat, Parts: 200}}, history(12, 0.3), nil, 3).Chance(9); ok {
		t.Error("a chance without weeks")
	}
	if got := Between("15.0", "15.0").String(); got != "about 15.0" {
		t.Error(got)
	}
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
		"no session":    Predict([]Task{{Cell: Cell{"seam", "", "bare"}, Parts: 9}}, history(8, 0.2), nil, 1),
		"no parts ever": Predict([]Task{{Cell: flat, Parts: 9}}, none, nil, 1),
	} {
		if f.OK || f.WeeksOK || !f.Why.Any() || !f.WhyNot.Any() {
			t.Errorf("%s: %+v", name, f)
		}
	}
	if f := Predict([]Task{{Cell: flat, Parts: 9}}, history(8, 0.2), []float64{1, 1}, 1); !f.OK || f.WeeksOK || !f.WhyNot.Any() {
		t.Errorf("two weeks: %+v", f)
	}
}

// Replayed on builds like the simulated ones, the limits hold what they promise,
// and each build counts once.
func TestCalibrate(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	var ws []Work
	var names []string
	b := newBuilder(rng, 1, 2)
	for k := range 60 {
		names = append(names, fmt.Sprint("build ", k))
		for i := range 24 {
			w, _ := b.session(names[k], i, rng.IntN(2))
			ws = append(ws, w)
		}
	}
	for _, r := range Calibrate(ws, names, 1) {
		t.Logf("%+v", r)
		in50, in80 := float64(r.In50)/float64(r.N), float64(r.In80)/float64(r.N)
		if r.N < 59 || r.N > 60 || in80 < 0.65 || in80 > 0.95 || in50 < 0.33 || in50 > 0.7 || r.In50 > r.In80 {
			t.Errorf("%.0f %% done: %d builds, %.2f in the half, %.2f in the four fifths", 100*r.Share, r.N, in50, in80)
		}
	}
	// A build still open is known from, and not tried on.
	open := Calibrate(ws, names[59:], 1)
	if half := Halfway(open); half.N != 1 || half.Share != 0.5 {
		t.Errorf("%+v", half)
	}
	for _, r := range Calibrate(nil, nil, 1) {
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
	if !f.OK || f.WeeksOK || !f.WhyNot.Any() || f.Weeks != (Spread{}) || f.NWeeks != 6 {
		t.Errorf("%+v", f)
	}
	if len(f.Kits) != 2 || f.Kits[0].Weeks != (Spread{}) || f.Kits[0].Hours.Middle <= 0 {
		t.Errorf("kits %+v", f.Kits)
	}
}

// However wild the moods and however they follow each other, a variance is none below
// 0, and a forecast is a number.
func TestWildMoodsHaveAVariance(t *testing.T) {
	for _, mood := range []float64{0.1, 3, 50} {
		for _, follow := range []float64{0, 0.5, mostFollow} {
			for _, n := range []float64{1, 2, 6, 40} {
				for _, ahead := range []float64{0.1, 1, 9, 300} {
					s := swings{alike: n, mean: 1, chance: 0.2, mood: mood, follow: follow, df: 5}
					if v := s.logVariance(ahead); !(v >= 0) {
						t.Errorf("mood %v, follow %v, %v behind and %v ahead: %v", mood, follow, n, ahead, v)
					}
				}
			}
		}
	}
}

// What a replay keeps from one forecast to the next changes none: asked in between or
// not, they are the same.
func TestPoolsKeptSayTheSame(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 2))
	ws := inTime(slices.Concat(evenings(rng, "boat", 20, 20, "flat", "curved"), evenings(rng, "lorry", 20, 26, "flat", "curved")))
	tasks := []Task{{Cell: cellOf(ws[0]), Parts: 60}, {Cell: cellOf(ws[1]), Parts: 40}, {Cell: Cell{ws[0].Kind, "clear", ""}, Parts: 9}}
	asked, fresh := emptyPools(), emptyPools()
	for i, w := range ws {
		asked.add(w)
		fresh.add(w)
		if i%3 == 2 {
			asked.predict(tasks, nil, 4, replayDraws)
		}
	}
	for range 2 {
		if a, b := asked.predict(tasks, nil, 5, 300), fresh.predict(tasks, nil, 5, 300); !reflect.DeepEqual(a, b) || !a.OK {
			t.Errorf("%+v\n%+v", a, b)
		}
	}
}
