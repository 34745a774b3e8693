// What colors a model ends up in.

package scene

import (
	"image/color"
	"math"
)

// Colors are the colors of the paints that a model is drawn with, its main one
// first: what is put on in coats, without the small things that a brush picks out.
func Colors(model string) []color.RGBA {
	k := newKit(model)
	out := []color.RGBA{displayed(k.main)}
	for _, p := range k.pieces {
		if p.surf.own || p.surf.glass || p.surf.small {
			continue
		}
		out = append(out, displayed(p.surf.color))
		if p.surf.edge != nil {
			out = append(out, displayed(p.surf.second))
		}
	}
	return out
}

// displayed is a color of linear light as a screen is given it.
func displayed(c v3) color.RGBA {
	at := func(x float64) uint8 { return uint8(math.Round(255 * math.Pow(clamp01(x), 1/2.2))) }
	return color.RGBA{at(c.X), at(c.Y), at(c.Z), 255}
}
