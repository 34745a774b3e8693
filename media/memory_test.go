// What reading a picture takes is worked out from its header before anything is
// asked for, and no less than the decoders take.

package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"golang.org/x/image/tiff"
)

// pictures are pictures of all kinds of pixels, by name.
func pictures(t testing.TB) map[string][]byte {
	t.Helper()
	const w, h = 640, 480
	rect := image.Rect(0, 0, w, h)
	pal := image.NewPaletted(rect, color.Palette{color.White, color.Black})
	with := func(encode func(*bytes.Buffer) error) []byte {
		var b bytes.Buffer
		if err := encode(&b); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	asPNG := func(img image.Image) []byte { return with(func(b *bytes.Buffer) error { return png.Encode(b, img) }) }
	asTIFF := func(img image.Image) []byte {
		return with(func(b *bytes.Buffer) error { return tiff.Encode(b, img, &tiff.Options{Compression: tiff.Deflate}) })
	}
	list := map[string][]byte{
		"gray.png": asPNG(image.NewGray(rect)), "gray16.png": asPNG(image.NewGray16(rect)), "color.png": asPNG(picture(w, h)),
		"color64.png": asPNG(image.NewRGBA64(rect)), "palette.png": asPNG(pal),
		"gray.tif": asTIFF(image.NewGray(rect)), "color.tif": asTIFF(picture(w, h)), "color64.tif": asTIFF(image.NewRGBA64(rect)),
		"gray.jpg":  with(func(b *bytes.Buffer) error { return jpeg.Encode(b, image.NewGray(rect), nil) }),
		"color.jpg": jpegWith(t, picture(w, h)),
		"a.gif":     with(func(b *bytes.Buffer) error { return gif.Encode(b, pal, nil) }),
	}
	for _, dir := range []string{"packed", "inks"} {
		paths, err := filepath.Glob(filepath.Join("testdata", dir, "*.*"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range paths {
			if filepath.Ext(path) == ".heic" {
				continue
			}
			data, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			list[filepath.Base(path)] = data
		}
	}
	return list
}

// TestDemandHolds: no decoder asks for more than was worked out, but for what any
// picture takes; nor was twice as much worked out as one asks for.
func TestDemandHolds(t *testing.T) {
	for name, data := range pictures(t) {
		kind, err := sniff(bytes.NewReader(data), name)
		if err != nil {
			t.Fatal(err)
		}
		f := bytes.NewReader(data)
		c, err := config(f, kind)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		d := demandOf(f, kind, c, 1)
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		if _, err := f.Seek(0, 0); err != nil {
			t.Fatal(err)
		}
		if _, err := decoded(f, kind, c); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		runtime.ReadMemStats(&after)
		const any = 600_000 // tables and buffers, whatever the size
		took := int64(after.TotalAlloc - before.TotalAlloc)
		if took > d.reading+any {
			t.Errorf("%s: %d bytes were taken, %d worked out", name, took, d.reading)
		}
		if d.reading > 2*took+any && kind != "gif" { // of a GIF whose frame fills its canvas a fifth
			t.Errorf("%s: %d bytes worked out, %d taken", name, d.reading, took)
		}
		t.Logf("%-20s %8d worked out, %8d taken", name, d.reading, took)
	}
}

// bigPNG is the header of a PNG of any depth and color.
func bigPNG(w, h uint32, depth, colors, passes byte) []byte {
	chunk := append([]byte("IHDR"), binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)...)
	chunk = append(chunk, depth, colors, 0, 0, passes)
	out := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), chunk...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(chunk))
}

// bigJPEG is a JPEG whose frame claims another size.
func bigJPEG(t testing.TB, name string, w, h uint16) []byte {
	data, err := os.ReadFile(filepath.Join("testdata", "packed", name))
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(data, []byte{0xff, 0xc2})
	binary.BigEndian.PutUint16(data[at+5:], h)
	binary.BigEndian.PutUint16(data[at+7:], w)
	return data
}

// TestMemoryIsRefusedByPixels: not the bytes of a file count, but what its decoder
// will hold; and what cameras write passes.
func TestMemoryIsRefusedByPixels(t *testing.T) {
	for _, c := range []struct {
		name string
		data []byte
		ok   bool
	}{
		{"108 MP progressive, full color", bigJPEG(t, "progressive-444.jpg", 12000, 9000), false},
		{"24 MP progressive, full color", bigJPEG(t, "progressive-444.jpg", 6000, 4000), true},
		{"108 MP progressive", bigJPEG(t, "progressive-420.jpg", 12000, 9000), false},
		{"50 MP progressive", bigJPEG(t, "progressive-420.jpg", 8192, 6144), true},
		{"119 MP of 16 bits", bigPNG(12000, 9916, 16, 2, 0), false},
		{"24 MP of 16 bits", bigPNG(6000, 4000, 16, 2, 0), true},
		{"33 MP of 16 bits", bigPNG(7000, 4700, 16, 2, 0), true},
		{"33 MP of 16 bits in passes", bigPNG(7000, 4700, 16, 2, 1), false},
		{"100 MP gray", bigPNG(12000, 8400, 8, 0, 0), true},
	} {
		_, err := decode(bytes.NewReader(c.data), map[bool]string{true: "png", false: "jpeg"}[c.data[0] == 0x89], DefaultLimits)
		var broken *BrokenError
		if err == nil || !errors.As(err, &broken) {
			t.Errorf("%s: %v", c.name, err) // its pixels are not there
			continue
		}
		if refused := broken.Fault == TooMuch; refused == c.ok {
			t.Errorf("%s: %v", c.name, err)
		} else if refused && (broken.Needs <= broken.Most || !strings.Contains(err.Error(), "JPEG")) {
			t.Errorf("%s: the reason and the way out: %v", c.name, err)
		}
	}
}

// TestManyPasses: a small file that asks for hours is seen before it is read.
func TestManyPasses(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "packed", "progressive-444.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	f := bytes.NewReader(data)
	n, err := scansOf(f, 1<<30)
	if want := int64(bytes.Count(data, []byte{0xff, 0xda})); err != nil || n != want || n < 5 {
		t.Fatalf("%d passes, %v; want %d", n, err, want)
	}
	last := bytes.LastIndex(data, []byte{0xff, 0xda})
	one := data[last : len(data)-2]
	many := append(bytes.Clone(data[:last]), bytes.Repeat(one, maxScans)...)
	many = append(many, 0xff, 0xd9)
	_, err = Read(write(t, "a.jpg", many))
	var broken *BrokenError
	if !errors.As(err, &broken) || broken.Fault != TooManyScans || broken.Most != maxScans {
		t.Errorf("%v", err)
	}
	if _, err := Read(write(t, "b.jpg", data)); err != nil {
		t.Errorf("as many as cameras write: %v", err)
	}
}

func FuzzScans(f *testing.F) {
	data, err := os.ReadFile(filepath.Join("testdata", "packed", "progressive-420.jpg"))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte("\xff\xd8\xff\xda\x00\x02\xff\xff\xda\x00\x00\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		n, err := scansOf(bytes.NewReader(data), 20)
		if err != nil || n > 21 || n > int64(bytes.Count(data, []byte{0xda})) {
			t.Fatalf("%d passes, %v", n, err)
		}
		h, err := frameOf(bytes.NewReader(data))
		if b := h.blocks(); err == nil && (b < 0 || b == 0 && h.parts > 0 || b > 1<<40) {
			t.Fatalf("%+v: %d blocks", h, b)
		}
	})
}
