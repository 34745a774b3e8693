// What pairs can show, against published powers and by simulation.

package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// The examples in R's help of power.prop.test, from memory: fifty a side and
// shares of 0.50 and 0.75 have a power of 0.740; a power of 0.90 takes 76.7 a side; fifty a
// side show 0.8026 nine times in ten.
func TestPowerOfSharesPublished(t *testing.T) {
	two := func(n, p, q float64) float64 {
		mean := (p + q) / 2
		return powerOfShares(q-p, math.Sqrt(2*mean*(1-mean)/n), math.Sqrt((p*(1-p)+q*(1-q))/n))
	}
	near(t, "n = 50", two(50, 0.5, 0.75), 0.740, 5e-4)
	near(t, "n = 76.7", two(76.7, 0.5, 0.75), 0.90, 5e-4)
	near(t, "p = 0.8026", two(50, 0.5, 0.8026), 0.90, 5e-4)
	// One share against one half by the textbook's n = ((z·½ + z'·√pq)/(p − ½))²: 0.75
	// takes 30 pairs (29.3) for 0.8.
	z, power := zQuantile(), 0.8416212335729143
	n := math.Pow((z*0.5+power*math.Sqrt(0.75*0.25))/0.25, 2)
	near(t, "one share", ChanceSight{Worth: n}.Power(0.75), 0.8, 1e-9)
	near(t, "that share", ChanceSight{Worth: n}.Smallest(), 0.75, 1e-6)
}

// Single pairs on photos of their own: the chance that they are said to show is seen about
// four times in five. What the model holds beforehand of photos costs a little.
func TestChanceSightIsHit(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 12))
	draw := func(n int, p float64) Chance {
		var pairs []Pair
		for i := range n {
			one := Pair{Left: "boat", Right: "lorry", Outcome: LeftBetter, LeftPhoto: fmt.Sprint(i), RightPhoto: fmt.Sprint(i)}
			if rng.Float64() >= p {
				one.Outcome = RightBetter
			}
			if i%2 == 1 { // sides change
				one.Left, one.Right = one.Right, one.Left
				one.Outcome = map[string]string{LeftBetter: RightBetter, RightBetter: LeftBetter}[one.Outcome]
			}
			pairs = append(pairs, one)
		}
		return Rank(pairs).Chance("boat", "lorry")
	}
	for _, n := range []int{20, 60} {
		var smallest float64
		const runs = 300
		for range 30 { // as seen where nothing differs
			smallest += draw(n, 0.5).Sight().Smallest() / 30
		}
		hit := 0
		for range runs {
			if c := draw(n, smallest); c.Interval.Low > 0.5 {
				hit++
			}
		}
		if share := float64(hit) / runs; share < 0.65 || share > 0.92 {
			t.Errorf("%d pairs: a chance of %.2f was seen in %.2f of journals, want about 0.8", n, smallest, share)
		}
	}
}

func TestChanceSightInWords(t *testing.T) {
	for _, c := range []struct {
		of   ChanceSight
		want string
	}{
		{ChanceSight{}, ""},
		{ChanceSight{N: 30, Worth: 30, OK: true}, "These pairs could have shown a build that is picked at least 75 times in 100; about 39 more pairs like these would show one that is picked 67 times in 100."},
		{ChanceSight{N: 200, Worth: 100, OK: true}, "These pairs could have shown a build that is picked at least 64 times in 100."},
		{ChanceSight{N: 400, Worth: 12, OK: true}, "These pairs could have shown a build that is picked at least 87 times in 100; one that is picked 67 times in 100 would take over 500 pairs more like these."},
		{ChanceSight{N: 12, Worth: 3, OK: true}, "So few pairs cannot show any difference yet; about 261 more pairs like these would show one that is picked 67 times in 100."},
	} {
		if got := c.of.Sentence().String(); got != c.want {
			t.Errorf("%+v\n got %s\nwant %s", c.of, got, c.want)
		}
	}
	if n, ok := (ChanceSight{N: 100, Worth: 100}).MoreFor(worthSeeing); n != 0 || !ok {
		t.Errorf("enough, yet %d more", n)
	}
}
