// Memory: what reading a picture will take is worked out from its header, and
// no more pictures are read at once than there is room for. A small file may
// hold a large picture: what counts is pixels, how many bytes each takes in the
// reader of its kind, and what the sizes are made of.

package media

import (
	"cmp"
	"image"
	"image/color"
	"io"
	"runtime"
	"runtime/metrics"
	"strings"
	"sync"

	"rakelight/media/codec"
)

// most is the memory of all pictures being read at once, in bytes, and of any
// one. With the program itself and what it frees late, the whole stays below
// 600 MiB: a bench computer may be small.
const most = 448 << 20

var room = newGate(most)

// demand is the memory one picture takes, step by step. What only the step
// before used is collected between them.
type demand struct {
	reading int64 // at its decoder's end, the decoded picture included
	kept    int64 // the decoded picture
	looking int64 // beside that, while it is looked at, and made flat
	making  int64 // while its sizes are made of it
}

// all is the most it takes at one time.
func (d demand) all() int64 { return max(d.reading, d.kept+d.looking, d.making) }

// check refuses a picture that would take more than may be given to any.
func (d demand) check(f io.ReadSeeker, kind string, c image.Config) error {
	if d.all() <= most {
		return nil
	}
	as := strings.ToUpper(kind)
	if h, err := frameOf(f); kind == "jpeg" && err == nil && h.progressive() {
		as = "a progressive JPEG"
	}
	return &BrokenError{Fault: TooMuch, Kind: kind, Width: c.Width, Height: c.Height, Detail: as, Needs: d.all(),
		Most: most}
}

// demandOf works out the memory of a picture from its header. Its orientation
// tells which of its sides the sizes go by.
func demandOf(f file, kind string, c image.Config, turn int) (d demand) {
	px := int64(c.Width) * int64(c.Height)
	m := c.ColorModel
	each := bytesOf(m)
	d = demand{reading: px * each, kept: px * each}
	switch kind {
	case "jpeg":
		d.jpeg(f, m, px)
	case "png":
		if interlaced(f) {
			d.reading *= 2 // each pass is a picture of its own
		}
	case "tiff":
		d.reading += tiffBlock(f, c)
	case "gif":
		// Its frame, and the canvas it is laid on.
		d.reading, d.kept = px*(1+4), px*4
	case "webp":
		d.reading, d.kept = webpReading(m)*px, 4*px
		m = color.NRGBAModel
	case "heic", "avif":
		m = d.boxed(f, kind, c, px)
	}
	const gray, flat = 1, 4
	switch m {
	case color.GrayModel, color.YCbCrModel:
		d.making = d.kept
	case color.RGBAModel, color.NRGBAModel:
		d.looking = gray * px
		d.making = d.kept + d.looking
	default: // brightness and plain make other pictures of it, and it goes
		d.looking = (gray + flat) * px
		d.making = flat * px
	}
	d.making += sizesOf(c.Width, c.Height, turn)
	return d
}

// bytesOf is the bytes a pixel of a decoded picture takes.
func bytesOf(m color.Model) int64 {
	switch m {
	case color.GrayModel:
		return 1
	case color.Gray16Model:
		return 2
	case color.YCbCrModel:
		return 3
	case color.RGBAModel, color.NRGBAModel, color.CMYKModel:
		return 4
	}
	if _, ok := m.(color.Palette); ok {
		return 1
	}
	return 8
}

// jpeg counts the planes as they are sampled, the coefficients that a
// progressive one keeps to its last byte, four bytes each, and the copy made of
// other colors than brightness and two of color.
func (d *demand) jpeg(f file, m color.Model, px int64) {
	h, err := frameOf(f)
	if err != nil {
		return // the decoder will say so
	}
	planes := 64 * h.blocks()
	d.reading, d.kept = planes, planes
	if m == color.RGBAModel || m == color.CMYKModel {
		d.reading, d.kept = planes+4*px, 4*px
	}
	if h.progressive() {
		d.reading += 4 * planes
	}
}

// webpReading is the bytes a pixel of a WebP takes while it is read: brightness
// and color come apart, and are put together to RGB; packed without loss they are
// turned over once more where few colors are used.
func webpReading(m color.Model) int64 {
	switch m {
	case color.YCbCrModel:
		return 6
	case color.NYCbCrAModel:
		return 6 + 1 + 4
	}
	return 8
}

// boxed: the memory of the sandbox, the file in it and beside it, and the
// picture copied out, whose colors are m.
func (d *demand) boxed(f file, kind string, c image.Config, px int64) (m color.Model) {
	size, err := sizeOf(f)
	if err != nil {
		return c.ColorModel
	}
	p, err := readPictureBox(f, size)
	if err != nil {
		return c.ColorModel
	}
	l := codec.For(c.Width * c.Height)
	l.Deep = p.deep
	each := int64(4)
	m = color.RGBAModel
	switch {
	case kind == "avif" && p.deep:
		each, m = 8, color.RGBA64Model
	case kind == "heic" && !p.alpha:
		each, m = 3, color.YCbCrModel
		if p.chroma <= 1 { // gray, or color at half the width and height
			each = 2
		}
	}
	d.kept = each * px
	d.reading = size + int64(l.Expected(kind, size)) + d.kept
	return m
}

// widest is the widest size a page shows.
const widest = 1600

// sizesOf is the memory that making the sizes takes: the blocks read in linear
// light, and a few copies of the widest.
func sizesOf(width, height, turn int) int64 {
	w, h, smaller := fitted(image.Rect(0, 0, width, height), widest, turn)
	if !smaller {
		return 12 * int64(width) * int64(height)
	}
	k := blockOf(width, w)
	const light, shown = 6, 4
	high := int64(height / k)
	return light*int64(width/k)*high + light*int64(w)*high + (light+3*shown)*int64(w)*int64(h)
}

// interlaced reports whether a PNG comes in passes: the last byte of its header.
func interlaced(f io.ReaderAt) bool {
	var b [1]byte
	n, _ := f.ReadAt(b[:], 28)
	return n == 1 && b[0] != 0
}

// tiffBlock is the memory of the largest strip or tile of a TIFF, unpacked.
func tiffBlock(f file, c image.Config) int64 {
	size, err := sizeOf(f)
	if err != nil {
		return 0
	}
	t, ok := openTIFF(f, size)
	if !ok {
		return 0
	}
	list := t.directories()
	if len(list) == 0 {
		return 0
	}
	d := list[0]
	wide, high := int64(c.Width), int64(c.Height)
	if rows := t.number(d, tagRowsPerStrip); rows > 0 {
		high = min(high, rows)
	}
	if w, h := t.number(d, tagTileWidth), t.number(d, tagTileHeight); w > 0 && h > 0 {
		wide, high = w, h
	}
	bits := max(1, t.number(d, tagBitsPerSample))
	if t.number(d, tagCompression) != 1 {
		bits = bits * 36 / 10 // unpacked into a buffer that grows: TestDemandHolds
	}
	return wide * high * max(1, t.number(d, tagSamplesPerPixel)) * bits / 8
}

// gate is a semaphore weighted by bytes.
type gate struct {
	mu   sync.Mutex
	more *sync.Cond
	free int64
	lost int64 // held by readers that were given up
	all  int64
}

func newGate(n int64) *gate {
	g := &gate{free: n, all: n}
	g.more = sync.NewCond(&g.mu)
	return g
}

// place is the room one picture has.
type place struct {
	g     *gate
	n     int64
	users int  // who has not left
	lost  bool // its reader was given up
}

// enter waits for room for n bytes. A picture larger than the whole gate goes
// alone. It is a *BusyError if readers that were given up hold what it needs:
// that may be for ever.
func (g *gate) enter(n int64) (*place, error) {
	n = min(n, g.all)
	g.mu.Lock()
	defer g.mu.Unlock()
	for g.free < n {
		if n > g.all-g.lost {
			return nil, &BusyError{Want: Room}
		}
		g.more.Wait()
	}
	g.free -= n
	tidy(g.all - g.free - g.lost)
	return &place{g: g, n: n, users: 1}, nil
}

// join is for another that uses the place, and leaves by itself.
func (p *place) join() {
	p.g.mu.Lock()
	defer p.g.mu.Unlock()
	p.users++
}

// giveUp notes that the place's reader was given up: others no longer wait for
// what it holds.
func (p *place) giveUp() {
	p.g.mu.Lock()
	defer p.g.mu.Unlock()
	if p.users > 0 && !p.lost {
		p.lost = true
		p.g.lost += p.n
		p.g.more.Broadcast()
	}
}

// leave gives the room back once all that use the place have left.
func (p *place) leave() {
	if p == nil {
		return
	}
	p.g.mu.Lock()
	defer p.g.mu.Unlock()
	if p.users--; p.users > 0 {
		return
	}
	if p.lost {
		p.g.lost -= p.n
	}
	p.g.free += p.n
	p.g.more.Broadcast()
}

// tidy collects what earlier pictures left behind, where that and what is about
// to be read would together be too much. Else the collector lets as much again
// come together as was in use when it ran last.
func tidy(reading int64) {
	s := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}, {Name: "/memory/classes/heap/unused:bytes"}}
	metrics.Read(s)
	if used := int64(s[0].Value.Uint64() + s[1].Value.Uint64()); used+reading > most+most/8 {
		runtime.GC()
	}
}

// collect clears away so many bytes of garbage before more is asked for, if it is
// worth the time.
func collect(garbage int64) {
	const worthIt = 32 << 20
	if garbage > worthIt {
		runtime.GC()
	}
}

// frameOf reads the frame header of a JPEG.
func frameOf(f io.ReadSeeker) (frame, error) {
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return frame{}, err
	}
	return jpegFrame(f)
}

// blocks is how many blocks of 8 by 8 values the frame's planes have, rounded up
// to whole units as the decoder does (ITU-T T.81, A.2).
func (h frame) blocks() (n int64) {
	if h.parts == 1 {
		return int64((h.width+7)/8) * int64((h.height+7)/8)
	}
	wide, high := 1, 1
	for _, s := range h.sampling[:h.parts] {
		wide, high = max(wide, int(s>>4)), max(high, int(s&15))
	}
	units := int64((h.width+8*wide-1)/(8*wide)) * int64((h.height+8*high-1)/(8*high))
	for _, s := range h.sampling[:h.parts] {
		n += units * int64(cmp.Or(s>>4, 1)) * int64(cmp.Or(s&15, 1))
	}
	return n
}

func (h frame) progressive() bool { return h.marker == 0xc2 }
