// Tests of what is found where cards lie beside others, are covered in part, or
// are bent.

package card_test

import (
	"math"
	"slices"
	"testing"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// textsOf are the texts of the cards found in a photo.
func textsOf(t *testing.T, s shot.Shot) (texts []string, found []card.Found) {
	t.Helper()
	img, err := s.Draw()
	if err != nil {
		t.Fatal(err)
	}
	found = card.Find(card.PlaneOf(img))
	for _, f := range found {
		texts = append(texts, f.Text)
	}
	return texts, found
}

func textOf(t *testing.T, p shot.Placed) string {
	t.Helper()
	text, err := p.Face.Card.Text()
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// A small card beside a large one is read with it, whatever they say, and so is
// one among other people's squares.
func TestSmallCardBesideALargeOne(t *testing.T) {
	t.Parallel()
	large := shot.Placed{Face: card.Face{Card: journal.Card{Says: journal.CountCard, Count: 10}, Words: "10 done"}, Share: 0.55, X: 0.32, Y: 0.5, Turn: 0.1}
	small := shot.Placed{Face: card.Face{Card: journal.Card{Says: journal.EndCard}, Words: "End"}, Share: 0.07, X: 0.85, Y: 0.4, Turn: -0.4}
	for _, squares := range []int{0, 6} {
		s := shot.Shot{Width: 2400, Height: 1800, Seed: 4, Noise: 3, Cards: []shot.Placed{large, small}, Squares: squares}
		texts, _ := textsOf(t, s)
		if want := []string{textOf(t, large), textOf(t, small)}; !slices.Equal(texts, want) {
			t.Errorf("%d squares beside: read %q, want %q", squares, texts, want)
		}
	}
}

// A finger may lie over any one of the corner marks.
func TestCoveredMark(t *testing.T) {
	t.Parallel()
	for _, corner := range []int{1, 2, 4} {
		for turn := range 3 {
			p := shot.Placed{Face: everyFace()[2], Share: 0.25, X: 0.5, Y: 0.5, Turn: 2 * float64(turn), Tilt: 0.15, TiltAxis: float64(corner)}
			s := shot.Shot{Width: 2000, Height: 1500, Seed: 6, Noise: 3, Cards: []shot.Placed{p}, Finger: corner}
			texts, found := textsOf(t, s)
			if !slices.Equal(texts, []string{textOf(t, p)}) {
				t.Errorf("corner %d covered, turn %d: read %q", corner, turn, texts)
				continue
			}
			if off := worstCorner(found[0], s.Corners(0)); off > 3*found[0].Error {
				t.Errorf("corner %d covered, turn %d: off by %.2f pixels, stated %.2f", corner, turn, off, found[0].Error)
			}
		}
	}
}

// The corners of curled cards are found where they are, and what is stated of
// them is no less than how far the card is from flat allows.
func TestCurledCardsAreNotMeasuredAsFlat(t *testing.T) {
	t.Parallel()
	for i, curl := range []float64{0.8, -1} {
		p := shot.Placed{Face: everyFace()[1], Share: 0.4, X: 0.45, Y: 0.5, Turn: float64(i), Curl: curl, CurlTo: 0.4 * float64(i)}
		s := shot.Shot{Width: 1000, Height: 750, Seed: 7, Noise: 3, Defocus: 1, Cards: []shot.Placed{p}}
		texts, found := textsOf(t, s)
		if !slices.Equal(texts, []string{textOf(t, p)}) {
			t.Errorf("curl %v: read %q", curl, texts)
			continue
		}
		off, stated := worstCorner(found[0], s.Corners(0)), found[0].Error
		t.Logf("curl %+.1f: corners off by %.2f pixels, stated %.2f", curl, off, stated)
		if off > 0.3 {
			t.Errorf("curl %v: a corner is off by %.2f pixels", curl, off)
		}
		if stated < 0.5 {
			t.Errorf("curl %v: %.2f pixels are stated of a card that is no plane", curl, stated)
		}
	}
}

func worstCorner(f card.Found, want [4][2]float64) (off float64) {
	for i, c := range want {
		off = max(off, math.Hypot(f.Corners[i][0]-c[0], f.Corners[i][1]-c[1]))
	}
	return off
}
