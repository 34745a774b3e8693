// The web sizes of a picture: decoded once, made smaller step by step, written
// without any metadata.

package media

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"

	"github.com/disintegration/imaging"

	"rakelight/journal"
	"rakelight/journal/disk"
)

// Size is one written picture.
type Size struct {
	Width, Height int // pixels
	Path          string
}

// quality loses nothing a page shows and saves a fifth of the bytes of 85.
const quality = 82

// Sizes writes the picture src as JPEG, upright, once for each width, to the
// path dst gives for that width, and returns the sizes in the order of widths.
// A width above the picture's own gives a file of the picture's own width:
// nothing is enlarged, and where two such widths have one path it is written
// once. Transparent parts become white, colors sRGB. Each file appears whole
// or not at all. Errors are *BrokenError, *UnsupportedError, *BusyError,
// or those of the file system.
func Sizes(src string, turn int, dst func(width int) string, widths []int) ([]Size, error) {
	img, own, leave, err := open(src, turn)
	defer leave()
	if err != nil {
		return nil, err
	}
	return writeSizes(img, own, turn, dst, widths)
}

// ReadSizes is Read and Sizes in one, with one decoding: half the time of a
// large picture is its decoder's. dst gives the path for a width, once the
// facts are known; nothing is written of a file that cannot be shown. The
// facts stand even if an error of the file system ends the writing.
func ReadSizes(path string, dst func(f Facts, width int) string, widths []int) (Facts, []Size, error) {
	var sizes []Size
	var failed error
	facts, err := readWith(path, cardsOf, func(f *Facts, img image.Image, own *colors) {
		sizes, failed = writeSizes(img, own, f.Turn, func(w int) string { return dst(*f, w) }, widths)
	})
	if err == nil {
		err = failed
	}
	return facts, sizes, err
}

// ReadSmall is ReadSizes of a picture of which no more is wanted than what it is: one
// small JPEG, no side of it longer than side, is written to the path dst gives, and
// bench cards are not looked for.
func ReadSmall(path string, dst func(f Facts) string, side int) (Facts, error) {
	var failed error
	none := func(image.Image) []journal.CardSeen { return nil }
	facts, err := readWith(path, none, func(f *Facts, img image.Image, own *colors) {
		width := side
		if f.Height > f.Width {
			width = max(1, side*f.Width/f.Height)
		}
		to := dst(*f)
		_, failed = writeSizes(img, own, f.Turn, func(int) string { return to }, []int{width})
	})
	if err == nil {
		err = failed
	}
	return facts, err
}

// writeSizes makes and writes the sizes of a decoded picture, whose room the
// caller holds.
func writeSizes(img image.Image, own *colors, turn int, dst func(width int) string, widths []int) ([]Size, error) {
	if len(widths) == 0 {
		return nil, nil
	}
	from, err := plain(img)
	if err != nil {
		return nil, err
	}
	if from != img {
		collect(bytesOf(img.ColorModel()) * int64(from.Bounds().Dx()) * int64(from.Bounds().Dy()))
	}
	order := make([]int, len(widths))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return widths[b] - widths[a] })
	sizes := make([]Size, len(widths))
	var l *light   // what was made smaller already
	var whole Size // the picture at its own width, once it is written
	for _, i := range order {
		path := dst(widths[i])
		b := from.Bounds()
		if l != nil {
			b = image.Rect(0, 0, l.w, l.h)
		}
		w, h, smaller := fitted(b, widths[i], turn)
		if !smaller && path == whole.Path {
			sizes[i] = whole
			continue
		}
		if !smaller && l == nil && asStored(from, own, turn) {
			if whole, err = writeJPEG(from, path); err != nil {
				return nil, err
			}
			sizes[i] = whole
			continue
		}
		var small *image.NRGBA
		switch {
		case smaller:
			// The ladder: the next size is made from this one, which is a third
			// quicker and looks the same.
			if l == nil {
				l = lightOf(from, blockOf(b.Dx(), w), own)
			}
			if l = l.resize(w, h); own != nil {
				l.turnTo(own.matrix)
				own = nil
			}
			small = l.stored()
		case l != nil:
			small = l.stored()
		default: // as it is, values untouched
			small = imaging.Clone(from)
			if own != nil {
				own.convert(small)
				own = nil
			}
			from = small
		}
		size, err := writeJPEG(onWhite(Upright(small, turn)), path)
		if err != nil {
			return nil, err
		}
		if sizes[i] = size; !smaller {
			whole = size
		}
	}
	return sizes, nil
}

// asStored reports whether a picture can be written as a decoder of JPEG gave it,
// without a way through red, green and blue.
func asStored(img image.Image, own *colors, turn int) bool {
	_, yes := img.(*image.YCbCr)
	return yes && own == nil && turn <= 1
}

// open decodes a picture, and says how its colors become sRGB (nil = they
// are); turn is the orientation it will be shown in. leave gives its room back,
// and is never nil.
func open(path string, turn int) (img image.Image, own *colors, leave func(), err error) {
	leave = func() {}
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, leave, err
	}
	defer f.Close()
	kind, err := sniff(f, path)
	if err != nil {
		return nil, nil, leave, err
	}
	part, kind, err := shown(f, kind)
	if err != nil {
		return nil, nil, leave, err
	}
	own, _ = colorsOf(part, kind)
	img, leave, err = decodeHeld(part, kind, DefaultLimits, turn)
	return img, own, leave, err
}

// plain returns the picture in a form the resizer reads without surprises. It
// works in goroutines of its own, where a panic over a color index past the
// palette could not be caught: such pictures are drawn over here first.
func plain(img image.Image) (out image.Image, err error) {
	defer recovered(&err)
	switch img.(type) {
	case *image.YCbCr, *image.Gray, *image.NRGBA, *image.RGBA:
		return img, nil
	}
	b := img.Bounds()
	flat := image.NewNRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(flat, flat.Bounds(), img, b.Min, draw.Src)
	return flat, nil
}

// fitted is the size as stored of a picture that is as wide as asked once it is
// upright; smaller is false if it is no wider already. Turning comes after: fewer
// pixels to turn.
func fitted(b image.Rectangle, width, turn int) (w, h int, smaller bool) {
	w, h = b.Dx(), b.Dy()
	if turn >= 5 {
		return max(1, (w*width+h/2)/h), width, h > width
	}
	return width, max(1, (h*width+w/2)/w), w > width
}

// onWhite lays the picture on white. An opaque one shares its pixels: the two
// forms hold the same bytes, and the encoder is quicker with this one.
func onWhite(img *image.NRGBA) *image.RGBA {
	if img.Opaque() {
		return &image.RGBA{Pix: img.Pix, Stride: img.Stride, Rect: img.Rect}
	}
	out := image.NewRGBA(img.Bounds())
	draw.Draw(out, out.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(out, out.Bounds(), img, img.Bounds().Min, draw.Over)
	return out
}

// writeJPEG writes by way of a temporary file beside, and waits until its bytes
// are durable: a picture that is there is not made again, so that one of zeros
// would stay. Its name may be lost; then it is made again.
func writeJPEG(img image.Image, path string) (Size, error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		return Size{}, err
	}
	dir := filepath.Dir(path)
	if err := disk.MkdirAll(dir, 0o755); err != nil {
		return Size{}, err
	}
	tmp, err := disk.CreateTemp(dir, ".rakelight-*.tmp")
	if err != nil {
		return Size{}, err
	}
	defer disk.Remove(tmp.Name()) // gone already when all went well
	if _, err := tmp.Write(b.Bytes()); err != nil {
		tmp.Close()
		return Size{}, err
	}
	if err := tmp.Sync(); err != nil {
		tmp.Close()
		return Size{}, err
	}
	if err := tmp.Close(); err != nil {
		return Size{}, err
	}
	if err := disk.Chmod(tmp.Name(), 0o644); err != nil {
		return Size{}, err
	}
	if err := disk.Rename(tmp.Name(), path); err != nil {
		return Size{}, err
	}
	return Size{Width: img.Bounds().Dx(), Height: img.Bounds().Dy(), Path: path}, nil
}
