// How often the intervals of skill cover the truth, and how often a difference is
// seen where there is none, over simulated photos and judges.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// table of simulated judging: builds whose photos are better or worse than the
// build by chance.
type judging struct {
	builds, photos int     // photos of each build; 0 = each pair has photos of its own
	photoSD        float64 // of the log strength of photos of one build
	judges         int
	judgeSD        float64 // of what a judge thinks of a build
	pairs          int     // of each two builds
	side, nu       float64
}

// played judges the pairs. Each pair of builds goes through its pairs of photos in turn, on
// one criterion after the other.
func (g judging) played(rng *rand.Rand, strength []float64) (pairs []Pair) {
	effect := map[string]float64{}
	of := func(sd float64, format string, args ...any) float64 {
		key := fmt.Sprintf(format, args...)
		if _, known := effect[key]; !known {
			effect[key] = sd * rng.NormFloat64()
		}
		return effect[key]
	}
	for i := range strength {
		for j := range i {
			for k := range g.pairs {
				p, q := k, k
				if g.photos > 0 {
					round := k / g.photos
					p, q = k%g.photos, (k+round)%g.photos
				} else {
					p, q = p*len(strength)+j, q*len(strength)+i
				}
				judge := k % max(1, g.judges)
				at := func(build, photo int) float64 {
					return strength[build] + of(g.photoSD, "%d/%d", build, photo) + of(g.judgeSD, "judge %d of %d", judge, build)
				}
				one := Pair{Left: fmt.Sprint(i), Right: fmt.Sprint(j), LeftPhoto: fmt.Sprint(p), RightPhoto: fmt.Sprint(q), Judge: fmt.Sprint(judge)}
				if g.photos > 0 {
					one.Criterion = k / (g.photos * g.photos)
				}
				d := at(i, p) - at(j, q)
				if k%2 == 0 {
					one.Left, one.Right, one.LeftPhoto, one.RightPhoto, d = one.Right, one.Left, one.RightPhoto, one.LeftPhoto, -d
				}
				one.Outcome = judged(rng, d, g.side, g.nu)
				pairs = append(pairs, one)
			}
		}
	}
	return pairs
}

// judged is what a judge says of two whose log strengths differ by d, who leans to
// the left by side and ties with ν.
func judged(rng *rand.Rand, d, side, nu float64) string {
	w := []float64{math.Exp((d + side) / 2), math.Exp(-(d + side) / 2), nu}
	if u := rng.Float64() * (w[0] + w[1] + w[2]); u < w[0] {
		return LeftBetter
	} else if u < w[0]+w[1] {
		return RightBetter
	}
	return NoDifference
}

// picked is the chance that any photo of one is picked over any of another, for all judges like
// these, when they are told apart and neither side is favored: the log strengths differ
// by d and a normal error of that standard deviation.
func picked(d, sd, nu float64) float64 {
	var left, right float64
	for i := -60; i <= 60; i++ {
		z := float64(i) / 10
		w := math.Exp(-z * z / 2)
		x := d + z*sd
		sum := math.Exp(x/2) + math.Exp(-x/2) + nu
		left += w * math.Exp(x/2) / sum
		right += w * math.Exp(-x/2) / sum
	}
	return left / (left + right)
}

func strengths(rng *rand.Rand, builds int) []float64 {
	out := make([]float64, builds)
	for i := range out {
		out[i] = 0.8 * rng.NormFloat64()
	}
	return out
}

// A chance between two builds whose photos differ by luck. Where they do not differ at all,
// few photos cannot show that they do not, so that the interval allows for it: there
// it covers more often than it promises.
func TestCoverageOfChance(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		judging
		most float64
	}{
		{judging{builds: 2, photos: 3, pairs: 30, photoSD: 0.8}, 0.985}, {judging{builds: 2, photos: 10, pairs: 30, photoSD: 0.8}, 0.98},
		{judging{builds: 2, photos: 10, pairs: 100, photoSD: 0.8}, 0.97}, {judging{builds: 4, photos: 3, pairs: 30, photoSD: 0.8}, 0.97},
		{judging{builds: 4, photos: 10, pairs: 12, photoSD: 0.8}, 0.97}, {judging{builds: 4, photos: 10, pairs: 30, photoSD: 0.8}, 0.97},
		{judging{builds: 2, photos: 3, pairs: 30}, 1}, {judging{builds: 2, photos: 10, pairs: 30}, 0.99}, {judging{builds: 2, photos: 10, pairs: 100}, 0.985},
		{judging{builds: 4, photos: 3, pairs: 30}, 1}, {judging{builds: 4, photos: 10, pairs: 30}, 0.98},
		{judging{builds: 2, pairs: 30}, 0.97}, {judging{builds: 4, pairs: 12}, 0.97},
	} {
		b := newBand(t, row.String(), level, 400)
		b.most = row.most
		b.row(row.pairs, 0, func(rng *rand.Rand, _ int, c *coverage) {
			g := row.judging.with(rng)
			s := strengths(rng, g.builds)
			one := Rank(g.played(rng, s)).Chance("0", "1")
			c.add(one.Interval, byOdds, one.P, picked(s[0]-s[1], math.Sqrt2*g.photoSD, g.nu))
		})
	}
}

// with draws a leaning to a side and how often it is a tie.
func (g judging) with(rng *rand.Rand) judging {
	g.nu, g.side = 0.3+0.7*rng.Float64(), 0.3*rng.NormFloat64()
	return g
}

func (g judging) String() string {
	photos := "photos of their own"
	if g.photos > 0 {
		photos = fmt.Sprintf("%2d photos, sd %.1f", g.photos, g.photoSD)
	}
	return fmt.Sprintf("chance, %d builds, %s", g.builds, photos)
}
