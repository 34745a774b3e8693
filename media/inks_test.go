// Pictures in four inks, against what another program makes of them.

package media

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"os"
	"testing"
)

// TestInks compares each channel of the shown colors with the other program's:
// 2 of 255 in the mean and 8 at most are the two decoders' roundings.
func TestInks(t *testing.T) {
	for name, transform := range map[string]byte{"ycck": 2, "cmyk": 0} {
		path := "testdata/inks/" + name + ".jpg"
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if at := bytes.Index(data, []byte("Adobe")); at < 0 || data[at+11] != transform {
			t.Fatalf("%s is not what it should be", path)
		}
		facts, err := Read(path)
		if err != nil || facts.Width != 32 || facts.Height != 24 {
			t.Fatalf("%s: %+v, %v", path, facts, err)
		}
		img, err := Decode(path, DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		flat, err := plain(img)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := flat.(*image.NRGBA)
		if !ok {
			t.Fatalf("%s is a %T", path, flat)
		}
		f, err := os.Open("testdata/inks/" + name + ".png")
		if err != nil {
			t.Fatal(err)
		}
		want, err := png.Decode(f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		sum, most := 0.0, 0.0
		for y := range 24 {
			for x := range 32 {
				r, g, b, _ := want.At(x, y).RGBA()
				c := got.NRGBAAt(x, y)
				for _, d := range []float64{float64(r>>8) - float64(c.R), float64(g>>8) - float64(c.G), float64(b>>8) - float64(c.B)} {
					sum, most = sum+math.Abs(d), max(most, math.Abs(d))
				}
			}
		}
		if mean := sum / (24 * 32 * 3); mean > 2 || most > 8 {
			t.Errorf("%s: the colors differ by %.2f in the mean, %.0f at most", name, mean, most)
		} else {
			t.Logf("%s: %.2f in the mean, %.0f at most", name, mean, most)
		}
	}
}
