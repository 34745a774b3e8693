// Fragments (ISO/IEC 14496-12, 8.8): a movie whose samples come in pieces says
// its length with mehd, or not at all; then the pieces are added up.

package clip

import (
	"encoding/binary"

	"rakelight/media/box"
)

// extends reads mvex: the length of the whole, and what holds for samples that
// say nothing themselves.
func (r *reader) extends(b box.Box) {
	for _, in := range r.inside(b.At, b.End()) {
		c := &box.Cursor{B: r.read(in, 32)}
		switch in.Kind {
		case "mehd":
			wide := wideOf(c)
			if units := unknown(c.Uint(wide), wide); !c.Short {
				r.extended = units
			}
		case "trex":
			c.Uint(4)
			id := c.Uint(4)
			c.Uint(4)
			if each := c.Uint(4); !c.Short {
				r.defaults = append(r.defaults, trackDefault{id, each})
			}
		}
	}
}

// trackDefault is how long a sample of a track is that says nothing itself.
type trackDefault struct{ id, each uint64 }

// fragments adds up what all fragments last.
func (r *reader) fragments(tops []box.Box) {
	for _, d := range r.defaults {
		if t := r.byID(d.id); t != nil {
			t.each = d.each
		}
	}
	for _, b := range tops {
		if b.Kind != "moof" {
			continue
		}
		for _, in := range r.inside(b.At, b.End()) {
			if in.Kind == "traf" {
				r.fragment(in)
			}
		}
	}
}

func (r *reader) byID(id uint64) *track {
	for _, t := range r.tracks {
		if t.id == id {
			return t
		}
	}
	return nil
}

// fragment adds one track's part of a fragment.
func (r *reader) fragment(b box.Box) {
	var t *track
	var each uint64
	for _, in := range r.inside(b.At, b.End()) {
		switch in.Kind {
		case "tfhd":
			c := &box.Cursor{B: r.read(in, 40)}
			flags := c.Uint(4)
			if t = r.byID(c.Uint(4)); t == nil {
				return
			}
			each = t.each
			for _, one := range []struct {
				flag uint64
				wide int
			}{{0x1, 8}, {0x2, 4}} { // base offset, sample description
				if flags&one.flag != 0 {
					c.Take(one.wide)
				}
			}
			if flags&0x8 != 0 {
				each = c.Uint(4)
			}
		case "trun":
			if t != nil {
				t.added += r.run(in, each)
			}
		}
	}
}

// run is how long a run of samples lasts (8.8.8).
func (r *reader) run(b box.Box, each uint64) (units uint64) {
	c := &box.Cursor{B: r.read(b, 16)}
	flags, count := c.Uint(4), c.Uint(4)
	wide, at := int64(0), b.At+8
	for _, one := range []struct{ flag, head, sample int64 }{
		{0x1, 4, 0}, {0x4, 4, 0}, // offset, flags of the first
		{0x100, 0, 4}, {0x200, 0, 4}, {0x400, 0, 4}, {0x800, 0, 4}, // duration first, then size, flags, offset
	} {
		if int64(flags)&one.flag != 0 {
			at, wide = at+one.head, wide+one.sample
		}
	}
	const most = 1 << 20 // samples of a fragment
	if count = min(count, most); flags&0x100 == 0 {
		return count * min(each, 1<<32)
	}
	table := box.Box{At: at, Size: min(int64(count)*wide, b.End()-at, mostTable)}
	for body := table.Body(r.f); int64(len(body)) >= wide; body = body[wide:] {
		units += uint64(binary.BigEndian.Uint32(body))
	}
	return units
}
