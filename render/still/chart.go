// A chart of a few builds: a row each, its range drawn before it is written.

package still

import (
	"math"
	"strconv"
)

func (ch Chart) on(c *canvas) {
	top := c.head(ch.Over, ch.Heading) + 30
	foot := c.foot(ch.Foot) - 50
	labels := 0.0
	for _, r := range ch.Rows {
		labels = math.Max(labels, math.Max(c.width(r.Label, serif, middle), c.width(r.Year, sans, small)))
	}
	labels = math.Min(labels, 560)
	left, right := marginX+labels+64, float64(Wide-marginX)-330
	axis := foot - 54
	hi, step := ch.top()
	at := func(v float64) float64 { return left + (right-left)*math.Min(math.Max(v, 0), hi)/hi }
	for v := 0.0; v <= hi*1.0001; v += step {
		c.fill(box{at(v) - 1, top, 2, axis - top}, c.ink.hair)
		word := strconv.FormatFloat(v, 'f', -1, 64)
		c.text(at(v)-c.width(word, sans, tiny)/2, axis+38, word, sans, tiny, c.ink.soft)
	}
	c.right(right, axis+80, ch.Axis, sans, tiny, c.ink.soft)
	for i, r := range ch.Rows {
		y := top + (float64(i)+0.5)*(axis-top)/float64(len(ch.Rows))
		c.row(r, y, right, labels, hi, at)
	}
}

// row draws one build.
func (c *canvas) row(r Row, y, right, labels, hi float64, at func(float64) float64) {
	line := c.some(c.lines(r.Label, serif, middle, labels), 1, serif, middle, labels)
	if len(line) > 0 {
		c.text(marginX, y+2, line[0], serif, middle, c.ink.ink)
	}
	c.text(marginX, y+46, r.Year, bold, small, c.ink.shade(r.Shade))
	if r.Interval {
		// Whole: dashes of a short range would read as several.
		c.fill(box{at(r.Low), y - 4, at(r.High) - at(r.Low), 8}, c.ink.shade(r.Shade))
		for _, end := range []float64{r.Low, r.High} {
			if end <= hi { // a range that goes on has no end here
				c.fill(box{at(end) - 3, y - 18, 6, 36}, c.ink.shade(r.Shade))
			}
		}
	}
	c.point(at(r.Value), y, 17, r.Shade)
	c.text(right+44, y+6, r.Words, bold, middle, c.ink.ink)
	for i, line := range []string{r.Range, r.Rests} {
		c.text(right+44, y+42+float64(i)*33, line, sans, tiny, c.ink.soft)
	}
}

// top is where the axis ends, and the step of its ticks. A range that reaches far
// beyond all values is cut at four times the largest, as on the pages.
func (ch Chart) top() (hi, step float64) {
	values := 0.0
	for _, r := range ch.Rows {
		values = math.Max(values, r.Value)
		hi = math.Max(hi, r.Value)
		if r.Interval {
			hi = math.Max(hi, r.High)
		}
	}
	if values > 0 {
		hi = math.Min(hi, 4*values)
	}
	if !(hi > 0) {
		hi = 1
	}
	step = math.Pow(10, math.Floor(math.Log10(hi/5)))
	for _, k := range []float64{1, 2, 5, 10} {
		if hi/(step*k) <= 6 {
			step *= k
			break
		}
	}
	return math.Ceil(hi/step) * step, step
}
