// Converting pixels to sRGB, in linear light, with tables for the curves.

package media

import (
	"image"
	"math"
	"sync"
)

// decodeSRGB is the curve of IEC 61966-2-1, from the stored to the linear.
func decodeSRGB(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func encodeSRGB(l float64) float64 {
	if l <= 0.0031308 {
		return 12.92 * l
	}
	return 1.055*math.Pow(l, 1/2.4) - 0.055
}

// fine is how many steps the table of the inverse curve has: where the curve
// is steepest, near black, a step is still less than one value of 8 bits.
const fine = 4096

// encoded is the inverse curve: linear times fine-1 to 8 bits.
var encoded = sync.OnceValue(func() *[fine]uint8 {
	var t [fine]uint8
	for i := range t {
		t[i] = uint8(math.Round(255 * encodeSRGB(float64(i)/(fine-1))))
	}
	return &t
})

// convert turns the pixels into sRGB where they are. Colors sRGB does not
// have become the nearest in each channel.
func (c *colors) convert(img *image.NRGBA) {
	out := encoded()
	var m [3][3]float32
	var lin [3][256]float32
	for i := range 3 {
		for j := range 3 {
			m[i][j] = float32(c.matrix[i][j] * (fine - 1))
		}
		for j := range 256 {
			lin[i][j] = float32(c.linear[i][j])
		}
	}
	at := func(v float32) uint8 { return out[max(0, min(fine-1, int(v+0.5)))] }
	b := img.Rect
	for y := range b.Dy() {
		row := img.Pix[y*img.Stride : y*img.Stride+4*b.Dx()]
		for ; len(row) >= 4; row = row[4:] {
			r, g, bl := lin[0][row[0]], lin[1][row[1]], lin[2][row[2]]
			row[0] = at(m[0][0]*r + m[0][1]*g + m[0][2]*bl)
			row[1] = at(m[1][0]*r + m[1][1]*g + m[1][2]*bl)
			row[2] = at(m[2][0]*r + m[2][1]*g + m[2][2]*bl)
		}
	}
}
