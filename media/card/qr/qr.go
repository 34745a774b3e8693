// Package qr is the one place that knows how a QR symbol is written and read.
// Encode makes the modules of a symbol; Marks finds its corner marks in a
// picture, and Read reads modules back. The libraries behind it are finished
// rather than kept up, so that they must be replaceable without touching the
// cards.
package qr

import (
	"fmt"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
	"github.com/makiuchi-d/gozxing/qrcode/detector"
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

// Plane is a picture of dark and light: row by row, 1 = dark.
type Plane struct {
	Width, Height int
	Dark          []uint8
}

// Mark is a square like those in three corners of a symbol: the place of its
// middle and the side of a module, in pixels. Seen is how many rows it was seen
// in.
type Mark struct {
	X, Y, Module float64
	Seen         int
}

// Marks finds what may be corner marks.
func Marks(p Plane) (marks []Mark, err error) {
	defer inside(&err)
	if p.Width < Side || p.Height < Side || len(p.Dark) != p.Width*p.Height {
		return nil, nil // too small to hold a symbol
	}
	matrix, err := gozxing.NewBitMatrix(p.Width, p.Height)
	if err != nil {
		return nil, err
	}
	for y := range p.Height {
		for x, dark := range p.Dark[y*p.Width : (y+1)*p.Width] {
			if dark != 0 {
				matrix.Set(x, y)
			}
		}
	}
	finder := detector.NewFinderPatternFinder(matrix, nil)
	const everyRow = 2 // the mark's middle is three modules high, of a pixel and more each
	for y := 1; y < p.Height; y += everyRow {
		scan(p.Dark[y*p.Width:(y+1)*p.Width], y, finder)
		if len(finder.GetPossibleCenters()) > mostMarks {
			break // a picture made of marks is no bench
		}
	}
	for _, c := range finder.GetPossibleCenters() {
		marks = append(marks, Mark{c.GetX(), c.GetY(), c.GetEstimatedModuleSize(), c.GetCount()})
	}
	return marks, nil
}

// mostMarks bounds the work a picture can ask for.
const mostMarks = 400

// scan goes along a row and hands over where dark and light follow each other
// as 1:1:3:1:1.
func scan(row []uint8, y int, finder *detector.FinderPatternFinder) {
	var runs [5]int // the last five runs, dark at both ends
	state, length := row[0], 0
	for x := 0; x <= len(row); x++ {
		if x < len(row) && row[x] == state {
			length++
			continue
		}
		copy(runs[:], runs[1:])
		runs[4] = length
		if state == 1 && ratio(&runs) {
			counts := runs // the library may write into it
			finder.HandlePossibleCenter(counts[:], y, x)
		}
		if x < len(row) {
			state, length = row[x], 1
		}
	}
}

// ratio reports whether five runs are 1:1:3:1:1, each within half a module.
func ratio(runs *[5]int) bool {
	total := 0
	for _, n := range runs {
		if n == 0 {
			return false
		}
		total += n
	}
	if total < 7 {
		return false
	}
	off := func(n, modules int) int { return abs(14*n - 2*modules*total) } // in 14ths of the total
	return off(runs[0], 1) < total && off(runs[1], 1) < total && off(runs[2], 3) < 3*total && off(runs[3], 1) < total && off(runs[4], 1) < total
}

func abs(n int) int { return max(n, -n) }

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
