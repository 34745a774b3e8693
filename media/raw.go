// Raw pictures are kept as they are and shown by the JPEG their camera put
// into them. This file finds it: in the IFDs of those that are built like a
// TIFF, in the boxes of CR3, in the header of RAF, and where none of these
// tells, by looking for the beginning of a JPEG.

package media

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"io"

	"rakelight/media/box"
)

// rawKinds are the kinds shown by an embedded picture.
var rawKinds = map[string]bool{
	"dng": true, "nef": true, "nrw": true, "arw": true, "sr2": true, "cr2": true, "cr3": true, "orf": true, "rw2": true,
	"raf": true, "pef": true, "srw": true, "3fr": true, "iiq": true, "raw": true,
	// Older ones, built like a TIFF as well.
	"srf": true, "erf": true, "mef": true, "mos": true, "kdc": true, "dcr": true, "k25": true, "fff": true, "dcs": true,
	"rwl": true,
}

// IsRaw reports whether a kind is a raw picture, shown by an embedded one.
func IsRaw(kind string) bool { return rawKinds[kind] }

// preview is a JPEG inside a raw picture.
type preview struct {
	at, size      int64 // size may run on past its end
	width, height int
}

// findPreview returns the largest JPEG inside a raw picture that can be shown;
// ok is false when there is none. An error says that the file ends too early.
func findPreview(f io.ReaderAt, size int64, kind string) (best preview, ok bool, err error) {
	var list []span
	switch kind {
	case "cr3":
		list, err = previewsCR3(f, size)
	case "raf":
		list, err = previewsRAF(f, size)
	default:
		list, err = previewsTIFF(f, size)
	}
	if err != nil {
		return best, false, err
	}
	look := func(list []span) {
		for _, s := range list {
			head, err := jpegFrame(io.NewSectionReader(f, s.At, s.Size))
			if err == nil && head.refused() == "" && head.width*head.height > best.width*best.height {
				best, ok = preview{s.At, s.Size, head.width, head.height}, true
			}
		}
	}
	look(list)
	// A thumbnail alone is no picture: makers hide larger ones in their own
	// notes.
	const thumbnail = 640 * 480
	if best.width*best.height <= thumbnail {
		look(scanJPEG(f, size))
	}
	return best, ok, nil
}

// previewsTIFF lists the JPEGs the IFDs name.
func previewsTIFF(f io.ReaderAt, size int64) (list []span, err error) {
	t, ok := openTIFF(f, size)
	if !ok {
		return nil, damaged("it does not begin as its kind does")
	}
	add := func(at, n int64) {
		if at > 0 && n > 0 && len(list) < maxDirectories {
			if at > size-n {
				err = cutShort()
				return
			}
			list = append(list, span{At: at, Size: n})
		}
	}
	for _, d := range t.directories() {
		add(t.number(d, 0x0201), t.number(d, 0x0202)) // a JPEG of its own
		if e, ok := d.entries[0x002e]; ok && e.typ == 7 && d.where == "first" {
			add(int64(t.order.Uint32(e.value[:])), int64(e.count)) // a JPEG as a value
		}
		at, n := d.entries[0x0111], d.entries[0x0117]
		if at.count == 0 || at.count != n.count {
			continue
		}
		const old, now = 6, 7 // both are JPEG; lossless ones are sorted out by their frame
		if c := t.number(d, 0x0103); at.count == 1 && (c == old || c == now) {
			add(t.number(d, 0x0111), t.number(d, 0x0117))
			continue
		}
		// The last strip tells whether all of the file is there.
		const most = 1 << 16
		if ats, ns := t.numbers(at, most), t.numbers(n, most); len(ats) > 0 && len(ats) == len(ns) {
			if last := len(ats) - 1; ats[last] > size-ns[last] {
				err = cutShort()
			}
		}
	}
	return list, err
}

// previewsRAF reads the header: where the JPEG lies stands at byte 84.
func previewsRAF(f io.ReaderAt, size int64) ([]span, error) {
	var head [92]byte
	if n, _ := f.ReadAt(head[:], 0); n < len(head) {
		return nil, cutShort()
	}
	at, n := int64(binary.BigEndian.Uint32(head[84:])), int64(binary.BigEndian.Uint32(head[88:]))
	if at > size-n {
		return nil, cutShort()
	}
	return []span{{At: at, Size: n}}, nil
}

// The boxes of a CR3 that hold its metadata and its preview.
var (
	canonBox   = []byte("\x85\xc0\xb6\x87\x82\x0f\x11\xe0\x81\x11\xf4\xce\x46\x2b\x6a\x48")
	previewBox = []byte("\xea\xf4\x2b\x5e\x1c\x98\x4b\x88\xb9\xfb\xb7\xdc\x40\x6e\x4d\x16")
)

func previewsCR3(f io.ReaderAt, size int64) (list []span, err error) {
	tops, whole := topBoxes(f, size)
	if !whole {
		return nil, cutShort()
	}
	for _, s := range tops {
		switch s.Kind {
		case "uuid":
			var head [48]byte
			n, _ := f.ReadAt(head[:], s.At)
			// 16 bytes of name, 8 unknown, the header of the inner box, 16 with
			// its size; then the JPEG.
			if n == len(head) && bytes.HasPrefix(head[:], previewBox) && string(head[28:32]) == "PRVW" {
				if length := int64(binary.BigEndian.Uint32(head[44:])); length > 0 && length <= s.Size-48 {
					list = append(list, span{At: s.At + 48, Size: length})
				}
			}
		case "moov":
			box.Inner(s.Body(f), func(kind string, body []byte) {
				if kind == "trak" {
					if at := track(body); at.Size > 0 && at.At <= size-at.Size && len(list) < maxDirectories {
						list = append(list, at)
					}
				}
			})
		}
	}
	return list, nil
}

// track is where the first sample of a track lies: the first track of a CR3 is
// a JPEG in full size.
func track(body []byte) (s span) {
	var visit func(kind string, body []byte)
	visit = func(kind string, body []byte) {
		c := &cursor{B: body}
		switch kind {
		case "mdia", "minf", "stbl":
			box.Inner(body, visit)
		case "stsz":
			c.Uint(4)
			same, n := c.Uint(4), c.Uint(4)
			if same == 0 && n > 0 {
				same = c.Uint(4)
			}
			s.Size = int64(same)
		case "co64":
			c.Uint(8)
			if at := c.Uint(8); at < 1<<62 {
				s.At = int64(at)
			}
		}
	}
	box.Inner(body, visit)
	return s
}

// metaCR3 are the EXIF blocks of a CR3, each a TIFF of its own.
func metaCR3(f io.ReaderAt, size int64) (blocks [][]byte) {
	tops, _ := topBoxes(f, size)
	for _, s := range tops {
		if s.Kind != "moov" {
			continue
		}
		box.Inner(s.Body(f), func(kind string, body []byte) {
			if kind != "uuid" || !bytes.HasPrefix(body, canonBox) {
				return
			}
			box.Inner(body[16:], func(kind string, body []byte) {
				if kind == "CMT1" || kind == "CMT2" {
					blocks = append(blocks, body)
				}
			})
		})
	}
	return blocks
}

// How far a file is searched, how many beginnings are looked at, and how many
// of those that hold are kept: a file may be made of nothing but beginnings.
const (
	scanBytes = 256 << 20
	scanLooks = 512
	scanMost  = 64
)

// scanJPEG looks for the beginnings of JPEGs in a whole file.
func scanJPEG(f io.ReaderAt, size int64) (list []span) {
	const step = 1 << 20
	mark, looks := []byte("\xff\xd8\xff"), 0
	b := make([]byte, step+len(mark)-1)
	for at := int64(0); at < min(size, scanBytes); at += step {
		n, _ := f.ReadAt(b, at)
		for from := 0; ; {
			i := bytes.Index(b[from:n], mark)
			if i < 0 {
				break
			}
			pos := at + int64(from+i)
			from += i + len(mark)
			if looks++; looks > scanLooks {
				return list
			}
			if head, err := jpegFrame(io.NewSectionReader(f, pos, size-pos)); err == nil && head.refused() == "" {
				if list = append(list, span{At: pos, Size: size - pos}); len(list) >= scanMost {
					return list
				}
			}
		}
	}
	return list
}

// frame is what the frame header of a JPEG says.
type frame struct {
	marker        byte // 0xc0 baseline, 0xc2 progressive, 0xc3 lossless, …
	bits          int
	width, height int
	parts         int     // 1 gray, 3 color, 4 inks
	sampling      [4]byte // of each part, across and down, four bits each
}

// refused names what this JPEG is if it is of a kind that is not read, else "".
func (h frame) refused() string {
	switch {
	case h.marker == 0xc3 || h.marker == 0xc7 || h.marker == 0xcb || h.marker == 0xcf:
		return "lossless JPEG"
	case h.marker >= 0xc9:
		return "arithmetic-coded JPEG"
	case h.marker > 0xc2:
		return "hierarchical JPEG"
	case h.bits != 8:
		return fmt.Sprintf("%d-bit JPEG", h.bits)
	}
	return ""
}

// jpegFrame walks the segments of a JPEG to its frame header.
func jpegFrame(r io.Reader) (h frame, err error) {
	b := bufio.NewReader(io.LimitReader(r, headBytes))
	var two [2]byte
	if _, err := io.ReadFull(b, two[:]); err != nil || two != [2]byte{0xff, 0xd8} {
		return h, io.ErrUnexpectedEOF
	}
	for range 1000 {
		if _, err := io.ReadFull(b, two[:]); err != nil {
			return h, io.ErrUnexpectedEOF
		}
		for two[0] == 0xff && two[1] == 0xff { // fill
			if two[1], err = b.ReadByte(); err != nil {
				return h, io.ErrUnexpectedEOF
			}
		}
		marker := two[1]
		if two[0] != 0xff || marker == 0 {
			return h, fmt.Errorf("no marker where one must be")
		}
		if _, err := io.ReadFull(b, two[:]); err != nil {
			return h, io.ErrUnexpectedEOF
		}
		n := int(binary.BigEndian.Uint16(two[:])) - 2
		if n < 0 || marker == 0xda || marker == 0xd9 {
			return h, fmt.Errorf("picture data before its header")
		}
		if marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc {
			f := make([]byte, max(6, min(n, 6+3*len(h.sampling))))
			if _, err := io.ReadFull(b, f); err != nil {
				return h, io.ErrUnexpectedEOF
			}
			h = frame{marker: marker, bits: int(f[0]), width: int(binary.BigEndian.Uint16(f[3:])),
				height: int(binary.BigEndian.Uint16(f[1:]))}
			h.parts = min(int(f[5]), len(h.sampling))
			for i := range h.parts {
				if at := 6 + 3*i + 1; at < len(f) {
					h.sampling[i] = f[at]
				}
			}
			if h.width == 0 || h.height == 0 {
				return h, fmt.Errorf("no size")
			}
			return h, nil
		}
		if _, err := b.Discard(n); err != nil {
			return h, io.ErrUnexpectedEOF
		}
	}
	return h, fmt.Errorf("no frame header")
}
