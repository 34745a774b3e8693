// Charts as values: every coordinate is worked out here, the template only
// writes them down. A chart comes twice, for wide and for narrow pages, because
// the letters of a drawing shrink with it.

package render

import (
	"fmt"
	"math"
	"strconv"
)

// Chart is one drawing.
type Chart struct {
	Alt      string // the message in words
	Class    string // "wide" or "narrow"
	Width    string
	Height   string
	Axis     string // title of the horizontal axis
	AxisX    string
	AxisY    string
	Top      string // where tick lines begin
	Bottom   string // where they end
	Baseline string // where tick labels stand
	Ticks    []Tick
	Guides   []Guide
	Marks    []Mark
}

// Guide is a value to hold the rows against: a line across the chart with a
// word at its foot.
type Guide struct{ X, Words, Anchor, Y string }

// Tick is a line across the chart with its label below.
type Tick struct{ X, Label, Anchor string }

// Mark is one row: a label, a line or bar, and a point with its value.
type Mark struct {
	Label, LabelX, LabelY string
	Shade                 string
	X1, X2, Y             string // the line: an interval or a stretch of time
	Bar                   bool   // the line is a bar, not an interval
	Cap1, Cap2            string // ends of the interval's caps, up and down
	In1, In2              string // the likelier half of the line, drawn thick; "" = none
	Point                 string // path of the point, "" = none
	Value, ValueX, ValueY string
	LabelAnchor           string // "end", or "" = the label begins at its place
	Gaps                  []Gap  // stretches of a bar that were pauses
	Notes                 []Note // words at a place of the bar
	Spread                bool   // the point is the middle of a spread, not a value that was
	Hollow                bool   // remembered or estimated
	Least                 bool   // a lower bound, by photos
	Open                  string // path of an arrow: the bar goes on
}

// Gap is a stretch of a bar that is drawn thin.
type Gap struct{ X1, X2 string }

// Note is a word beside what it names.
type Note struct{ Words, X, Y, Anchor string }

// num writes a coordinate: a tenth of a pixel is finer than any screen.
func num(x float64) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "0"
	}
	return strconv.FormatFloat(math.Round(x*10)/10, 'f', -1, 64)
}

// geometry of the two versions, in pixels.
type geometry struct {
	class              string
	width, left, right float64
	row, top, bottom   float64
}

var geometries = []geometry{
	{class: "wide", width: 760, left: 4, right: 56, row: 50, top: 6, bottom: 48},
	{class: "narrow", width: 340, left: 4, right: 52, row: 50, top: 6, bottom: 48},
}

// scale maps a value to a place between the margins.
type scale struct{ lo, hi, x0, x1 float64 }

func (s scale) at(v float64) float64 {
	if !(s.hi > s.lo) {
		return s.x0
	}
	if math.IsNaN(v) {
		return s.x0
	}
	return s.x0 + (s.x1-s.x0)*(math.Max(s.lo, math.Min(s.hi, v))-s.lo)/(s.hi-s.lo)
}

// niceStep is the step of 1, 2 or 5 times a power of ten that gives about n
// ticks over the range.
func niceStep(span float64, n int) float64 {
	if !(span > 0) || math.IsInf(span, 0) {
		return 1
	}
	raw := span / float64(n)
	power := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if raw <= m*power {
			return m * power
		}
	}
	return 10 * power
}

// point draws one of four shapes about a place: disc, square, diamond,
// triangle.
func point(shape int, x, y float64) string {
	const r = 5.5
	switch shape {
	case 0:
		return fmt.Sprintf("M%s %sa%[3]g %[3]g 0 1 0 %[4]g 0a%[3]g %[3]g 0 1 0 -%[4]g 0z", num(x-r), num(y), r, 2*r)
	case 1:
		return fmt.Sprintf("M%s %sh10v10h-10z", num(x-5), num(y-5))
	case 2:
		return fmt.Sprintf("M%s %sl6.5 6.5l-6.5 6.5l-6.5 -6.5z", num(x), num(y-6.5))
	}
	return fmt.Sprintf("M%s %sl6.5 11h-13z", num(x), num(y-6.5))
}

// chart is an empty drawing with room for some rows.
func (g geometry) chart(alt, axis string, rows int) Chart {
	bottom := g.top + float64(rows)*g.row
	return Chart{
		Alt: alt, Class: g.class, Axis: axis, Width: num(g.width), Height: num(bottom + g.bottom),
		Top: num(g.top), Bottom: num(bottom), Baseline: num(bottom + 18),
		AxisX: num(g.left + 6), AxisY: num(bottom + 40),
	}
}
