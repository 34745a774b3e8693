// The card as a measure: what the four corners of its symbol tell of the plane
// it lies in.

package card

import (
	"math"
)

// Measure is what a card tells of the plane it lies in. It holds in that plane
// only: what stands above it is nearer the camera and looks larger.
type Measure struct {
	Plane      Homography // millimeters on the card, from its upper left corner, to pixels
	MMPerPixel float64    // at the middle of the symbol, in the direction that is not foreshortened
	Error      float64    // standard error of MMPerPixel
	Tilt       float64    // degrees between the card and the picture's plane, about
}

// MeasureOf measures by the corners of a symbol (Found.Corners) and their
// standard error (Found.Error), 0 = half a module. Corners that are no picture
// of a square are an error.
func MeasureOf(corners [4][2]float64, sd float64) (Measure, error) {
	const x0, y0, s = SymbolX, SymbolY, SymbolSide
	onCard := [4][2]float64{{x0, y0}, {x0 + s, y0}, {x0 + s, y0 + s}, {x0, y0 + s}}
	h, err := HomographyOf(onCard, corners)
	if err != nil {
		return Measure{}, err
	}
	m := Measure{Plane: h}
	scale := func(h Homography) (float64, float64) { return h.Stretches(x0+s/2, y0+s/2) }
	most, least := scale(h)
	if !(most > 0) {
		return Measure{}, errFlat
	}
	m.MMPerPixel = 1 / most
	m.Tilt = math.Acos(min(1, least/most)) * 180 / math.Pi
	if sd <= 0 {
		sd = Module / 2 * most
	}
	// Each of the eight numbers is moved by its error, of which a distance has
	// two; the scale's errors add as squares.
	for i := range 8 {
		moved := corners
		moved[i/2][i%2] += sd / math.Sqrt2
		if h, err := HomographyOf(onCard, moved); err == nil {
			other, _ := scale(h)
			m.Error = math.Hypot(m.Error, 1/other-m.MMPerPixel)
		}
	}
	return m, nil
}

// Upright takes corners from stored pixels to those of the picture turned as
// EXIF orientation 1 to 8 says. width and height are those as stored.
func Upright(corners [4][2]float64, turn int, width, height int) [4][2]float64 {
	w, h := float64(width), float64(height)
	for i, c := range corners {
		x, y := c[0], c[1]
		switch turn {
		case 2:
			x = w - x
		case 3:
			x, y = w-x, h-y
		case 4:
			y = h - y
		case 5:
			x, y = y, x
		case 6:
			x, y = h-y, x
		case 7:
			x, y = h-y, w-x
		case 8:
			x, y = y, w-x
		}
		corners[i] = [2]float64{x, y}
	}
	return corners
}
