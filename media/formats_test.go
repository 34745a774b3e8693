// Every kind of picture that is taken in, and those that are refused by name.

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

	"rakelight/journal/reason"
)

// rawTIFF is a raw picture built like a TIFF: a first IFD with a small JPEG, a
// sub-IFD with a larger one, the pixels in a strip. magic is what stands where
// a TIFF has 42.
func rawTIFF(t testing.TB, magic string, extra ...field) []byte {
	small, large := jpegWith(t, picture(16, 8)), jpegWith(t, picture(800, 400))
	build := func(sub, exif, smallAt, largeAt, strip uint32) []byte {
		first := append([]field{
			long(0x00fe, 1), ascii(0x010f, "Tarrow"), ushort(0x0112, 6), long(0x014a, sub),
			long(0x0201, smallAt), long(0x0202, uint32(len(small))), long(0x8769, exif),
		}, extra...)
		out := append([]byte("II"+magic+"\x08\x00\x00\x00"), ifd(8, 0, first...)...)
		subAt := uint32(len(out))
		out = append(out, ifd(subAt, 0, long(0x00fe, 1), ushort(0x0103, 7), long(0x0111, largeAt), long(0x0117, uint32(len(large))))...)
		exifAt := uint32(len(out))
		out = append(out, ifd(exifAt, 0, goodExif...)...)
		if sub == 0 {
			at := uint32(len(out))
			return binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint32(nil, subAt), exifAt), at)
		}
		return append(append(out, small...), large...)
	}
	at := build(0, 0, 0, 0, 0)
	n := binary.LittleEndian.Uint32(at[8:])
	return build(binary.LittleEndian.Uint32(at), binary.LittleEndian.Uint32(at[4:]), n, n+uint32(len(small)), 0)
}

func boxed(kind string, body ...[]byte) []byte {
	all := bytes.Join(body, nil)
	return append(append(binary.BigEndian.AppendUint32(nil, uint32(8+len(all))), kind...), all...)
}

// rawCR3 is a raw picture made of boxes, with a preview box and a full JPEG as
// the first track.
func rawCR3(t testing.TB) []byte {
	full, small := jpegWith(t, picture(800, 400)), jpegWith(t, picture(160, 80))
	head := boxed("ftyp", []byte("crx \x00\x00\x00\x01crx isom"))
	build := func(at uint64) []byte {
		stbl := boxed("stbl",
			boxed("stsz", make([]byte, 4), binary.BigEndian.AppendUint32(nil, 0), binary.BigEndian.AppendUint32(nil, 1), binary.BigEndian.AppendUint32(nil, uint32(len(full)))),
			boxed("co64", make([]byte, 4), binary.BigEndian.AppendUint32(nil, 1), binary.BigEndian.AppendUint64(nil, at)))
		return boxed("moov",
			boxed("uuid", canonBox,
				boxed("CMT1", append([]byte("II*\x00\x08\x00\x00\x00"), ifd(8, 0, goodFirst...)...)),
				boxed("CMT2", append([]byte("II*\x00\x08\x00\x00\x00"), ifd(8, 0, goodExif...)...))),
			boxed("trak", boxed("mdia", boxed("minf", stbl))))
	}
	prvw := boxed("uuid", previewBox, make([]byte, 8), boxed("PRVW", make([]byte, 6), []byte{0, 1, 0, 160, 0, 80, 0, 1}, binary.BigEndian.AppendUint32(nil, uint32(len(small))), small))
	before := len(head) + len(build(0)) + len(prvw)
	return bytes.Join([][]byte{head, build(uint64(before + 8)), prvw, boxed("mdat", full)}, nil)
}

func rawRAF(t testing.TB) []byte {
	inside := jpegWith(t, picture(800, 400), exifSegment(block(goodFirst, goodExif)))
	head := append([]byte("FUJIFILMCCD-RAW 0201"), make([]byte, 64)...)
	head = binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(head, 148), uint32(len(inside)))
	return append(append(append(head, make([]byte, 56)...), inside...), make([]byte, 500)...)
}

// noisy are bytes that look like packed raw pixels; no JPEG begins in them.
func noisy(n int) []byte {
	out := make([]byte, n)
	for i, x := 0, uint32(1); i < n; i++ {
		x = x*1664525 + 1013904223
		out[i] = byte(x>>24) & 0x7f
	}
	return out
}

func TestRawPictures(t *testing.T) {
	large := jpegWith(t, picture(800, 400))
	hidden := append([]byte("IIRO\x08\x00\x00\x00"), ifd(8, 0, append([]field{ushort(0x0112, 6)}, ascii(0x010f, "Tarrow"), ascii(0x0132, "2026:03:14 19:32:05"))...)...)
	hidden = append(append(hidden, noisy(3<<20)...), large...)
	for name, data := range map[string][]byte{
		"a.dng": rawTIFF(t, "*\x00", field{0xc612, 1, 4, []byte{1, 4, 0, 0}}),
		"a.nef": rawTIFF(t, "*\x00"), "a.arw": rawTIFF(t, "*\x00"), "a.pef": rawTIFF(t, "*\x00"),
		"a.rw2": rawTIFF(t, "U\x00"), "a.orf": hidden, "a.cr3": rawCR3(t), "a.raf": rawRAF(t),
	} {
		path := write(t, name, data)
		f, err := Read(path)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		kind := strings.TrimPrefix(filepath.Ext(name), ".")
		if f.Kind != kind || !IsRaw(f.Kind) || Extension(f.Kind) != "."+kind {
			t.Errorf("%s: kind %s", name, f.Kind)
		}
		if f.Width != 400 || f.Height != 800 || f.Turn != 6 || f.Picture.By != reason.Preview {
			t.Errorf("%s: %d × %d, turn %d, %v: want the larger preview, upright", name, f.Width, f.Height, f.Turn, f.Picture)
		}
		want := Claim{"DateTimeOriginal", "2026:03:14 19:32:05", "025", "+01:00"}
		if got := find(f.Claims, want.Tag); kind != "orf" && got != want {
			t.Errorf("%s: claim %+v", name, got)
		}
		if f.Camera.Make != "Tarrow" {
			t.Errorf("%s: camera %+v", name, f.Camera)
		}
		img, err := Decode(path, DefaultLimits)
		if err != nil || img.Bounds().Dx() != 800 {
			t.Errorf("%s: decoded %v", name, err)
		}
		// Half of it is a file still being copied, not a picture.
		_, err = Read(write(t, name, data[:len(data)-len(data)/4]))
		var broken *BrokenError
		if !errors.As(err, &broken) && kind != "orf" {
			t.Errorf("%s cut: %v", name, err)
		}
	}
}

func TestRawWithoutPreviewIsKept(t *testing.T) {
	data := append([]byte("II*\x00\x08\x00\x00\x00"), ifd(8, 0, long(0xc612, 1), ushort(0x0112, 8), ascii(0x0132, "2026:03:14 19:32:05"))...)
	f, err := Read(write(t, "a.dng", append(data, noisy(4000)...)))
	if err != nil {
		t.Fatal(err)
	}
	if f.Width != 0 || f.Height != 0 || f.Picture.By != reason.NoPreview || find(f.Claims, "DateTime").Text == "" {
		t.Errorf("facts %+v", f)
	}
	var none *NoPictureError
	if _, err := Decode(write(t, "a.dng", data), DefaultLimits); !errors.As(err, &none) {
		t.Errorf("decoded: %v", err)
	}
}

// The date of a RAF stands in the JPEG inside, even if that cannot be shown.
func TestDateOfAPreviewThatCannotBeShown(t *testing.T) {
	data := rawRAF(t)
	frame := bytes.LastIndex(data, []byte{0xff, 0xc0})
	data[frame+1] = 0xc3 // lossless
	f, err := Read(write(t, "a.raf", data))
	if err != nil {
		t.Fatal(err)
	}
	if f.Picture.By != reason.NoPreview || find(f.Claims, "DateTimeOriginal").Text == "" {
		t.Errorf("%v, %+v", f.Picture, f.Claims)
	}
}

func TestRealRawHeads(t *testing.T) {
	dir := filepath.Join(moduleDir(t, "github.com/bep/imagemeta"), "testdata", "images")
	inside := jpegWith(t, picture(1000, 600))
	// The samples are the first part of real files: a picture is put where
	// their headers say the preview lies, and the rest is filled up.
	for name, c := range map[string]struct{ at, size int }{
		"sample.arw": {155683, 688128 + 8883620}, "sample.cr2": {18944, 1826816 + 11460721},
	} {
		head, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Skip(err)
		}
		whole := make([]byte, c.size)
		copy(whole, head)
		copy(whole[c.at:], inside)
		f, err := Read(write(t, name, whole))
		if err != nil || f.Width != 1000 || f.Height != 600 {
			t.Errorf("%s: %d × %d, %v", name, f.Width, f.Height, err)
		}
		var broken *BrokenError
		if _, err := Read(filepath.Join(dir, name)); !errors.As(err, &broken) || !broken.Cut {
			t.Errorf("%s as it is: %v, want a file that ends halfway", name, err)
		}
	}
}

func TestGIFShowsItsFirstFrame(t *testing.T) {
	pal := color.Palette{color.White, color.Black, color.NRGBA{255, 0, 0, 255}}
	one, two := image.NewPaletted(image.Rect(2, 2, 10, 8), pal), image.NewPaletted(image.Rect(0, 0, 20, 10), pal)
	for i := range one.Pix {
		one.Pix[i] = 2
	}
	for i := range two.Pix {
		two.Pix[i] = 1
	}
	var b bytes.Buffer
	if err := gif.EncodeAll(&b, &gif.GIF{Image: []*image.Paletted{one, two}, Delay: []int{1, 1}, Config: image.Config{Width: 20, Height: 10}}); err != nil {
		t.Fatal(err)
	}
	path := write(t, "a.gif", b.Bytes())
	f, err := Read(path)
	if err != nil || f.Kind != "gif" || f.Width != 20 || f.Height != 10 {
		t.Fatalf("%+v, %v", f, err)
	}
	img, err := Decode(path, DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	if r, g, _, _ := img.At(5, 5).RGBA(); r != 0xffff || g != 0 {
		t.Errorf("inside the first frame: %v", img.At(5, 5))
	}
	if _, _, _, a := img.At(15, 5).RGBA(); a != 0 {
		t.Errorf("outside it: %v", img.At(15, 5))
	}
}

// TestWebPColors compares lossy files with the pictures they were made from.
func TestWebPColors(t *testing.T) {
	dir := filepath.Join(moduleDir(t, "golang.org/x/image"), "testdata")
	for lossy, from := range map[string]string{
		"blue-purple-pink.lossy.webp": "blue-purple-pink.png", "yellow_rose.lossy.webp": "yellow_rose.png",
		"yellow_rose.lossy-with-alpha.webp": "yellow_rose.png", "blue-purple-pink.lossless.webp": "blue-purple-pink.png",
	} {
		got, err := Decode(filepath.Join(dir, lossy), DefaultLimits)
		if err != nil {
			t.Errorf("%s: %v", lossy, err)
			continue
		}
		want, err := Decode(filepath.Join(dir, from), DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		b := want.Bounds()
		if got.Bounds().Size() != b.Size() {
			t.Errorf("%s: %v", lossy, got.Bounds())
			continue
		}
		var sum [3]float64
		n := 0.0
		for y := b.Min.Y; y < b.Max.Y; y++ {
			for x := b.Min.X; x < b.Max.X; x++ {
				g, w := color.NRGBAModel.Convert(got.At(x-b.Min.X, y-b.Min.Y)).(color.NRGBA), color.NRGBAModel.Convert(want.At(x, y)).(color.NRGBA)
				if g.A < 255 || w.A < 255 {
					continue
				}
				n++
				sum[0] += float64(g.R) - float64(w.R)
				sum[1] += float64(g.G) - float64(w.G)
				sum[2] += float64(g.B) - float64(w.B)
			}
		}
		for i, s := range sum {
			if s/n > 2 || s/n < -2 {
				t.Errorf("%s: channel %d is off by %.1f on average", lossy, i, s/n)
			}
		}
	}
}

func TestRefusedByName(t *testing.T) {
	whole := jpegWith(t, picture(16, 8))
	at := bytes.Index(whole, []byte{0xff, 0xc0})
	change := func(offset int, b byte) []byte {
		out := bytes.Clone(whole)
		out[at+offset] = b
		return out
	}
	moving := append([]byte("RIFF\x1a\x00\x00\x00WEBPVP8X\x0a\x00\x00\x00\x02\x00\x00\x00"), 7, 0, 0, 7, 0, 0)
	for name, c := range map[string]struct {
		data []byte
		kind string
	}{
		"12 bits": {change(4, 12), "12-bit JPEG"}, "lossless": {change(1, 0xc3), "lossless JPEG"},
		"arithmetic": {change(1, 0xc9), "arithmetic-coded JPEG"}, "film": {moving, "animated WebP"},
	} {
		_, err := Read(write(t, "a.jpg", c.data))
		var un *UnsupportedError
		if !errors.As(err, &un) || un.Kind != c.kind {
			t.Errorf("%s: %v, want %s", name, err, c.kind)
		}
	}
}

// TestDeepPNG takes 16 bits a channel.
func TestDeepPNG(t *testing.T) {
	img := image.NewNRGBA64(image.Rect(0, 0, 8, 8))
	for i := range 64 {
		img.SetNRGBA64(i%8, i/8, color.NRGBA64{0x8080, 0x4040, 0xc0c0, 0xffff})
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	got, err := Decode(write(t, "a.png", b.Bytes()), DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	flat, err := plain(got)
	if err != nil {
		t.Fatal(err)
	}
	if c := flat.At(3, 3); c != (color.NRGBA{0x80, 0x40, 0xc0, 0xff}) {
		t.Errorf("%v", c)
	}
}

func TestBoxTurns(t *testing.T) {
	// Rotation against the clock, then a mirror; ISO/IEC 23008-12, 6.5.10 and
	// 6.5.12. Checked by turning a picture step by step.
	src := picture(6, 4)
	src.SetNRGBA(0, 0, color.NRGBA{1, 2, 3, 255})
	for rotate := range 4 {
		for mirror := range 3 {
			want := src
			for range rotate {
				want = Upright(want, 8)
			}
			switch mirror {
			case 1:
				want = Upright(want, 4)
			case 2:
				want = Upright(want, 2)
			}
			got := Upright(src, pictureBox{rotate: rotate, mirror: mirror}.turn())
			if got.Bounds() != want.Bounds() || !bytes.Equal(got.Pix, want.Pix) {
				t.Errorf("%d quarter turns, mirror %d: turn %d is wrong", rotate, mirror, pictureBox{rotate: rotate, mirror: mirror}.turn())
			}
		}
	}
}
