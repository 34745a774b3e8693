// The chunks of a PNG: its EXIF, its XMP, its texts, its color profile. Only headers are
// read of the others, since text may come behind the pixels.

package media

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"encoding/hex"
	"io"
	"strconv"
)

// pngChunk returns the body of the first chunk of a kind, or nil.
func pngChunk(f io.ReaderAt, size int64, kind string) (body []byte) {
	pngWalk(f, size, func(is string, s span) bool {
		if is == kind && s.Size <= size-s.At {
			body = s.Body(f)
		}
		return body == nil
	})
	return body
}

// pngWalk tells each chunk of a PNG, until each says false.
func pngWalk(f io.ReaderAt, size int64, each func(kind string, s span) bool) {
	var head [8]byte
	at := int64(8)
	for range 100_000 { // pixels come in chunks of 8 KB and up
		if n, _ := f.ReadAt(head[:], at); n < len(head) {
			return
		}
		s := span{At: at + 8, Size: int64(binary.BigEndian.Uint32(head[:]))}
		if !each(string(head[4:]), s) {
			return
		}
		at += 12 + s.Size
	}
}

const xmpKeyword = "XML:com.adobe.xmp"

// Keywords of texts that hold metadata: XMP (XMP specification part 3, 1.1.5), the
// creation time (PNG 3rd edition, 11.3.3.1), and blocks of other formats in hex as
// ImageMagick began to write them, which exiftool reads as well (its PNG.pm).
var pngKeywords = map[string]bool{
	xmpKeyword: true, creationTime: true,
	rawExif: true, rawAPP1: true, rawXMP: true,
}

const (
	creationTime = "Creation Time"
	rawExif      = "Raw profile type exif"
	rawAPP1      = "Raw profile type APP1"
	rawXMP       = "Raw profile type xmp"
)

// pngTexts are the texts of those keywords, in one walk; the first of each counts.
func pngTexts(f io.ReaderAt, size int64) map[string][]byte {
	found := make(map[string][]byte)
	pngWalk(f, size, func(kind string, s span) bool {
		if kind != "tEXt" && kind != "zTXt" && kind != "iTXt" || s.Size > size-s.At {
			return true
		}
		keyword, body, ok := bytes.Cut(s.Body(f), []byte{0})
		if name := string(keyword); ok && pngKeywords[name] && found[name] == nil {
			found[name] = pngText(kind, body)
		}
		return true
	})
	return found
}

// pngText is the text of a chunk behind its keyword, unpacked.
func pngText(kind string, b []byte) []byte {
	switch kind {
	case "zTXt": // a way of packing, of which there is one
		if len(b) < 1 {
			return nil
		}
		return inflate(b[1:])
	case "iTXt": // packed or not, the way, then a language and a translated keyword, mostly empty
		if len(b) < 2 {
			return nil
		}
		packed := b[0] == 1
		_, rest, ok := bytes.Cut(b[2:], []byte{0})
		if _, b, ok = cutAgain(rest, ok); !ok {
			return nil
		}
		if packed {
			return inflate(b)
		}
	}
	return b
}

func cutAgain(b []byte, ok bool) (before, after []byte, found bool) {
	if !ok {
		return nil, nil, false
	}
	return bytes.Cut(b, []byte{0})
}

// rawProfile is a block written as text: a name, its length, and the bytes in
// hex, with line breaks between. What is no such text is nil.
func rawProfile(text []byte) []byte {
	fields := bytes.Fields(text)
	if len(fields) < 3 {
		return nil
	}
	n, err := strconv.Atoi(string(fields[1]))
	digits := bytes.Join(fields[2:], nil)
	if err != nil || n <= 0 || n > maxXMP || len(digits) < 2*n {
		return nil
	}
	out := make([]byte, n)
	if _, err := hex.Decode(out, digits[:2*n]); err != nil {
		return nil
	}
	return out
}

// pngMeta is what the texts of a PNG hold: EXIF as TIFF bytes, XMP packets, a
// creation time.
func pngMeta(f io.ReaderAt, size int64) (exif []byte, xmp [][]byte, created string) {
	texts := pngTexts(f, size)
	const exifName, xmpName = "Exif\x00\x00", "http://ns.adobe.com/xap/1.0/\x00"
	if b := texts[xmpKeyword]; b != nil {
		xmp = append(xmp, b)
	}
	for _, name := range []string{rawExif, rawAPP1, rawXMP} {
		b := rawProfile(texts[name])
		switch packet, isXMP := bytes.CutPrefix(b, []byte(xmpName)); {
		case b == nil:
		case isXMP:
			xmp = append(xmp, packet)
		case name == rawXMP:
			xmp = append(xmp, b)
		case exif == nil:
			exif = bytes.TrimPrefix(b, []byte(exifName))
		}
	}
	return exif, xmp, clean(string(texts[creationTime]))
}

// pngProfile is the color profile of a PNG, or nil.
func pngProfile(f io.ReaderAt, size int64) []byte {
	_, b, ok := bytes.Cut(pngChunk(f, size, "iCCP"), []byte{0}) // a name
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
