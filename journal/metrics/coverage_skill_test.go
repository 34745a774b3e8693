// How often the intervals of skill cover the truth, and how often a difference is
// seen where there is none, over simulated photos and judges.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// judging is how a simulated judge sits over the photos of builds, which are better or worse
// than their build by luck.
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

// A chance between two builds whose photos differ by luck.
func TestCoverageOfChance(t *testing.T) {
	t.Parallel()
	b := newBand(t, "chance, photos differ", level, 500)
	for _, g := range []judging{
		{builds: 4, photos: 3, pairs: 30, photoSD: 0.8}, {builds: 4, photos: 10, pairs: 30, photoSD: 0.8},
		{builds: 2, photos: 10, pairs: 100, photoSD: 0.8}, {builds: 2, photos: 10, pairs: 100, photoSD: 1.5},
	} {
		b.what = g.String()
		b.row(g.pairs, 0, g.chance)
	}
	b.close()
	own := newBand(t, "chance, each pair has photos of its own", level, 500)
	for _, g := range []judging{{builds: 2, pairs: 30}, {builds: 4, pairs: 12}, {builds: 4, pairs: 30}} {
		own.what = g.String()
		own.row(g.pairs, 0, g.chance)
	}
	own.close()
}

// Where photos do not differ, or few verdicts tell of each, they cannot show that they
// do not differ by much. The interval allows for it, and covers more often than it
// promises; the more so the fewer there are.
func TestCoverageOfChanceWhereLittleIsKnownOfPhotos(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		judging
		most float64
	}{
		{judging{builds: 2, photos: 3, pairs: 30, photoSD: 0.8}, 0.985}, {judging{builds: 2, photos: 10, pairs: 30, photoSD: 0.8}, 0.98},
		{judging{builds: 4, photos: 10, pairs: 12, photoSD: 0.8}, 0.97}, {judging{builds: 4, photos: 10, pairs: 30}, 0.98},
		{judging{builds: 2, photos: 10, pairs: 30}, 0.99}, {judging{builds: 2, photos: 10, pairs: 100}, 0.985},
		{judging{builds: 4, photos: 3, pairs: 30}, 0.99}, {judging{builds: 2, photos: 3, pairs: 30}, 1},
	} {
		b := newBand(t, row.String(), level, 300)
		b.most = row.most
		b.row(row.pairs, 0, row.chance)
	}
}

// chance tallies the chance between the first two builds, whose strengths differ by up
// to a chance of about 9 in 10.
func (g judging) chance(rng *rand.Rand, _ int, c *coverage) {
	g = g.with(rng)
	s := strengths(rng, g.builds)
	one := Rank(g.played(rng, s)).Chance("0", "1")
	c.add(one.Interval, byOdds, one.P, picked(s[0]-s[1], math.Sqrt2*math.Hypot(g.photoSD, g.judgeSD), g.nu))
}

// One build against the middle of all, its own strength among them.
func TestCoverageOfStanding(t *testing.T) {
	t.Parallel()
	for _, g := range []judging{
		{builds: 4, photos: 3, pairs: 30, photoSD: 0.8}, {builds: 4, photos: 10, pairs: 12, photoSD: 0.8}, {builds: 4, photos: 10, pairs: 30}, {builds: 4, pairs: 12},
	} {
		b := newBand(t, "standing: "+g.String(), level, 300)
		b.most = 0.98
		b.row(g.pairs, 0, func(rng *rand.Rand, _ int, c *coverage) {
			g := g.with(rng)
			s := strengths(rng, g.builds)
			one := Rank(g.played(rng, s)).Standing("0")
			var mean float64 // of the log odds of being picked over each of the four, itself among them
			for _, other := range s[1:] {
				mean += byOdds(picked(s[0]-other, math.Sqrt2*g.photoSD, g.nu)) / 4
			}
			c.add(one.Interval, byOdds, one.P, logistic(mean))
		})
	}
}

// By how much a judge leans to one side.
func TestCoverageOfSide(t *testing.T) {
	t.Parallel()
	for _, g := range []judging{{builds: 4, photos: 10, pairs: 12}, {builds: 4, photos: 3, pairs: 30}, {builds: 4, pairs: 6}} {
		newBand(t, "side: "+g.String(), level, 400).row(g.pairs, 0, func(rng *rand.Rand, _ int, c *coverage) {
			g := g.with(rng)
			r := Rank(g.played(rng, strengths(rng, 4)))
			c.add(r.SideInterval, byAmount, r.Side, g.side)
		})
	}
}

// Three judges who see builds differently: the chance is that of judges like them.
func TestCoverageOfChanceOfJudges(t *testing.T) {
	t.Parallel()
	for _, g := range []judging{
		{builds: 2, photos: 10, pairs: 90, judges: 3, judgeSD: 0.4}, {builds: 4, photos: 10, pairs: 30, judges: 3, judgeSD: 0.4},
		{builds: 4, photos: 10, pairs: 30, judges: 2, judgeSD: 0.4, photoSD: 0.8},
	} {
		b := newBand(t, fmt.Sprintf("%v, %d judges", g, g.judges), level, 300)
		b.most = 0.99
		b.row(g.pairs, 0, g.chance)
	}
}

// Builds that are equally good, whose photos differ by luck: a difference is seen in one
// of twenty at most, and no more than the p value says in the tail that a family of
// claims asks for.
func TestNoFalseBetter(t *testing.T) {
	t.Parallel()
	runs := max(400, *coverageRuns)
	var all, tail int
	for _, g := range []judging{
		{builds: 2, photos: 3, pairs: 30, photoSD: 0.8}, {builds: 2, photos: 10, pairs: 30, photoSD: 0.8}, {builds: 2, photos: 10, pairs: 100, photoSD: 0.8},
		{builds: 4, photos: 3, pairs: 30, photoSD: 0.8}, {builds: 4, photos: 10, pairs: 30, photoSD: 0.8}, {builds: 4, photos: 10, pairs: 12},
	} {
		var false05, false01, alone int
		for run := range runs {
			rng := rand.New(rand.NewPCG(*coverageSeed, uint64(run)))
			r := Rank(g.with(rng).played(rng, make([]float64, g.builds)))
			c := r.Chance("0", "1")
			if !c.Tested || c.Interval.contains(0.5) != (c.PValue >= 0.05) {
				t.Fatalf("%+v", c)
			}
			if c.PValue < 0.05 {
				false05++
			}
			if c.PValue < 0.01 {
				false01++
			}
			// The same without what photos share, as if each verdict stood for itself.
			r.common = nil
			if r.Chance("0", "1").PValue < 0.05 {
				alone++
			}
		}
		n := float64(runs)
		t.Logf("%v, %3d pairs: false at 5 %%: %.1f %%, at 1 %%: %.1f %%; by verdicts alone %.1f %%", g, g.pairs, 100*float64(false05)/n, 100*float64(false01)/n, 100*float64(alone)/n)
		if share := float64(false05) / n; share > 0.05+3*math.Sqrt(0.05*0.95/n) {
			t.Errorf("%v: %.3f", g, share)
		}
		if g.photoSD > 0 && g.pairs > 12*g.photos && alone <= false05 {
			t.Errorf("%v: by verdicts alone no more would be false, and nobody would notice", g)
		}
		all, tail = all+false05, tail+false01
	}
	if n := float64(6 * runs); float64(all)/n > 0.05 || float64(tail)/n > 0.01 {
		t.Errorf("false in %.3f at 5 %%, %.4f at 1 %%", float64(all)/n, float64(tail)/n)
	}
}

// Two marks on each photo, which share the luck of the photo, years apart.
func TestCoverageOfDrift(t *testing.T) {
	t.Parallel()
	newBand(t, "drift", level, 2000).rows([4]float64{1, 0.02, 0, 0}, func(rng *rand.Rand, n int, c *coverage) {
		a, b := 1.5+rng.Float64(), 1.5+rng.Float64()
		first, second := marksOf(rng, n, a), marksOf(rng, n, b)
		twice := remarks(first, second)
		twice = append(twice, twice...) // a second criterion is marked as the first was
		d := DriftOf(twice)
		c.add(d.Interval, byAmount, d.Mean, expected(b)-expected(a))
	})
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
