// Weighing: how likely two photos of a step are of the same view and light.

package alike

import "math"

// facts is how much is known of two photos, ofView of it about their view and framing.
const (
	facts  = 12
	ofView = 8
)

// factsOf are those of two photos, in the order of the weights. turned is the mirror image
// of the first.
func factsOf(p, turned, q *Shape, a, b guess) [facts]float64 {
	g := p.gap(q)
	return [facts]float64{
		math.Log(g.near + 0.02), g.whole, g.plane, g.spread, g.aspect, turned.nearGap(q), turned.wholeGap(q),
		math.Log(same(a.view, b.view) + 0.02),
		g.shares, g.edges, g.tone, math.Log(same(a.light, b.light) + 0.02),
	}
}

// weights say how much each of the facts speaks for two photos being alike where much is
// tagged, and how much more where nothing is. They are those of a logistic regression on
// pairs of drawn scenes of which the truth is known, from no photo tagged to all of two
// builds.
var (
	base, baseNoView, baseNoLight = -1.94, -5.78, -0.09

	weights       = [facts]float64{-1.42, -5.97, 0.08, 0.08, 0.83, 10.68, 0.08, 2.14, 0.08, -2.10, 0.28, 2.97}
	weightsOfNone = [facts]float64{-1.18, -4.29, -0.33, -1.25, 0.57, 8.46, 2.28, -1.81, -0.28, -1.09, -2.51, -3.13}
)

// likely is how likely two photos are of the same step, view and light, 0 to 1. How much is
// tagged of views and lights is 1 where nothing is and goes to 0.
func likely(of [facts]float64, noView, noLight float64) float64 {
	sum := base + noView*baseNoView + noLight*baseNoLight
	for i, v := range of {
		none := noView
		if i >= ofView {
			none = noLight
		}
		sum += v * (weights[i] + none*weightsOfNone[i])
	}
	return 1 / (1 + math.Exp(-sum))
}
