// A bounded walk over the IFDs of a TIFF-like file: raw pictures, and EXIF
// blocks. Every IFD is reached once, and no count is believed.

package media

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
)

// tiffFile is an open TIFF-like file.
type tiffFile struct {
	r     io.ReaderAt
	size  int64
	order binary.ByteOrder
	first int64
}

// openTIFF reads the first eight bytes. The number after the byte order is not
// asked for: raw kinds write their own there.
func openTIFF(r io.ReaderAt, size int64) (*tiffFile, bool) {
	var head [8]byte
	if n, _ := r.ReadAt(head[:], 0); n < 8 || string(head[:2]) != "II" && string(head[:2]) != "MM" {
		return nil, false
	}
	t := &tiffFile{r: r, size: size, order: byteOrder(head[:])}
	t.first = int64(t.order.Uint32(head[4:]))
	return t, true
}

func openBlock(block []byte) (*tiffFile, bool) {
	return openTIFF(bytes.NewReader(block), int64(len(block)))
}

// directory is one IFD.
type directory struct {
	where   string // "first", "next", "sub", "exif", "gps" or "interop"
	entries map[uint16]entry
}

// No camera writes more IFDs than this into one file.
const maxDirectories = 64

// directories walks all IFDs that are reached, each once.
func (t *tiffFile) directories() []directory {
	type todo struct {
		at    int64
		where string
	}
	var list []directory
	seen := make(map[int64]bool)
	for next := []todo{{t.first, "first"}}; len(next) > 0 && len(list) < maxDirectories; {
		one := next[0]
		next = next[1:]
		if seen[one.at] || one.at < 8 || one.at > t.size-2 {
			continue
		}
		seen[one.at] = true
		var count [2]byte
		if n, _ := t.r.ReadAt(count[:], one.at); n < 2 {
			continue
		}
		n := int(t.order.Uint16(count[:]))
		if n > maxEntries {
			continue
		}
		b := make([]byte, 12*n+4)
		got, _ := t.r.ReadAt(b, one.at+2)
		d := directory{one.where, make(map[uint16]entry)}
		for i := 0; i < n && 12*(i+1) <= got; i++ {
			x := b[12*i:]
			e := entry{tag: t.order.Uint16(x), typ: t.order.Uint16(x[2:]), count: t.order.Uint32(x[4:])}
			copy(e.value[:], x[8:12])
			if _, ok := d.entries[e.tag]; !ok {
				d.entries[e.tag] = e
			}
		}
		list = append(list, d)
		for _, to := range []struct {
			tag   uint16
			where string
		}{{0x8769, "exif"}, {0x8825, "gps"}, {0xa005, "interop"}} {
			if e, ok := d.entries[to.tag]; ok {
				next = append(next, todo{int64(e.short(t.order)), to.where})
			}
		}
		if e, ok := d.entries[0x014a]; ok {
			for _, at := range t.numbers(e, maxDirectories) {
				next = append(next, todo{at, "sub"})
			}
		}
		if got == len(b) && (one.where == "first" || one.where == "next") {
			if at := int64(t.order.Uint32(b[12*n:])); at != 0 {
				next = append(next, todo{at, "next"})
			}
		}
	}
	return list
}

// bytes returns the bytes of a value, at most so many, or nil.
func (t *tiffFile) bytes(e entry, most int64) []byte {
	if int(e.typ) >= len(typeSize) || e.typ == 0 {
		return nil
	}
	size := min(typeSize[e.typ]*int64(e.count), most)
	if typeSize[e.typ]*int64(e.count) <= 4 {
		return e.value[:size]
	}
	at := int64(t.order.Uint32(e.value[:]))
	if at > t.size-size {
		return nil
	}
	b := make([]byte, size)
	if n, _ := t.r.ReadAt(b, at); int64(n) < size {
		return nil
	}
	return b
}

// numbers returns the first values of a SHORT or LONG entry.
func (t *tiffFile) numbers(e entry, most int) []int64 {
	var list []int64
	switch e.typ {
	case 3:
		for b := t.bytes(e, 2*int64(most)); len(b) >= 2; b = b[2:] {
			list = append(list, int64(t.order.Uint16(b)))
		}
	case 4, 13:
		e.typ = 4
		for b := t.bytes(e, 4*int64(most)); len(b) >= 4; b = b[4:] {
			list = append(list, int64(t.order.Uint32(b)))
		}
	}
	return list
}

// number is the first value of a tag, or 0.
func (t *tiffFile) number(d directory, tag uint16) int64 {
	e, ok := d.entries[tag]
	if !ok {
		return 0
	}
	if list := t.numbers(e, 1); len(list) > 0 {
		return list[0]
	}
	return 0
}

// exifNames are the tags whose text says when and by which camera.
var exifNames = map[uint16]string{
	0x010f: "Make", 0x0110: "Model", 0x0132: "DateTime", 0x9003: "DateTimeOriginal", 0x9004: "DateTimeDigitized",
	0x9010: "OffsetTime", 0x9011: "OffsetTimeOriginal", 0x9012: "OffsetTimeDigitized",
	0x9290: "SubSecTime", 0x9291: "SubSecTimeOriginal", 0x9292: "SubSecTimeDigitized", 0xa431: "SerialNumber",
}

// texts reads those tags, and the time of the satellites, wherever in the
// picture's IFDs they stand. The orientation comes as a number, 0 = not said.
func (t *tiffFile) texts() (found map[string]string, turn int) {
	found = make(map[string]string)
	for _, d := range t.directories() {
		switch d.where {
		case "gps":
			t.gps(d, found)
		case "first", "exif":
			if n := t.number(d, 0x0112); turn == 0 && n >= 1 && n <= 8 {
				turn = int(n)
			}
			for tag, name := range exifNames {
				if e, ok := d.entries[tag]; ok && e.typ == 2 && found[name] == "" {
					found[name] = clean(string(t.bytes(e, 200)))
				}
			}
		}
	}
	return found, turn
}

// xmp is the XMP packet of the first IFD, or nil (XMP specification part 3,
// 1.1.6: tag 700).
func (t *tiffFile) xmp() []byte {
	for _, d := range t.directories() {
		if e, ok := d.entries[0x02bc]; ok && d.where == "first" && (e.typ == 1 || e.typ == 7) {
			return t.bytes(e, maxXMP)
		}
	}
	return nil
}

func (t *tiffFile) gps(d directory, found map[string]string) {
	if e, ok := d.entries[0x1d]; ok && e.typ == 2 {
		found["GPSDateStamp"] = clean(string(t.bytes(e, 20)))
	}
	e, ok := d.entries[0x07]
	if !ok || e.typ != 5 || e.count != 3 {
		return
	}
	b := t.bytes(e, 24)
	if len(b) < 24 {
		return
	}
	var parts []string
	for i := range 3 {
		num, den := t.order.Uint32(b[8*i:]), t.order.Uint32(b[8*i+4:])
		if den == 0 {
			return
		}
		parts = append(parts, fmt.Sprintf("%02d", num/den))
	}
	found["GPSTimeStamp"] = strings.Join(parts, ":")
}
