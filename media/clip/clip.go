// Package clip reads what the boxes of an MP4 or MOV say: how long it is, which
// way up, what made it, and all the times it states.
//
// Start with Read. The package decides nothing: which of the times counts, and
// what it means, is media's. It decodes no picture and reads no sample. The
// formats: ISO/IEC 14496-12 (boxes), Apple's QuickTime File Format (movies before
// and beside it), 3GPP TS 26.244 (text boxes of telephones).
//
// Nothing a file says is believed: boxes end with the file, counts with the bytes
// at hand, and what is kept of a file has a bound (Memory).
package clip

import (
	"encoding/binary"
	"errors"
	"io"
	"time"

	"rakelight/media/box"
)

// Clip is what a file says. A field of which it says nothing is zero.
type Clip struct {
	QuickTime  bool          // a MOV, else an MP4
	Length     time.Duration // of the whole, in milliseconds; 0 = not said
	Width      int           // pixels upright
	Height     int
	Turn       int      // EXIF orientation 1..8 that the matrix asks for; 1 when it asks for none
	Codec      string   // of the picture track, four letters as its sample description has them: "avc1", "hvc1"
	Codecs     []string // of all tracks
	Sound      bool     // there is a track of sound
	Fragmented bool

	Make, Model, Software, Serial string
	ContentID                     string // what a live photo and its picture have in common
	Header                        time.Time
	// Header is the creation time of the movie header, as if it were UTC, which
	// the standard says and many cameras do not hold to.
	Created []Stamp   // the times stated as text, in the order of trust
	EXIF    []box.Box // blocks that begin as a TIFF does
	XMP     []box.Box
	Covers  []box.Box // pictures of its own, JPEG or PNG by their first bytes
	Stills  []box.Box // those of Covers that its camera took, with their EXIF
	Samples box.Box   // the last box of samples
}

// Stamp is a time stated as text.
type Stamp struct {
	Tag  string // one of the names below
	Text string // as written
}

// Where a time may be stated as text.
const (
	CreationDate = "creationdate" // the key com.apple.quicktime.creationdate
	NonRealTime  = "CreationDate" // XML beside the movie, as video cameras write it
	UserDay      = "©day"         // user data or item list
)

// Memory is more than Read ever holds of a file, in bytes.
const Memory = 24 << 20

// Bounds: far above what any recorder writes, far below what harms.
const (
	mostTop    = 1 << 16 // boxes side by side outside: fragments of half a second for hours
	mostInside = 1 << 12 // boxes side by side within another
	mostBoxes  = 1 << 18 // boxes looked at in all
	mostTracks = 64
	mostText   = 4 << 10 // bytes of a text
	mostTable  = 1 << 20 // bytes of a table that is read at once
	mostXML    = 256 << 10
)

// ErrCut says that the file ends before its boxes do, or before the header that
// makes them a movie has come, as while it is recorded or copied.
var ErrCut = errors.New("it ends before its boxes do")

// BrokenError says what is wrong with a file that is all there.
type BrokenError struct{ How string }

func (e *BrokenError) Error() string { return e.How }

// OtherError says that a file is made of boxes, but is no clip that can be
// played here: sound alone, a header that is packed.
type OtherError struct{ Trait string }

func (e *OtherError) Error() string { return e.Trait }

// Read reads a file of so many bytes. Errors are ErrCut, *BrokenError,
// *OtherError, or those of f.
func Read(f io.ReaderAt, size int64) (*Clip, error) {
	r := &reader{f: f, size: size, clip: &Clip{Turn: 1}}
	tops, whole := box.List(f, 0, size, mostTop)
	if !whole && !r.trailed(tops) {
		return nil, ErrCut
	}
	movie := false
	r.clip.QuickTime = true // a movie from before there were brands is QuickTime's
	for _, b := range tops {
		switch b.Kind {
		case "ftyp":
			r.brands(b)
		case "mdat":
			r.clip.Samples = b
		case "moov":
			if movie {
				return nil, &BrokenError{"it has two movie headers"}
			}
			movie = true
			if err := r.movie(b); err != nil {
				return nil, err
			}
		case "uuid":
			r.uuid(b)
		case "meta":
			r.meta(b)
		}
	}
	switch {
	case !movie:
		return nil, ErrCut
	case r.picture == nil:
		return nil, &OtherError{"no track of pictures"}
	case r.furthest >= size:
		return nil, ErrCut // a box to the end of the file hides that samples are missing
	}
	if r.clip.Fragmented {
		r.fragments(tops)
	}
	r.conclude()
	return r.clip, nil
}

// trailed reports whether what follows the last whole box is no box that was cut off, but
// notes that a telephone put behind the clip: their first eight bytes are no header of a
// box.
func (r *reader) trailed(tops []box.Box) bool {
	if len(tops) == 0 {
		return false
	}
	last := tops[len(tops)-1]
	at := last.End()
	if at == r.size {
		at = last.Start // it does not fit, whatever it is
	}
	var head [8]byte
	if n, _ := r.f.ReadAt(head[:], at); n < len(head) {
		return false
	}
	for _, c := range head[4:] {
		if c < ' ' || c == 0x7f {
			return true
		}
	}
	length := binary.BigEndian.Uint32(head[:])
	return length > 1 && length < 8
}

// reader is a file being read.
type reader struct {
	f        io.ReaderAt
	size     int64
	clip     *Clip
	boxes    int // looked at so far
	tracks   []*track
	picture  *track
	length   length // of the movie header
	extended uint64 // of mehd, in units of the movie header
	furthest int64  // where the last chunk begins that a table names
	defaults []trackDefault
	keys     []string
	days     []string // ©day, wherever it stands
	inPacked bool     // what is read was packed
}

// length is a duration in units of which there are Scale a second.
type length struct {
	Units, Scale uint64
}

// milliseconds is 0 where it is not known, or absurd.
func (l length) milliseconds() time.Duration {
	const years = 10 * 365 * 24 * 3600
	if l.Scale == 0 || l.Units/l.Scale > years {
		return 0
	}
	whole, rest := l.Units/l.Scale, l.Units%l.Scale
	return time.Duration(whole)*time.Second + time.Duration((rest*1000+l.Scale/2)/l.Scale)*time.Millisecond
}

// inside lists the boxes of another, whether or not the last is whole: what can
// be read of them is.
func (r *reader) inside(from, to int64) []box.Box {
	if r.boxes > mostBoxes {
		return nil
	}
	list, _ := box.List(r.f, from, to, mostInside)
	r.boxes += len(list)
	return list
}

// read reads the first bytes of a body, most at the most.
func (r *reader) read(b box.Box, most int64) []byte {
	b.Size = min(b.Size, most)
	return b.Body(r.f)
}

// brands tells MOV from MP4: the major brand alone decides, since many an MP4
// lists QuickTime's among those it goes with.
func (r *reader) brands(b box.Box) {
	if head := r.read(b, 4); len(head) == 4 {
		r.clip.QuickTime = string(head) == "qt  "
	}
}

// movie reads the movie box.
func (r *reader) movie(b box.Box) error {
	for _, in := range r.inside(b.At, b.End()) {
		switch in.Kind {
		case "mvhd":
			r.movieHeader(in)
		case "cmov":
			return r.packed(in)
		case "trak":
			if len(r.tracks) < mostTracks {
				r.track(in)
			}
		case "mvex":
			r.clip.Fragmented = true
			r.extends(in)
		case "udta":
			r.userData(in)
		case "meta":
			r.meta(in)
		case "uuid":
			r.uuid(in)
		}
	}
	return nil
}

// movieHeader reads mvhd (ISO/IEC 14496-12, 8.2.2).
func (r *reader) movieHeader(b box.Box) {
	c := &box.Cursor{B: r.read(b, 32)}
	wide := wideOf(c)
	made := c.Uint(wide)
	c.Uint(wide)
	scale, units := c.Uint(4), unknown(c.Uint(wide), wide)
	if c.Short {
		return
	}
	r.length = length{units, scale}
	r.clip.Header = since1904(made)
}

// wideOf takes the version and flags of a full box off, and says how wide its
// times are.
func wideOf(c *box.Cursor) int {
	if c.Uint(4)>>24 == 1 {
		return 8
	}
	return 4
}

// unknown is a duration of which all bits set say that it is not known.
func unknown(units uint64, wide int) uint64 {
	if wide == 4 && units == 1<<32-1 || units == 1<<64-1 {
		return 0
	}
	return units
}

// since1904 is a time counted in seconds from the beginning of 1904, zero for
// what says nothing: none at all, and the beginning of 1970, which programs write
// that count from there.
func since1904(seconds uint64) time.Time {
	const to1970, to2100 = 2082844800, 6185462400
	if seconds == 0 || seconds == to1970 || seconds > to2100 {
		return time.Time{}
	}
	return time.Unix(int64(seconds)-to1970, 0).UTC()
}

// conclude fills what follows from all boxes together.
func (r *reader) conclude() {
	c := r.clip
	l := r.length
	if c.Fragmented {
		l = length{max(r.extended, r.length.Units), r.length.Scale}
	}
	if c.Length = l.milliseconds(); c.Length == 0 || c.Fragmented && r.extended == 0 {
		for _, t := range r.tracks {
			c.Length = max(c.Length, length{t.length.Units + t.added, t.length.Scale}.milliseconds())
		}
	}
	p := r.picture
	c.Turn, c.Width, c.Height, c.Codec = p.turn(), p.width, p.height, p.codec
	if c.Turn >= 5 {
		c.Width, c.Height = c.Height, c.Width
	}
	if c.Header.IsZero() {
		c.Header = p.made // some write it with the track only
	}
	for _, day := range r.days {
		c.Created = append(c.Created, Stamp{UserDay, day})
	}
}
