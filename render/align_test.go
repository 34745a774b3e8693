// How pairs are laid over each other, what is said of it, and when they are not.

package render

import (
	"context"
	"errors"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/media/card"
	"rakelight/media/card/shot"
	"rakelight/media/scene"
)

const laidPage = "compare/clean-pilot-boat-lightship.html"

// seenAt is a card where a drawn photo shows it, w by h pixels.
func seenAt(p shot.Placed, w, h int) journal.CardSeen {
	one := journal.CardSeen{Text: "RKL", Error: 0.1}
	for i, c := range p.Corners(w, h) {
		one.Corners[2*i], one.Corners[2*i+1] = c[0], c[1]
	}
	return one
}

const deg = math.Pi / 180

var (
	earlierCard = shot.Placed{Share: 0.25, X: 0.45, Y: 0.55, Turn: 0.2, Tilt: 12 * deg, TiltAxis: 1}
	laterCard   = shot.Placed{Share: 0.30, X: 0.5, Y: 0.5}
)

// laidView is the fixture with a card in both photos of one comparison. change
// may change the photos before they are looked at.
func laidView(change func(s *journal.State, a, b *journal.Photo)) (*view, pair) {
	s := small()
	probe := viewOf(s, time.Time{}, nil)
	p := pairAt(probe, laidPage)
	for i, one := range []side{p.a, p.b} {
		one.photo.Width, one.photo.Height = 1600, 1200
		one.photo.Cards = []journal.CardSeen{seenAt([]shot.Placed{earlierCard, laterCard}[i], 1600, 1200)}
	}
	if change != nil {
		change(s, p.a.photo, p.b.photo)
	}
	v := viewOf(s, time.Time{}, nil)
	v.grays[p.a.photo.Hash] = grayed{Gain: card.Correction{Red: 1.1, Green: 1.2, Blue: 1.5}}
	v.grays[p.b.photo.Hash] = grayed{Gain: card.Correction{Red: 1, Green: 0.9, Blue: 0.8}}
	// Other tags may lead the page to choose others: these two are meant.
	q := pairAt(v, laidPage)
	q.a.photo, q.b.photo = p.a.photo, p.b.photo
	return v, q
}

func pairAt(v *view, href string) pair {
	for _, p := range v.pairs() {
		if p.href == href {
			return p
		}
	}
	panic("no such comparison: " + href)
}

// Places both drawn cameras see lie at one place of the two laid pictures.
func TestLayByCards(t *testing.T) {
	v, p := laidView(nil)
	l, why := v.layOf(p)
	if l == nil {
		t.Fatal(why)
	}
	onA, onB := earlierCard.Plane(1600, 1200), laterCard.Plane(1600, 1200)
	seen := 0
	for x := -40.0; x <= 140; x += 15 {
		for y := -30.0; y <= 110; y += 15 {
			ax, ay := onA(x, y)
			bx, by := onB(x, y)
			ua, va := l.laid[0].From.Inverse().At(ax, ay)
			ub, vb := l.laid[1].From.Inverse().At(bx, by)
			if ub < 0 || vb < 0 || ub > float64(l.laid[1].Width) || vb > float64(l.laid[1].Height) {
				continue
			}
			seen++
			if d := math.Hypot(ua-ub, va-vb); d > 0.01 {
				t.Fatalf("%v, %v mm: %.2f px apart", x, y, d)
			}
		}
	}
	if seen < 40 {
		t.Errorf("only %d places were looked at", seen)
	}
	// The whole of both pictures lies inside of their photos.
	for i, one := range l.laid {
		for _, c := range [4][2]float64{{0, 0}, {float64(one.Width), 0}, {0, float64(one.Height)}, {float64(one.Width), float64(one.Height)}} {
			if x, y := one.From.At(c[0], c[1]); x < -0.01 || y < -0.01 || x > 1600.01 || y > 1200.01 {
				t.Errorf("picture %d shows %v, %v", i, x, y)
			}
		}
	}
	if l.laid[0].Gain.Blue != 1.5 || l.laid[1].Gain.Red != 1 || l.laid[0].Width != l.laid[1].Width {
		t.Errorf("%+v", l.laid)
	}
	scale := laterCard.MMPerPixel(1600, 1200, card.SymbolX+20, card.SymbolY+20) * l.laid[1].From[0]
	if want := fmt.Sprintf("%.2f mm a pixel", scale); !strings.Contains(strings.Join(l.done, " "), want) {
		t.Errorf("%q does not say %q", l.done, want)
	}
	// The names follow what went in.
	v.grays[p.a.photo.Hash] = grayed{Gain: card.Correction{Red: 1, Green: 1, Blue: 1}}
	if again, _ := v.layOf(p); again.stem == l.stem {
		t.Error("another correction goes by the same file names")
	}
}

// The stated uncertainty is that of corners that are off by as much as they are
// said to be.
func TestUnsureCoversTheError(t *testing.T) {
	v, p := laidView(nil)
	keep, other := card.Best(v.State, p.b.photo), card.Best(v.State, p.a.photo)
	fr, why := inEnglish.shareFrame(p.b.photo, p.a.photo, keep.Plane.Inverse().Then(other.Plane), keep.Corners[0])
	if why != "" {
		t.Fatal(why)
	}
	_, worst := unsure(keep, other, fr)
	rng := rand.New(rand.NewPCG(3, 9))
	const n = 400
	corner := fr.corners()
	var sums [4]float64
	for range n {
		moved := [2]card.Ruler{*keep, *other}
		for i := range moved {
			c := moved[i].Corners
			for k := range c {
				c[k][0], c[k][1] = c[k][0]+rng.NormFloat64()*0.1, c[k][1]+rng.NormFloat64()*0.1
			}
			m, err := card.MeasureOf(c, 0.1)
			if err != nil {
				t.Fatal(err)
			}
			moved[i].Measure = m
		}
		way := moved[0].Plane.Inverse().Then(moved[1].Plane).Then(other.Plane.Inverse().Then(keep.Plane))
		for k, c := range corner {
			x, y := way.At(c[0], c[1])
			sums[k] += math.Pow(math.Hypot(x-c[0], y-c[1])/fr.shrunk(), 2) / n
		}
	}
	most := 0.0
	for _, s := range sums {
		most = max(most, math.Sqrt(s))
	}
	if ratio := most / worst; ratio < 0.85 || ratio > 1.15 {
		t.Errorf("drawn errors reach %.2f px, %.2f px are stated", most, worst)
	}
}

// Under a lens that bends what is straight, two photos laid by their cards are off
// by no more than twice what is stated at the corners of what they share, or they
// are not laid; under one that does not, they are.
func TestUnsureCoversALens(t *testing.T) {
	const w, h = 1600, 1200
	for i, lens := range []float64{0, 0, 0.004, -0.006, 0.01, -0.015, 0.02, -0.04, 0.06, -0.08} {
		rng := rand.New(rand.NewPCG(21, uint64(i)))
		c := shot.Placed{Face: card.Face{Card: journal.Card{Says: journal.EndCard}, Words: "End"}, Turn: rng.Float64() * 6}
		var s [2]shot.Shot
		var cards [2]*card.Ruler
		var photos [2]*journal.Photo
		for k := range s {
			c.Share, c.X, c.Y = 0.25+0.15*rng.Float64(), 0.3+0.4*rng.Float64(), 0.35+0.3*rng.Float64()
			c.Tilt, c.TiltAxis = 0.35*rng.Float64(), 6*rng.Float64()
			s[k] = shot.Shot{Width: w, Height: h, Seed: uint64(i), Cards: []shot.Placed{c}, Lens: lens, Noise: 3, Defocus: 1}
			img, err := s[k].Draw()
			if err != nil {
				t.Fatal(err)
			}
			found := card.Find(card.PlaneOf(img))
			if len(found) != 1 {
				t.Fatalf("pair %d: %d cards", i, len(found))
			}
			one := journal.CardSeen{Text: found[0].Text, Error: math.Ceil(found[0].Error*100) / 100}
			for j, c := range found[0].Corners {
				one.Corners[2*j], one.Corners[2*j+1] = c[0], c[1]
			}
			photos[k] = &journal.Photo{Width: w, Height: h, Cards: []journal.CardSeen{one}}
			cards[k] = card.Best(small(), photos[k])
		}
		to := cards[0].Plane.Inverse().Then(cards[1].Plane)
		fr, why := inEnglish.shareFrame(photos[0], photos[1], to, cards[0].Corners[0])
		if why != "" {
			continue
		}
		middle, stated := unsure(cards[0], cards[1], fr)
		if !(stated <= mostUnsure*float64(fr.width)) {
			t.Logf("lens %+.3f: not laid, %.0f pixels are stated", lens, stated)
			if lens == 0 {
				t.Error("a straight pair is not laid")
			}
			continue
		}
		worst := 0.0
		shows, sees := s[0].Shows(s[0].Cards[0]), s[1].Sees(s[1].Cards[0])
		for _, c := range fr.corners() {
			x, y := to.Inverse().At(sees(shows(c[0], c[1])))
			worst = max(worst, math.Hypot(x-c[0], y-c[1])/fr.shrunk())
		}
		t.Logf("lens %+.3f: off by %.1f pixels of %d, stated %.1f, in the middle %.1f", lens, worst, fr.width, stated, middle)
		if worst > 2*stated {
			t.Errorf("lens %+.3f: off by %.1f pixels, stated %.1f", lens, worst, stated)
		}
	}
}

func TestNotLaid(t *testing.T) {
	hand := func(s *journal.State, a, b *journal.Photo, pairs ...journal.PointPair) {
		one := journal.Points{A: a.Hash, B: b.Hash, Pairs: pairs, Record: "bench-1/1"}
		if one.A > one.B {
			one.A, one.B = one.B, one.A
			for i, p := range pairs {
				one.Pairs[i] = journal.PointPair{p[2], p[3], p[0], p[1]}
			}
		}
		s.Points = []journal.Points{one}
	}
	place := func(p *journal.Photo, c shot.Placed) { p.Cards = []journal.CardSeen{seenAt(c, 1600, 1200)} }
	for name, c := range map[string]struct {
		change func(s *journal.State, a, b *journal.Photo)
		laid   bool
		want   string
	}{
		"both cards": {nil, true, "Laid over each other on the plane of the bench card that both show"},
		"no card":    {func(_ *journal.State, a, b *journal.Photo) { a.Cards, b.Cards = nil, nil }, false, ""},
		"one card": {func(_ *journal.State, a, _ *journal.Photo) { a.Cards = nil }, false,
			"only the later one shows a bench card. Its card gives the scale (0.20 mm a pixel at the card"},
		"the other card": {func(_ *journal.State, _, b *journal.Photo) { b.Cards = nil }, false, "the light (0.3 stops too dark"},
		"tilted": {func(_ *journal.State, a, _ *journal.Photo) {
			place(a, shot.Placed{Share: 0.3, X: 0.5, Y: 0.5, Tilt: 55 * deg})
		}, false, "the card in the earlier one is tilted by about 5"},
		"near and far": {func(_ *journal.State, a, _ *journal.Photo) {
			place(a, shot.Placed{Share: 0.06, X: 0.5, Y: 0.5})
		}, false, "their scales are 5.0 times apart"},
		"a corner error too large": {func(_ *journal.State, a, _ *journal.Photo) { a.Cards[0].Error = 3 }, false, "the card is too small, too far from what they share, or not flat"},
		"cards at opposite ends": {func(_ *journal.State, a, b *journal.Photo) {
			place(a, shot.Placed{Share: 0.3, X: 0.16, Y: 0.16})
			place(b, shot.Placed{Share: 0.3, X: 0.84, Y: 0.84})
		}, false, "they share only"},
		"corners that are no square": {func(_ *journal.State, a, _ *journal.Photo) { a.Cards[0].Corners = [8]float64{1, 1, 2, 2, 3, 3, 4, 4} }, false, "only the later one shows"},
		"different light":            {func(_ *journal.State, a, _ *journal.Photo) { a.Tags.Light = "raking" }, false, ""},
		"two points by hand": {func(s *journal.State, a, b *journal.Photo) {
			a.Cards, b.Cards = nil, nil
			hand(s, a, b, journal.PointPair{0.3, 0.3, 0.35, 0.3}, journal.PointPair{0.6, 0.7, 0.65, 0.7})
		}, true, "Aligned by hand on two points, which leave no error to be seen: shifted, turned and scaled"},
		"three points by hand": {func(s *journal.State, a, b *journal.Photo) {
			a.Cards = nil
			hand(s, a, b, journal.PointPair{0.3, 0.3, 0.35, 0.3}, journal.PointPair{0.6, 0.7, 0.65, 0.7}, journal.PointPair{0.6, 0.3, 0.65, 0.31})
		}, true, "Aligned by hand on three points, which are 5 pixels off on average"},
		"points and cards": {func(s *journal.State, a, b *journal.Photo) {
			hand(s, a, b, journal.PointPair{0.3, 0.3, 0.35, 0.3}, journal.PointPair{0.6, 0.7, 0.65, 0.7})
		}, true, "on the planes of both bench cards, shifted and turned by the points, 0.2"},
		"points that blow up": {func(s *journal.State, a, b *journal.Photo) {
			a.Cards, b.Cards = nil, nil
			hand(s, a, b, journal.PointPair{0.3, 0.3, 0.1, 0.1}, journal.PointPair{0.35, 0.3, 0.9, 0.1})
		}, false, "by the spots pointed at by hand their scales are"},
	} {
		v, p := laidView(c.change)
		l, why := v.layOf(p)
		if l != nil {
			why = strings.Join(l.done, " ")
		}
		if (l != nil) != c.laid || !strings.Contains(why, c.want) || c.want == "" && why != "" {
			t.Errorf("%s: laid %v, %q; want %q", name, l != nil, why, c.want)
		}
		if l != nil && !strings.HasSuffix(why, "Nothing was sharpened or retouched.") {
			t.Errorf("%s: %q", name, why)
		}
	}
}

// With a card in both, points by hand move the pictures in its plane, and their
// scale stays the cards'.
func TestPointsOnThePlane(t *testing.T) {
	onA, onB := earlierCard.Plane(1600, 1200), laterCard.Plane(1600, 1200)
	// The work lies 12 mm to the right of where it lay beside the first card, and
	// is turned by 10 degrees.
	sin, cos := math.Sincos(10 * deg)
	moved := func(x, y float64) (float64, float64) { return cos*x - sin*y + 12, sin*x + cos*y }
	v, p := laidView(func(s *journal.State, a, b *journal.Photo) {
		one := journal.Points{A: a.Hash, B: b.Hash}
		for _, spot := range [][2]float64{{10, 0}, {80, 60}, {20, 70}} {
			ax, ay := onA(spot[0], spot[1])
			bx, by := onB(moved(spot[0], spot[1]))
			pair := journal.PointPair{ax / 1600, ay / 1200, bx / 1600, by / 1200}
			if a.Hash > b.Hash {
				pair = journal.PointPair{pair[2], pair[3], pair[0], pair[1]}
			}
			one.Pairs = append(one.Pairs, pair)
		}
		if one.A > one.B {
			one.A, one.B = one.B, one.A
		}
		s.Points = []journal.Points{one}
	})
	l, why := v.layOf(p)
	if l == nil {
		t.Fatal(why)
	}
	for _, spot := range [][2]float64{{0, 0}, {60, 10}, {45, 90}} {
		ua, va := l.laid[0].From.Inverse().At(onA(spot[0], spot[1]))
		ub, vb := l.laid[1].From.Inverse().At(onB(moved(spot[0], spot[1])))
		if d := math.Hypot(ua-ub, va-vb); d > 0.05 {
			t.Errorf("%v: %.2f px apart", spot, d)
		}
	}
}

// cardJournal is a journal on disk with two builds, whose photos of cleaning
// show a card, drawn from two sides under two lights.
func cardJournal(t *testing.T) *journal.Journal {
	t.Helper()
	j := newJournal(t)
	var photos []*journal.Photo
	for i, one := range []shot.Placed{earlierCard, laterCard} {
		one.Face = card.Face{Card: journal.Card{Says: journal.CountCard, Count: 5}, Words: "5 parts"}
		img, err := shot.Shot{Width: 1200, Height: 900, Seed: 4, Noise: 1, Cards: []shot.Placed{one}, Tint: [3]float64{1, 0.9, 0.6 + 0.3*float64(i)}}.Draw()
		if err != nil {
			t.Fatal(err)
		}
		p := drawnPhoto(t, j, i, img)
		photos = append(photos, p)
	}
	builds := []*journal.Build{{ID: "pilot-boat", Title: "Pilot boat"}, {ID: "lorry", Title: "Field-kitchen lorry"}}
	for _, b := range builds {
		b.Stages = []journal.Stage{{ID: "clean", Title: "Clean", Kind: "clean"}}
	}
	j.State = &journal.State{Config: j.State.Config, Zone: time.UTC, Builds: builds, Photos: photos}
	return j
}

func drawnPhoto(t *testing.T, j *journal.Journal, i int, img image.Image) *journal.Photo {
	t.Helper()
	name := fmt.Sprintf("photos/%d.jpg", i)
	if err := os.MkdirAll(filepath.Dir(j.Path(name)), 0o755); err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(j.Path(name))
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(scene.WriteJPEG(f, img, scene.Exif{Make: "Tarrow", Model: "T-24", Serial: "0042817"}), f.Close()); err != nil {
		t.Fatal(err)
	}
	facts, err := media.Read(j.Path(name))
	if err != nil || len(facts.Cards) != 1 {
		t.Fatalf("%v, %d cards", err, len(facts.Cards))
	}
	return &journal.Photo{
		Hash: strings.Repeat(string(rune('a'+i)), 64), Path: name, Width: facts.Width, Height: facts.Height, Turn: facts.Turn, Cards: facts.Cards, Kind: "clean",
		Instant: journal.Instant{At: time.Date(2024, 1, 1+i, 12, 0, 0, 0, time.UTC)},
		Tags:    journal.Tags{Build: []string{"pilot-boat", "lorry"}[i], Stage: "clean", Role: "after", View: "left", Light: "diffuse"},
	}
}

// The pictures are made once, are the same at every writing, hold no metadata,
// show the cards at one place under one light, and go when they are not needed.
func TestWriteLaid(t *testing.T) {
	j := cardJournal(t)
	write(t, j)
	glob := func() []string {
		names, err := filepath.Glob(filepath.Join(j.Path("pages"), "photos", "laid-*.jpg"))
		if err != nil {
			t.Fatal(err)
		}
		return names
	}
	files := glob()
	if len(files) != 6 {
		t.Fatalf("%v", files)
	}
	page, err := os.ReadFile(filepath.Join(j.Path("pages"), "compare", "clean-pilot-boat-lorry.html"))
	if err != nil || !strings.Contains(string(page), "Laid over each other on the plane") || !strings.Contains(string(page), "against green, by the card") {
		t.Fatalf("%v\n%s", err, page)
	}
	first := map[string]string{}
	var corners [2][4][2]float64
	var papers [2]card.Gray
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		first[name] = string(data)
		if !strings.HasPrefix(string(data), "\xff\xd8\xff\xdb") || strings.Contains(string(data), "Tarrow") {
			t.Errorf("%s holds more than pixels", name)
		}
		if !strings.HasSuffix(name, "-1600.jpg") {
			continue
		}
		img, err := media.Decode(name, media.DefaultLimits)
		if err != nil {
			t.Fatal(err)
		}
		found := card.Find(card.PlaneOf(img))
		if len(found) != 1 {
			t.Fatalf("%s: %d cards", name, len(found))
		}
		i := 0
		if strings.Contains(name, "-now-") {
			i = 1
		}
		corners[i] = found[0].Corners
		m, err := card.MeasureOf(found[0].Corners, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		if papers[i], err = card.GrayOf(img, m); err != nil {
			t.Fatal(err)
		}
	}
	for k := range 4 {
		if d := math.Hypot(corners[0][k][0]-corners[1][k][0], corners[0][k][1]-corners[1][k][1]); d > 1 {
			t.Errorf("corner %d: %.2f px apart", k, d)
		}
	}
	for s := range 3 {
		for c := range 3 {
			if d := math.Abs(papers[0].Steps[s][c] - papers[1].Steps[s][c]); d > 0.03 {
				t.Errorf("gray step %d, color %d: %.3f of light apart", s, c, d)
			}
		}
	}
	if r := write(t, j); r.Photos != 0 || r.Changed != 0 || r.Removed != 0 {
		t.Errorf("again: %+v", r)
	}
	// Lost pictures and a lost cache come back as they were.
	for _, path := range append(files, j.Path(graysFile)) {
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
	}
	if r := write(t, j); r.Photos != 6 || r.Changed != 0 {
		t.Errorf("after the loss: %+v", r)
	}
	for _, name := range files {
		if data, err := os.ReadFile(name); err != nil || string(data) != first[name] {
			t.Errorf("%s came back different (%v)", name, err)
		}
	}
	// Without a card they go.
	j.State.Photos[0].Cards = nil
	if r := write(t, j); r.Removed != 6 || len(glob()) != 0 {
		t.Errorf("without a card: %+v, %v", r, glob())
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := Write(ctx, j, Options{}); !errors.Is(err, context.Canceled) {
		t.Error(err)
	}
}
