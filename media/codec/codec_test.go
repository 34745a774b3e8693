// Decoding small pictures of the decoders' own samples, damage, and limits.

package codec

import (
	"bytes"
	"errors"
	"image"
	"os"
	"testing"
	"time"
)

func sample(t testing.TB, file string) []byte {
	t.Helper()
	data, err := os.ReadFile("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestAVIF(t *testing.T) {
	for _, file := range []string{"test8.avif", "test10.avif"} {
		data := sample(t, file)
		img, err := Decode("avif", data, For(512*512))
		if err != nil {
			t.Fatal(err)
		}
		if img.Bounds() != image.Rect(0, 0, 512, 512) {
			t.Errorf("%s: bounds %v", file, img.Bounds())
		}
		if _, err := Decode("avif", data, For(512*512-1)); !errors.Is(err, ErrTooBig) {
			t.Errorf("%s: a picture larger than allowed: %v", file, err)
		}
		if _, err := Decode("avif", data, Limits{Pixels: 512 * 512, Memory: 2 << 20}); err == nil {
			t.Errorf("%s: 2 MB were enough", file)
		}
		for _, bad := range [][]byte{nil, data[:10], data[:len(data)/8], bytes.Repeat([]byte{0}, 4000)} {
			if img, err := Decode("avif", bad, For(512*512)); err == nil {
				t.Errorf("%d bytes became %v", len(bad), img.Bounds())
			}
		}
	}
	if _, err := Decode("tiff", nil, For(1)); err == nil {
		t.Error("a kind without decoder was decoded")
	}
}

// TestTenBitsAreAsBrightAsEight: both samples show the same picture.
func TestTenBitsAreAsBrightAsEight(t *testing.T) {
	mean := func(file string) float64 {
		img, err := Decode("avif", sample(t, file), For(512*512))
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for y := 0; y < 512; y += 8 {
			for x := 0; x < 512; x += 8 {
				r, g, b, _ := img.At(x, y).RGBA()
				sum += float64(r + g + b)
			}
		}
		return sum / (3 * 64 * 64 * 65535)
	}
	if a, b := mean("test8.avif"), mean("test10.avif"); a < 0.1 || a-b > 0.01 || b-a > 0.01 {
		t.Errorf("mean brightness %.3f of 8 bits, %.3f of 10", a, b)
	}
}

func TestArenaKeepsItsLimit(t *testing.T) {
	var used uint64
	a := &arena{limit: 1000, size: &used}
	b := a.Reallocate(400)
	b[399] = 7
	if b = a.Reallocate(900); len(b) != 900 || b[399] != 7 {
		t.Errorf("grown: %d bytes, %d", len(b), b[399])
	}
	if a.Reallocate(1001) != nil || used != 900 {
		t.Errorf("used %d", used)
	}
}

// TestLimits: a large picture of a telephone passes, an absurd one is refused
// before any memory is asked for.
func TestLimits(t *testing.T) {
	const phone, claimed = 24_500_000, 120_000_000
	if l := For(phone); l.Expected("heic", 8<<20) > l.Memory || l.Memory > MaxMemory || l.Budget() < time.Minute {
		t.Errorf("24 megapixels: %+v, %v", l, l.Budget())
	}
	if l := (Limits{Pixels: phone, Memory: For(phone).Memory, Deep: true}); l.Expected("heic", 12<<20) > l.Memory {
		t.Errorf("24 megapixels of 10 bits: %d bytes", l.Expected("heic", 0))
	}
	data := sample(t, "test8.avif")
	if _, err := Decode("avif", data, For(claimed)); !errors.Is(err, ErrMemory) {
		t.Errorf("120 megapixels: %v", err)
	}
}
