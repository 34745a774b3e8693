// A card in a kept photo as a ruler: what its corners tell, in millimeters of
// the paper it came out on, and how that is said.

package card

import (
	"fmt"
	"math"

	"rakelight/journal"
	"rakelight/journal/say"
)

// Ruler is a card of a photo with what is measured by it. Its millimeters are
// those of paper where a person measured the sheet, else those it has at 100 %.
type Ruler struct {
	Measure
	Seen    journal.CardSeen
	Corners [4][2]float64 // of the symbol, in the upright photo's pixels
	SD      float64       // standard error of a corner, pixels
	Printed journal.Printed
}

// RulersOf are the cards of a photo that can be measured by, as they were found.
func RulersOf(s *journal.State, p *journal.Photo) []*Ruler {
	var out []*Ruler
	for _, c := range p.Cards {
		w, h := StoredSize(p)
		r := &Ruler{Seen: c, Corners: Upright(CornersOf(c), p.Turn, w, h), SD: c.Error, Printed: s.PrintedOf(p, c)}
		var err error
		if r.Measure, err = r.With(r.Corners, r.Printed.Factor()); err != nil {
			continue
		}
		if r.SD <= 0 {
			// As MeasureOf takes it: half a module.
			r.SD = Module / 2 * r.Printed.Factor() / r.MMPerPixel
		}
		r.Error = math.Hypot(r.Error, r.MMPerPixel*r.Printed.Error())
		out = append(out, r)
	}
	return out
}

// Best is the card of a photo that tells its scale best, nil if the photo shows
// none that can be measured by.
func Best(s *journal.State, p *journal.Photo) *Ruler {
	var best *Ruler
	for _, r := range RulersOf(s, p) {
		if best == nil || r.better(best) {
			best = r
		}
	}
	return best
}

// With is the measure by other corners and by another size of the print, in
// millimeters of paper for one of the card's. Its error is that of the corners
// alone.
func (r *Ruler) With(corners [4][2]float64, factor float64) (Measure, error) {
	m, err := MeasureOf(corners, r.SD)
	if err != nil {
		return Measure{}, err
	}
	m.Plane = Homography{1 / factor, 0, 0, 0, 1 / factor, 0, 0, 0, 1}.Then(m.Plane)
	m.MMPerPixel, m.Error = m.MMPerPixel*factor, m.Error*factor
	return m, nil
}

// better reports whether the scale is told better by r than by other: by a card
// somebody measured, then by the one whose error is smaller.
func (r *Ruler) better(other *Ruler) bool {
	if r.Printed.Known() != other.Printed.Known() {
		return r.Printed.Known()
	}
	return r.Error/r.MMPerPixel < other.Error/other.MMPerPixel
}

// Words is the scale of a picture that shows the card shrunk so many times. All
// millimeters a page tells are worded here: with their error, and with the
// condition they stand under as long as nobody measured the print.
func (r *Ruler) Words(shrunk float64) string { return r.Said(say.English(), shrunk) }

// Said says it in a language.
func (r *Ruler) Said(in *say.Speaker, shrunk float64) string {
	// Rounded up, so that no error is called none.
	percent := math.Ceil(1000*r.Error/r.MMPerPixel) / 10
	words := in.Say("%s mm a pixel at the card ± %s %%", say.Number(figures(r.MMPerPixel*shrunk)), say.Decimal(percent,
		1))
	if !r.Printed.Known() {
		words = in.Say("%s if printed at 100 %%", words)
	}
	return words
}

// IfFull is the condition under which a length by an unmeasured card holds.
const IfFull = " if printed at 100 %"

// figures is a number above zero with two figures.
func figures(x float64) string {
	digits := max(0, 1-int(math.Floor(math.Log10(x))))
	return fmt.Sprintf("%.*f", digits, x)
}

// StoredSize is the size of the photo's pixels before they are turned upright.
func StoredSize(p *journal.Photo) (w, h int) {
	if p.Turn >= 5 {
		return p.Height, p.Width
	}
	return p.Width, p.Height
}

// CornersOf are the corners of a card as the record keeps them, in the pixels
// stored.
func CornersOf(c journal.CardSeen) (out [4][2]float64) {
	for i := range out {
		out[i] = [2]float64{c.Corners[2*i], c.Corners[2*i+1]}
	}
	return out
}
