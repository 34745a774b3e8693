// The card as a gray reference: what its paper and its gray steps look like in
// a photo, and the one correction that follows from them. Nothing else is
// changed: no sharpening, no retouching.

package card

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"

	"rakelight/journal/say"
)

// Gray is what a card looks like in a photo: the mean of each gray step by red,
// green and blue, in light (linear, 1 = the most a pixel can show). Printers
// differ in their grays, so only the paper fixes how light a photo is; the steps
// show whether the light's color is the same in the dark.
type Gray struct {
	Steps [5][3]float64 // paper first
}

// paperShould is how light paper is after correction: white paper in a picture
// that is well exposed and leaves room for what shines.
const paperShould = 0.80

// linear is the light of an sRGB value.
func linear(v uint8) float64 {
	c := float64(v) / 255
	if c <= 0.04045 {
		return c / 12.92
	}
	return math.Pow((c+0.055)/1.055, 2.4)
}

// mostInk is how light the black step may be, by the paper: ink is some 5 %, and a
// shine makes more of it (common practice, no source).
const mostInk = 0.5

// ErrStepsOutside says that the gray steps of a card cannot be seen whole.
var ErrStepsOutside = errors.New("the gray steps are not in the picture")

// GrayOf measures the gray steps in a picture, whose pixels are sRGB and lie as
// the corners say. Steps outside of the picture, overexposed paper and steps
// that do not grow darker are errors: a correction by them would be a guess.
func GrayOf(img image.Image, m Measure) (Gray, error) {
	var g Gray
	b := img.Bounds()
	for i := range Steps {
		var sum [3]float64
		clipped := 0
		const n = 9
		for k := range n * n {
			// The middle of the step: its edges are blurred.
			x := StepX + StepSide*(float64(i)+0.25+0.5*float64(k%n)/(n-1))
			y := StepY + StepSide*(0.25+0.5*float64(k/n)/(n-1))
			u, v := m.Plane.At(x, y)
			if !(u >= 0 && v >= 0 && u < float64(b.Dx()) && v < float64(b.Dy())) {
				return Gray{}, ErrStepsOutside
			}
			c := color.NRGBAModel.Convert(img.At(b.Min.X+int(u), b.Min.Y+int(v))).(color.NRGBA)
			if max(c.R, c.G, c.B) >= 253 {
				clipped++
			}
			for k, val := range [3]uint8{c.R, c.G, c.B} {
				sum[k] += linear(val) / (n * n)
			}
		}
		if i == 0 && clipped > n*n/20 {
			return Gray{}, errors.New("the card's paper is overexposed")
		}
		g.Steps[i] = sum
		if i > 0 && sum[1] >= g.Steps[i-1][1] {
			return Gray{}, errors.New("the gray steps do not grow darker, something covers them or shines on them")
		}
	}
	// A small card has no steps: what lies there is whatever the card lies on.
	if last := g.Steps[len(Steps)-1][1]; last > mostInk*g.Steps[0][1] {
		return Gray{},
			errors.New("the gray steps are hardly darker than the paper, something shines on them or they are none")
	}
	if min(g.Steps[0][0], g.Steps[0][1], g.Steps[0][2]) < 0.02 {
		return Gray{}, errors.New("it is too dark to tell the color of the light")
	}
	return g, nil
}

// Correction is by how much the light of each color is multiplied.
type Correction struct{ Red, Green, Blue float64 }

// Correction makes the paper neutral, and as light as paper should be.
func (g Gray) Correction() Correction {
	p := g.Steps[0]
	return Correction{paperShould / p[0], paperShould / p[1], paperShould / p[2]}
}

// Stops is how much lighter the picture becomes, in stops; below zero darker.
func (c Correction) Stops() float64 { return math.Log2(c.Green) }

// Words say what is done, for the caption of a corrected picture.
func (c Correction) Said(in *say.Speaker) string {
	signed := func(format string, x float64) say.Number { return say.Number(fmt.Sprintf(format, x)) }
	return in.Say("exposure %s stops, red %s %% and blue %s %% against green, by the card's paper",
		signed("%+.1f", c.Stops()), signed("%+.0f", 100*(c.Red/c.Green-1)), signed("%+.0f", 100*(c.Blue/c.Green-1)))
}

// Off say how far the light is off, where nothing is done about it: "0.5 stops too dark
// and too red, by the card's paper".
func (c Correction) Off(in *say.Speaker) string {
	const seen = 0.05 // less than a twentieth of a color nobody sees without the other picture (our choice)
	var off []string
	switch s := c.Stops(); {
	case s >= 0.05:
		off = append(off, in.Say("%s stops too dark", say.Decimal(s, 1)))
	case s <= -0.05:
		off = append(off, in.Say("%s stops too light", say.Decimal(-s, 1)))
	}
	for _, one := range []struct {
		gain       float64
		much, less say.Key
	}{{c.Red / c.Green, "too red", "too green"}, {c.Blue / c.Green, "too blue", "too yellow"}} {
		switch {
		case one.gain < 1-seen:
			off = append(off, in.Say(one.much))
		case one.gain > 1+seen:
			off = append(off, in.Say(one.less))
		}
	}
	if len(off) == 0 {
		return in.Say("light¦right, by the card's paper")
	}
	return in.Say("%s, by the card's paper", strings.Join(off, ", "))
}
