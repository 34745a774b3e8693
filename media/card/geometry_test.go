// Tests of the geometry against published values, and of corners, scale and
// tilt against drawn photos.

package card_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// reference reads a table of testdata/reference: first column → the column.
func reference(t *testing.T, name string, column int) map[string]float64 {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]float64{}
	for _, row := range rows[1:] {
		if out[row[0]], err = strconv.ParseFloat(row[column], 64); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func TestHomographyPublished(t *testing.T) {
	want := reference(t, "14_homography.csv", 1)
	from := [4][2]float64{{56, 65}, {368, 52}, {28, 387}, {389, 390}}
	to := [4][2]float64{{0, 0}, {300, 0}, {0, 300}, {300, 300}}
	h, err := card.HomographyOf(from, to)
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"h11", "h12", "h13", "h21", "h22", "h23", "h31", "h32", "h33"} {
		if math.Abs(h[i]-want[name]) > 1e-12*max(1, math.Abs(want[name])) {
			t.Errorf("%s is %v, published %v", name, h[i], want[name])
		}
	}
	back := h.Inverse()
	for i := range from {
		x, y := back.At(to[i][0], to[i][1])
		if math.Hypot(x-from[i][0], y-from[i][1]) > 1e-9 {
			t.Errorf("there and back again is %v, %v, not %v", x, y, from[i])
		}
		if x, y = h.Then(back).At(from[i][0], from[i][1]); math.Hypot(x-from[i][0], y-from[i][1]) > 1e-9 {
			t.Errorf("one after the other is %v, %v, not %v", x, y, from[i])
		}
	}
	if _, err := card.HomographyOf([4][2]float64{{0, 0}, {1, 1}, {2, 2}, {0, 1}}, to); err == nil {
		t.Error("three points on a line fixed a plane")
	}
	if _, err := card.HomographyOf(from, [4][2]float64{{math.NaN(), 0}, {300, 0}, {0, 300}, {300, 300}}); err == nil {
		t.Error("a point that is no number fixed a plane")
	}
}

// A card drawn at a known place is measured: corners within a tenth of a
// module, scale within two percent at up to 30 degrees of tilt, and a length
// elsewhere on the card within one.
func TestScaleOfDrawnCards(t *testing.T) {
	const w, h = 2000, 1500
	t.Logf("%5s %6s  %9s %9s %9s %8s", "tilt", "share", "corner px", "stated px", "scale %", "tilt off")
	for i, tilt := range []float64{0, 10, 20, 30, 45} {
		for k, share := range []float64{0.12, 0.2, 0.33} {
			s := shot.Conditions[0].Of(1, w, h, uint64(10*i+k))
			c := &s.Cards[0]
			c.Share, c.Tilt, c.X, c.Y = share, tilt*math.Pi/180, 0.47, 0.52
			c.TiltAxis, c.Turn = float64(i+3*k), float64(k)*0.4
			img, err := s.Draw()
			if err != nil {
				t.Fatal(err)
			}
			found := card.Find(card.PlaneOf(img))
			if len(found) != 1 {
				t.Errorf("tilt %v°, share %v: %d cards found", tilt, share, len(found))
				continue
			}
			f := found[0]
			worst := 0.0
			for i, want := range c.Corners(w, h) {
				worst = max(worst, math.Hypot(f.Corners[i][0]-want[0], f.Corners[i][1]-want[1]))
			}
			m, err := card.MeasureOf(f.Corners, f.Error)
			if err != nil {
				t.Fatal(err)
			}
			want := c.MMPerPixel(w, h, card.SymbolX+card.SymbolSide/2, card.SymbolY+card.SymbolSide/2)
			off := 100 * (m.MMPerPixel/want - 1)
			t.Logf("%4.0f° %5.0f%%  %9.2f %9.2f %+9.2f %+8.1f", tilt, 100*share, worst, f.Error, off, m.Tilt-tilt)
			if module := share * w / card.Width * card.Module; worst > module/10 {
				t.Errorf("a corner is %.2f px off, %.2f of a module", worst, worst/module)
			}
			if tilt <= 30 && math.Abs(off) > 2 {
				t.Errorf("tilt %v°, share %v: the scale is %.2f %% off", tilt, share, off)
			}
			if f.Error == 0 || worst > 3*f.Error {
				t.Errorf("tilt %v°, share %v: a corner is %.2f px off, stated %.2f", tilt, share, worst, f.Error)
			}
			// The length of the printed scale, measured from the symbol's corners.
			back := m.Plane.Inverse()
			truth := c.Plane(w, h)
			x0, y0 := back.At(truth(card.ScaleX, card.ScaleY))
			x1, y1 := back.At(truth(card.ScaleX+card.ScaleLength, card.ScaleY))
			if length := math.Hypot(x1-x0, y1-y0); math.Abs(length-card.ScaleLength) > 0.01*card.ScaleLength {
				t.Errorf("tilt %v°, share %v: the scale of %v mm measures %.2f", tilt, share, card.ScaleLength, length)
			}
		}
	}
}
