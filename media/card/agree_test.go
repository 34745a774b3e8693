// Whether cards that disagree are told, and those that agree are not.

package card_test

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

const agreeWidth, agreeHeight = 1600, 1200

func faceOf(c journal.Card) card.Face { return card.Face{Card: c, Words: c.String()} }

// photographed draws the cards and reads them back as a photo's record keeps
// them.
func photographed(t *testing.T, seed uint64, cards ...shot.Placed) *journal.Photo {
	t.Helper()
	img, err := shot.Shot{Width: agreeWidth, Height: agreeHeight, Seed: seed, Noise: 2, Defocus: 1, Cards: cards}.Draw()
	if err != nil {
		t.Fatal(err)
	}
	p := &journal.Photo{Width: agreeWidth, Height: agreeHeight, Instant: journal.Instant{At: time.Date(2026, 3, 14, 20, 0, 0, 0, time.UTC)}}
	for _, f := range card.Find(card.PlaneOf(img)) {
		one := journal.CardSeen{Text: f.Text, Error: f.Error}
		for i, c := range f.Corners {
			one.Corners[2*i], one.Corners[2*i+1] = c[0], c[1]
		}
		p.Cards = append(p.Cards, one)
	}
	return p
}

// twoCards is a card anywhere in the left half of a photo, tilted, and another
// in the right half, in its plane.
func twoCards(rng *rand.Rand, printed float64) (a, b shot.Placed) {
	a = shot.Placed{Face: faceOf(journal.Card{Says: journal.CountCard, Count: 5, Sheet: "K7QF"}), Share: 0.22 + 0.06*rng.Float64(),
		X: 0.22 + 0.1*rng.Float64(), Y: 0.3 + 0.4*rng.Float64(), Turn: rng.Float64() * 6, Tilt: rng.Float64() * 35 * deg, TiltAxis: rng.Float64() * 6}
	b = a.InPlane(0.68+0.1*rng.Float64(), 0.3+0.4*rng.Float64(), rng.Float64()*6, printed, agreeWidth, agreeHeight)
	b.Face = faceOf(journal.Card{Says: journal.EndCard, Sheet: "M2AB"})
	return a, b
}

const deg = math.Pi / 180

// Of drawn photos with two cards in one plane, none is told where both were
// printed alike, also if each tilts against the bench by a degree, and nearly all
// where one came out at 95 %, by as much and the right way round.
// RAKELIGHT_CARD_PAIRS=n draws n of each.
func TestCardsApart(t *testing.T) {
	t.Parallel()
	n, _ := strconv.Atoi(os.Getenv("RAKELIGHT_CARD_PAIRS"))
	n = max(n, 5)
	plain := &journal.State{Zone: time.UTC}
	for _, c := range []struct{ printed, lifted, least float64 }{{1, 0, 0}, {1, 1, 0}, {0.97, 0, 0}, {0.95, 0, 0.9}, {1 / 0.95, 0, 0.9}, {0.95, 1, 0.3}} {
		printed := c.printed
		rng := rand.New(rand.NewPCG(19, 4))
		read, told, off := 0, 0, 0.0
		for k := range n {
			a, b := twoCards(rng, printed)
			a.Tilt, b.Tilt = a.Tilt+c.lifted*deg*rng.NormFloat64(), b.Tilt+c.lifted*deg*rng.NormFloat64()
			p := photographed(t, uint64(k), a, b)
			if len(p.Cards) != 2 {
				continue
			}
			read++
			apart := card.CardsApart(plain, p)
			if apart == nil {
				continue
			}
			told++
			off = max(off, math.Abs(apart.Percent()-100*math.Abs(math.Exp(math.Abs(math.Log(printed)))-1)))
			if names, smaller := apart.String(), printed < 1; strings.Contains(names, "“5 done” of sheet K7QF is") != smaller {
				t.Errorf("printed at %.2f: %s", printed, names)
			}
		}
		t.Logf("one of two printed at %.0f %%, lifted by %v°: %d of %d photos told (both cards read in %d); the number off by at most %.2f %%", 100*printed, c.lifted, told, n, read, off)
		if read < n*3/4 {
			t.Fatalf("both cards were read in %d of %d photos only", read, n)
		}
		if printed == 1 && told > 0 || float64(told) < c.least*float64(read) || c.lifted == 0 && off > 0.8 {
			t.Errorf("printed at %.2f: %d of %d told, off by %.2f %%", printed, told, read, off)
		}
	}
}

// A lens that bends straight lines by a hundredth at the corners of the picture
// makes no two cards disagree.
func TestCardsThroughALens(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 6))
	plain := &journal.State{Zone: time.UTC}
	for _, bent := range []float64{-0.01, 0.01, -0.02, 0.02} {
		told := 0
		const n = 200
		for range n {
			a, b := twoCards(rng, 1)
			p := &journal.Photo{Width: agreeWidth, Height: agreeHeight}
			for _, placed := range []shot.Placed{a, b} {
				one := journal.CardSeen{Error: 0.15}
				for k, c := range placed.Corners(agreeWidth, agreeHeight) {
					u, v := c[0]-agreeWidth/2, c[1]-agreeHeight/2
					grown := 1 + bent*(u*u+v*v)/(agreeWidth*agreeWidth+agreeHeight*agreeHeight)*4
					one.Corners[2*k], one.Corners[2*k+1] = agreeWidth/2+u*grown, agreeHeight/2+v*grown
				}
				p.Cards = append(p.Cards, one)
			}
			if card.CardsApart(plain, p) != nil {
				told++
			}
		}
		t.Logf("a lens that bends by %.0f %% at the corners: %d of %d told", 100*bent, told, n)
		if math.Abs(bent) <= 0.01 && told > 0 {
			t.Errorf("bent by %v: %d of %d told", bent, told, n)
		}
	}
}

// What was measured of the sheets settles it: sizes that are known to differ do
// not disagree, and one that was measured wrong does.
func TestCardsApartMeasured(t *testing.T) {
	a, b := twoCards(rand.New(rand.NewPCG(3, 3)), 0.95)
	p := photographed(t, 3, a, b)
	if len(p.Cards) != 2 {
		t.Fatal(len(p.Cards))
	}
	for name, c := range map[string]struct {
		sheets []journal.SheetSize
		told   bool
	}{
		"nothing measured": {nil, true},
		"the smaller one":  {[]journal.SheetSize{{Sheet: "M2AB", Measured: 47.5, Record: "bench-1/1"}}, false},
		"both, wrong":      {[]journal.SheetSize{{Sheet: "M2AB", Measured: 50, Record: "bench-1/1"}, {Sheet: "K7QF", Measured: 50, Record: "bench-1/2"}}, true},
		"both, right":      {[]journal.SheetSize{{Sheet: "M2AB", Measured: 38, Record: "bench-1/1"}, {Sheet: "K7QF", Measured: 40, Record: "bench-1/2"}}, false},
	} {
		if apart := card.CardsApart(&journal.State{Zone: time.UTC, Sheets: c.sheets}, p); (apart != nil) != c.told {
			t.Errorf("%s: %v", name, apart)
		}
	}
}

// Cards that lie in two planes tell nothing of their sizes.
func TestCardsInTwoPlanes(t *testing.T) {
	plain := &journal.State{Zone: time.UTC}
	rng := rand.New(rand.NewPCG(8, 1))
	looked := 0
	for k := range 6 {
		a, b := twoCards(rng, 0.9)
		a.Tilt, a.TiltAxis = 0, 0
		b.Tilt, b.TiltAxis = 35*deg, float64(k)
		p := photographed(t, uint64(k), a, b)
		if len(p.Cards) != 2 {
			continue
		}
		looked++
		if apart := card.CardsApart(plain, p); apart != nil {
			t.Errorf("%d: %s", k, apart)
		}
	}
	if looked < 3 {
		t.Errorf("only %d photos were looked at", looked)
	}
}

// Cards that lean each its own way, by up to 10 degrees, are told as different
// sizes in one of a hundred photos at most: each is held against the plane of the
// other, and what both do not agree on counts as error.
func TestCardsThatLean(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	plain := &journal.State{Zone: time.UTC}
	told := 0
	const n = 2000
	for range n {
		p := &journal.Photo{Width: agreeWidth, Height: agreeHeight}
		for i, x := range []float64{0.3, 0.7} {
			placed := shot.Placed{Share: 0.2, X: x, Y: 0.5, Tilt: 10 * deg * rng.Float64(), TiltAxis: 6 * rng.Float64()}
			one := journal.CardSeen{Error: 0.12, Text: []string{"RL1E---------TKR", "RL1N-----0005ZL4"}[i]}
			for k, c := range placed.Corners(agreeWidth, agreeHeight) {
				one.Corners[2*k], one.Corners[2*k+1] = c[0]+0.1*rng.NormFloat64(), c[1]+0.1*rng.NormFloat64()
			}
			p.Cards = append(p.Cards, one)
		}
		if card.CardsApart(plain, p) != nil {
			told++
		}
	}
	t.Logf("%d of %d told", told, n)
	if told > n/100 {
		t.Errorf("%d of %d photos are told whose cards only lean", told, n)
	}
}

// Spots pointed at in two photos tell that one card was printed smaller, and not
// when the hand was a little off.
func TestSpotsApart(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	spots := [][2]float64{{-60, 20}, {130, 30}, {40, 110}}
	for _, printed := range []float64{1, 0.95} {
		told := 0
		const n = 20
		for range n {
			var photos [2]*journal.Photo
			pairs := make([]journal.PointPair, len(spots))
			for i := range photos {
				size := [2]float64{1, printed}[i]
				place := shot.Placed{Share: 0.2 * size, X: 0.5, Y: 0.5, Turn: 0.3 * rng.Float64(), Tilt: 20 * deg * rng.Float64(), TiltAxis: 6 * rng.Float64()}
				photos[i] = &journal.Photo{Width: agreeWidth, Height: agreeHeight}
				one := journal.CardSeen{Error: 0.15}
				for k, c := range place.Corners(agreeWidth, agreeHeight) {
					one.Corners[2*k], one.Corners[2*k+1] = c[0]+0.1*rng.NormFloat64(), c[1]+0.1*rng.NormFloat64()
				}
				photos[i].Cards = []journal.CardSeen{one}
				for k, s := range spots {
					// In millimeters of paper; the card's own are smaller.
					x, y := place.Plane(agreeWidth, agreeHeight)(s[0]/size, s[1]/size)
					pairs[k][2*i] = (x + 2*rng.NormFloat64()) / agreeWidth
					pairs[k][2*i+1] = (y + 2*rng.NormFloat64()) / agreeHeight
				}
			}
			apart := card.PointsApart(&journal.State{Zone: time.UTC}, photos[0], photos[1], pairs)
			if apart == nil {
				continue
			}
			told++
			if math.Abs(apart.Percent()-5.26) > 1.5 || !strings.Contains(apart.String(), "by the spots pointed at in both") {
				t.Errorf("printed at %v: %s", printed, apart)
			}
		}
		t.Logf("printed at %.0f %%: %d of %d pairs told", 100*printed, told, n)
		if printed == 1 && told > 0 || printed < 1 && told < n*3/4 {
			t.Errorf("printed at %v: %d of %d told", printed, told, n)
		}
	}
}

// A measured sheet corrects the millimeters, widens their error to that of the
// ruler, and takes the condition away.
func TestRulerMeasured(t *testing.T) {
	place := shot.Placed{Share: 0.3, X: 0.5, Y: 0.5}
	one := journal.CardSeen{Error: 0.1}
	text, err := journal.Card{Says: journal.EndCard, Sheet: "K7QF"}.Text()
	if err != nil {
		t.Fatal(err)
	}
	one.Text = text
	for k, c := range place.Corners(agreeWidth, agreeHeight) {
		one.Corners[2*k], one.Corners[2*k+1] = c[0], c[1]
	}
	p := &journal.Photo{Width: agreeWidth, Height: agreeHeight, Cards: []journal.CardSeen{one}}
	full := card.Best(&journal.State{Zone: time.UTC}, p)
	made := card.Best(&journal.State{Zone: time.UTC, Sheets: []journal.SheetSize{{Sheet: "K7QF", Measured: 47.5, Record: "bench-1/1"}}}, p)
	if words := full.Words(1); !strings.HasSuffix(words, "± 0.1 % if printed at 100 %") {
		t.Errorf("unmeasured: %q", words)
	}
	// 0.25 mm of 47.5 is 0.53 %.
	if words := made.Words(1); !strings.HasSuffix(words, "± 0.6 %") {
		t.Errorf("measured: %q", words)
	}
	if r := made.MMPerPixel / full.MMPerPixel; math.Abs(r-0.95) > 1e-9 {
		t.Errorf("millimeters are %.4f times what they were, want 0.95", r)
	}
	// The plane is in millimeters of paper: the symbol's 40 are 38.
	back := made.Plane.Inverse()
	x0, y0 := back.At(made.Corners[0][0], made.Corners[0][1])
	x1, y1 := back.At(made.Corners[1][0], made.Corners[1][1])
	if side := math.Hypot(x1-x0, y1-y0); math.Abs(side-0.95*card.SymbolSide) > 0.01 {
		t.Errorf("the symbol measures %.2f mm", side)
	}
}
