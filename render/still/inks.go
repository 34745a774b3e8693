// The inks of the pages, as numbers.

package still

import "image/color"

// inks are the colors of one light. They are those of shared.css.
type inks struct {
	paper, tray, ink, soft, hair, line color.RGBA
	ramp                               [11]color.RGBA
}

var day = inks{
	paper: rgb(0xf7f2e8), tray: rgb(0xf2ebde), ink: rgb(0x211a12), soft: rgb(0x5c5145), hair: rgb(0xd3c8b5),
	line: rgb(0x857863),
	ramp: [11]color.RGBA{rgb(0x3a5a80), rgb(0x4e5978), rgb(0x5e5870), rgb(0x6c5668), rgb(0x78555f), rgb(0x825456),
		rgb(0x8b534c), rgb(0x925342), rgb(0x995435), rgb(0x9e5526), rgb(0xa3560a)},
}

var night = inks{
	paper: rgb(0x17110b), tray: rgb(0x221a12), ink: rgb(0xefe6d6), soft: rgb(0xb9ab97), hair: rgb(0x3c3126),
	line: rgb(0x857661),
	ramp: [11]color.RGBA{rgb(0x8fb1da), rgb(0xa1afce), rgb(0xb1adc1), rgb(0xbfaab4), rgb(0xcba8a7), rgb(0xd5a79a),
		rgb(0xdda68b), rgb(0xe3a67c), rgb(0xe8a66b), rgb(0xeca758), rgb(0xf0a840)},
}

func rgb(n uint32) color.RGBA { return color.RGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 0xff} }

// shade is the color of a build.
func (i inks) shade(s Shade) color.RGBA { return i.ramp[min(max(s.Ramp, 0), len(i.ramp)-1)] }
