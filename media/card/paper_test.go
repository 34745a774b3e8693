// Whether a photo of a whole sheet tells how large it was printed.

package card_test

import (
	"image"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"rakelight/journal"
	"rakelight/media/card"
	"rakelight/media/card/shot"
)

// bent is the picture through a lens that bends straight lines: by a share at the
// corners, outward if it is positive.
func bent(img image.Image, by float64) *image.Gray {
	p := card.PlaneOf(img)
	out := image.NewGray(image.Rect(0, 0, p.Width, p.Height))
	w, h := float64(p.Width), float64(p.Height)
	for y := range p.Height {
		for x := range p.Width {
			u, v := float64(x)+0.5-w/2, float64(y)+0.5-h/2
			grown := 1 - by*(u*u+v*v)/(w*w+h*h)*4
			sx, sy := u*grown+w/2-0.5, v*grown+h/2-0.5
			i, k := int(math.Floor(sx)), int(math.Floor(sy))
			if i < 0 || k < 0 || i+1 >= p.Width || k+1 >= p.Height {
				continue
			}
			fx, fy := sx-float64(i), sy-float64(k)
			at := func(x, y int) float64 { return float64(p.Pix[y*p.Stride+x]) }
			out.Pix[y*out.Stride+x] = uint8((at(i, k)*(1-fx)+at(i+1, k)*fx)*(1-fy) + (at(i, k+1)*(1-fx)+at(i+1, k+1)*fx)*fy + 0.5)
		}
	}
	return out
}

// wholeSheet draws a photo of a sheet on its paper, printed at any size a printer
// makes of it, up to 12 degrees aslant.
func wholeSheet(t *testing.T, rng *rand.Rand, bench string, kind card.PaperKind) (image.Image, float64) {
	t.Helper()
	set := card.SetOf(nil)[:6]
	for i := range set {
		set[i].Card.Sheet = "K7QF"
	}
	printed := min(0.9+0.12*rng.Float64(), (kind.Width-6)/190)
	p := &shot.Page{Faces: set, Width: kind.Width, Height: kind.Height, Printed: printed, Words: true,
		Left: (kind.Width-190*printed)/2 + 2*(rng.Float64()-0.5), Top: 10*printed + 3*rng.Float64(),
		Share: 0.72 + 0.1*rng.Float64(), Turn: 0.1 * (rng.Float64() - 0.5), Tilt: 12 * deg * rng.Float64(), TiltAxis: 6 * rng.Float64()}
	img, err := shot.Shot{Width: 1200, Height: 1600, Seed: rng.Uint64(), Bench: bench, Noise: 3, Defocus: 1, Uneven: 0.4 * rng.Float64(), Page: p}.Draw()
	if err != nil {
		t.Fatal(err)
	}
	return img, printed
}

// The paper tells the size of the print within what is stated, also through a
// lens that bends by a hundredth at the corners; on a bench as bright as paper it
// tells nothing. RAKELIGHT_CARD_PAPERS=n draws n sheets of each.
func TestPaperOf(t *testing.T) {
	t.Parallel()
	n, _ := strconv.Atoi(os.Getenv("RAKELIGHT_CARD_PAPERS"))
	n = max(n, 2)
	for _, c := range []struct {
		bench string
		bent  float64
		tells bool
	}{{"wood", 0, true}, {"cutting mat", 0, true}, {"wood", 0.01, true}, {"cutting mat", -0.01, true}, {"printed paper", 0, false}} {
		rng := rand.New(rand.NewPCG(11, 3))
		told, off, worst, stated := 0, 0.0, 0.0, 0.0
		whys := map[string]int{}
		for k := range n {
			kind := card.Papers[k%2]
			img, printed := wholeSheet(t, rng, c.bench, kind)
			if c.bent != 0 {
				img = bent(img, c.bent)
			}
			got, err := card.PaperOf(img, kind)
			if err != nil {
				whys[err.Error()]++
				continue
			}
			told++
			if got.Sheet != "K7QF" {
				t.Errorf("it is sheet %q", got.Sheet)
			}
			off, stated = max(off, math.Abs(got.Printed/printed-1)), max(stated, got.Error/got.Printed)
			worst = max(worst, math.Abs(got.Printed-printed)/got.Error)
		}
		t.Logf("%s, bent by %v: %d of %d told, off by at most %.2f %%, which is %.2f of what is stated (at most %.2f %%); %v", c.bench, c.bent, told, n, 100*off, worst, 100*stated, whys)
		if c.tells && told < n*3/4 || !c.tells && told > 0 || worst > 2 {
			t.Errorf("%s, bent by %v: %d of %d told, off by %.2f of what is stated", c.bench, c.bent, told, n, worst)
		}
	}
}

// Another paper than the person says, a cut one, cards without a mark and cards
// that were cut out tell nothing.
func TestNoPaper(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	letter, _ := wholeSheet(t, rng, "cutting mat", card.Papers[1])
	cut, _ := wholeSheet(t, rng, "cutting mat", card.PaperKind{Name: "A4 less a strip", Width: 210, Height: 285})
	loose, err := shot.Shot{Width: 1200, Height: 900, Seed: 3, Bench: "wood", Noise: 2, Cards: []shot.Placed{
		{Face: faceOf(journal.Card{Says: journal.EndCard, Sheet: "K7QF"}), Share: 0.3, X: 0.2, Y: 0.3},
		{Face: faceOf(journal.Card{Says: journal.CountCard, Count: 5, Sheet: "K7QF"}), Share: 0.3, X: 0.7, Y: 0.3},
		{Face: faceOf(journal.Card{Says: journal.CountCard, Count: 10, Sheet: "K7QF"}), Share: 0.3, X: 0.2, Y: 0.75},
	}}.Draw()
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		img  image.Image
		want string
	}{
		"Letter":      {letter, "and A4 is 1.41 times: it is another, or was cut"},
		"a cut A4":    {cut, "and A4 is 1.41 times: it is another, or was cut"},
		"loose cards": {loose, "do not stand as they were printed"},
		"no card":     {image.NewGray(image.Rect(0, 0, 300, 400)), "it takes three cards or more of one sheet"},
	} {
		if got, err := card.PaperOf(c.img, card.Papers[0]); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %+v, %v; want %q", name, got, err, c.want)
		}
	}
	if k, err := card.PaperNamed("a4"); err != nil || k.Width != 210 {
		t.Errorf("%+v, %v", k, err)
	}
	if _, err := card.PaperNamed("A5"); err == nil || !strings.Contains(err.Error(), "A4, Letter") {
		t.Error(err)
	}
}
