// Tests of the correction by the card's paper.

package card_test

import (
	"math"
	"testing"

	"rakelight/journal/say"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// Photos of one card under differently colored and strong light are brought to
// the same middle gray.
func TestCorrectionBringsLightsTogether(t *testing.T) {
	var middles [][3]float64
	for i, tint := range [][3]float64{{1, 1, 1}, {1, 0.8, 0.6}, {0.6, 0.75, 0.9}, {0.5, 0.5, 0.5}} {
		p := shot.Placed{Face: card.Face{Card: everyFace()[0].Card, Words: "Begin"}, Share: 0.3, X: 0.5, Y: 0.5, Turn: 0.2}
		img, err := shot.Shot{Width: 1200, Height: 900, Seed: 5, Cards: []shot.Placed{p}, Tint: tint, Noise: 1}.Draw()
		if err != nil {
			t.Fatal(err)
		}
		found := card.Find(card.PlaneOf(img))
		if len(found) != 1 {
			t.Fatalf("light %v: %d cards found", tint, len(found))
		}
		m, err := card.MeasureOf(found[0].Corners, found[0].Error)
		if err != nil {
			t.Fatal(err)
		}
		g, err := card.GrayOf(img, m)
		if err != nil {
			t.Fatal(err)
		}
		c := g.Correction()
		t.Logf("light %d: %s", i, c.Said(say.English()))
		var middle [3]float64
		for k, gain := range [3]float64{c.Red, c.Green, c.Blue} {
			middle[k] = gain * g.Steps[2][k]
		}
		middles = append(middles, middle)
		if i == 3 && math.Abs(c.Stops()) < 0.5 {
			t.Errorf("a photo in half the light is corrected by %.2f stops", c.Stops())
		}
	}
	for i := range middles {
		for k := range 3 {
			if d := math.Abs(middles[i][k] - middles[0][k]); d > 0.03 {
				t.Errorf("light %d: the middle gray's color %d is %.3f, under white light %.3f", i, k, middles[i][k], middles[0][k])
			}
		}
	}
}

func TestCorrectionRefusesWhatItCannotKnow(t *testing.T) {
	p := shot.Placed{Face: everyFace()[0], Share: 0.3, X: 0.5, Y: 0.5}
	s := shot.Shot{Width: 1200, Height: 900, Seed: 5, Cards: []shot.Placed{p}}
	m, err := card.MeasureOf(p.Corners(1200, 900), 0.1)
	if err != nil {
		t.Fatal(err)
	}
	s.Exposure = 1.6
	over, err := s.Draw()
	if err != nil {
		t.Fatal(err)
	}
	if g, err := card.GrayOf(over, m); err == nil {
		t.Errorf("overexposed paper was measured as %v", g)
	}
	s.Exposure = 1
	img, err := s.Draw()
	if err != nil {
		t.Fatal(err)
	}
	if g, err := card.GrayOf(img.SubImage(img.Rect.Inset(300)), m); err == nil {
		t.Errorf("steps outside of the picture were measured as %v", g)
	}
}

func everyFace() []card.Face { return card.SetOf(nil) }

// Every card of a set can be written, and no two say the same in other words.
func TestSetsAreWhole(t *testing.T) {
	seen := map[string]string{}
	for _, p := range everyFace() {
		text, err := p.Card.Text()
		if err != nil {
			t.Errorf("%s: %v", p.Words, err)
		}
		if seen[text] != "" {
			t.Errorf("%s says the same as %s", p.Words, seen[text])
		}
		seen[text] = p.Words
	}
	if _, err := card.Sheet("Bench cards", "K7QF", everyFace(), nil); err != nil {
		t.Error(err)
	}
}
