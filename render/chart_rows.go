// Charts of rows: one row a reading, a point with its interval, on one axis.

package render

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rakelight/journal"
	"rakelight/journal/say"
)

// Reading is one row of a chart.
type Reading struct {
	Label     string
	Tag       Tag
	Value     float64
	Low, High float64
	Interval  bool
	Inner     [2]float64 // the likelier half of the interval; equal = not drawn
	Known     Known      // zero = the value is no time that was known somehow
	Few       bool
	Words     string               // instead of the figure
	Say       func(float64) string // how a value and its limits are written; nil = as a figure
}

// axis is where the rows of a chart are held against.
type axis struct {
	title  string
	lo, hi float64
	ticks  func(n int) []tickAt // about n ticks; nil = even steps from lo
	step   float64              // of even steps; 0 = a nice one
	word   func(float64) string // of an even step; nil = the plain number
	guide  *guideAt
}

type tickAt struct {
	at   float64
	word string
}

// guideAt is a value to hold the rows against.
type guideAt struct {
	at    float64
	words string
}

// rateCharts draws rates with their intervals from zero.
func (in voice) rateCharts(alt, title string, rows []Reading) []Chart {
	return in.rowCharts(alt, axis{title: title, hi: topOf(rows)}, rows)
}

// topOf is where an axis from zero ends. An interval from one session can reach
// 50 times its value: the axis ends at four times the largest value, and a cut
// interval has no cap there.
func topOf(rows []Reading) float64 {
	top, values := 0.0, 0.0
	for _, r := range rows {
		if math.IsNaN(r.Value) || math.IsInf(r.Value, 0) {
			continue
		}
		values = math.Max(values, r.Value)
		top = math.Max(top, r.Value)
		if r.Interval {
			top = math.Max(top, r.High)
		}
	}
	if values > 0 {
		top = math.Min(top, 4*values)
	}
	return top
}

// rowCharts draws rows on an axis.
func (in voice) rowCharts(alt string, a axis, rows []Reading) []Chart {
	if len(rows) == 0 {
		return nil
	}
	var out []Chart
	for _, g := range geometries {
		if a.guide != nil {
			g.top += 16 // its word stands above the rows
		}
		c := g.chart(alt, a.title, len(rows))
		s := in.scaleOf(a, &c, g)
		if a.guide != nil {
			c.Guides = []Guide{{X: num(s.at(a.guide.at)), Words: a.guide.words, Y: num(g.top - 6), Anchor: "middle"}}
			if s.at(a.guide.at) < s.x0+40 {
				c.Guides[0].Anchor = "start"
			}
		}
		for i, r := range rows {
			c.Marks = append(c.Marks, in.markOf(r, s, g.top+float64(i)*g.row+34))
		}
		out = append(out, c)
	}
	return out
}

// scaleOf lays the axis under the chart and gives it its ticks.
func (in voice) scaleOf(a axis, c *Chart, g geometry) scale {
	n := 7
	if g.class == "narrow" {
		n = 4
	}
	s := scale{a.lo, a.hi, g.left + 6, g.width - g.right}
	var ticks []tickAt
	if a.ticks != nil {
		ticks = a.ticks(n)
	} else {
		step := a.step
		if step == 0 {
			step = niceStep(a.hi-a.lo, n)
			s.lo = math.Floor(a.lo/step) * step
			s.hi = math.Max(s.lo+step, math.Ceil(a.hi/step)*step)
		}
		word := a.word
		if word == nil {
			word = func(v float64) string { return in.of(say.Number(strconv.FormatFloat(v, 'g', 6, 64))) }
		}
		for i := 0; s.lo+float64(i)*step <= s.hi+0.0001*math.Abs(s.hi); i++ {
			v := s.lo + float64(i)*step
			ticks = append(ticks, tickAt{v, word(v)})
		}
	}
	for _, t := range ticks {
		c.Ticks = append(c.Ticks, Tick{X: num(s.at(t.at)), Label: t.word, Anchor: "middle"})
	}
	if len(c.Ticks) > 0 && s.at(ticks[0].at) < s.x0+8 {
		c.Ticks[0].Anchor = "start"
	}
	return s
}

// markOf draws the reading at a height.
func (in voice) markOf(r Reading, s scale, y float64) Mark {
	m := Mark{
		Label: r.Label, LabelX: num(s.x0), LabelY: num(y - 16), Shade: r.Tag.Shade, Y: num(y),
		Point: point(r.Tag.Shape, s.at(r.Value), y), Value: r.Words,
		Hollow: r.Known.Mark != "" && r.Known.Mark != "known known-"+journal.Measured,
	}
	switch {
	case m.Value != "":
	case r.Value == 0 && r.Say == nil:
		m.Value = "0"
	default:
		m.Value = in.value(r, r.Value)
	}
	right := s.at(r.Value)
	if r.Interval {
		m.X1, m.X2 = num(s.at(r.Low)), num(s.at(r.High))
		m.Cap1 = fmt.Sprintf("M%s %sv10", m.X1, num(y-5))
		if r.High <= s.hi {
			m.Cap2 = fmt.Sprintf("M%s %sv10", m.X2, num(y-5))
		}
		right = math.Max(right, s.at(r.High))
	}
	if r.Inner[0] < r.Inner[1] {
		m.Spread = true
		m.In1, m.In2 = num(s.at(r.Inner[0])), num(s.at(r.Inner[1]))
	}
	m.ValueX, m.ValueY = num(right+10), num(y+5)
	return m
}

// value writes a value as the drawing does, so that the words for it have its unit.
func (in voice) value(r Reading, v float64) string {
	if r.Say != nil {
		return r.Say(v)
	}
	return in.figure(v)
}

// altOf joins the readings into the words that stand for a drawing.
func (in voice) altOf(what string, rows []Reading, unit string) string {
	var parts []string
	for _, r := range rows {
		value := r.Words
		if value == "" {
			value = in.value(r, r.Value)
		}
		if r.Interval {
			parts = append(parts, in.Say("%s %s (%s to %s)", r.Label, value, in.value(r, r.Low), in.value(r, r.High)))
		} else {
			parts = append(parts, in.Say("%s %s", r.Label, value))
		}
	}
	return in.Say("%s, %s: %s.", what, unit, strings.Join(parts, "; "))
}
