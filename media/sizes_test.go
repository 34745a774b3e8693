// Sizes and turns.

package media

import (
	"bufio"
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rakelight/journal/disk"
)

// The standard's display operations as matrices: shown (x, y) = (a·x + b·y,
// c·x + d·y) of stored (x, y), then shifted to 0. Source: JEITA CP-3451,
// Orientation, p. 18.
var turns = map[int][4]int{
	1: {1, 0, 0, 1}, 2: {-1, 0, 0, 1}, 3: {-1, 0, 0, -1}, 4: {1, 0, 0, -1},
	5: {0, 1, 1, 0}, 6: {0, -1, 1, 0}, 7: {0, -1, -1, 0}, 8: {0, 1, -1, 0},
}

func TestUpright(t *testing.T) {
	src := image.NewNRGBA(image.Rect(0, 0, 2, 3))
	for i := range 6 {
		src.SetNRGBA(i%2, i/2, color.NRGBA{uint8(40 * i), 0, 0, 255})
	}
	for turn, m := range turns {
		got := Upright(src, turn)
		shift := func(a, b int) int { return -min(0, a*1) - min(0, b*2) }
		dx, dy := shift(m[0], m[1]), shift(m[2], m[3])
		for y := range 3 {
			for x := range 2 {
				sx, sy := m[0]*x+m[1]*y+dx, m[2]*x+m[3]*y+dy
				if got.NRGBAAt(sx, sy) != src.NRGBAAt(x, y) {
					t.Errorf("turn %d: stored %d,%d is not shown at %d,%d", turn, x, y, sx, sy)
				}
			}
		}
	}
}

func TestSizes(t *testing.T) {
	for turn := 1; turn <= 8; turn++ {
		exif := exifSegment(block([]field{ascii(0x010f, "Tarrow"), ushort(0x0112, uint16(turn))}, goodExif))
		src := write(t, "a.jpg", jpegWith(t, picture(200, 100), exif))
		before, err := os.ReadFile(src)
		if err != nil {
			t.Fatal(err)
		}
		dir := t.TempDir()
		dst := func(w int) string { return filepath.Join(dir, "x", fmt.Sprint(w)+".jpg") }
		sizes, err := Sizes(src, turn, dst, []int{24, 48, 1600})
		if err != nil {
			t.Fatal(err)
		}
		full := 200
		if turn >= 5 {
			full = 100
		}
		for i, want := range []int{24, 48, full} {
			s := sizes[i]
			f, err := os.ReadFile(s.Path)
			if err != nil {
				t.Fatal(err)
			}
			img, err := jpeg.Decode(bytes.NewReader(f))
			if err != nil {
				t.Fatal(err)
			}
			b := img.Bounds()
			if b.Dx() != want || s.Width != want || b.Dy() != s.Height {
				t.Errorf("turn %d: %+v is %v, want width %d", turn, s, b, want)
			}
			if bytes.Contains(f, []byte("Exif")) || bytes.Contains(f, []byte("77-1")) {
				t.Errorf("turn %d: metadata was published", turn)
			}
			// The bright corner of the stored picture is shown where the
			// standard says.
			m := turns[turn]
			corner := func(a, b int) float64 {
				if a+b < 0 {
					return 0.9
				}
				return 0.1
			}
			x, y := int(corner(m[0], m[1])*float64(b.Dx())), int(corner(m[2], m[3])*float64(b.Dy()))
			if r, g, _, _ := img.At(x, y).RGBA(); r < 0xb000 || g < 0xb000 {
				t.Errorf("turn %d: at %d,%d is %x %x", turn, x, y, r, g)
			}
		}
		if after, err := os.ReadFile(src); err != nil || !bytes.Equal(before, after) {
			t.Error("the original was changed")
		}
		left, err := os.ReadDir(filepath.Join(dir, "x"))
		if err != nil || len(left) != 3 {
			t.Errorf("files left: %v, %v", left, err)
		}
	}
}

// TestOtherColors takes pictures that are neither RGB nor opaque.
func TestOtherColors(t *testing.T) {
	clear := image.NewNRGBA(image.Rect(0, 0, 30, 30)) // wholly transparent: white
	gray := image.NewGray(image.Rect(0, 0, 30, 30))
	for i := range gray.Pix {
		gray.Pix[i] = 255
	}
	deep := image.NewNRGBA64(image.Rect(0, 0, 30, 30))
	palette := image.NewPaletted(image.Rect(0, 0, 30, 30), color.Palette{color.White, color.Black})
	for name, img := range map[string]image.Image{"alpha": clear, "gray": gray, "deep alpha": deep, "palette": palette} {
		var b bytes.Buffer
		if err := png.Encode(&b, img); err != nil {
			t.Fatal(err)
		}
		sizes, err := Sizes(write(t, "a.png", b.Bytes()), 1, func(int) string { return filepath.Join(t.TempDir(), "o.jpg") }, []int{10})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		f, err := os.Open(sizes[0].Path)
		if err != nil {
			t.Fatal(err)
		}
		got, err := jpeg.Decode(bufio.NewReader(f))
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		if r, g, bl, _ := got.At(5, 5).RGBA(); min(r, g, bl) < 0xfa00 {
			t.Errorf("%s: %x %x %x, want white", name, r, g, bl)
		}
	}
	if _, err := plain(brokenPalette()); err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("a color past the palette: %v", err)
	}
	cmyk := image.NewCMYK(image.Rect(0, 0, 4, 4))
	out, err := plain(cmyk)
	if err != nil {
		t.Fatal(err)
	}
	if got := lightOf(out, 1, nil).resize(2, 2).stored().NRGBAAt(0, 0); got != (color.NRGBA{255, 255, 255, 255}) {
		t.Errorf("no ink is %v, want white", got)
	}
}

func brokenPalette() image.Image {
	img := image.NewPaletted(image.Rect(0, 0, 4, 4), color.Palette{color.White})
	img.Pix[3] = 9
	return img
}

// renames counts what comes to its name.
type renames struct {
	disk.System
	to map[string]int
}

func (d *renames) Rename(from, to string) error {
	d.to[filepath.Base(to)]++
	return d.System.Rename(from, to)
}

// TestOneFileOncePerPicture is what a photo narrower than a page is wide needs: two
// widths it has no pixels for, and one file.
func TestOneFileOncePerPicture(t *testing.T) {
	dir := t.TempDir()
	counted := &renames{to: map[string]int{}}
	defer disk.Mount(dir, counted)()
	src := write(t, "a.jpg", jpegWith(t, picture(200, 100), nil))
	dst := func(w int) string { return filepath.Join(dir, fmt.Sprint(min(w, 300))+".jpg") }
	sizes, err := Sizes(src, 1, dst, []int{50, 200, 300, 1600})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]int{"50.jpg": 1, "200.jpg": 1, "300.jpg": 1}
	if !maps.Equal(counted.to, want) {
		t.Errorf("written: %v, want %v", counted.to, want)
	}
	if sizes[2] != sizes[3] || sizes[3].Width != 200 || sizes[1].Path == sizes[2].Path {
		t.Errorf("sizes %+v", sizes)
	}
}

// TestWholeAsStored is the way of a picture no wider than a page: what a JPEG holds
// of brightness is not worked out anew, and two equal widths below it stay so wide.
func TestWholeAsStored(t *testing.T) {
	src := write(t, "a.jpg", jpegWith(t, picture(200, 100), nil))
	dir := t.TempDir()
	dst := func(w int) string { return filepath.Join(dir, fmt.Sprint(w)+".jpg") }
	sizes, err := Sizes(src, 1, dst, []int{400, 48, 48})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []int{200, 48, 48} {
		if got := decodedFile(t, sizes[i].Path).Bounds().Dx(); got != want || sizes[i].Width != want {
			t.Errorf("size %d is %d wide, and said to be %d; want %d", i, got, sizes[i].Width, want)
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, decodedFile(t, src), &jpeg.Options{Quality: quality}); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(sizes[0].Path); err != nil || !bytes.Equal(got, b.Bytes()) {
		t.Errorf("the whole picture is not what was decoded, written again (%v)", err)
	}
}

func decodedFile(t *testing.T, path string) image.Image {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := jpeg.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}
