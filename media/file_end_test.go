// Where a file ends by its own container: every cut of samples is found, and
// whole ones pass.

package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/gif"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// animated is a GIF of several frames: its first decodes from a part of it.
func animated(t *testing.T) []byte {
	t.Helper()
	g := gif.GIF{}
	for n := range 4 {
		frame := image.NewPaletted(image.Rect(0, 0, 40, 30), color.Palette{color.Black, color.White, color.Gray{99}})
		for i := range frame.Pix {
			frame.Pix[i] = uint8(i*(n+2)) % 3
		}
		g.Image, g.Delay = append(g.Image, frame), append(g.Delay, 10)
	}
	var b bytes.Buffer
	if err := gif.EncodeAll(&b, &g); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// longWebP is a WebP with a large chunk of metadata behind its pixels, as cameras
// write it.
func longWebP(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(moduleDir(t, "golang.org/x/image"), "testdata", "yellow_rose.lossy.webp"))
	if err != nil {
		t.Fatal(err)
	}
	data = append(append(data, "XMP \x00\x10\x00\x00"...), make([]byte, 0x1000)...)
	binary.LittleEndian.PutUint32(data[4:], uint32(len(data)-8))
	return data
}

// rawWithStrip is a TIFF-like raw picture whose picture data lies at its end.
func rawWithStrip() []byte {
	data := []byte("II*\x00\x08\x00\x00\x00\x03\x00")
	for _, e := range [][3]uint32{{0x0111, 4, 60}, {0x0117, 4, 2000}, {0xc612, 1, 1}} {
		data = binary.LittleEndian.AppendUint16(data, uint16(e[0]))
		data = binary.LittleEndian.AppendUint16(data, uint16(e[1]))
		data = binary.LittleEndian.AppendUint32(data, 1)
		data = binary.LittleEndian.AppendUint32(data, e[2])
	}
	return append(data, make([]byte, 2060-len(data))...)
}

// noisyPNG is a PNG of several chunks of pixels.
func noisyPNG(t *testing.T) []byte {
	t.Helper()
	picture := image.NewGray(image.Rect(0, 0, 200, 200))
	n := uint32(1)
	for i := range picture.Pix {
		n = n*1664525 + 1013904223
		picture.Pix[i] = byte(n >> 24)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, picture); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// A copy that was given its full length first, and broke off, has zeros at its
// end: the decoders of HEIC and WebP make gray of them and are content.
func TestBlankEndIsCut(t *testing.T) {
	box := func(kind string, n int) string {
		return string(binary.BigEndian.AppendUint32(nil, uint32(8+n))) + kind + strings.Repeat("x", n)
	}
	large := animated(t)
	large = append(large[:len(large)-1], bytes.Repeat([]byte("\x21\xfe\xc8"+strings.Repeat("x", 200)+"\x00"), 100)...)
	for kind, data := range map[string][]byte{
		"webp": longWebP(t), "png": noisyPNG(t), "gif": append(large, 0x3b),
		"heic": []byte(box("ftyp", 16) + box("meta", 40) + box("mdat", 30000)),
		"avif": []byte(box("ftyp", 16) + box("meta", 40) + box("mdat", 30000)),
	} {
		if err := checkWhole(bytes.NewReader(data), int64(len(data)), kind); err != nil {
			t.Errorf("a whole %s: %v", kind, err)
		}
		for _, written := range []int{len(data) / 4, len(data) / 2, len(data) - 2*blank} {
			broke := append(bytes.Clone(data[:written]), make([]byte, len(data)-written)...)
			var broken *BrokenError
			if err := checkWhole(bytes.NewReader(broke), int64(len(broke)), kind); !errors.As(err, &broken) || !broken.Cut {
				t.Errorf("%s, %d of %d bytes and zeros: %v", kind, written, len(data), err)
			}
		}
	}
}

func TestWhole(t *testing.T) {
	box := func(kind string, n int) string {
		return string(binary.BigEndian.AppendUint32(nil, uint32(8+n))) + kind + strings.Repeat("x", n)
	}
	for kind, data := range map[string][]byte{
		"gif": animated(t), "webp": longWebP(t), "dng": rawWithStrip(),
		"png": noisyPNG(t), "heic": []byte(box("ftyp", 16) + box("meta", 40) + box("mdat", 500)),
		"cr3": []byte(box("ftyp", 16) + box("moov", 40) + box("mdat", 500)),
	} {
		if err := checkWhole(bytes.NewReader(data), int64(len(data)), kind); err != nil {
			t.Errorf("a whole %s: %v", kind, err)
		}
		more := append(bytes.Clone(data), box("free", 20)...)
		if err := checkWhole(bytes.NewReader(more), int64(len(more)), kind); err != nil {
			t.Errorf("a %s with something behind it: %v", kind, err)
		}
		ends := map[int]bool{} // between two boxes nothing tells
		if kind == "cr3" || kind == "heic" {
			ends = map[int]bool{24: true, 72: true}
		}
		for n := range len(data) {
			if kind == "webp" && n == len(data)-1 || kind == "dng" && n < 46 || ends[n] {
				continue // the last byte may be padding left out; a directory cut off is its reader's finding
			}
			var broken *BrokenError
			if err := checkWhole(bytes.NewReader(data[:n]), int64(n), kind); !errors.As(err, &broken) || !broken.Cut {
				t.Fatalf("%s cut to %d of %d bytes: %v", kind, n, len(data), err)
			}
		}
	}
}

// TestReadFindsCut: by the whole way of reading, a WebP and a GIF whose beginning
// decodes are found cut, and a PNG is called that rather than damaged.
func TestReadFindsCut(t *testing.T) {
	for name, data := range map[string][]byte{"a.gif": animated(t), "a.webp": longWebP(t), "a.png": noisyPNG(t)} {
		path := filepath.Join(t.TempDir(), name)
		for _, n := range []int{len(data), len(data) - 100} {
			if err := os.WriteFile(path, data[:n], 0o644); err != nil {
				t.Fatal(err)
			}
			_, err := Read(path)
			var broken *BrokenError
			if cut := errors.As(err, &broken) && broken.Cut; cut != (n < len(data)) {
				t.Errorf("%s, %d of %d bytes: %v", name, n, len(data), err)
			}
		}
	}
}
