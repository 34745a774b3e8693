// How a picture looks, in a few numbers: enough to tell that two files show the
// same, and which of them is sharper. Nothing here says what a picture shows.

package media

import (
	"image"
	"image/color"
	"math"
	"math/bits"
	"strconv"
)

// Look is how a picture looks upright. The zero Look is that of a picture that
// cannot be compared.
type Look struct {
	// Fingerprint holds 64 comparisons of brightness between neighbours on a grid of
	// 9 by 8 cells, as 16 hex digits. It stays nearly the same when a picture
	// is made smaller or packed harder. "" = the picture is too flat to tell
	// from another flat one.
	Fingerprint string
	// Sharp is how much of the picture's contrast lies in fine detail. It
	// compares pictures of one subject and one size only; more is sharper.
	Sharp float64

	cells []uint8 // mean brightness on a grid of fineGrid by fineGrid cells
}

// fineGrid is fine enough that a hand's tremor of one percent shows at the
// edges, and coarse enough that the other grid of a smaller copy does not.
const fineGrid = 32

// flatest is the least standard deviation of the cells, of 255, at which their
// order is more than noise.
const flatest = 3

// How much the looks of one picture may differ when a messenger made it smaller
// and packed it anew: about twice what was measured on half the size at quality
// 60 (at most 2 comparisons, 6 for the smallest pictures; 0.84 in the mean, 9 in
// one cell).
const (
	CopyFingerprint = 6 // of 64 comparisons of their fingerprints
	copyMean        = 1.6
	copyMost        = 16
)

// Cells are what Copies and Differ compare besides the fingerprint, to be kept with
// it: mean brightness, row by row; empty = the picture cannot be compared. Nobody
// changes them.
func (l Look) Cells() []uint8 { return l.cells }

// LookFrom is a look that was kept. Cells that are none leave one that cannot be
// compared.
func LookFrom(fingerprint string, sharp float64, cells []uint8) Look {
	l := Look{Fingerprint: fingerprint, Sharp: sharp}
	if len(cells) == fineGrid*fineGrid {
		l.cells = cells
	}
	return l
}

// Copies reports whether one of the two pictures is the other, made smaller or
// packed harder. A picture that was brightened, cropped or written upon is not.
func (l Look) Copies(o Look) bool {
	mean, most := l.Differ(o)
	return FingerprintDistance(l.Fingerprint, o.Fingerprint) <= CopyFingerprint && mean <= copyMean && most <= copyMost
}

// lookOf is LookOf for a picture that may break on reading: the index of a
// color may point past the palette.
func lookOf(img image.Image, turn int) (l Look, err error) {
	defer recovered(&err)
	return LookOf(img, turn), nil
}

// LookAt reads a picture file and measures it. Errors are those of Decode.
func LookAt(path string, turn int) (Look, error) {
	img, err := Decode(path, DefaultLimits)
	if err != nil {
		return Look{}, err
	}
	return lookOf(img, turn)
}

// LookOf measures stored pixels; turn is the EXIF orientation that makes them
// upright. It reads each pixel once at most, of the rarer kinds one pixel a block.
func LookOf(img image.Image, turn int) Look {
	g := luma(img)
	if g.w < 9 || g.h < 8 {
		return Look{}
	}
	look := Look{Sharp: g.sharp()}
	up := g.upright(turn)
	look.cells = up.grid(fineGrid, fineGrid)
	cells := up.grid(9, 8)
	if deviation(cells) < flatest {
		return look
	}
	var fingerprint uint64
	for y := range 8 {
		for x := range 8 {
			fingerprint <<= 1
			if cells[y*9+x] < cells[y*9+x+1] {
				fingerprint |= 1
			}
		}
	}
	look.Fingerprint = hex16(fingerprint)
	return look
}

// hex16 is a number in 16 hex digits.
func hex16(n uint64) string {
	s := strconv.FormatUint(n, 16)
	return "0000000000000000"[len(s):] + s
}

// FingerprintDistance is in how many of its 64 comparisons one fingerprint differs from
// another; 64 when one of them is none.
func FingerprintDistance(a, b string) int {
	m, errA := strconv.ParseUint(a, 16, 64)
	n, errB := strconv.ParseUint(b, 16, 64)
	if errA != nil || errB != nil || len(a) != 16 || len(b) != 16 {
		return 64
	}
	return bits.OnesCount64(m ^ n)
}

// Differ is the mean difference in brightness, of 255, between two pictures
// cell by cell, and the largest; 255 where one cannot be compared.
func (l Look) Differ(o Look) (mean, most float64) {
	if len(l.cells) == 0 || len(o.cells) == 0 {
		return 255, 255
	}
	for i := range l.cells {
		d := math.Abs(float64(l.cells[i]) - float64(o.cells[i]))
		mean += d
		most = max(most, d)
	}
	return mean / float64(len(l.cells)), most
}

// gray is a small plane of brightness.
type gray struct {
	w, h int
	pix  []uint8
}

// planeSide: averaging whole blocks down to at least this many pixels on the
// longer side takes out the noise of the sensor and leaves what a page shows.
const planeSide = 512

// luma averages whole blocks of pixels; of large blocks four to seven rows, spread
// evenly, which takes a third of the time and out as much of the noise as is
// needed. Pixels left over at the right and bottom edges, fewer than a block,
// are left out.
func luma(img image.Image) gray {
	b := img.Bounds()
	k := max(1, max(b.Dx(), b.Dy())/planeSide)
	g := gray{w: b.Dx() / k, h: b.Dy() / k}
	g.pix = make([]uint8, g.w*g.h)
	row := rowReader(img)
	if row == nil {
		for i := range g.pix {
			at := img.At(b.Min.X+i%g.w*k+k/2, b.Min.Y+i/g.w*k+k/2)
			g.pix[i] = color.GrayModel.Convert(at).(color.Gray).Y
		}
		return g
	}
	line := make([]uint8, g.w*k)
	sums := make([]uint32, g.w)
	step := max(1, k/4)
	rows := (k + step - 1) / step
	for y := range g.h {
		clear(sums)
		for dy := 0; dy < k; dy += step {
			row(b.Min.Y+y*k+dy, line)
			for x := range sums {
				var sum uint32
				for _, v := range line[x*k : x*k+k] {
					sum += uint32(v)
				}
				sums[x] += sum
			}
		}
		for x, sum := range sums {
			g.pix[y*g.w+x] = uint8(sum / uint32(k*rows))
		}
	}
	return g
}

// rowReader returns how to read a row's brightness from the left edge on,
// without a call for each pixel; nil for the rarer kinds of pictures.
func rowReader(img image.Image) func(y int, to []uint8) {
	b := img.Bounds()
	four := func(pix []uint8, offset func(x, y int) int) func(int, []uint8) {
		return func(y int, to []uint8) {
			from := pix[offset(b.Min.X, y):]
			for i := range to {
				// The weights of JPEG's own brightness, in 1/65536.
				p := from[4*i : 4*i+3]
				to[i] = uint8((19595*uint32(p[0]) + 38470*uint32(p[1]) + 7471*uint32(p[2]) + 1<<15) >> 16)
			}
		}
	}
	switch m := img.(type) {
	case *image.YCbCr:
		return func(y int, to []uint8) { copy(to, m.Y[m.YOffset(b.Min.X, y):]) }
	case *image.Gray:
		return func(y int, to []uint8) { copy(to, m.Pix[m.PixOffset(b.Min.X, y):]) }
	case *image.RGBA:
		return four(m.Pix, m.PixOffset)
	case *image.NRGBA:
		return four(m.Pix, m.PixOffset)
	}
	return nil
}

// upright turns the plane as EXIF orientation 1..8 says.
func (g gray) upright(turn int) gray {
	if turn < 2 || turn > 8 {
		return g
	}
	out := gray{w: g.w, h: g.h, pix: make([]uint8, len(g.pix))}
	if turn >= 5 {
		out.w, out.h = g.h, g.w
	}
	for y := range out.h {
		for x := range out.w {
			// Where the pixel shown at x, y is stored.
			sx, sy := x, y
			if turn >= 5 {
				sx, sy = y, x
			}
			switch turn {
			case 2, 8:
				sx = g.w - 1 - sx
			case 3, 7:
				sx, sy = g.w-1-sx, g.h-1-sy
			case 4, 6:
				sy = g.h - 1 - sy
			}
			out.pix[y*out.w+x] = g.pix[sy*g.w+sx]
		}
	}
	return out
}

// grid is the mean brightness of w by h cells of nearly one size.
func (g gray) grid(w, h int) []uint8 {
	cells := make([]uint8, w*h)
	for cy := range h {
		y0, y1 := stretch(cy, h, g.h)
		for cx := range w {
			x0, x1 := stretch(cx, w, g.w)
			sum := 0
			for y := y0; y < y1; y++ {
				for _, v := range g.pix[y*g.w+x0 : y*g.w+x1] {
					sum += int(v)
				}
			}
			n := (y1 - y0) * (x1 - x0)
			cells[cy*w+cx] = uint8((sum + n/2) / n)
		}
	}
	return cells
}

// stretch is the i-th of n parts of a length; never empty.
func stretch(i, n, length int) (from, to int) {
	from, to = i*length/n, (i+1)*length/n
	if to == from {
		to = from + 1
	}
	return from, to
}

// sharp is the energy of the plane's second differences by its variance, in
// thousandths: light and contrast of the scene cancel out, blur does not.
func (g gray) sharp() float64 {
	if g.w < 3 || g.h < 3 {
		return 0
	}
	var sum, squares, fine float64
	for y := 1; y < g.h-1; y++ {
		for x := 1; x < g.w-1; x++ {
			i := y*g.w + x
			v := int(g.pix[i])
			d := 4*v - int(g.pix[i-1]) - int(g.pix[i+1]) - int(g.pix[i-g.w]) - int(g.pix[i+g.w])
			fine += float64(d * d)
			sum += float64(v)
			squares += float64(v * v)
		}
	}
	n := float64((g.w - 2) * (g.h - 2))
	variance := squares/n - sum/n*sum/n
	if variance < 1 {
		return 0
	}
	return math.Round(1000 * fine / n / variance)
}

func deviation(cells []uint8) float64 {
	var sum, squares float64
	for _, v := range cells {
		sum += float64(v)
		squares += float64(v) * float64(v)
	}
	n := float64(len(cells))
	return math.Sqrt(max(0, squares/n-sum/n*sum/n))
}

// Cells is the mean brightness of a picture upright on a grid of n by n cells, row by
// row, and its width by its height. turn is the EXIF orientation that makes the stored
// pixels upright. It is nil for a picture with fewer pixels than cells.
func Cells(img image.Image, turn, n int) (cells []uint8, aspect float64) {
	g := luma(img).upright(turn)
	if g.w < n || g.h < n {
		return nil, 0
	}
	return g.grid(n, n), float64(g.w) / float64(g.h)
}

// CellsAt is Cells of a picture file. Errors are those of Decode.
func CellsAt(path string, turn, n int) (cells []uint8, aspect float64, err error) {
	img, err := Decode(path, DefaultLimits)
	if err != nil {
		return nil, 0, err
	}
	defer recovered(&err)
	cells, aspect = Cells(img, turn, n)
	return cells, aspect, nil
}
