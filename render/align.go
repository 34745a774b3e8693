// How two photos of a comparison are laid over each other: by the bench cards
// they show, by spots a person pointed at, or not at all, and why.

package render

import (
	"crypto/sha256"
	"fmt"
	"math"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/media"
	"rakelight/media/card"
)

// What is reasonable for laying by cards. Beyond it the pictures stay as taken,
// and the page says why.
const (
	mostTilt    = 45   // degrees: cards tilted further were never measured
	mostApart   = 4    // times: how far the scales may differ
	leastShared = 0.25 // share of the picture that shows less
	mostUnsure  = 0.02 // of the shared frame's width, at its worst corner
	mostStops   = 2    // of a correction by paper: beyond it, paper is not what was measured
	mostTint    = 2.5  // times one color against green
	leastWide   = 240  // pixels of the laid picture
	mostEnlarge = 2    // times the coarser of the two pictures is enlarged at most
)

// lay is two photos laid over each other: two pictures of one size, of which
// one is only cropped and the other goes through the plane of the first.
type lay struct {
	photos [2]*journal.Photo
	laid   [2]media.Laid
	stem   [2]string // names of their files below photos/, without width
	done   []string  // what was done, sentence by sentence
}

// layOf says how the photos of a pair are laid over each other. nil means that
// they stay as taken, with the reason if somebody could have expected otherwise.
func (v *view) layOf(p pair) (l *lay, why string) {
	a, b := p.a.photo, p.b.photo
	if refused(a, b) || a.Hash == b.Hash {
		return nil, ""
	}
	points, _ := v.PointsOf(a, b)
	cards := [2]*card.Ruler{card.Best(v.State, a), card.Best(v.State, b)}
	why = whyNotByCards(cards)
	if len(points) > 0 {
		l, byHand := v.layByPoints([2]*journal.Photo{a, b}, cards, why == "", points)
		return l, byHand
	}
	if cards[0] == nil && cards[1] == nil {
		return nil, ""
	}
	if why != "" {
		return nil, notLaid + why + v.told(a, b, cards) + "."
	}
	return v.layByCards([2]*journal.Photo{a, b}, cards)
}

// notLaid begins the reason why a pair stays as taken.
const notLaid = "The pictures are not laid over each other: "

var sideNames = [2]string{"earlier", "later"}

// whyNotByCards says why two photos cannot be laid over each other by their
// cards, "" when nothing speaks against it before their frames are looked at.
func whyNotByCards(cards [2]*card.Ruler) string {
	for i, c := range cards {
		if c == nil {
			return fmt.Sprintf("only the %s one shows a bench card", sideNames[1-i])
		}
	}
	for i, c := range cards {
		if c.Tilt > mostTilt {
			return fmt.Sprintf("the card in the %s one is tilted by about %.0f°, and beyond %d° a plane cannot be trusted",
				sideNames[i], c.Tilt, mostTilt)
		}
	}
	if apart := cards[0].MMPerPixel / cards[1].MMPerPixel; max(apart, 1/apart) > mostApart {
		return fmt.Sprintf("their scales are %.1f times apart, and beyond %d times the coarser one shows nothing to compare",
			max(apart, 1/apart), mostApart)
	}
	return ""
}

// told says what the only card of a pair tells, though nothing is done by it.
func (v *view) told(a, b *journal.Photo, cards [2]*card.Ruler) string {
	for i, p := range [2]*journal.Photo{a, b} {
		if cards[i] == nil || cards[1-i] != nil {
			continue
		}
		words := fmt.Sprintf(". Its card gives the scale (%s)", cards[i].Words(1))
		if g := v.gray(p); g.Why == "" {
			words += " and the light (" + g.Gain.Off() + ")"
		}
		return words +
			", but changing only one picture would show a difference that is not in the work, so both stay as taken"
	}
	return ""
}

// layByCards lays two photos over each other by the plane of the card each of
// them shows. The one whose card is tilted less keeps its view.
func (v *view) layByCards(photos [2]*journal.Photo, cards [2]*card.Ruler) (*lay, string) {
	keep := 1
	if cards[0].Tilt < cards[1].Tilt {
		keep = 0
	}
	other := 1 - keep
	to := cards[keep].Plane.Inverse().Then(cards[other].Plane)
	anchor := [2]float64{}
	for _, c := range cards[keep].Corners {
		anchor[0], anchor[1] = anchor[0]+c[0]/4, anchor[1]+c[1]/4
	}
	fr, why := shareFrame(photos[keep], photos[other], to, anchor)
	if why != "" {
		return nil, notLaid + why + "."
	}
	middle, worst := unsure(cards[keep], cards[other], fr)
	if !(worst <= mostUnsure*float64(fr.width)) { // a plane seen edge on has no number
		return nil, notLaid +
			fmt.Sprintf("the card is too small, too far from what they share, or not flat, or the lens bends what is straight, so that its plane is known there to within %.0f pixels of %d only.",
				math.Ceil(worst), fr.width)
	}
	l := layOn(photos, keep, fr, to)
	l.done = []string{
		fmt.Sprintf("Laid over each other on the plane of the bench card that both show: %s, %d pixels wide.",
			cards[keep].Words(fr.shrunk()), fr.width),
		brought(keep),
		fmt.Sprintf("The two may be off by about %s in the middle and %s at the edge, going by the cards' corners; what stands higher than the card fits less well.",
			v.pixels(middle), v.pixels(worst)),
	}
	l.done = append(l.done, oneSize(cards)...)
	v.light(l, cards)
	return l, ""
}

// oneSize is the condition under which two pictures on the planes of two cards
// are at one scale, nothing where it holds for certain.
func oneSize(cards [2]*card.Ruler) []string {
	a, b := cards[0].Printed, cards[1].Printed
	switch {
	case a.SameSize(b) || a.Known() && b.Known():
		return nil
	case a.Known():
		return []string{"The two are at one scale if the later one's card was printed at 100 %, which nobody measured."}
	case b.Known():
		return []string{"The two are at one scale if the earlier one's card was printed at 100 %, which nobody measured."}
	}
	return []string{"The two are at one scale if their cards were printed at the same size, which nobody measured."}
}

// scaleDoubts are what speaks against the scales of a pair: cards of one photo
// that disagree, and spots pointed at by hand that lie another length apart.
func (v *view) scaleDoubts(a, b *journal.Photo) []string {
	var doubts []string
	for i, p := range [2]*journal.Photo{a, b} {
		if apart := card.CardsApart(v.State, p); apart != nil {
			doubts = append(doubts, fmt.Sprintf("The scale of the %s picture is in doubt: %s.", sideNames[i], apart))
		}
	}
	if points, _ := v.PointsOf(a, b); len(points) > 0 {
		if apart := card.PointsApart(v.State, a, b, points); apart != nil {
			doubts = append(doubts, fmt.Sprintf("The scales are in doubt: %s.", apart))
		}
	}
	return doubts
}

// pixels words a length in pixels, rounded up so that none is called zero.
func (in voice) pixels(n float64) string { return in.count(max(1, int(math.Ceil(n))), "pixel") }

// layByPoints lays two photos over each other by spots a person pointed at. If
// both show a card that can be used, each is brought into its card's plane, and
// the spots only shift and turn one in it.
func (v *view) layByPoints(photos [2]*journal.Photo, cards [2]*card.Ruler, plane bool,
	points []journal.PointPair) (*lay, string) {
	var at [2][][2]float64 // pixels
	for _, p := range points {
		for i, photo := range photos {
			at[i] = append(at[i], [2]float64{p[2*i] * float64(photo.Width), p[2*i+1] * float64(photo.Height)})
		}
	}
	const keep, other = 1, 0
	to, how := card.Homography{}, ""
	if plane {
		to, how = rigidOnPlane(cards, at)
	} else {
		s, err := metrics.SimilarityOf(at[keep], at[other])
		if err != nil || !(s.Scale > 0) {
			return nil, notLaid + "the spots pointed at by hand fix no scale."
		}
		if apart := max(s.Scale, 1/s.Scale); apart > mostApart {
			return nil, notLaid + fmt.Sprintf("by the spots pointed at by hand their scales are %.1f times apart.",
				apart)
		}
		sin, cos := math.Sincos(s.Turn)
		to = card.Homography{s.Scale * cos, -s.Scale * sin, s.DX, s.Scale * sin, s.Scale * cos, s.DY, 0, 0, 1}
	}
	fr, why := shareFrame(photos[keep], photos[other], to, at[keep][0])
	if why != "" {
		return nil, notLaid + why + "."
	}
	l := layOn(photos, keep, fr, to)
	// How far the spots are off in the picture that is shown.
	off := 0.0
	back := to.Inverse()
	for i := range points {
		x, y := back.At(at[other][i][0], at[other][i][1])
		off += math.Hypot(x-at[keep][i][0], y-at[keep][i][1]) / fr.shrunk() / float64(len(points))
	}
	left := fmt.Sprintf("which are %s off on average", v.pixels(off))
	if len(points) == 2 && !plane {
		left = "which leave no error to be seen"
	}
	if plane {
		how = "; " + how + ", " + cards[keep].Words(fr.shrunk())
	} else {
		how = ": shifted, turned and scaled"
	}
	l.done = []string{fmt.Sprintf("Aligned by hand on %s points, %s%s; %d pixels wide.", numeral(len(points)), left,
		how, fr.width), brought(keep)}
	if plane {
		l.done = append(l.done, oneSize(cards)...)
	}
	v.light(l, cards)
	return l, ""
}

// brought says which of the two pictures keeps its view.
func brought(keep int) string {
	return fmt.Sprintf("The %s picture was brought into the view of the %s one, which was cropped.", sideNames[1-keep],
		sideNames[keep])
}

func numeral(n int) string {
	return [...]string{journal.FewestPoints: "two", journal.MostPoints: "three"}[n]
}

// rigidOnPlane takes pixels of the later photo to those of the earlier one: into
// the plane of its card, shifted and turned there by the spots, and out again.
// The scale is the cards', not the spots'.
func rigidOnPlane(cards [2]*card.Ruler, at [2][][2]float64) (card.Homography, string) {
	var mm [2][][2]float64
	for i := range mm {
		back := cards[i].Plane.Inverse()
		for _, p := range at[i] {
			x, y := back.At(p[0], p[1])
			mm[i] = append(mm[i], [2]float64{x, y})
		}
	}
	turn := 0.0
	var mid [2][2]float64
	for i := range mm {
		for _, p := range mm[i] {
			mid[i][0], mid[i][1] = mid[i][0]+p[0]/float64(len(mm[i])), mid[i][1]+p[1]/float64(len(mm[i]))
		}
	}
	if s, err := metrics.SimilarityOf(mm[1], mm[0]); err == nil {
		turn = s.Turn
	}
	sin, cos := math.Sincos(turn)
	move := card.Homography{
		cos, -sin, mid[0][0] - cos*mid[1][0] + sin*mid[1][1],
		sin, cos, mid[0][1] - sin*mid[1][0] - cos*mid[1][1],
		0, 0, 1,
	}
	return cards[1].Plane.Inverse().Then(move).Then(cards[0].Plane),
		"on the planes of both bench cards, shifted and turned by the points"
}

// layOn makes the two pictures of a shared frame.
func layOn(photos [2]*journal.Photo, keep int, fr common, to card.Homography) *lay {
	s := fr.shrunk()
	crop := card.Homography{s, 0, fr.x, 0, s, fr.y, 0, 0, 1}
	l := &lay{photos: photos}
	l.laid[keep] = media.Laid{From: crop, Width: fr.width, Height: fr.height}
	l.laid[1-keep] = media.Laid{From: crop.Then(to), Width: fr.width, Height: fr.height}
	return l
}

// light corrects both pictures by their cards' paper, where both can be, and
// completes the words and the names of the files.
func (v *view) light(l *lay, cards [2]*card.Ruler) {
	words, both := "", cards[0] != nil && cards[1] != nil
	for i, p := range l.photos {
		if g := v.gray(p); both && g.Why != "" {
			both, words = false, fmt.Sprintf("The light is as taken: in the %s picture %s.", sideNames[i], g.Why)
		}
	}
	if both {
		words = "Light"
		for i, p := range l.photos {
			l.laid[i].Gain = v.gray(p).Gain
			words += fmt.Sprintf("%s the %s picture: %s", [2]string{",", ";"}[i], sideNames[i], l.laid[i].Gain.Words())
		}
		words += "."
	}
	if words != "" {
		l.done = append(l.done, words)
	}
	l.done = append(l.done, "Nothing was sharpened or retouched.")
	l.name(v)
}

// name names the files after all that went into them, so that others stand
// beside them when anything changes.
func (l *lay) name(v *view) {
	h := sha256.New()
	points, _ := v.PointsOf(l.photos[0], l.photos[1])
	fmt.Fprintln(h, "laid 1", points)
	for _, p := range l.photos {
		fmt.Fprintln(h, p.Hash, p.Width, p.Height, p.Turn, p.Cards, v.gray(p))
		if r := card.Best(v.State, p); r != nil && r.Printed.Known() {
			fmt.Fprintln(h, "measured", r.Seen.Corners, r.Printed.Measured)
		}
	}
	key := fmt.Sprintf("%x", h.Sum(nil))[:12]
	l.stem = [2]string{"laid-" + key + "-then", "laid-" + key + "-now"}
}
