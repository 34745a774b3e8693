// Tracks: which is the picture, how large and which way up it is, and how long
// each of them is.

package clip

import (
	"encoding/binary"
	"time"

	"rakelight/media/box"
)

// track is one track of a movie.
type track struct {
	id            uint64
	handler       string // "vide", "soun", "meta", "mdir", …
	enabled       bool
	made          time.Time
	matrix        [4]int32 // a, b, c, d of its header: 16.16
	width, height int      // pixels as stored
	length        length
	codec         string
	each          uint64 // units of a sample in a fragment that states none
	added         uint64 // units of all fragments
}

// track reads a track box.
func (r *reader) track(b box.Box) {
	t := &track{}
	for _, in := range r.inside(b.At, b.End()) {
		switch in.Kind {
		case "tkhd":
			t.header(r.read(in, 96))
		case "mdia":
			r.media(t, in)
		case "udta":
			if t.handler == "" || t.handler == "vide" {
				r.userData(in)
			}
		case "meta":
			r.meta(in)
		}
	}
	r.tracks = append(r.tracks, t)
	r.clip.Codecs = append(r.clip.Codecs, t.codec)
	switch {
	case t.handler == "soun":
		r.clip.Sound = true
	case t.handler != "vide" || t.width <= 0 || t.height <= 0:
	case r.picture == nil, !r.picture.enabled && t.enabled:
		r.picture = t
	}
}

// header reads tkhd (ISO/IEC 14496-12, 8.3.2).
func (t *track) header(body []byte) {
	c := &box.Cursor{B: body}
	flags := c.Uint(4)
	wide := 4
	if flags>>24 == 1 {
		wide = 8
	}
	made := c.Uint(wide)
	c.Uint(wide)
	t.id = c.Uint(4)
	c.Uint(4)
	c.Uint(wide)
	c.Take(16) // two reserved, layer, group, volume, one reserved
	var m [9]int32
	for i := range m {
		m[i] = int32(c.Uint(4))
	}
	width, height := c.Uint(4)>>16, c.Uint(4)>>16
	if c.Short {
		return
	}
	t.enabled, t.made = flags&1 != 0, since1904(made)
	t.matrix = [4]int32{m[0], m[1], m[3], m[4]}
	t.width, t.height = int(width), int(height)
}

// turn is the EXIF orientation that does what the matrix asks for; 1 for one that
// turns by no right angle.
func (t *track) turn() int {
	sign := func(v int32) int { // a scale of anything is upright
		switch {
		case v > 0:
			return 1
		case v < 0:
			return -1
		}
		return 0
	}
	m := [4]int{}
	for i, v := range t.matrix {
		m[i] = sign(v)
	}
	switch m {
	case [4]int{-1, 0, 0, 1}:
		return 2
	case [4]int{-1, 0, 0, -1}:
		return 3
	case [4]int{1, 0, 0, -1}:
		return 4
	case [4]int{0, 1, 1, 0}:
		return 5
	case [4]int{0, 1, -1, 0}:
		return 6
	case [4]int{0, -1, -1, 0}:
		return 7
	case [4]int{0, -1, 1, 0}:
		return 8
	}
	return 1
}

// media reads the media box of a track.
func (r *reader) media(t *track, b box.Box) {
	for _, in := range r.inside(b.At, b.End()) {
		switch in.Kind {
		case "mdhd":
			c := &box.Cursor{B: r.read(in, 32)}
			wide := wideOf(c)
			c.Take(2 * wide)
			scale, units := c.Uint(4), unknown(c.Uint(wide), wide)
			if !c.Short {
				t.length = length{units, scale}
			}
		case "hdlr":
			if head := r.read(in, 12); len(head) == 12 {
				t.handler = string(head[8:12])
			}
		case "minf":
			for _, deeper := range r.inside(in.At, in.End()) {
				if deeper.Kind == "stbl" {
					r.samples(t, deeper)
				}
			}
		}
	}
}

// samples reads the sample table: what the samples are, and where the last of
// them begin.
func (r *reader) samples(t *track, b box.Box) {
	for _, in := range r.inside(b.At, b.End()) {
		switch in.Kind {
		case "stsd":
			head := r.read(in, 44) // the first description, to its width and height
			if len(head) >= 16 {
				t.codec = string(head[12:16])
			}
			if len(head) == 44 && t.handler == "vide" && (t.width <= 0 || t.height <= 0) {
				t.width = int(binary.BigEndian.Uint16(head[40:]))
				t.height = int(binary.BigEndian.Uint16(head[42:]))
			}
		case "stco":
			r.chunks(in, 4)
		case "co64":
			r.chunks(in, 8)
		}
	}
}

// chunks notes where the furthest chunk of a table begins. Tables are read in
// steps: an hour of sound has a hundred thousand chunks.
func (r *reader) chunks(b box.Box, wide int64) {
	var room []byte
	for from := b.At + 8; from < b.End(); from += int64(len(room)) {
		room = append(room[:0], make([]byte, min(mostTable, b.End()-from))...)
		if n, _ := r.f.ReadAt(room, from); n < len(room) {
			return
		}
		for body := room; int64(len(body)) >= wide; body = body[wide:] {
			at := uint64(binary.BigEndian.Uint32(body))
			if wide == 8 {
				at = binary.BigEndian.Uint64(body)
			}
			if at < 1<<62 {
				r.furthest = max(r.furthest, int64(at))
			}
		}
	}
}
