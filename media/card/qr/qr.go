// Package qr is the one place that knows how a QR symbol is written and read.
// Encode makes the modules of a card's symbol, Symbol of any other; Marks finds its corner marks in a
// picture, and Read reads modules back. The libraries behind it are finished
// rather than kept up, so that they must be replaceable without touching the
// cards.
package qr

import (
	"fmt"
	"slices"
	"sync"

	"github.com/makiuchi-d/gozxing/qrcode/decoder"
	goqrcode "github.com/skip2/go-qrcode"
)

// Version is the size of symbol that is written: 25 modules a side. It has the
// small square near the fourth corner that tells a tilted symbol from a turned
// one.
const Version = 2

// Side is the length of a side in modules.
const Side = 17 + 4*Version

// Encode returns the modules of a symbol by row and column, true = dark,
// without the quiet zone, with error correction at level H: nearly a third of
// the symbol may be lost. Text that does not fit is an error.
func Encode(text string) ([][]bool, error) {
	code, err := goqrcode.NewWithForcedVersion(text, Version, goqrcode.Highest)
	if err != nil {
		return nil, fmt.Errorf("%q does not fit a card (%v)", text, err)
	}
	code.DisableBorder = true
	return code.Bitmap(), nil
}

// Symbol returns the modules of the smallest symbol that holds a text, as Encode
// does, of level M: for a screen, where nothing is lost or dirty.
func Symbol(text string) ([][]bool, error) {
	code, err := goqrcode.New(text, goqrcode.Medium)
	if err != nil {
		return nil, fmt.Errorf("%q does not fit a symbol (%v)", text, err)
	}
	code.DisableBorder = true
	return code.Bitmap(), nil
}

// module is one module and what it is.
type module struct {
	x, y int
	dark bool
	mark bool // of a corner mark, or the light around it
}

// fixed are the modules that are the same in every symbol: the corner marks
// with the light around them, the dotted lines between them, and the small square
// near the fourth corner.
var fixed = sync.OnceValue(func() (all []module) {
	for _, corner := range [3][2]int{{0, 0}, {Side - 7, 0}, {0, Side - 7}} {
		for y := -1; y <= 7; y++ {
			for x := -1; x <= 7; x++ {
				at := module{x: corner[0] + x, y: corner[1] + y, mark: true}
				if at.x < 0 || at.y < 0 || at.x >= Side || at.y >= Side {
					continue
				}
				ring := min(x, y, 6-x, 6-y)
				at.dark = ring >= 0 && ring != 1
				all = append(all, at)
			}
		}
	}
	// The small square near the fourth corner, its middle in row and column 18
	// (ISO/IEC 18004, from memory; the symbols Encode makes have it there).
	for y := -2; y <= 2; y++ {
		for x := -2; x <= 2; x++ {
			all = append(all, module{x: 18 + x, y: 18 + y, dark: max(x, -x, y, -y) != 1})
		}
	}
	for i := 8; i < Side-8; i++ {
		all = append(all, module{x: i, y: 6, dark: i%2 == 0}, module{x: 6, y: i, dark: i%2 == 0})
	}
	return all
})

// Fixed is the share of the modules that every symbol has alike which are as
// they should be: about half where there is no symbol. lines is that of the dotted
// lines and the small square alone, which symbols of other sizes have elsewhere.
func Fixed(modules [][]bool) (all, lines float64) {
	var right, of [2]float64
	for _, m := range fixed() {
		i := 0
		if !m.mark {
			i = 1
		}
		of[i]++
		if modules[m.y][m.x] == m.dark {
			right[i]++
		}
	}
	return (right[0] + right[1]) / (of[0] + of[1]), right[1] / of[1]
}

// Mend returns the modules with those set right that every symbol has alike.
func Mend(modules [][]bool) [][]bool {
	out := make([][]bool, len(modules))
	for y := range modules {
		out[y] = slices.Clone(modules[y])
	}
	for _, m := range fixed() {
		out[m.y][m.x] = m.dark
	}
	return out
}

// Read reads the modules of a symbol by row and column, true = dark. A reader
// takes whatever it is given; the text is input from outside.
func Read(modules [][]bool) (text string, err error) {
	defer inside(&err)
	r, err := decoder.NewDecoder().DecodeBoolMapWithoutHint(modules)
	if err != nil {
		return "", err
	}
	return r.GetText(), nil
}

// inside turns a panic of the libraries into an error: one picture must not end
// the program.
func inside(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("the reader of symbols failed inside (%v)", r)
	}
}
