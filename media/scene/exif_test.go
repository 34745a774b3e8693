// Tests that an independent reader finds what WriteJPEG wrote, and that turned
// pictures come upright again.

package scene

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/rwcarlsen/goexif/exif"
)

var evening = Exif{
	Make: "Tarrow", Model: "T-24", Serial: "0042817", At: time.Date(2026, 3, 14, 19, 32, 5, 0, time.UTC),
	Offset: "+01:00", SubSec: "137", Lat: -12.5, Lon: 8.25, HasGPS: true,
}

func written(t *testing.T, img image.Image, e Exif) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WriteJPEG(&b, img, e); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestExifReadBack(t *testing.T) {
	b := written(t, image.NewRGBA(image.Rect(0, 0, 32, 24)), evening)
	x, err := exif.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[exif.FieldName]string{
		exif.Make: "Tarrow", exif.Model: "T-24",
		exif.DateTime: "2026:03:14 19:32:05", exif.DateTimeOriginal: "2026:03:14 19:32:05", exif.DateTimeDigitized: "2026:03:14 19:32:05",
		exif.SubSecTimeOriginal: "137",
	} {
		tag, err := x.Get(name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got, _ := tag.StringVal(); got != want {
			t.Errorf("%s is %q, want %q", name, got, want)
		}
	}
	if tag, err := x.Get(exif.Orientation); err != nil {
		t.Error(err)
	} else if o, _ := tag.Int(0); o != 1 {
		t.Errorf("orientation is %d, want 1", o)
	}
	lat, lon, err := x.LatLong()
	if err != nil || math.Abs(lat+12.5) > 1e-6 || math.Abs(lon-8.25) > 1e-6 {
		t.Errorf("place is %v, %v (%v), want -12.5, 8.25", lat, lon, err)
	}
	// That reader predates these two tags: look for the entries themselves,
	// tag, type ASCII, count with the closing zero.
	for name, entry := range map[string]string{
		"OffsetTimeOriginal": "\x90\x11\x00\x02\x00\x00\x00\x07", "BodySerialNumber": "\xa4\x31\x00\x02\x00\x00\x00\x08",
	} {
		if bytes.Count(b, []byte(entry)) != 1 {
			t.Errorf("%s is not in the file once", name)
		}
	}
	if !bytes.Contains(b, []byte("+01:00\x00")) || !bytes.Contains(b, []byte("0042817\x00")) {
		t.Error("offset or serial number is missing")
	}
}

func TestAbsentTagsStayAbsent(t *testing.T) {
	b := written(t, image.NewRGBA(image.Rect(0, 0, 8, 8)), Exif{Make: "Tarrow"})
	x, err := exif.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []exif.FieldName{exif.DateTime, exif.DateTimeOriginal, exif.Model, exif.SubSecTimeOriginal, exif.GPSLatitude} {
		if _, err := x.Get(name); err == nil {
			t.Errorf("%s was written without being asked for", name)
		}
	}
	if bytes.Contains(b, []byte("\x90\x11\x00\x02")) {
		t.Error("an offset was written without being asked for")
	}
}

// applied applies an orientation as the published table words it: which side
// of the picture the stored row 0 and column 0 are.
func applied(img image.Image, o int) image.Image {
	sides := map[int][2]string{
		1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"},
		5: {"left", "top"}, 6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"},
	}[o]
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	if sides[0] == "left" || sides[0] == "right" {
		w, h = h, w
	}
	dst := image.NewRGBA(image.Rect(0, 0, w, h))
	for r := range b.Dy() {
		for c := range b.Dx() {
			var x, y int
			for i, n := range []int{r, c} {
				switch sides[i] {
				case "top":
					y = n
				case "bottom":
					y = h - 1 - n
				case "left":
					x = n
				case "right":
					x = w - 1 - n
				}
			}
			dst.Set(x, y, img.At(c, r))
		}
	}
	return dst
}

func TestOrientationRoundTrip(t *testing.T) {
	// Four corners of different brightness, blocks of 16 so that JPEG keeps them.
	img := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for y := range 48 {
		for x := range 64 {
			v := uint8(20)
			if x >= 32 {
				v += 70
			}
			if y >= 16 {
				v += 130
			}
			img.Set(x, y, color.RGBA{v, v, v, 255})
		}
	}
	for o := 1; o <= 8; o++ {
		e := evening
		e.Orientation = o
		b := written(t, img, e)
		x, err := exif.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		tag, err := x.Get(exif.Orientation)
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := tag.Int(0); got != o {
			t.Errorf("orientation %d is stored as %d", o, got)
		}
		stored, err := jpeg.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		got := applied(stored, o)
		if got.Bounds() != img.Bounds() {
			t.Errorf("orientation %d: upright size %v, want %v", o, got.Bounds(), img.Bounds())
			continue
		}
		for y := range 48 {
			for x := range 64 {
				a, _, _, _ := got.At(x, y).RGBA()
				w, _, _, _ := img.At(x, y).RGBA()
				if d := int(a>>8) - int(w>>8); d > 12 || d < -12 {
					t.Fatalf("orientation %d: pixel %d,%d is %d, want %d", o, x, y, a>>8, w>>8)
				}
			}
		}
	}
}

// A picture that is no RGBA, or does not begin at 0,0, is stored all the same.
func TestOtherPictures(t *testing.T) {
	g := image.NewGray(image.Rect(5, 7, 25, 19))
	for i := range g.Pix {
		g.Pix[i] = 200
	}
	sub := image.NewRGBA(image.Rect(0, 0, 40, 40)).SubImage(image.Rect(10, 10, 30, 22))
	for _, img := range []image.Image{g, sub} {
		stored, err := jpeg.Decode(bytes.NewReader(written(t, img, Exif{Orientation: 6})))
		if err != nil {
			t.Fatal(err)
		}
		if s := stored.Bounds().Size(); s != image.Pt(12, 20) {
			t.Errorf("stored size is %v, want 12×20", s)
		}
	}
}

type full struct{ room int }

var errFull = errors.New("disk full")

func (f *full) Write(p []byte) (int, error) {
	if len(p) > f.room {
		return 0, errFull
	}
	f.room -= len(p)
	return len(p), nil
}

func TestWriteJPEGErrors(t *testing.T) {
	img := image.NewRGBA(image.Rect(0, 0, 8, 8))
	for _, o := range []int{-1, 9} {
		var b bytes.Buffer
		if err := WriteJPEG(&b, img, Exif{Orientation: o}); err == nil || b.Len() != 0 {
			t.Errorf("orientation %d: error %v, %d bytes written", o, err, b.Len())
		}
	}
	var b bytes.Buffer
	if err := WriteJPEG(&b, img, Exif{Make: strings.Repeat("x", 70000)}); err == nil || b.Len() != 0 {
		t.Errorf("endless make: error %v, %d bytes written", err, b.Len())
	}
	if err := WriteJPEG(&full{room: 50}, img, evening); !errors.Is(err, errFull) {
		t.Errorf("a full disk gives %v", err)
	}
}
