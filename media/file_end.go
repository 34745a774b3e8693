// Where a file ends by what its own container says. Decoders stop where their
// picture does: of a film in a WebP, of the frames of a GIF or of what stands
// behind a raw picture's preview they never notice that it is cut off.

package media

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"slices"
)

// checkWhole returns a *BrokenError with Cut when the file is shorter than its
// container says, or when it has that length and only zeros at its end. A JPEG
// states no length, and its decoder reads to its end: it passes here. So does
// what is too damaged to follow: its decoder says so in better words.
func checkWhole(f io.ReaderAt, size int64, kind string) error {
	whole := true
	switch kind {
	case "webp":
		whole = wholeRIFF(f, size)
	case "gif":
		whole = wholeGIF(f, size)
	case "png":
		whole = wholePNG(f, size)
	case "heic", "avif":
		whole = wholeBoxes(f, size)
	case "mp4", "mov":
		whole = wholeClip(f, size)
	case "cr3":
		_, whole = topBoxes(f, size)
	case "dng", "nef", "cr2", "arw", "pef", "raw", "tiff":
		whole = wholeTIFF(f, size)
	}
	if !whole {
		return &BrokenError{Fault: EndsHalfway, Cut: true, Kind: kind}
	}
	return nil
}

// blank is so long a run of zeros as neither packed pixels nor what programs
// leave free for metadata (two fields of 2060 bytes) put at the end of a picture;
// common practice, no source. Many who copy give the file its full length first,
// and a copy that broke off keeps it.
const blank = 8 << 10

// endsBlank reports whether nothing but zeros stands before an offset.
func endsBlank(f io.ReaderAt, end int64) bool {
	tail := make([]byte, blank)
	if end < blank {
		return false
	}
	n, _ := f.ReadAt(tail, end-blank)
	return n == blank && len(bytes.Trim(tail, "\x00")) == 0
}

// wholeBoxes looks that the boxes end with the file, and its pixels with something.
func wholeBoxes(f io.ReaderAt, size int64) bool {
	list, whole := topBoxes(f, size)
	for _, box := range slices.Backward(list) {
		if box.Kind == "mdat" || box.Kind == "\x00\x00\x00\x00" {
			return whole && !endsBlank(f, box.At+box.Size)
		}
	}
	return whole
}

// wholePNG walks the chunks to the last (PNG, third edition, 5.3: length, type,
// data, CRC). The decoder calls one that ends within its pixels damaged.
func wholePNG(f io.ReaderAt, size int64) bool {
	var head [8]byte
	for at := int64(8); ; {
		if n, _ := f.ReadAt(head[:], at); n < len(head) {
			return false
		}
		length, kind := binary.BigEndian.Uint32(head[:]), string(head[4:])
		switch {
		case kind == "\x00\x00\x00\x00":
			return !endsBlank(f, size)
		case length > math.MaxInt32:
			return true
		}
		if at += 12 + int64(length); at > size {
			return false
		}
		if kind == "IEND" {
			return true
		}
	}
}

// wholeRIFF asks the length in the header (Google's WebP container
// specification: the file is that and 8 bytes; an odd last chunk is padded, which
// some writers leave out).
func wholeRIFF(f io.ReaderAt, size int64) bool {
	var head [8]byte
	if n, _ := f.ReadAt(head[:], 0); n < len(head) {
		return false
	}
	end := 8 + int64(binary.LittleEndian.Uint32(head[4:]))
	return size+1 >= end && !endsBlank(f, min(size, end))
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
		case 0:
			return !endsBlank(f, size)
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
