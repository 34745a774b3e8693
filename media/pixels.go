// Pixels: refusing what is too large before it is decoded, decoding a few at a
// time, turning upright.

package media

import (
	"bufio"
	"errors"
	"fmt"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/disintegration/imaging"
	"golang.org/x/image/tiff"

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
		return &BrokenError{Why: "the picture has no size"}
	}
	if width > l.Side || height > l.Side || int64(width)*int64(height) > int64(l.Pixels) {
		return &BrokenError{Why: fmt.Sprintf("the picture claims to be %d by %d pixels, more than is safe to open", width, height)}
	}
	return nil
}

// room keeps the memory of the pictures being decoded below about 200 MB
// together: a bench computer may be small.
var room = newGate(200_000_000)

// weight estimates the memory of a picture while it is decoded, in bytes: what
// the decoder keeps, and what the sizes are made of.
func weight(f io.ReadSeeker, kind string, c image.Config) int {
	each := 8 // up to four channels of sixteen bits
	if kind == "jpeg" {
		each = 4
		// A progressive one holds all its coefficients, four bytes each, until
		// its last byte.
		if _, err := f.Seek(0, io.SeekStart); err == nil {
			if h, err := jpegFrame(f); err == nil && h.marker == 0xc2 {
				each = 4 + 4*h.parts
			}
		}
	}
	return c.Width * c.Height * each
}

// gate is a semaphore weighted by bytes.
type gate struct {
	mu   sync.Mutex
	more *sync.Cond
	free int
	all  int
}

func newGate(n int) *gate {
	g := &gate{free: n, all: n}
	g.more = sync.NewCond(&g.mu)
	return g
}

// enter waits for room for n bytes and returns how to leave. A picture larger
// than the whole gate goes alone.
func (g *gate) enter(n int) (leave func()) {
	n = min(n, g.all)
	g.mu.Lock()
	defer g.mu.Unlock()
	for g.free < n {
		g.more.Wait()
	}
	g.free -= n
	return func() {
		g.mu.Lock()
		g.free += n
		g.mu.Unlock()
		g.more.Broadcast()
	}
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

// named turns a decoder's error into ours, and says what a JPEG is that is
// whole but of a kind that is not read.
func named(f io.ReadSeeker, kind string, err error) error {
	if kind == "jpeg" {
		if _, e := f.Seek(0, io.SeekStart); e == nil {
			if h, e := jpegFrame(f); e == nil && h.refused() != "" {
				return &UnsupportedError{Kind: h.refused()}
			}
		}
	}
	return broken(err)
}

// decode reads the pixels, as stored, if the size is within the limits.
func decode(f file, kind string, l Limits) (image.Image, error) {
	img, leave, err := decodeHeld(f, kind, l)
	leave()
	return img, err
}

// decodeHeld is decode, with the room for the picture held until leave is
// called, which the caller does once it is done with the pixels.
func decodeHeld(f file, kind string, l Limits) (img image.Image, leave func(), err error) {
	c, err := config(f, kind)
	if err == nil {
		err = l.check(c.Width, c.Height)
	}
	if err != nil {
		return nil, func() {}, err
	}
	leave = room.enter(weight(f, kind, c))
	img, err = pixelsOf(f, kind, c)
	return img, leave, err
}

// pixelsOf reads the pixels of a picture whose size was looked at.
func pixelsOf(f file, kind string, c image.Config) (img image.Image, err error) {
	defer recovered(&err)
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	if kind == "heic" || kind == "avif" {
		img, err = boxDecode(f, kind, c) // with a budget of its own
	} else {
		img, err = patience.Do(&waiting, kind, giveUp, func() (image.Image, error) { return decoded(f, kind, c) })
		if gone := impatient(err, kind, giveUp); gone != err {
			return nil, gone // the file is left to the reader that has it
		}
	}
	if err != nil {
		return nil, named(f, kind, err)
	}
	return img, nil
}

// giveUp is how long one step of reading a file may take, its decoding or its
// metadata. Measured: under 2 s for 24 megapixels; the rest is for slow disks and
// old computers. A file that takes longer is hostile or lies on a share that does
// not answer.
var giveUp = time.Minute

// waiting knows what was given up and still runs.
var waiting patience.Guard

// impatient words the errors of patience.
func impatient(err error, kind string, budget time.Duration) error {
	switch {
	case errors.Is(err, patience.ErrGaveUp):
		return &BrokenError{Why: fmt.Sprintf("reading it as %s took more than %d s and was given up", strings.ToUpper(kind), budget/time.Second)}
	case errors.Is(err, patience.ErrBusy):
		return &BrokenError{Why: fmt.Sprintf("an earlier file keeps the reader of %s busy without end; start rakelight again and take this one before that", strings.ToUpper(kind))}
	}
	return err
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
		*err = &BrokenError{Why: fmt.Sprintf("the picture is damaged (%v)", r)}
	}
}

// NoPictureError says that a file is kept but cannot be shown.
type NoPictureError struct{ Why string }

func (e *NoPictureError) Error() string { return "it cannot be shown: " + e.Why }

// shown is the part of a file that holds the pixels to be shown, and its kind:
// the file itself, or the embedded JPEG of a raw picture. Errors are
// *NoPictureError, *BrokenError, or those of the file system.
func shown(f file, kind string) (file, string, error) {
	if !IsRaw(kind) {
		return f, kind, nil
	}
	size, err := sizeOf(f)
	if err != nil {
		return nil, "", err
	}
	p, ok, err := findPreview(f, size, kind)
	if err != nil {
		return nil, "", err
	}
	if !ok {
		return nil, "", &NoPictureError{Why: "the camera put no preview into this raw picture"}
	}
	return io.NewSectionReader(f, p.at, p.size), "jpeg", nil
}

// Decode returns the pixels of a picture file as stored; Upright turns them.
// Of a raw picture that is its embedded preview. Errors are *BrokenError,
// *UnsupportedError, *NoPictureError, or those of the file system. It waits
// while other large pictures are being decoded.
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
