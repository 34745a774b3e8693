// Where the samples of a track lie (ISO/IEC 14496-12, 8.7): chunks, the samples in
// each, and their sizes.

package clip

import (
	"encoding/binary"
	"io"

	"rakelight/media/box"
)

// tables are those of one track.
type tables struct {
	sizes, perChunk, chunks box.Box
	wide                    int // bytes of a chunk's place
}

func (t *tables) set(b box.Box) {
	switch b.Kind {
	case "stsz":
		t.sizes = b
	case "stsc":
		t.perChunk = b
	case "stco":
		t.chunks, t.wide = b, 4
	case "co64":
		t.chunks, t.wide = b, 8
	}
}

// mostChunks is far above those of any clip: an hour of sound has a hundred thousand.
const mostChunks = 1 << 18

// samples are the stretches that the track's samples take, in the order of its
// chunks, those that touch as one. ok is false where the tables do not hold together,
// and where samples are counted by the byte, as QuickTime's sound once was: how many
// bytes each takes stands elsewhere.
func (t *tables) samples(f io.ReaderAt) (list []box.Box, ok bool) {
	sizes, perChunk, chunks := t.sizes.Body(f), t.perChunk.Body(f), t.chunks.Body(f)
	if len(sizes) < 12 || len(perChunk) < 8 || len(chunks) < 8 {
		return nil, len(sizes) == 0 && len(perChunk) == 0 && len(chunks) == 0
	}
	same, count := int64(binary.BigEndian.Uint32(sizes[4:])), int64(binary.BigEndian.Uint32(sizes[8:]))
	sizes, perChunk = sizes[12:], perChunk[8:]
	n := int64(binary.BigEndian.Uint32(chunks[4:]))
	chunks = chunks[8:]
	if same == 1 || same > 1<<24 || same == 0 && count*4 > int64(len(sizes)) ||
		n > mostChunks || n*int64(t.wide) > int64(len(chunks)) {
		return nil, false
	}
	next := int64(0) // sample
	in := int64(0)   // samples in the chunk at hand
	for i := range n {
		for len(perChunk) >= 12 && int64(binary.BigEndian.Uint32(perChunk)) <= i+1 {
			in, perChunk = int64(binary.BigEndian.Uint32(perChunk[4:])), perChunk[12:]
		}
		here := min(in, count-next)
		size := here * same
		for at := next; same == 0 && at < next+here; at++ {
			size += int64(binary.BigEndian.Uint32(sizes[4*at:]))
		}
		next += here
		at := int64(binary.BigEndian.Uint32(chunks[i*int64(t.wide):]))
		if t.wide == 8 {
			at = int64(binary.BigEndian.Uint64(chunks[8*i:]) & (1<<60 - 1))
		}
		if last := len(list) - 1; last >= 0 && list[last].End() == at {
			list[last].Size += size
		} else {
			list = append(list, box.Box{Start: at, At: at, Size: size})
		}
	}
	return list, next == count
}
