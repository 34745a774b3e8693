// Tests of laying a photo on the plane of another: known places come to lie
// where they should, light becomes what the paper says, files hold no more than
// pixels.

package media

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/disintegration/imaging"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
	"rakelight/media/scene"
)

// view is one drawn photo of a bench card, on disk.
type view struct {
	path   string
	placed shot.Placed
	w, h   int
}

func drawView(t *testing.T, name string, w, h int, p shot.Placed, tint [3]float64) view {
	t.Helper()
	p.Face = card.Face{Card: journal.Card{Says: journal.CountCard, Count: 5}, Words: "5 parts"}
	img, err := shot.Shot{Width: w, Height: h, Seed: 5, Cards: []shot.Placed{p}, Tint: tint, Noise: 1.5}.Draw()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), name+".jpg")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := scene.WriteJPEG(f, img, scene.Exif{Make: "Tarrow", Model: "T-24", Serial: "0042817"}); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return view{path, p, w, h}
}

// found reads the card back from a picture on disk.
func found(t *testing.T, path string) (card.Found, card.Measure) {
	t.Helper()
	img, err := Decode(path, DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	all := card.Find(card.PlaneOf(img))
	if len(all) != 1 {
		t.Fatalf("%s: %d cards", path, len(all))
	}
	m, err := card.MeasureOf(all[0].Corners, all[0].Error)
	if err != nil {
		t.Fatal(err)
	}
	return all[0], m
}

// One card seen from two sides, near and far, tilted and turned, under two
// lights: laid over each other by what is found in the photos alone, the symbol
// lies within a pixel, places up to a card's width beside it within four, and
// the light is the same.
func TestLaidViewsMeet(t *testing.T) {
	const deg = math.Pi / 180
	keep := shot.Placed{Share: 0.30, X: 0.5, Y: 0.5, Turn: 0.05, Tilt: 5 * deg, TiltAxis: 0.3}
	for i, other := range []shot.Placed{
		{Share: 0.30, X: 0.48, Y: 0.52},
		{Share: 0.20, X: 0.42, Y: 0.55, Turn: -0.25, Tilt: 15 * deg, TiltAxis: 1.2},
		{Share: 0.40, X: 0.55, Y: 0.45, Turn: 0.4, Tilt: 30 * deg, TiltAxis: 2.1},
		{Share: 0.30, X: 0.45, Y: 0.5, Turn: 1.5, Tilt: 40 * deg, TiltAxis: -0.7},
	} {
		a := drawView(t, "keep", 1600, 1200, keep, [3]float64{1, 0.85, 0.7})
		b := drawView(t, "other", 2000, 1500, other, [3]float64{0.6, 0.7, 0.75})
		_, ma := found(t, a.path)
		_, mb := found(t, b.path)
		to := ma.Plane.Inverse().Then(mb.Plane)

		// Where the truth says that places of the bench lie.
		onA, onB := a.placed.Plane(a.w, a.h), b.placed.Plane(b.w, b.h)
		near, far := 0.0, 0.0
		for x := -100.0; x <= 200; x += 20 {
			for y := -80.0; y <= 160; y += 20 {
				u, v := to.At(onA(x, y))
				wantU, wantV := onB(x, y)
				d := math.Hypot(u-wantU, v-wantV)
				if far = max(far, d); x >= 0 && x <= card.Width && y >= 0 && y <= card.Height {
					near = max(near, d)
				}
			}
		}
		t.Logf("view %d: off by up to %.2f px on the card, %.2f px a card's width around it", i, near, far)
		if near > 1 || far > 4 {
			t.Errorf("view %d: off by %.2f px on the card, %.2f px around it", i, near, far)
		}

		gb, err := GrayOf(b.path, cornersFound(t, b.path), 0.1)
		if err != nil {
			t.Fatal(err)
		}
		out := filepath.Join(t.TempDir(), "laid.jpg")
		laid := Laid{From: to, Gain: gb.Correction(), Width: a.w, Height: a.h}
		sizes, err := laid.Write(b.path, 1, func(int) string { return out }, []int{1600})
		if err != nil || sizes[0].Width != 1600 || sizes[0].Height != 1200 {
			t.Fatalf("%v, %v", sizes, err)
		}
		one, m := found(t, out)
		for k, c := range a.placed.Corners(a.w, a.h) {
			if d := math.Hypot(one.Corners[k][0]-c[0], one.Corners[k][1]-c[1]); d > 1 {
				t.Errorf("view %d: corner %d of the laid card is %.2f px off", i, k, d)
			}
		}
		if d := m.MMPerPixel/ma.MMPerPixel - 1; math.Abs(d) > 0.01 {
			t.Errorf("view %d: the scale of the laid picture is %.2f %% off", i, 100*d)
		}
		// The paper is paper, and neutral.
		img, err := Decode(out, DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		g, err := card.GrayOf(img, m)
		if err != nil {
			t.Fatal(err)
		}
		for c := range 3 {
			if math.Abs(g.Steps[0][c]-0.80) > 0.025 {
				t.Errorf("view %d: color %d of the paper is %.3f after correction", i, c, g.Steps[0][c])
			}
		}
	}
}

func cornersFound(t *testing.T, path string) [4][2]float64 {
	one, _ := found(t, path)
	return one.Corners
}

// A picture of the finished lorry and the same turned, shrunk and stored in any
// orientation are the same again once laid by what is known of them.
func TestLaidTurnedPicture(t *testing.T) {
	drawn := scene.Draw(scene.Shot{Model: "lorry", Kind: "top-coat", Step: 1, Skill: 1, View: "left", Light: "diffuse", Width: 800, Height: 600, Seed: 3})
	small := imaging.Resize(drawn, 500, 375, imaging.Lanczos)
	dir := t.TempDir()
	for turn := 1; turn <= 8; turn++ {
		// As a camera held that way stores it.
		back := map[int]int{6: 8, 8: 6}[turn]
		if back == 0 {
			back = turn
		}
		path := filepath.Join(dir, fmt.Sprintf("turned-%d.jpg", turn))
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := jpeg.Encode(f, Upright(small, back), &jpeg.Options{Quality: 95}); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		// The middle 400 × 300 of the large picture.
		s := 500.0 / 800
		laid := Laid{From: card.Homography{s, 0, 200 * s, 0, s, 150 * s, 0, 0, 1}, Width: 400, Height: 300}
		out := filepath.Join(dir, fmt.Sprintf("laid-%d.jpg", turn))
		if _, err := laid.Write(path, turn, func(int) string { return out }, []int{480}); err != nil {
			t.Fatal(err)
		}
		got, err := Decode(out, DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		sum, n := 0.0, 0
		for y := range 300 {
			for x := range 400 {
				want := color.NRGBAModel.Convert(drawn.At(200+x, 150+y)).(color.NRGBA)
				have := color.NRGBAModel.Convert(got.At(x, y)).(color.NRGBA)
				sum, n = sum+math.Abs(float64(want.G)-float64(have.G)), n+1
			}
		}
		if mean := sum / float64(n); mean > 4 {
			t.Errorf("turn %d: pixels differ by %.1f of 255 on average", turn, mean)
		}
	}
}

// Nothing is made lighter, darker or sharper: what is even stays even, and an
// edge of a photo shrunk many times keeps the light of the whole.
func TestLaidKeepsLight(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 1200, 900))
	for i := range img.Pix {
		img.Pix[i] = uint8(255 * (i % 2)) // lines of one pixel
	}
	path := filepath.Join(t.TempDir(), "lines.png")
	if err := imaging.Save(img, path); err != nil {
		t.Fatal(err)
	}
	for _, shrunk := range []float64{2, 3.3, 4.7} {
		w, h := int(1000/shrunk), int(800/shrunk)
		out := filepath.Join(t.TempDir(), "out.jpg")
		laid := Laid{From: card.Homography{shrunk, 0, 50, 0, shrunk, 50, 0, 0, 1}, Width: w, Height: h}
		if _, err := laid.Write(path, 1, func(int) string { return out }, []int{w}); err != nil {
			t.Fatal(err)
		}
		got, err := Decode(out, DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for y := range h {
			for x := range w {
				sum += decodeSRGB(float64(color.GrayModel.Convert(got.At(x, y)).(color.Gray).Y) / 255)
			}
		}
		if mean := sum / float64(w*h); math.Abs(mean-0.5) > 0.015 {
			t.Errorf("shrunk %.1f times half the light is %.3f", shrunk, mean)
		}
	}
	white := Laid{From: card.Homography{1, 0, 0, 0, 1, 0, 0, 0, 0}, Width: 10, Height: 10}
	if _, err := white.Write(path, 1, func(int) string { return path + ".jpg" }, []int{480}); err == nil {
		t.Error("a plane seen edge on was laid")
	}
	if _, err := os.Stat(path + ".jpg"); err == nil {
		t.Error("and a file was written")
	}
}

// Places outside of the photo are the ground, where one is given, and repeat its edge
// where none is; the light of the photo is not on the ground.
func TestLaidGround(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "plain.png")
	writePlain(t, path, 64, 48, color.RGBA{200, 100, 50, 255})
	// The photo lies in the middle of twice its width.
	l := Laid{From: card.Homography{1, 0, -32, 0, 1, 0, 0, 0, 1}, Width: 128, Height: 48, Gain: card.Correction{Red: 0.5, Green: 0.5, Blue: 0.5}}
	for _, ground := range []color.RGBA{{}, {23, 17, 11, 255}} {
		l.Ground = ground
		img, err := l.Picture(path, 1)
		if err != nil {
			t.Fatal(err)
		}
		inside, outside := img.RGBAAt(64, 24), img.RGBAAt(10, 24)
		if ground.A == 0 && outside != inside || ground.A != 0 && outside != ground {
			t.Errorf("ground %v: %v outside, %v inside", ground, outside, inside)
		}
		if inside.R >= 190 || inside.R < 130 {
			t.Errorf("the light of the photo is %v", inside)
		}
	}
}

func writePlain(t *testing.T, path string, w, h int, c color.RGBA) {
	t.Helper()
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(img, img.Bounds(), image.NewUniform(c), image.Point{}, draw.Src)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(png.Encode(f, img), f.Close()); err != nil {
		t.Fatal(err)
	}
}

// What lies straight is the same seen by rows as by spots, in each of 65,535 steps but for
// how sums are rounded, also where a part of it lies outside.
func TestLaidStraight(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	random := func(w, h int) *light {
		l := &light{w, h, make([]uint16, 3*w*h)}
		for i := range l.pix {
			l.pix[i] = uint16(rng.Uint32())
		}
		return l
	}
	for _, c := range []struct {
		w, h, toW, toH, spots int
		mirrored              bool
		margin                float64 // on each side, in pixels of this one
	}{{1, 1, 5, 4, 1, false, 0}, {3, 2, 40, 30, 1, false, 0}, {16, 12, 84, 63, 1, true, 0}, {60, 45, 40, 30, 2, false, 0},
		{90, 61, 31, 40, 3, true, 0}, {7, 300, 5, 90, 4, false, 0}, {49, 36, 84, 63, 1, false, 3}, {60, 45, 40, 30, 2, true, 7.3}} {
		for _, ground := range []color.RGBA{{}, {R: 200, G: 30, B: 255, A: 255}} {
			l := random(c.w, c.h)
			x, y := (float64(c.w)+2*c.margin)/float64(c.toW), (float64(c.h)+2*c.margin)/float64(c.toH)
			s := seen{card.Homography{x, 0, -c.margin, 0, y, -c.margin, 0, 0, 1}, card.Correction{Red: 1, Green: 0.9, Blue: 1.1},
				ground, c.spots, c.toW, c.toH}
			if c.mirrored {
				s.to = card.Homography{-x, 0, float64(c.w) + c.margin, 0, -y, float64(c.h) + c.margin, 0, 0, 1}
			}
			got, want, chosen := l.throughStraight(s), l.throughAny(s), l.through(s)
			for i, v := range want.pix {
				if d := int(v) - int(got.pix[i]); d < -1 || d > 1 || chosen.pix[i] != got.pix[i] {
					t.Fatalf("%+v: value %d is %d by rows, %d by spots, %d as chosen", c, i, got.pix[i], v, chosen.pix[i])
				}
			}
		}
	}
}

func BenchmarkLaidStraight(b *testing.B) {
	l := &light{1600, 1200, make([]uint16, 3*1600*1200)}
	s := seen{card.Homography{1600.0 / 840, 0, 0, 0, 1200.0 / 630, 0, 0, 0, 1}, card.Correction{Red: 1, Green: 1, Blue: 1},
		color.RGBA{}, 2, 840, 630}
	for name, way := range map[string]func(seen) *light{"rows": l.throughStraight, "spots": l.throughAny} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				way(s)
			}
		})
	}
}
