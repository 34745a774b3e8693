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

func TestWhole(t *testing.T) {
	box := func(kind string, n int) string {
		return string(binary.BigEndian.AppendUint32(nil, uint32(8+n))) + kind + strings.Repeat("x", n)
	}
	for kind, data := range map[string][]byte{
		"gif": animated(t), "webp": longWebP(t), "dng": rawWithStrip(),
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
		if kind == "cr3" {
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
// decodes are found cut.
func TestReadFindsCut(t *testing.T) {
	for name, data := range map[string][]byte{"a.gif": animated(t), "a.webp": longWebP(t)} {
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
