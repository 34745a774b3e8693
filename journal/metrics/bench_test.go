// How long all metrics take on a lifetime of building.

package metrics

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// lifetime is 60 builds of 20,000 sessions and 200,000 parts, over ten kinds of
// work in three classes.
func lifetime() (builds [][]Work, all []Work) {
	rng := rand.New(rand.NewPCG(60, 20000))
	kinds := []string{"cut", "clean", "dry-fit", "assemble", "seam", "prime", "paint", "detail", "decal", "top-coat"}
	b := newBuilder(rng, 0.95, 3)
	b.rate = 20
	for k := range 60 {
		var ws []Work
		for i := range 20000/60 + min(1, max(0, 20000%60-k)) {
			w, _ := b.session(fmt.Sprintf("build-%02d", k), i, rng.IntN(3))
			w.Kind, w.Parts = kinds[rng.IntN(len(kinds))], 10
			w.Evening = w.Start.Format(time.DateOnly)
			if i%2 == 1 { // two of an evening
				w.Start, w.Evening = ws[i-1].Start.Add(time.Hour), ws[i-1].Evening
			}
			if i%5 == 0 { // on two classes
				w.Class, w.Mix = "", []ClassParts{{"class 0", float64(rng.IntN(10))}, {"class 2", 0}}
				w.Mix[1].Parts = 10 - w.Mix[0].Parts
			}
			ws = append(ws, w)
		}
		builds = append(builds, ws)
		all = append(all, ws...)
	}
	s := ScatterOf(all)
	for i := range all {
		all[i].Scatter = s
	}
	for _, ws := range builds {
		for i := range ws {
			ws[i].Scatter = s
		}
	}
	return builds, all
}

func BenchmarkAllMetrics(b *testing.B) {
	builds, all := lifetime()
	if len(all) != 20000 {
		b.Fatal(len(all))
	}
	names := make([]string, 60)
	var pairs []Pair
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range names {
		names[i] = fmt.Sprintf("build-%02d", i)
	}
	for n := range 20000 {
		i, j := rng.IntN(60), rng.IntN(60)
		if i != j {
			pairs = append(pairs, Pair{Left: names[i], Right: names[j], Outcome: []string{LeftBetter, RightBetter, NoDifference}[rng.IntN(3)],
				LeftPhoto: fmt.Sprint(rng.IntN(10)), RightPhoto: fmt.Sprint(rng.IntN(10)), Criterion: n % 6})
		}
	}
	on := make([][]Pair, 6) // by criterion
	for _, p := range pairs {
		on[p.Criterion] = append(on[p.Criterion], p)
	}
	byKind := map[string][]Work{}
	for _, w := range all {
		byKind[w.Kind] = append(byKind[w.Kind], w)
	}
	last := builds[len(builds)-1]
	earlier := all[:len(all)-len(last)]
	weeks := make([]float64, 500)
	for i := range weeks {
		weeks[i] = 8 * rng.Float64()
	}
	var counts, sizes []float64
	for range 60 {
		counts, sizes = append(counts, float64(rng.IntN(9))), append(sizes, 33)
	}
	parts := []metric{
		{"scatter", func() { ScatterOf(all) }},
		{"pace and hours", func() {
			for _, ws := range builds {
				PaceOf(ws)
			}
			Hours(all, func(w Work) string { return w.Week })
		}},
		{"learning together", func() { LearnTogether(all, nil) }},
		{"learning", func() {
			for _, ws := range byKind {
				Learn(ws)
			}
		}},
		{"like for like, all earlier", func() { LikeForLike(earlier, last) }},
		{"chain", func() { Chain(builds, Options{}) }},
		{"forecast", func() {
			var tasks []Task
			for kind := range byKind {
				tasks = append(tasks, Task{Cell: Cell{kind, "class 1", ""}, Parts: 60})
			}
			Predict(tasks, all, weeks, 1)
		}},
		{"calibration", func() { Calibrate(all, names, 1) }},
		{"strengths, over all and on six criteria", func() {
			for _, ps := range append(on, pairs) {
				r := Rank(ps)
				for _, name := range names {
					r.Standing(name)
					r.Chance(name, names[59])
				}
			}
		}},
		{"u-chart", func() { UChart(counts, sizes) }},
	}
	together := metric{"all together", func() {
		for _, one := range parts {
			one.run()
		}
	}}
	for _, one := range append(slices.Clone(parts), together) {
		b.Run(one.name, func(b *testing.B) {
			before := cpuTime()
			for b.Loop() {
				one.run()
			}
			// Time on the core, which a busy computer does not stretch as it does
			// time on the wall.
			if used := cpuTime() - before; used > 0 {
				b.ReportMetric(float64(used.Milliseconds())/float64(b.N), "cpu-ms/op")
			}
		})
	}
}

// metric is a number, or several, to be timed.
type metric struct {
	name string
	run  func()
}
