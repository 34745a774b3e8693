// HEIC: samples, damage, a picture larger than allowed.

//go:build !noheic

package codec

import (
	"errors"
	"image"
	"testing"
)

func TestHEIC(t *testing.T) {
	for file, want := range map[string]image.Point{"test8.heic": {512, 512}, "test12.heic": {512, 512}, "gray.heic": {512, 512}} {
		data := sample(t, file)
		img, err := Decode("heic", data, For(want.X*want.Y))
		if err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		if img.Bounds().Size() != want {
			t.Errorf("%s: %v", file, img.Bounds())
		}
		if _, err := Decode("heic", data, For(want.X*want.Y-1)); !errors.Is(err, ErrTooBig) {
			t.Errorf("%s: larger than allowed: %v", file, err)
		}
		if _, err := Decode("heic", data[:len(data)/2], For(want.X*want.Y)); !errors.Is(err, ErrDamaged) {
			t.Errorf("%s: half of it: %v", file, err)
		}
	}
}
