// Where the samples of a fragmented movie lie (ISO/IEC 14496-12, 8.8): each piece says
// for each track where its runs begin and how large their samples are.

package clip

import (
	"slices"

	"rakelight/media/box"
)

// fragmentSamples notes the samples of the tracks that stay, of all pieces, and frees
// what a piece says of the others. It is false where that does not hold together.
func (w *withheld) fragmentSamples(tops []box.Box) bool {
	sizes := map[uint64]int64{} // of samples that state none
	for _, b := range tops {
		switch b.Kind {
		case "moov":
			w.defaultSizes(b, sizes)
		case "moof":
			next := b.Start
			for _, in := range w.inside(b.At, b.End()) {
				if in.Kind != "traf" {
					continue
				}
				var ok bool
				if next, ok = w.runs(in, b.Start, next, sizes); !ok {
					return false
				}
			}
		}
	}
	return true
}

// defaultSizes reads how large the samples of each track are that state no size.
func (w *withheld) defaultSizes(movie box.Box, sizes map[uint64]int64) {
	for _, b := range w.inside(movie.At, movie.End()) {
		if b.Kind != "mvex" {
			continue
		}
		for _, in := range w.inside(b.At, b.End()) {
			c := &box.Cursor{B: w.read(in, 24)}
			c.Uint(4)
			id := c.Uint(4)
			c.Take(8)
			if size := c.Uint(4); in.Kind == "trex" && !c.Short {
				sizes[id] = int64(size)
			}
		}
	}
}

// runs notes the samples of a track's part of a piece. Its data begin where it says, else
// with the piece or behind those of the part before; next is where those of the part
// behind it do.
func (w *withheld) runs(traf box.Box, piece, before int64, sizes map[uint64]int64) (next int64, ok bool) {
	base, at, each := before, before, int64(0)
	stays, headed := false, false
	for _, in := range w.inside(traf.At, traf.End()) {
		switch in.Kind {
		case "tfhd":
			c := &box.Cursor{B: w.read(in, 40)}
			flags, id := c.Uint(4), c.Uint(4)
			switch {
			case flags&0x1 != 0:
				base = int64(c.Uint(8) & (1<<60 - 1))
			case flags&0x20000 != 0:
				base = piece
			}
			for _, flag := range []uint64{0x2, 0x8} { // sample description, duration
				if flags&flag != 0 {
					c.Take(4)
				}
			}
			if each = sizes[id]; flags&0x10 != 0 {
				each = int64(c.Uint(4))
			}
			at, stays, headed = base, w.stays[id], !c.Short
		case "trun":
			from, size, ok := w.sizeOfRun(in, base, at, each)
			if !headed || !ok {
				return 0, false
			}
			if at = from + size; stays {
				w.samples = append(w.samples, box.Box{Start: from, At: from, Size: size})
			}
		}
	}
	if !stays {
		w.edits = slices.DeleteFunc(w.edits, func(e Edit) bool { return e.At >= traf.Start && e.At < traf.End() })
		w.free(traf)
	}
	return at, headed
}

// sizeOfRun is where a run of samples begins and how many bytes it takes.
func (w *withheld) sizeOfRun(b box.Box, base, at, each int64) (from, size int64, ok bool) {
	c := &box.Cursor{B: b.Body(w.f)}
	flags, count := c.Uint(4), int64(c.Uint(4))
	if from = at; flags&0x1 != 0 {
		from = base + int64(int32(c.Uint(4)))
	}
	if flags&0x4 != 0 {
		c.Take(4)
	}
	if flags&0x200 == 0 {
		return from, count * each, !c.Short && from >= 0
	}
	behind := 0 // flags and offset
	for _, flag := range []uint64{0x400, 0x800} {
		if flags&flag != 0 {
			behind += 4
		}
	}
	for range count {
		if flags&0x100 != 0 {
			c.Take(4)
		}
		size += int64(c.Uint(4))
		if c.Take(behind); c.Short {
			return 0, 0, false
		}
	}
	return from, size, from >= 0
}
