// The chunks of a PNG: its EXIF, its XMP, its color profile. Only headers are
// read of the others, since text may come behind the pixels.

package media

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
)

// pngChunk returns the body of the first chunk of a kind that begins with a
// keyword, without it, or nil.
func pngChunk(f io.ReaderAt, size int64, kind, keyword string) []byte {
	var head [8]byte
	at := int64(8)
	for range 100_000 { // pixels come in chunks of 8 KB and up
		if n, _ := f.ReadAt(head[:], at); n < len(head) {
			return nil
		}
		s := span{at: at + 8, size: int64(binary.BigEndian.Uint32(head[:]))}
		if string(head[4:]) == kind && s.size <= size-s.at {
			if body, ok := bytes.CutPrefix(s.body(f), []byte(keyword)); ok {
				return body
			}
		}
		at += 12 + s.size
	}
	return nil
}

const xmpKeyword = "XML:com.adobe.xmp\x00"

// pngXMP is the XMP packet of a PNG, plain or packed, or nil.
func pngXMP(f io.ReaderAt, size int64) []byte {
	if b := pngChunk(f, size, "iTXt", xmpKeyword); len(b) > 2 {
		packed := b[0] == 1
		// A language and a translated keyword, mostly empty, come first.
		for range 2 {
			if _, rest, ok := bytes.Cut(b[min(2, len(b)):], []byte{0}); ok {
				b = append([]byte{0, 0}, rest...)
			}
		}
		if b = b[2:]; !packed {
			return b
		}
		return inflate(b)
	}
	if b := pngChunk(f, size, "zTXt", xmpKeyword); len(b) > 1 {
		return inflate(b[1:])
	}
	return nil
}

// pngProfile is the color profile of a PNG, or nil.
func pngProfile(f io.ReaderAt, size int64) []byte {
	_, b, ok := bytes.Cut(pngChunk(f, size, "iCCP", ""), []byte{0}) // a name
	if !ok || len(b) < 2 {
		return nil
	}
	return inflate(b[1:])
}

// inflate unpacks, up to what any of these may sensibly hold.
func inflate(b []byte) []byte {
	r, err := zlib.NewReader(bytes.NewReader(b))
	if err != nil {
		return nil
	}
	out, err := io.ReadAll(io.LimitReader(r, maxXMP))
	if err != nil {
		return nil
	}
	return out
}
