// Whether the errors that are stated are those that are made.

package card_test

import (
	"bytes"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// misread is how far a measured card is off, by what is stated.
type misread struct{ corner, scale float64 }

// measured draws a photo of a condition, its card at any turn and up to 45
// degrees of tilt, and measures it; ok is false where no card is read.
func measured(t *testing.T, c shot.Condition, k int, seed uint64, width int) (m misread, ok bool) {
	t.Helper()
	height := width * 3 / 4
	rng := rand.New(rand.NewPCG(seed, uint64(k)))
	s := c.Of(k, width, height, seed)
	s.Noise *= 0.5 + rng.Float64()
	p := &s.Cards[0]
	p.Turn, p.Tilt = rng.Float64()*2*math.Pi, rng.Float64()*math.Pi/4
	img, err := s.Draw()
	if err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, &jpeg.Options{Quality: 90}); err != nil {
		t.Fatal(err)
	}
	back, err := jpeg.Decode(&file)
	if err != nil {
		t.Fatal(err)
	}
	text, err := p.Face.Card.Text()
	if err != nil {
		t.Fatal(err)
	}
	found := card.Find(card.PlaneOf(back))
	i := slices.IndexFunc(found, func(f card.Found) bool { return f.Text == text })
	if i < 0 || found[i].Error == 0 {
		return misread{}, false
	}
	f, want := found[i], s.Corners(0)
	for i := range want {
		m.corner = max(m.corner, math.Hypot(f.Corners[i][0]-want[i][0], f.Corners[i][1]-want[i][1])/f.Error)
	}
	is, err := card.MeasureOf(f.Corners, f.Error)
	if err != nil {
		t.Fatal(err)
	}
	truth, err := card.MeasureOf(want, f.Error)
	if err != nil {
		t.Fatal(err)
	}
	m.scale = math.Abs(is.MMPerPixel-truth.MMPerPixel) / is.Error
	return m, true
}

// The worst of a card's four corners, and its scale, are within twice what is
// stated in at least 95 of 100 photos, whatever spoils them. And what is stated
// is no idle caution: in half of the photos the worst corner is off by more than
// a third of it. RAKELIGHT_CARD_ERRORS=n draws n photos of each condition,
// RAKELIGHT_CARD_SEED others.
func TestStatedError(t *testing.T) {
	t.Parallel()
	n, _ := strconv.Atoi(os.Getenv("RAKELIGHT_CARD_ERRORS"))
	n = max(n, 2)
	seed, _ := strconv.ParseUint(os.Getenv("RAKELIGHT_CARD_SEED"), 10, 64)
	var corners, scales []float64
	t.Logf("%-18s %5s  %13s %13s %13s", "condition", "cards", "corner: half", "19 of 20", "scale: 19 of 20")
	at := func(v []float64, share float64) float64 {
		slices.Sort(v)
		return v[min(len(v)-1, int(share*float64(len(v))))]
	}
	for i, c := range shot.Conditions {
		var some, scale []float64
		for k := range n {
			if m, ok := measured(t, c, k, 7000+100*uint64(i)+100000*seed, 1400); ok {
				some, scale = append(some, m.corner), append(scale, m.scale)
			}
		}
		if len(some) > 0 {
			t.Logf("%-18s %5d  %13.2f %13.2f %13.2f", c.Name, len(some), at(some, 0.5), at(some, 0.95), at(scale, 0.95))
		}
		corners, scales = append(corners, some...), append(scales, scale...)
	}
	within := func(v []float64) float64 {
		in := 0
		for _, x := range v {
			if x <= 2 {
				in++
			}
		}
		return float64(in) / float64(len(v))
	}
	t.Logf("%d cards measured of %d: the worst corner is off by %.2f of the stated error in half of them, by %.2f in 19 of 20; within twice: corners %.1f %%, scales %.1f %%",
		len(corners), n*len(shot.Conditions), at(corners, 0.5), at(corners, 0.95), 100*within(corners), 100*within(scales))
	if len(corners)*2 < n*len(shot.Conditions) {
		t.Errorf("fewer than half of the cards were measured")
	}
	if within(corners) < 0.95 || within(scales) < 0.95 {
		t.Errorf("more than one in twenty is off by more than twice what is stated")
	}
	if at(corners, 0.5) < 1./3 {
		t.Errorf("the stated error is three times what is made")
	}
}
