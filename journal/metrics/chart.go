// The control chart of mistakes: which builds stand out, and which only vary.

package metrics

import (
	"fmt"
	"math"
)

// enoughSamples is how many samples the centre line must rest on before any
// is called out of the ordinary.
const enoughSamples = 5

// ChartPoint is one sample on a u-chart.
type ChartPoint struct {
	Count, Size float64
	PerUnit     float64
	Low, High   float64 // limits for a sample of this size; Low is never below 0
	Out         bool    // outside its limits
}

// Chart is a u-chart: mistakes per unit over samples of unequal size.
type Chart struct {
	Centre float64
	Points []ChartPoint
	OK     bool
	Why    string
}

// UChart returns the chart of counts over samples of the given sizes, such as
// mistakes over hundreds of parts, in the order given:
//
//	centre ū = Σ count / Σ size      limits ū ± 3·√(ū/size)
//
// A point outside its limits is more than the chance of counts; one inside is
// not, however much it looks like a trend. Samples without size are passed over
// and keep their place with no limits. Below five samples, or without any
// mistake, no point is judged. Slices of unequal length panic.
//
// Montgomery D.C. (1991), Introduction to Statistical Quality Control, 2nd ed.,
// chapter 4.
func UChart(counts, sizes []float64) Chart {
	if len(counts) != len(sizes) {
		panic("metrics: counts and sizes differ in length")
	}
	var c Chart
	var count, size float64
	n := 0
	for i, s := range sizes {
		if s > 0 {
			count += counts[i]
			size += s
			n++
		}
	}
	switch {
	case n < enoughSamples:
		c.Why = fmt.Sprintf("too few to tell: %s with counted parts, %d needed", Count(n, "build"), enoughSamples)
	case count == 0:
		c.Why = "no mistakes noted"
	default:
		c.OK = true
	}
	if size > 0 {
		c.Centre = count / size
	}
	for i, s := range sizes {
		p := ChartPoint{Count: counts[i], Size: s}
		if s > 0 {
			p.PerUnit = counts[i] / s
			reach := 3 * math.Sqrt(c.Centre/s)
			p.Low, p.High = math.Max(0, c.Centre-reach), c.Centre+reach
			p.Out = c.OK && (p.PerUnit < p.Low || p.PerUnit > p.High)
		}
		c.Points = append(c.Points, p)
	}
	return c
}
