// Guessing: from where, and under which light, a photo was taken that nobody tagged.

package alike

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"rakelight/journal"
)

// guess is how far a photo is of each view and of each light, as shares, in the order of
// journal.Views and journal.Lights.
type guess struct{ view, light []float64 }

// sample is a photo whose view and light are said, and its shape.
type sample struct {
	view, light int
	shape       Shape
}

// How near photos lie to each other, of one view and under one light. Chosen with what
// stands below on drawn scenes, and tried on others (TestFirstProposals).
func (g gap) byView() float64 { return math.Exp(-5*g.near - 0.3*g.whole - 0.15*g.plane) }
func (g gap) byLight() float64 {
	return math.Exp(-1.5*g.near - 0.3*g.whole - 2.6*g.shares - 0.6*g.tone - 0.2*g.edges)
}

const (
	viewNoise  = 0.12 // how much of a photo's own view is no news of others'
	lightNoise = 0.02 // the same of light
	firmly     = 5.2  // how firmly what was learned speaks
)

// teacher learned views and lights from samples, by ridge regression in the kernels above
// (Saunders, Gammerman and Vovk, ICML 1998), one for each view and light.
type teacher struct {
	held          []sample
	views, lights *mat.Dense // a row for each sample; nil = there are none
	usual         guess      // before a photo is looked at

	noView, noLight float64 // how little is known of views and lights: 1 = nothing, towards 0
}

// few is how many samples leave half unknown.
const few = 20

// little is how little samples tell of so many views or lights: one that more show than
// its part counts by that part, and all count less the fewer there are of, because they say
// nothing of the others. Where all are of one they tell nothing.
func little(held []sample, n int, of func(*sample) int) float64 {
	counts, told, seen := make([]float64, n), 0.0, -1.0
	for i := range held {
		counts[of(&held[i])]++
	}
	for _, c := range counts {
		told += min(c, float64(len(held))/float64(n))
		if c > 0 {
			seen++
		}
	}
	return few / (few + told*max(0, seen)/float64(n-1))
}

// teach learns from samples.
func teach(held []sample) *teacher {
	view, light := func(s *sample) int { return s.view }, func(s *sample) int { return s.light }
	t := &teacher{held: held,
		usual:   guess{usual(held, len(journal.Views), view), usual(held, len(journal.Lights), light)},
		noView:  little(held, len(journal.Views), view),
		noLight: little(held, len(journal.Lights), light),
	}
	n := len(held)
	if n == 0 {
		return t
	}
	byView, byLight := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i {
			g := held[i].shape.gap(&held[j].shape)
			byView.SetSym(i, j, g.byView())
			byLight.SetSym(i, j, g.byLight())
		}
		byView.SetSym(i, i, 1+viewNoise)
		byLight.SetSym(i, i, 1+lightNoise)
	}
	t.views = solve(byView, t.usual.view, func(i int) int { return held[i].view })
	t.lights = solve(byLight, t.usual.light, func(i int) int { return held[i].light })
	return t
}

// usual are the shares of samples, and one more of each, so that none is ruled out.
func usual(held []sample, n int, of func(*sample) int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 1 / float64(len(held)+n)
	}
	for i := range held {
		out[of(&held[i])] += 1 / float64(len(held)+n)
	}
	return out
}

// solve is what each sample says of each of so many, beyond what is usual.
func solve(kernel *mat.SymDense, usual []float64, is func(int) int) *mat.Dense {
	n := kernel.SymmetricDim()
	want := mat.NewDense(n, len(usual), nil)
	for i := range n {
		for k, share := range usual {
			want.Set(i, k, -share)
		}
		want.Set(i, is(i), 1-usual[is(i)])
	}
	var c mat.Cholesky
	var out mat.Dense
	if !c.Factorize(kernel) || c.SolveTo(&out, want) != nil {
		return nil
	}
	return &out
}

// guess is what the samples say of a photo.
func (t *teacher) guess(s *Shape) guess {
	g := guess{slices.Clone(t.usual.view), slices.Clone(t.usual.light)}
	if t.views == nil || t.lights == nil {
		return g
	}
	add := func(to, row []float64, by float64) {
		for k, v := range row {
			to[k] += by * v
		}
	}
	for i := range t.held {
		apart := s.gap(&t.held[i].shape)
		add(g.view, t.views.RawRowView(i), apart.byView())
		add(g.light, t.lights.RawRowView(i), apart.byLight())
	}
	shares(g.view)
	shares(g.light)
	return g
}

// shares makes shares of how far each was spoken for.
func shares(v []float64) {
	most, sum := slices.Max(v), 0.0
	for i := range v {
		v[i] = math.Exp(firmly * (v[i] - most))
		sum += v[i]
	}
	for i := range v {
		v[i] /= sum
	}
}

// Photos of a build that look much alike are of one view, and those as bright of one light:
// what is guessed of each is shared among those that come near it in time.
const (
	around = 100  // photos before one that are looked at
	rounds = 3    // of sharing
	others = 0.5  // what others say, of what a photo says itself
	nobody = 0.02 // how much a photo counts that is like none
)

// share shares what is guessed of photos of a build, in time order.
func share(shapes []Shape, guesses []guess) {
	type tie struct {
		i, j        int
		view, light float64
	}
	var ties []tie
	for i := range shapes {
		for j := max(0, i-around); j < i; j++ {
			g := shapes[i].gap(&shapes[j])
			ties = append(ties, tie{i, j, math.Exp(-g.near/0.02 - g.whole/0.06), math.Exp(-g.shares/0.05 - g.tone/0.3)})
		}
	}
	spread := func(of func(*guess) *[]float64, by func(tie) float64) {
		first := make([][]float64, len(guesses))
		for i := range guesses {
			first[i] = *of(&guesses[i])
		}
		for range rounds {
			sums, total := make([][]float64, len(guesses)), make([]float64, len(guesses))
			for i := range sums {
				sums[i], total[i] = make([]float64, len(first[i])), nobody
				for k, v := range first[i] {
					sums[i][k] = nobody * v
				}
			}
			add := func(i, j int, w float64) {
				total[i] += w
				for k, v := range *of(&guesses[j]) {
					sums[i][k] += w * v
				}
			}
			for _, t := range ties {
				add(t.i, t.j, by(t))
				add(t.j, t.i, by(t))
			}
			for i := range sums {
				for k, v := range sums[i] {
					sums[i][k] = (1-others)*first[i][k] + others*v/total[i]
				}
				*of(&guesses[i]) = sums[i]
			}
		}
	}
	spread(func(g *guess) *[]float64 { return &g.view }, func(t tie) float64 { return t.view })
	spread(func(g *guess) *[]float64 { return &g.light }, func(t tie) float64 { return t.light })
}

// say sets what a person said of a photo, which is no guess.
func (g *guess) say(tags journal.Tags) {
	sure := func(words []string, word string, shares []float64) []float64 {
		if i := slices.Index(words, word); i >= 0 {
			shares = make([]float64, len(shares))
			shares[i] = 1
		}
		return shares
	}
	g.view, g.light = sure(journal.Views, tags.View, g.view), sure(journal.Lights, tags.Light, g.light)
}

// same is how likely two photos are of one, by what is guessed of each.
func same(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}
