// Pixels: refusing what is too large before it is decoded, decoding a few at a
// time, turning upright.

package media

import (
	"bufio"
	"errors"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"os"
	"time"

	"github.com/disintegration/imaging"
	"golang.org/x/image/tiff"

	"rakelight/journal"
	"rakelight/media/patience"
)

// Limits are how large a picture may be, in pixels.
type Limits struct {
	Pixels int // in all
	Side   int // on the longer side
}

// DefaultLimits are above every camera in use at a bench, and below what fills
// the memory: a small file may claim 40,000 pixels square.
var DefaultLimits = Limits{Pixels: 120_000_000, Side: 30_000}

func (l Limits) check(width, height int) error {
	if width <= 0 || height <= 0 {
		return &BrokenError{Fault: NoSize}
	}
	if width > l.Side || height > l.Side || int64(width)*int64(height) > int64(l.Pixels) {
		return &BrokenError{Fault: TooLarge, Width: width, Height: height}
	}
	return nil
}

// config reads the size of a picture without its pixels. Decoders are named
// rather than registered: a kind we do not expect is never decoded.
func config(f file, kind string) (c image.Config, err error) {
	defer recovered(&err)
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return image.Config{}, err
	}
	switch kind {
	case "jpeg":
		c, err = jpeg.DecodeConfig(bufio.NewReader(f))
	case "png":
		c, err = png.DecodeConfig(bufio.NewReader(f))
	case "tiff":
		c, err = tiff.DecodeConfig(f)
	case "gif":
		c, err = gif.DecodeConfig(bufio.NewReader(f))
	case "webp":
		c, err = webpConfig(f)
	case "heic", "avif":
		c, err = boxConfig(f, kind)
	default:
		return c, &UnsupportedError{}
	}
	if err != nil {
		return image.Config{}, named(f, kind, err)
	}
	return c, nil
}

// named turns a decoder's error into ours, and says what a picture is that is
// whole but of a kind that is not read.
func named(f file, kind string, err error) error {
	switch kind {
	case "jpeg":
		if h, e := frameOf(f); e == nil && h.refused() != "" {
			return &UnsupportedError{Sort: Picture, Kind: h.refused()}
		}
		var not jpeg.UnsupportedError
		if errors.As(err, &not) {
			return &UnsupportedError{Sort: Picture, Kind: "JPEG", Trait: string(not)}
		}
	case "png":
		var not png.UnsupportedError
		if errors.As(err, &not) {
			return &UnsupportedError{Sort: Picture, Kind: "PNG", Trait: string(not)}
		}
	case "tiff":
		if not := tiffRefusal(f, err); not != nil {
			return not
		}
	}
	return broken(err)
}

// decode reads the pixels, as stored, if the size is within the limits.
func decode(f file, kind string, l Limits) (image.Image, error) {
	img, leave, err := decodeHeld(f, kind, l, 1)
	leave()
	return img, err
}

// decodeHeld is decode, with the room for the picture held until leave is
// called, which the caller does once it is done with the pixels; turn is the
// orientation they will be shown in.
func decodeHeld(f file, kind string, l Limits, turn int) (img image.Image, leave func(), err error) {
	leave = func() {}
	c, err := config(f, kind)
	if err == nil {
		err = l.check(c.Width, c.Height)
	}
	if err == nil && kind == "jpeg" {
		err = checkScans(f)
	}
	if err != nil {
		return nil, leave, err
	}
	d := demandOf(f, kind, c, turn)
	if err := d.check(f, kind, c); err != nil {
		return nil, leave, err
	}
	p, err := room.enter(d.all())
	if err != nil {
		return nil, leave, err
	}
	img, err = pixelsOf(f, kind, c, p)
	collect(d.reading - d.kept)
	return img, p.leave, err
}

// pixelsOf reads the pixels of a picture whose size was looked at, in its place.
func pixelsOf(f file, kind string, c image.Config, p *place) (img image.Image, err error) {
	defer recovered(&err)
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	var gone error
	if kind == "heic" || kind == "avif" {
		img, gone, err = boxDecode(f, kind, c, p) // with a budget of its own
	} else {
		img, gone, err = waitFor(kind, giveUp, p, func(m *patience.Meter) (image.Image, error) {
			return decoded(metered{f, m}, kind, c)
		})
	}
	if gone != nil {
		return nil, gone // the file is left to the reader that has it
	}
	if err != nil {
		return nil, named(f, kind, err)
	}
	return img, nil
}

// giveUp is how much one step of reading a file may take, its decoding or its
// metadata. Measured: under 2 s for 24 megapixels; the rest is for old computers.
// A file that takes more is hostile; a disk that does not answer for so long is
// none to wait for.
var giveUp = patience.Budget{Work: time.Minute, Wait: time.Minute}

// waiting knows what was given up and still runs.
var waiting patience.Guard

// waitFor does a step of reading a file of a kind within a budget. The place (nil =
// none) is kept as long as the work runs, given up or not. gone says why it was
// not waited for, in which case the file may still be in use.
func waitFor[T any](kind string, b patience.Budget, p *place, work func(*patience.Meter) (T, error)) (value T, gone,
	err error) {
	if p != nil {
		p.join()
	}
	value, err = patience.Do(&waiting, kind, b, func(m *patience.Meter) (T, error) {
		defer p.leave()
		return work(m)
	})
	if gone := impatient(err, kind, b); gone != nil {
		if errors.Is(err, patience.ErrBusy) {
			p.leave() // it was not begun
		} else if p != nil {
			p.giveUp()
		}
		return value, gone, nil
	}
	return value, nil, err
}

// impatient is an error of patience as ours, nil for any other.
func impatient(err error, kind string, b patience.Budget) error {
	switch {
	case errors.Is(err, patience.ErrGaveUp):
		return &BrokenError{Fault: TooSlow, Kind: kind, Took: b.Work}
	case errors.Is(err, patience.ErrNoAnswer):
		return &BusyError{Want: Disk, Kind: kind}
	case errors.Is(err, patience.ErrBusy):
		return &BusyError{Want: Reader, Kind: kind}
	}
	return nil
}

// metered is a file that tells when its disk is waited for.
type metered struct {
	file
	m *patience.Meter
}

func (f metered) Read(b []byte) (int, error) {
	defer f.m.Ask()()
	return f.file.Read(b)
}

func (f metered) ReadAt(b []byte, at int64) (int, error) {
	defer f.m.Ask()()
	return f.file.ReadAt(b, at)
}

// decoded is decode without its guards.
func decoded(f file, kind string, c image.Config) (img image.Image, err error) {
	switch kind {
	case "jpeg":
		img, err = jpeg.Decode(bufio.NewReaderSize(f, 64<<10))
	case "png":
		img, err = png.Decode(bufio.NewReaderSize(f, 64<<10))
	case "tiff":
		img, err = tiff.Decode(f)
	case "gif":
		img, err = firstFrame(f, c)
	case "webp":
		img, err = webpDecode(f)
	}
	return img, err
}

// recovered turns a decoder's panic into an error: one picture must not end
// the program.
func recovered(err *error) {
	if r := recover(); r != nil {
		*err = damaged(r)
	}
}

// shown is the part of a file that holds the pixels to be shown, and its kind:
// the file itself, the embedded JPEG of a raw picture, or the still that a clip
// brings along. Errors are
// *NoPictureError, *BrokenError, or those of the file system.
func shown(f file, kind string) (file, string, error) {
	if !IsRaw(kind) && !journal.IsClip(kind) {
		return f, kind, nil
	}
	size, err := sizeOf(f)
	if err != nil {
		return nil, "", err
	}
	if journal.IsClip(kind) {
		return clipStill(f, size, kind)
	}
	p, ok, err := findPreview(f, size, kind)
	if err != nil {
		return nil, "", err
	}
	if !ok {
		return nil, "", &NoPictureError{NoPreview}
	}
	return io.NewSectionReader(f, p.at, p.size), "jpeg", nil
}

// Decode returns the pixels of a picture file as stored; Upright turns them.
// Of a raw picture that is its embedded preview. Errors are *BrokenError,
// *UnsupportedError, *NoPictureError, *BusyError, or those of the file system. It
// waits while other large pictures are being decoded.
func Decode(path string, l Limits) (image.Image, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	kind, err := sniff(f, path)
	if err != nil {
		return nil, err
	}
	part, kind, err := shown(f, kind)
	if err != nil {
		return nil, err
	}
	return decode(part, kind, l)
}

// Upright turns stored pixels as EXIF orientation 1..8 says; any other number
// leaves them.
func Upright(img *image.NRGBA, turn int) *image.NRGBA {
	switch turn {
	case 2:
		return imaging.FlipH(img)
	case 3:
		return imaging.Rotate180(img)
	case 4:
		return imaging.FlipV(img)
	case 5:
		return imaging.Transpose(img)
	case 6:
		return imaging.Rotate270(img) // this library counts counter-clockwise
	case 7:
		return imaging.Transverse(img)
	case 8:
		return imaging.Rotate90(img)
	}
	return img
}
