// The walk over an EXIF block that comes before the second reader, which
// loops for ever on two IFDs that point at each other and asks for gigabytes
// when a count wraps around. What the walk refuses, that reader never sees.

package media

import (
	"bytes"
	"encoding/binary"
)

// entry is one entry of an IFD.
type entry struct {
	tag, typ uint16
	count    uint32
	value    [4]byte // the value, or where it lies
}

// short is the first number of a SHORT or LONG entry.
func (e entry) short(order binary.ByteOrder) uint32 {
	if e.typ == 3 {
		return uint32(order.Uint16(e.value[:]))
	}
	return order.Uint32(e.value[:])
}

func byteOrder(block []byte) binary.ByteOrder {
	if block[0] == 'I' {
		return binary.LittleEndian
	}
	return binary.BigEndian
}

// readIFD reads the entries at an offset of the block, and where the next IFD
// lies. It is false when they do not fit.
func readIFD(block []byte, order binary.ByteOrder, at int64) (list []entry, next uint32, ok bool) {
	size := int64(len(block))
	if at < 8 || at+2 > size {
		return nil, 0, false
	}
	n := int64(order.Uint16(block[at:]))
	if at+2+12*n > size {
		return nil, 0, false
	}
	for i := range n {
		b := block[at+2+12*i:]
		e := entry{tag: order.Uint16(b), typ: order.Uint16(b[2:]), count: order.Uint32(b[4:])}
		copy(e.value[:], b[8:12])
		list = append(list, e)
	}
	if end := at + 2 + 12*n; end+4 <= size {
		next = order.Uint32(block[end:])
	}
	return list, next, true
}

// typeSize is the bytes of one value of TIFF types 1 to 12; 0 = unknown.
var typeSize = [13]int64{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8}

// maxEntries is far above what cameras write (a few hundred at most) and low
// enough that no block of nested IFDs takes noticeable time.
const maxEntries = 1000

// walk reports whether the second reader may see the block: each IFD is
// reached once, there are at most maxEntries entries, every value lies within.
func walk(block []byte) bool {
	if len(block) < 8 || !bytes.HasPrefix(block, []byte("II*\x00")) && !bytes.HasPrefix(block, []byte("MM\x00*")) {
		return false
	}
	order := byteOrder(block)
	seen := make(map[int64]bool)
	todo := []int64{int64(order.Uint32(block[4:]))}
	entries := 0
	for len(todo) > 0 {
		at := todo[0]
		todo = todo[1:]
		if seen[at] {
			return false
		}
		seen[at] = true
		list, next, ok := readIFD(block, order, at)
		if !ok {
			return false
		}
		if entries += len(list); entries > maxEntries {
			return false
		}
		for _, e := range list {
			if int(e.typ) >= len(typeSize) || e.typ == 0 || e.count == 0 {
				return false // the reader would give up its whole directory here
			}
			// In 64 bits: 4 bytes times 2^30+1 must not look small.
			size := typeSize[e.typ] * int64(e.count)
			if size > 4 && int64(order.Uint32(e.value[:]))+size > int64(len(block)) {
				return false
			}
			switch e.tag {
			case 0x8769, 0x8825, 0xa005: // EXIF, GPS and interoperability IFDs
				todo = append(todo, int64(order.Uint32(e.value[:])))
			}
		}
		if next != 0 {
			todo = append(todo, int64(next))
		}
	}
	return true
}

// exifBlock finds the EXIF of a JPEG wherever it comes (an XMP block often
// stands before it) and returns its TIFF bytes, or nil.
func exifBlock(head []byte) (block []byte) {
	jpegSegments(head, func(marker byte, body []byte) bool {
		if marker == 0xe1 && bytes.HasPrefix(body, []byte("Exif\x00")) && len(body) > 6 {
			block = body[6:]
		}
		return block == nil
	})
	return block
}

// jpegSegments tells each segment before the picture data, until each says
// false or one does not fit.
func jpegSegments(head []byte, each func(marker byte, body []byte) bool) {
	at := 2
	for at+4 <= len(head) && head[at] == 0xff {
		marker := head[at+1]
		if marker == 0xff { // fill byte
			at++
			continue
		}
		if marker == 0xda || marker == 0xd9 { // picture data, end
			return
		}
		end := at + 2 + int(binary.BigEndian.Uint16(head[at+2:]))
		if end < at+4 || end > len(head) || !each(marker, head[at+4:end]) {
			return
		}
		at = end
	}
}
