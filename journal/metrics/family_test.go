package metrics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Without parts and with equal weights the family is Holm's procedure: a claim is
// made from the level on that is its adjusted p value. Benjamini and Hochberg
// (1995), section 3.3, adjusted by Holm's definition.
func TestFamilyIsHolm(t *testing.T) {
	rows := table(t, "16_many_comparisons.csv")
	var all []Hypothesis
	for _, r := range rows {
		all = append(all, Hypothesis{Name: r["rank"], Tested: true, PValue: num(t, r["p"]), Weight: 1})
	}
	for _, r := range rows {
		adjusted := num(t, r["holm"])
		if adjusted < 1 && !Family(adjusted*(1+1e-9), all...)[r["rank"]] {
			t.Errorf("claim %s is not made at its adjusted p value %g", r["rank"], adjusted)
		}
		if Family(adjusted*(1-1e-6), all...)[r["rank"]] {
			t.Errorf("claim %s is made below its adjusted p value %g", r["rank"], adjusted)
		}
	}
	if n := len(Family(0.05, all...)); n != 3 {
		t.Errorf("%d claims at 0.05, published 3", n)
	}
}

func TestFamilyTree(t *testing.T) {
	leaf := func(name string, p float64) Hypothesis {
		return Hypothesis{Name: name, Tested: true, PValue: p, Weight: 1}
	}
	whole := leaf("speed", 0.02)
	whole.Parts = []Hypothesis{leaf("clean", 0.012), leaf("prime", 0.0001)}
	untested := Hypothesis{Name: "skill", Weight: 1, PValue: 0, Parts: []Hypothesis{leaf("joins", 0.024), leaf("decals", 0.0001)}}
	for _, c := range []struct {
		what string
		of   []Hypothesis
		want string
	}{
		{"the share of the whole goes to its parts, that of a part to its sister", []Hypothesis{whole, leaf("other", 0.9)},
			"map[clean:true prime:true speed:true]"},
		{"no part without its whole", []Hypothesis{{Name: "speed", Tested: true, PValue: 0.06, Weight: 1, Parts: whole.Parts}},
			"map[]"},
		{"what is spent goes to what is left", []Hypothesis{leaf("a", 0.02), leaf("b", 0.04)}, "map[a:true b:true]"},
		{"what cannot be tested is no gate", []Hypothesis{untested}, "map[decals:true joins:true]"},
		{"no weight, no claim", []Hypothesis{{Name: "a", Tested: true}}, "map[]"},
		{"no number, no claim", []Hypothesis{leaf("a", math.NaN())}, "map[]"},
		{"nothing asked", nil, "map[]"},
	} {
		if got := fmt.Sprint(Family(0.05, c.of...)); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}

// Some of the parts changed, the others did not: a false claim, of any of the
// others, is made in at most one in twenty.
func TestFamilyHoldsItsLevel(t *testing.T) {
	t.Parallel()
	const runs = 4000
	rng := rand.New(rand.NewPCG(3, 16))
	for _, changed := range []int{0, 1, 4, 8} {
		wrong := 0
		for range runs {
			false_ := map[string]bool{}
			var roots []Hypothesis
			for r := range 3 {
				root := Hypothesis{Name: fmt.Sprint(r), Tested: true, Weight: float64(1 + r)}
				var sum float64
				for k := range 4 {
					z := rng.NormFloat64()
					name := fmt.Sprintf("%d %d", r, k)
					if 4*r+k < changed {
						z += 4
					} else {
						false_[name] = true
					}
					sum += z / 2
					root.Parts = append(root.Parts, Hypothesis{Name: name, Tested: true, PValue: twoSided(z), Weight: 1})
				}
				if 4*r >= changed {
					false_[root.Name] = true
				}
				root.PValue = twoSided(sum)
				roots = append(roots, root)
			}
			for name := range Family(0.05, roots...) {
				if false_[name] {
					wrong++
					break
				}
			}
		}
		share := float64(wrong) / runs
		t.Logf("%d of 12 parts changed: a false claim in %.3f", changed, share)
		if share > 0.05+2*math.Sqrt(0.05*0.95/runs) {
			t.Errorf("%d of 12 parts changed: a false claim in %.3f", changed, share)
		}
		if changed == 0 && share < 0.02 {
			t.Errorf("nothing changed: %.3f, so that the level is not used", share)
		}
	}
}

func twoSided(z float64) float64 { return 2 * distuv.UnitNormal.Survival(math.Abs(z)) }
