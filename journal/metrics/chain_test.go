// Chains of builds: products, breaks, and coverage.

package metrics

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
)

func TestChainMultiplies(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	builds := [][]Work{evenings(rng, "a", 7, 20, "flat", "curved"), evenings(rng, "b", 7, 24, "flat", "curved"), evenings(rng, "c", 8, 30, "flat", "curved")}
	chain := Chain(builds, Options{})
	if !chain[0].OK || chain[0].Speed != 1 || chain[0].Interval.OK {
		t.Errorf("the first: %+v", chain[0])
	}
	near(t, "product", chain[2].Speed, chain[1].Comparison.Speed*chain[2].Comparison.Speed, 1e-12)
	near(t, "first link", chain[1].Speed, LikeForLike(builds[0], builds[1]).Speed, 1e-12)
	near(t, "first interval", chain[1].Interval.High, LikeForLike(builds[0], builds[1]).Interval.High, 0.1)
	if again := Chain([][]Work{shuffled(builds[0], 1), shuffled(builds[1], 2), shuffled(builds[2], 3)}, Options{}); !reflect.DeepEqual(again, chain) {
		t.Error("the order of sessions matters")
	}
}

// A build with other work is passed over, and the chain goes on.
func TestChainBreaks(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 3))
	other := evenings(rng, "b", 5, 20, "clear")
	chain := Chain([][]Work{nil, evenings(rng, "a", 7, 20, "flat"), other, evenings(rng, "c", 7, 40, "flat")}, Options{})
	if chain[0].OK || !chain[0].Why.Any() || !chain[1].OK || chain[2].OK || !chain[2].Why.Any() || !chain[3].OK || chain[3].Comparison.Earlier != "a" {
		t.Errorf("%v %v %v %v", chain[0].Why, chain[1].OK, chain[2].Why, chain[3].OK)
	}
	if s := ChainSentence(chain[:3], func(id string) string { return id }).String(); s != "No two builds in a row share work that can be compared." {
		t.Error(s)
	}
	if Chain(nil, Options{}) == nil {
		t.Error("no builds give no chain")
	}
}

// Five builds at one pace: the chain ends at 1.
func TestCoverageOfChain(t *testing.T) {
	t.Parallel()
	newBand(t, "chain of five builds", level, 500).rows([4]float64{0.25, 0.02, 0, 0}, func(rng *rand.Rand, n int, c *coverage) {
		b := newBuilder(rng, 1, 1)
		var builds [][]Work
		for k := range 5 {
			var ws []Work
			for i := range n {
				w, _ := b.session(fmt.Sprint(k), i, 0)
				ws = append(ws, w)
			}
			builds = append(builds, ws)
		}
		last := Chain(builds, Options{})[4]
		c.add(last.Interval, byFactor, last.Speed, 1)
	})
}
