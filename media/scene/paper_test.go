// Tests that a card drawn beside the work is one that can be read and measured by.

package scene_test

import (
	"bytes"
	"image/jpeg"
	"math"
	"testing"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/scene"
)

// TestCardBeside holds that a bench card lying beside the work is read, and that
// the plane its symbol tells puts the card's lower edge into the picture.
func TestCardBeside(t *testing.T) {
	p := card.Face{Card: journal.Card{Says: journal.RoleCard, Word: "after"}, Words: "After"}
	text, err := p.Card.Text()
	if err != nil {
		t.Fatal(err)
	}
	print, err := p.Raster(8)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		model, kind, light string
		width              float64
	}{
		{"pilot-boat", "cut", "diffuse", 0.6},
		{"pilot-boat", "seam", "raking", 0.36},
		{"lightship", "clean", "raking", 0.5},
	} {
		t.Run(c.model+" "+c.kind, func(t *testing.T) {
			shot := scene.Shot{Model: c.model, Kind: c.kind, Light: c.light, Step: 1, Skill: 0.8, Seed: 5, Width: 1120, Height: 840}
			shot.Beside = scene.Paper{Image: print, Width: c.width}
			var b bytes.Buffer
			if err := scene.WriteJPEG(&b, scene.Draw(shot), scene.Exif{}); err != nil {
				t.Fatal(err)
			}
			img, err := jpeg.Decode(&b)
			if err != nil {
				t.Fatal(err)
			}
			found := card.Find(card.PlaneOf(img))
			if len(found) != 1 || found[0].Text != text {
				t.Fatalf("found %v; want the card %s alone", found, text)
			}
			m, err := card.MeasureOf(found[0].Corners, found[0].Error)
			if err != nil {
				t.Fatal(err)
			}
			x0, y0 := m.Plane.At(0, card.Height)
			x1, y1 := m.Plane.At(card.Width, card.Height)
			share := math.Hypot(x1-x0, y1-y0) / 1120
			if share < 0.12 || share > 0.4 || x0 < 0 || y0 > 840 {
				t.Errorf("the card's lower edge runs from %.0f, %.0f to %.0f, %.0f: not wholly in the picture, or of a strange size", x0, y0, x1, y1)
			}
		})
	}
}
