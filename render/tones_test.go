package render

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Each mean color has a class, each class a rule, and no rule is far from the colors it
// stands for.
func TestTones(t *testing.T) {
	rule := regexp.MustCompile(`\.(tone-\d{3}) \{ background: #(..)(..)(..)(; color: #fff)? \}`)
	rules := map[string]color.RGBA{}
	for _, m := range rule.FindAllSubmatch(toneRules(), -1) {
		var c color.RGBA
		if _, err := fmt.Sscanf(fmt.Sprintf("%s %s %s", m[2], m[3], m[4]), "%x %x %x", &c.R, &c.G, &c.B); err != nil {
			t.Fatal(err)
		}
		rules[string(m[1])] = c
		ink := 0.0
		if len(m[5]) > 0 {
			ink = 1
		}
		if got := contrast(luminance(c), ink); got < 4.5 { // WCAG 2.2, 1.4.3
			t.Errorf("%s: words on it have a contrast of %.1f", m[0], got)
		}
	}
	if len(rules) != brightSteps*tintSteps*tintSteps {
		t.Fatalf("%d rules", len(rules))
	}
	for y := range 256 {
		for _, cb := range []uint8{0, 91, 92, 115, 116, 128, 139, 140, 163, 255} {
			for _, cr := range []uint8{0, 91, 92, 115, 116, 128, 139, 140, 163, 255} {
				tone := toneOf(color.YCbCr{Y: uint8(y), Cb: cb, Cr: cr})
				if _, ok := rules[tone]; !ok {
					t.Fatalf("%d %d %d: %s has no rule", y, cb, cr, tone)
				}
			}
		}
		// A gray stays a gray, half a step off at most.
		got := rules[toneOf(color.YCbCr{Y: uint8(y), Cb: 128, Cr: 128})]
		if got.R != got.G || got.G != got.B || max(int(got.R)-y, y-int(got.R)) > 128/brightSteps {
			t.Errorf("the gray %d has the tone %v", y, got)
		}
	}
}

// luminance and contrast are those of WCAG 2.2.
func luminance(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

func contrast(a, b float64) float64 { return (max(a, b) + 0.05) / (min(a, b) + 0.05) }

// A page shows the tones of its pictures; they are kept, and without what was kept they
// come out the same.
func TestTonesOnPages(t *testing.T) {
	j := onDisk(t)
	blue := image.NewRGBA(image.Rect(0, 0, 640, 480))
	for i := range blue.Pix {
		blue.Pix[i] = []byte{40, 60, 120, 255}[i%4]
	}
	f, err := os.Create(filepath.Join(j.Dir, filepath.FromSlash(j.State.Photos[1].Path)))
	if err == nil {
		err = jpeg.Encode(f, blue, nil)
	}
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	write := func() string {
		t.Helper()
		if _, err := Write(t.Context(), j, Options{}); err != nil {
			t.Fatal(err)
		}
		var all bytes.Buffer
		for _, name := range []string{"index.html", "to-sort.html", "builds/" + j.State.Builds[0].ID + ".html"} {
			data, err := os.ReadFile(j.Path("pages/" + name))
			if err != nil {
				t.Fatal(err)
			}
			all.Write(data)
		}
		return all.String()
	}
	first := write()
	for _, tone := range []string{"tone-011", toneOf(color.YCbCr{Y: 61, Cb: 161, Cr: 113})} { // T.871 of 40, 60, 120
		if !strings.Contains(first, `<img class="`+tone+`" `) {
			t.Errorf("no picture has %s", tone)
		}
	}
	if strings.Count(first, "<img ") != strings.Count(first, `<img class="tone-`) {
		t.Error("a picture has no tone")
	}
	kept, err := os.ReadFile(j.Path(tonesFile))
	if err != nil {
		t.Fatal(err)
	}
	for _, damage := range [][]byte{nil, []byte("{"), kept} {
		if err := os.WriteFile(j.Path(tonesFile), damage, 0o644); err != nil {
			t.Fatal(err)
		}
		if write() != first {
			t.Errorf("with %.20q kept, the pages came out another way", damage)
		}
	}
	// A kept tone is not worked out again.
	other := bytes.Replace(kept, []byte("tone-011"), []byte("tone-722"), 1)
	if err := os.WriteFile(j.Path(tonesFile), other, 0o644); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(write(), "tone-722") {
		t.Error("a kept tone was not used")
	}
}
