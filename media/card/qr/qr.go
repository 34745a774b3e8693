// Package qr is the one place that knows how a QR symbol is written and read:
// Encode and Decode, and nothing else. The libraries behind it are finished
// rather than kept up, so that they must be replaceable without touching the
// cards.
package qr

import (
	"errors"
	"fmt"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/multi/qrcode"
	qrcode1 "github.com/makiuchi-d/gozxing/qrcode"
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

// Symbol is a symbol read. Points are where its three finder marks lie, in
// pixels, pixel centers at whole numbers plus a half: top left, top right,
// bottom left as the symbol is written; then, if it was seen, the small square
// near the fourth corner.
type Symbol struct {
	Text   string
	Points [][2]float64
}

// Plane is a picture of dark and light: row by row, 1 = dark.
type Plane struct {
	Width, Height int
	Dark          []uint8
}

// Decode returns the symbols in a plane. The reader behind it takes whatever
// it is given for a symbol; its text is input from outside. A panic in it is
// an error here: one picture must not end the program.
func Decode(p Plane, several bool) (found []Symbol, err error) {
	defer func() {
		if r := recover(); r != nil {
			found, err = nil, fmt.Errorf("the reader of symbols failed inside (%v)", r)
		}
	}()
	if p.Width < Side || p.Height < Side || len(p.Dark) != p.Width*p.Height {
		return nil, errors.New("the plane is too small to hold a symbol")
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
	bitmap, err := gozxing.NewBinaryBitmap(ready{p, matrix})
	if err != nil {
		return nil, err
	}
	var results []*gozxing.Result
	if several {
		// It returns an error where there is none, too.
		results, _ = qrcode.NewQRCodeMultiReader().DecodeMultiple(bitmap, nil)
	} else if r, err := qrcode1.NewQRCodeReader().Decode(bitmap, nil); err == nil {
		results = append(results, r)
	}
	for _, r := range results {
		s := Symbol{Text: r.GetText()}
		// The library's order is bottom left, top left, top right, fourth.
		points := r.GetResultPoints()
		if len(points) < 3 {
			continue
		}
		for _, i := range []int{1, 2, 0, 3} {
			if i < len(points) {
				s.Points = append(s.Points, [2]float64{points[i].GetX(), points[i].GetY()})
			}
		}
		found = append(found, s)
	}
	return found, nil
}

// ready hands a finished matrix to the reader in place of its own threshold.
type ready struct {
	plane  Plane
	matrix *gozxing.BitMatrix
}

func (r ready) GetLuminanceSource() gozxing.LuminanceSource { return nil }
func (r ready) GetBlackRow(y int, row *gozxing.BitArray) (*gozxing.BitArray, error) {
	return r.matrix.GetRow(y, row), nil
}
func (r ready) GetBlackMatrix() (*gozxing.BitMatrix, error)               { return r.matrix, nil }
func (r ready) CreateBinarizer(gozxing.LuminanceSource) gozxing.Binarizer { return r }
func (r ready) GetWidth() int                                             { return r.plane.Width }
func (r ready) GetHeight() int                                            { return r.plane.Height }
