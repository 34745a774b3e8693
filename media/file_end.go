// Where a file ends by what its own container says. Decoders stop where their
// picture does: of a film in a WebP, of the frames of a GIF or of what stands
// behind a raw picture's preview they never notice that it is cut off.

package media

import (
	"bufio"
	"encoding/binary"
	"io"
)

// checkWhole returns a *BrokenError with Cut when the file is shorter than its
// container says. A JPEG states no length, and the decoder of a PNG reads to its
// end: both pass here. So does what is too damaged to follow: its decoder says
// so in better words.
func checkWhole(f io.ReaderAt, size int64, kind string) error {
	whole := true
	switch kind {
	case "webp":
		whole = wholeRIFF(f, size)
	case "gif":
		whole = wholeGIF(f, size)
	case "heic", "avif", "cr3":
		_, whole = topBoxes(f, size)
	case "dng", "nef", "cr2", "arw", "pef", "raw", "tiff":
		whole = wholeTIFF(f, size)
	}
	if !whole {
		return cutShort()
	}
	return nil
}

// wholeRIFF asks the length in the header (Google's WebP container
// specification: the file is that and 8 bytes; an odd last chunk is padded, which
// some writers leave out).
func wholeRIFF(f io.ReaderAt, size int64) bool {
	var head [8]byte
	if n, _ := f.ReadAt(head[:], 0); n < len(head) {
		return false
	}
	return size+1 >= 8+int64(binary.LittleEndian.Uint32(head[4:]))
}

// wholeGIF walks the blocks to the trailer (GIF89a specification, appendix B:
// *block, 0x3B).
func wholeGIF(f io.ReaderAt, size int64) bool {
	r := bufio.NewReaderSize(io.NewSectionReader(f, 0, size), 64<<10)
	skip := func(n int) bool {
		_, err := r.Discard(n)
		return err == nil
	}
	table := func(flags byte) bool { // a table of colors, if there is one
		return flags&0x80 == 0 || skip(3<<(flags&7+1))
	}
	subBlocks := func() bool {
		for {
			n, err := r.ReadByte()
			if err != nil || !skip(int(n)) {
				return false
			}
			if n == 0 {
				return true
			}
		}
	}
	var head [13]byte
	if _, err := io.ReadFull(r, head[:]); err != nil || !table(head[10]) {
		return false
	}
	for {
		intro, err := r.ReadByte()
		if err != nil {
			return false
		}
		switch intro {
		case 0x3b:
			return true
		case 0x21: // extension: its label, then sub-blocks
			if !skip(1) || !subBlocks() {
				return false
			}
		case 0x2c:
			var d [9]byte
			if _, err := io.ReadFull(r, d[:]); err != nil || !table(d[8]) || !skip(1) || !subBlocks() {
				return false
			}
		default:
			return true // damaged, or bytes behind the picture: not for us to say
		}
	}
}

// Offsets and lengths of picture data in a TIFF 6.0 directory. Those of a
// thumbnail (0x0201) are left out: editors leave stale ones behind.
var tiffData = [][2]uint16{
	{0x0111, 0x0117}, // StripOffsets, StripByteCounts
	{0x0144, 0x0145}, // TileOffsets, TileByteCounts
}

// No picture has more strips or tiles than this.
const maxStrips = 1 << 16

// nowhere is about where some cameras point for data that they do not have.
const nowhere = 1<<32 - 256

// wholeTIFF looks that no directory's picture data ends behind the file.
func wholeTIFF(f io.ReaderAt, size int64) bool {
	t, ok := openTIFF(f, size)
	if !ok {
		return true
	}
	for _, d := range t.directories() {
		for _, tags := range tiffData {
			at, length := t.numbers(d.entries[tags[0]], maxStrips), t.numbers(d.entries[tags[1]], maxStrips)
			for i := range min(len(at), len(length)) {
				if at[i] < nowhere && at[i]+length[i] > size {
					return false
				}
			}
		}
	}
	return true
}
