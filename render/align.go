// How two photos of a comparison are laid over each other: by the bench cards
// they show, by spots a person pointed at, or not at all, and why.

package render

import (
	"crypto/sha256"
	"fmt"
	"math"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
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
	why = v.whyNotByCards(cards)
	if len(points) > 0 {
		l, byHand := v.layByPoints([2]*journal.Photo{a, b}, cards, why == "", points)
		return l, byHand
	}
	if cards[0] == nil && cards[1] == nil {
		return nil, ""
	}
	if why != "" {
		return nil, v.notLaid(why + v.told(a, b, cards))
	}
	return v.layByCards([2]*journal.Photo{a, b}, cards)
}

// notLaid says why a pair stays as taken.
func (in voice) notLaid(why string) string {
	return in.Say("The pictures are not laid over each other: %s.", why)
}

// The two pictures by their time; in German the case of the word is another where it is
// not the subject.
var (
	sideNames  = [2]say.Key{"picture¦earlier", "picture¦later"}
	ofTheSides = [2]say.Key{"dative¦earlier", "dative¦later"}
)

// whyNotByCards says why two photos cannot be laid over each other by their
// cards, "" when nothing speaks against it before their frames are looked at.
func (in voice) whyNotByCards(cards [2]*card.Ruler) string {
	for i, c := range cards {
		if c == nil {
			return in.Say("only the %s one shows a bench card", sideNames[1-i])
		}
	}
	for i, c := range cards {
		if c.Tilt > mostTilt {
			return in.Say("the card in the %s one is tilted by about %s°, and beyond %d° a plane cannot be trusted",
				ofTheSides[i], say.Decimal(c.Tilt, 0), int(mostTilt))
		}
	}
	if apart := cards[0].MMPerPixel / cards[1].MMPerPixel; max(apart, 1/apart) > mostApart {
		return in.Say("their scales are %s times apart, and beyond %d times the coarser one shows nothing to compare",
			say.Decimal(max(apart, 1/apart), 1), int(mostApart))
	}
	return ""
}

// told says what the only card of a pair tells, though nothing is done by it.
func (v *view) told(a, b *journal.Photo, cards [2]*card.Ruler) string {
	for i, p := range [2]*journal.Photo{a, b} {
		if cards[i] == nil || cards[1-i] != nil {
			continue
		}
		gives := v.Say("Its card gives the scale (%s)", cards[i].Said(v.Speaker, 1))
		if g := v.gray(p); g.Why == "" {
			gives = v.Say("Its card gives the scale (%s) and the light (%s)", cards[i].Said(v.Speaker, 1),
				g.Gain.Off(v.Speaker))
		}
		return ". " + v.Say("%s, but changing only one picture would show a difference that is not in the work, so both stay as taken",
			gives)
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
	fr, why := v.shareFrame(photos[keep], photos[other], to, anchor)
	if why != "" {
		return nil, v.notLaid(why)
	}
	middle, worst := unsure(cards[keep], cards[other], fr)
	if !(worst <= mostUnsure*float64(fr.width)) { // a plane seen edge on has no number
		return nil, v.notLaid(v.Say("the card is too small, too far from what they share, or not flat, or the lens bends what is straight, so that its plane is known there to within %s pixels of %d only",
			say.Decimal(math.Ceil(worst), 0), fr.width))
	}
	l := layOn(photos, keep, fr, to)
	l.done = []string{
		v.Say("Laid over each other on the plane of the bench card that both show: %s, %d pixels wide.",
			cards[keep].Said(v.Speaker, fr.shrunk()), fr.width),
		v.brought(keep),
		v.Say("The two may be off by about %s in the middle and %s at the edge, going by the cards' corners; what stands higher than the card fits less well.",
			v.pixels(middle), v.pixels(worst)),
	}
	l.done = append(l.done, v.oneSize(cards)...)
	v.light(l, cards)
	return l, ""
}

// oneSize is the condition under which two pictures on the planes of two cards
// are at one scale, nothing where it holds for certain.
func (in voice) oneSize(cards [2]*card.Ruler) []string {
	a, b := cards[0].Printed, cards[1].Printed
	switch {
	case a.SameSize(b) || a.Known() && b.Known():
		return nil
	case a.Known():
		return []string{in.Say("The two are at one scale if the later one's card was printed at 100 %, which nobody measured.")}
	case b.Known():
		return []string{in.Say("The two are at one scale if the earlier one's card was printed at 100 %, which nobody measured.")}
	}
	return []string{in.Say("The two are at one scale if their cards were printed at the same size, which nobody measured.")}
}

// scaleDoubts are what speaks against the scales of a pair: cards of one photo
// that disagree, and spots pointed at by hand that lie another length apart.
func (v *view) scaleDoubts(a, b *journal.Photo) []string {
	var doubts []string
	for i, p := range [2]*journal.Photo{a, b} {
		if apart := card.CardsApart(v.State, p); apart != nil {
			doubts = append(doubts, v.Say("The scale of the %s picture is in doubt: %s.", ofTheSides[i], apart))
		}
	}
	if points, _ := v.PointsOf(a, b); len(points) > 0 {
		if apart := card.PointsApart(v.State, a, b, points); apart != nil {
			doubts = append(doubts, v.Say("The scales are in doubt: %s.", apart))
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
	to := card.Homography{}
	if plane {
		to = rigidOnPlane(cards, at)
	} else {
		s, err := metrics.SimilarityOf(at[keep], at[other])
		if err != nil || !(s.Scale > 0) {
			return nil, v.notLaid(v.Say("the spots pointed at by hand fix no scale"))
		}
		if apart := max(s.Scale, 1/s.Scale); apart > mostApart {
			return nil, v.notLaid(v.Say("by the spots pointed at by hand their scales are %s times apart",
				say.Decimal(apart, 1)))
		}
		sin, cos := math.Sincos(s.Turn)
		to = card.Homography{s.Scale * cos, -s.Scale * sin, s.DX, s.Scale * sin, s.Scale * cos, s.DY, 0, 0, 1}
	}
	fr, why := v.shareFrame(photos[keep], photos[other], to, at[keep][0])
	if why != "" {
		return nil, v.notLaid(why)
	}
	l := layOn(photos, keep, fr, to)
	// How far the spots are off in the picture that is shown.
	off := 0.0
	back := to.Inverse()
	for i := range points {
		x, y := back.At(at[other][i][0], at[other][i][1])
		off += math.Hypot(x-at[keep][i][0], y-at[keep][i][1]) / fr.shrunk() / float64(len(points))
	}
	left := v.Say("which are %s off on average", v.pixels(off))
	if len(points) == 2 && !plane {
		left = v.Say("which leave no error to be seen")
	}
	done := v.Say("Aligned by hand on %s points, %s: shifted, turned and scaled; %d pixels wide.", v.numeral(len(points)), left,
		fr.width)
	if plane {
		done = v.Say("Aligned by hand on %s points, %s; on the planes of both bench cards, shifted and turned by the points, %s; %d pixels wide.",
			v.numeral(len(points)), left, cards[keep].Said(v.Speaker, fr.shrunk()), fr.width)
	}
	l.done = []string{done, v.brought(keep)}
	if plane {
		l.done = append(l.done, v.oneSize(cards)...)
	}
	v.light(l, cards)
	return l, ""
}

// brought says which of the two pictures keeps its view.
func (in voice) brought(keep int) string {
	return in.Say("The %s picture was brought into the view of the %s one, which was cropped.", sideNames[1-keep],
		ofTheSides[keep])
}

func (in voice) numeral(n int) string {
	return in.Say([...]say.Key{journal.FewestPoints: "two", journal.MostPoints: "three"}[n])
}

// rigidOnPlane takes pixels of the later photo to those of the earlier one: into
// the plane of its card, shifted and turned there by the spots, and out again.
// The scale is the cards', not the spots'.
func rigidOnPlane(cards [2]*card.Ruler, at [2][][2]float64) card.Homography {
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
	return cards[1].Plane.Inverse().Then(move).Then(cards[0].Plane)
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
			both, words = false, v.Say("The light is as taken: in the %s picture %s.", ofTheSides[i], v.grayWhy(g.Why))
		}
	}
	if both {
		var said [2]string
		for i, p := range l.photos {
			l.laid[i].Gain = v.gray(p).Gain
			said[i] = l.laid[i].Gain.Said(v.Speaker)
		}
		words = v.Say("Light, the earlier picture: %s; the later picture: %s.", said[0], said[1])
	}
	if words != "" {
		l.done = append(l.done, words)
	}
	l.done = append(l.done, v.Say("Nothing was sharpened or retouched."))
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

// grayWhy says why a card tells nothing of the light; other reasons are those of a file.
func (in voice) grayWhy(why string) string {
	for _, key := range grayWhys {
		if key.English() == why {
			return in.Say(key)
		}
	}
	return why
}

// grayWhys are the reasons of package card.
var grayWhys = []say.Key{"the card's paper is overexposed",
	"the gray steps do not grow darker, something covers them or shines on them",
	"it is too dark to tell the color of the light", "the card's paper was not measured"}
