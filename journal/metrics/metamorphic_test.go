// What changes of the data must do to every number, and what they must not:
// shuffled, doubled, exchanged, merged, and with something empty added. Pace, learning,
// strengths, kappa, rework and trials have theirs beside their other tests.

package metrics

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
	"time"
)

// years draws builds of a steady hand, dated, one after another.
func years(rng *rand.Rand, builds, sessions int) [][]Work {
	b := newBuilder(rng, 0.93, 3)
	var out [][]Work
	for k := range builds {
		var ws []Work
		for i := range sessions {
			w, _ := b.session(string(rune('a'+k)), i, i%3)
			ws = append(ws, w)
		}
		out = append(out, ws)
	}
	return out
}

// scaled multiplies parts and hours.
func scaled(ws []Work, parts, hours float64) []Work {
	out := slices.Clone(ws)
	for i := range out {
		out[i].Parts *= parts
		out[i].Hours *= hours
	}
	return out
}

// twice has each session a second time, under a name of its own.
func twice(ws []Work) []Work {
	again := slices.Clone(ws)
	for i := range again {
		again[i].Session += " again"
	}
	return append(again, ws...)
}

// inTwoLines has each session written in two halves.
func inTwoLines(ws []Work) []Work {
	half := scaled(ws, 0.5, 0.5)
	return append(slices.Clone(half), half...)
}

// merged makes one session of each two of a cell that follow each other.
func merged(ws []Work) []Work {
	byCell := map[Cell][]int{}
	var out []Work
	for i := range ws {
		c := cellOf(&ws[i])
		if at := byCell[c]; len(at)%2 == 1 {
			out[at[len(at)-1]].Parts += ws[i].Parts
			out[at[len(at)-1]].Hours += ws[i].Hours
			byCell[c] = append(at, -1)
			continue
		}
		byCell[c] = append(byCell[c], len(out))
		out = append(out, ws[i])
	}
	return out
}

// empty is a session of a build that brought nothing and took no time.
func empty(like Work) Work {
	like.Session, like.Hours, like.Parts = "zz empty", 0, 0
	like.Start = like.Start.Add(time.Minute)
	return like
}

func TestPaceDoubledAndMerged(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	for range 10 {
		ws := years(rng, 1, 18)[0]
		p := PaceOf(ws)
		for name, changed := range map[string][]Work{"twice": twice(ws), "merged": merged(ws), "in two lines": inTwoLines(ws)} {
			near(t, name, PaceOf(changed).PerHour, p.PerHour, 1e-12*p.PerHour)
		}
		if got := PaceOf(inTwoLines(ws)); got.N != p.N || got.Interval != p.Interval {
			t.Errorf("in two lines: %+v, was %+v", got, p)
		}
		if got := PaceOf(merged(ws)); got.N != p.N/2 {
			t.Errorf("merged: %d sessions of %d", got.N, p.N)
		}
		d := PaceOf(twice(ws))
		if !(d.Interval.High-d.Interval.Low < p.Interval.High-p.Interval.Low) {
			t.Errorf("twice the sessions do not tell more: %+v, was %+v", d.Interval, p.Interval)
		}
		near(t, "twice the hours, high", PaceOf(scaled(ws, 1, 2)).Interval.High, p.Interval.High/2, 1e-9)
	}
}

func TestComparisonDoubledAndMerged(t *testing.T) {
	rng := rand.New(rand.NewPCG(32, 1))
	for range 5 {
		two := years(rng, 2, 24)
		a, b := two[0], two[1]
		c := LikeForLike(a, b)
		for name, x := range map[string][2][]Work{
			"twice": {twice(a), twice(b)}, "merged": {merged(a), merged(b)}, "in two lines": {inTwoLines(a), inTwoLines(b)},
			"twice the parts of both": {scaled(a, 2, 1), scaled(b, 2, 1)}, "twice the hours of both": {scaled(a, 1, 2), scaled(b, 1, 2)},
		} {
			got := LikeForLike(x[0], x[1])
			near(t, name, got.Fisher, c.Fisher, 1e-12)
			near(t, name+", the common ratio, by its weights", got.Speed, c.Speed, 0.015)
			near(t, name+", coverage", got.Coverage, c.Coverage, 1e-12)
		}
		if got := LikeForLike(inTwoLines(a), b); got.Interval != c.Interval || got.N1 != c.N1 {
			t.Errorf("in two lines: %+v, was %+v", got.Interval, c.Interval)
		}
		half := LikeForLike(a, scaled(b, 1, 0.5))
		near(t, "half the hours of the later, Fisher", half.Fisher, c.Fisher/2, 1e-12)
		near(t, "half the hours of the later", half.Speed, 2*c.Speed, 0.03)
		near(t, "with itself", LikeForLike(a, a).Speed, 1, 1e-12)
	}
}

func TestChainMetamorphic(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 1))
	builds := years(rng, 4, 24)
	chain := Chain(builds, Options{})
	var mixed, withEmpty, backward, doubled [][]Work
	for i, ws := range builds {
		mixed = append(mixed, shuffled(ws, uint64(i)))
		withEmpty = append(withEmpty, append(slices.Clone(ws), empty(ws[0])))
		backward = append([][]Work{ws}, backward...)
		doubled = append(doubled, twice(ws))
	}
	if got := Chain(mixed, Options{}); !reflect.DeepEqual(got, chain) {
		t.Error("the order of sessions matters")
	}
	// A build of nothing hangs on no chain and breaks none.
	gap := Chain([][]Work{builds[0], builds[1], nil, builds[2], builds[3]}, Options{})
	if gap[2].OK || gap[4].Speed != chain[3].Speed || gap[4].Interval != chain[3].Interval {
		t.Errorf("an empty build: %+v, was %+v", gap[4].Interval, chain[3].Interval)
	}
	for i := range chain {
		if got := Chain(withEmpty, Options{})[i]; got.Speed != chain[i].Speed || got.Interval != chain[i].Interval {
			t.Errorf("an empty session: %+v", got.Interval)
		}
		near(t, "twice", Chain(doubled, Options{})[i].Speed, chain[i].Speed, 0.01)
	}
	near(t, "backward", Chain(backward, Options{})[3].Speed*chain[3].Speed, 1, 1e-12)
}

func TestForecastMetamorphic(t *testing.T) {
	rng := rand.New(rand.NewPCG(34, 1))
	ws := slices.Concat(years(rng, 3, 24)...)
	cell := cellOf(&ws[0])
	tasks := []Task{{Cell: cell, Parts: 40, Kit: 1}, {Cell: cellOf(&ws[1]), Parts: 25, Kit: 2}}
	weeks := []float64{3, 0, 4, 2, 5, 1, 0, 6}
	f := Predict(tasks, ws, weeks, 1)
	for name, changed := range map[string][]Work{
		"shuffled": shuffled(ws, 2), "an empty session": append(slices.Clone(ws), empty(ws[len(ws)-1])),
	} {
		if got := Predict(tasks, changed, weeks, 1); !reflect.DeepEqual(got, f) {
			t.Errorf("%s: %+v, was %+v", name, got.Hours, f.Hours)
		}
	}
	if got := Predict(tasks, inTwoLines(ws), weeks, 1); got.N != f.N {
		t.Errorf("in two lines: %d sessions, were %d", got.N, f.N)
	} else {
		near(t, "in two lines", got.Hours.High80, f.Hours.High80, 1e-6)
	}
	if got := Predict(append(slices.Clone(tasks), Task{Cell: cell}), ws, weeks, 1); !reflect.DeepEqual(got, f) {
		t.Error("a task of no parts changes the forecast")
	}
	slow := Predict(tasks, scaled(ws, 1, 2), weeks, 1)
	busy := Predict(tasks, ws, []float64{6, 0, 8, 4, 10, 2, 0, 12}, 1)
	for _, of := range []func(Spread) float64{
		func(s Spread) float64 { return s.Low80 }, func(s Spread) float64 { return s.Low50 }, func(s Spread) float64 { return s.Middle },
		func(s Spread) float64 { return s.High50 }, func(s Spread) float64 { return s.High80 },
	} {
		near(t, "at half the pace", of(slow.Hours), 2*of(f.Hours), 1e-6)
		if !(of(busy.Weeks) < of(f.Weeks)) {
			t.Errorf("twice the hours a week: %v weeks, were %v", of(busy.Weeks), of(f.Weeks))
		}
	}
	if more := Predict([]Task{{Cell: cell, Parts: 80}}, ws, weeks, 1); !(more.Hours.Middle > 1.6*f.Kits[0].Hours.Middle && more.Hours.Middle < 2.1*f.Kits[0].Hours.Middle) {
		t.Errorf("twice the parts: %v h, were %v", more.Hours.Middle, f.Kits[0].Hours.Middle)
	}
}

func TestReplayMetamorphic(t *testing.T) {
	builds := years(rand.New(rand.NewPCG(35, 1)), 5, 30)
	ws := slices.Concat(builds...)
	names := []string{"a", "b", "c", "d", "e"}
	r := Calibrate(ws, names, 1)
	for name, changed := range map[string][]Work{"shuffled": shuffled(ws, 3), "at half the pace": scaled(ws, 1, 2)} {
		if got := Calibrate(changed, names, 1); !reflect.DeepEqual(got, r) {
			t.Errorf("%s: %+v, was %+v", name, got, r)
		}
	}
	if got := Calibrate(ws, append(names, "no sessions"), 1); !reflect.DeepEqual(got, r) {
		t.Errorf("a build without sessions: %+v, was %+v", got, r)
	}
}

func TestHoursMetamorphic(t *testing.T) {
	ws := slices.Concat(years(rand.New(rand.NewPCG(36, 1)), 3, 20)...)
	by := func(w Work) string { return w.Build }
	sums := Hours(ws, by)
	if got := Hours(shuffled(ws, 1), by); !reflect.DeepEqual(got, sums) {
		t.Errorf("shuffled: %+v, was %+v", got, sums)
	}
	for i := range sums {
		double, lines, more := Hours(twice(ws), by)[i], Hours(inTwoLines(ws), by)[i], Hours(append(slices.Clone(ws), empty(ws[0])), by)[i]
		near(t, "twice", double.Hours, 2*sums[i].Hours, 1e-9)
		near(t, "in two lines", lines.Hours, sums[i].Hours, 1e-9)
		if double.N != 2*sums[i].N || lines.N != sums[i].N || more.Hours != sums[i].Hours {
			t.Errorf("%+v, %+v, %+v; was %+v", double, lines, more, sums[i])
		}
	}
}

func TestChartMetamorphic(t *testing.T) {
	counts, sizes := []float64{2, 3, 2, 9, 1, 2, 4}, []float64{1, 2, 1.5, 1, 1, 0.5, 3}
	c := UChart(counts, sizes)
	var back, backSizes []float64
	for i := range counts {
		back, backSizes = append([]float64{counts[i]}, back...), append([]float64{sizes[i]}, backSizes...)
	}
	turned := UChart(back, backSizes)
	slices.Reverse(turned.Points)
	near(t, "backward, centre", turned.Centre, c.Centre, 1e-12)
	more := UChart(append(slices.Clone(counts), 0), append(slices.Clone(sizes), 0)) // a build without parts
	doubled := UChart(append(slices.Clone(counts), counts...), append(slices.Clone(sizes), sizes...))
	for i, p := range c.Points {
		near(t, "backward", turned.Points[i].High, p.High, 1e-12)
		near(t, "doubled", doubled.Points[i].High, p.High, 1e-12)
		if more.Points[i] != p || turned.Points[i].Out != p.Out || doubled.Points[i].Out != p.Out {
			t.Errorf("point %d: %+v, %+v, %+v; was %+v", i, turned.Points[i], more.Points[i], doubled.Points[i], p)
		}
	}
}

func TestMarksMetamorphic(t *testing.T) {
	first, second := []float64{1, 2, 3, 2, 4, 3}, []float64{2, 2, 2, 1, 3, 3}
	m := Marks{Scores: first}.Mean()
	back := slices.Clone(first)
	slices.Reverse(back)
	if got := (Marks{Scores: back}).Mean(); got != m {
		t.Errorf("backward: %+v, was %+v", got, m)
	}
	if got := (Marks{Scores: first, NotApplicable: 5}).Mean(); got != m {
		t.Errorf("what does not apply is in the mean: %+v", got)
	}
	if got := (Marks{Scores: append(back, first...)}).Mean(); got.Value != m.Value || !(got.Interval.High < m.Interval.High) {
		t.Errorf("doubled: %+v, was %+v", got, m)
	}
	d, turned := DriftOf(remarks(first, second)), DriftOf(remarks(second, first))
	near(t, "exchanged drift", turned.Mean, -d.Mean, 1e-12)
	near(t, "exchanged limit", turned.Interval.Low, -d.Interval.High, 1e-12)
	a, b := Retest(remarks(first, second)), Retest(remarks(second, first))
	near(t, "exchanged agreement", a.Kappa, b.Kappa, 1e-12)
}
