// The flick-through of a build: which pictures it is made of, and how each is laid
// into the one frame they share. Its frames are chosen and laid so that a new photo
// adds one and leaves the others as they are.

package render

import (
	"crypto/sha256"
	"fmt"
	"image/color"
	"math"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
	"rakelight/media"
	"rakelight/media/card"
)

// Beyond these a flick-through shows a picture as taken. That it may be unsure by
// mostUnsure, tilted by mostTilt and apart by mostApart holds as for a pair.
const (
	mostFrames  = 60   // pictures: more are thinned out
	fewFrames   = 3    // pictures: fewer are no flick-through
	frameWide   = 960  // pixels
	leastInside = 0.5  // share of the frame that a steadied picture must fill
	mostMoved   = 0.25 // of the frame's width: a card that lies elsewhere moves the work away
)

// frameGround lies around a picture that does not fill the frame, by day and at night.
var frameGround = color.RGBA{0x17, 0x11, 0x0b, 0xff}

// flick is a build from its first picture to its last.
type flick struct {
	frames        []flickFrame
	width, height int // of all frames, pixels
	steadied      int // frames laid by a bench card
	cards         int // frames that show a card, and are as taken all the same
	grayed        int // frames whose light a card told
}

// flickFrame is one picture of it.
type flickFrame struct {
	photo    *journal.Photo
	stem     string     // of its file below photos/, without width
	laid     media.Laid // in pixels of the upright photo
	steady   bool
	unsteady say.Text       // why its card does not steady it, "" = it does, or there is none
	like     *journal.Photo // whose light it is brought near to, nil = a card told its own
}

// flickPhotos are the pictures of a build's flick-through, in time order: of each
// stage on each day the one that shows most from the side most pictures are taken
// from; of more than mostFrames every second, fourth and so on, and the last.
func (v *view) flickPhotos(b *build) []*journal.Photo {
	slots := map[[2]string][]*journal.Photo{}
	var order [][2]string
	for _, p := range b.prints {
		if p.Instant.At.IsZero() || p.Tags.Role == "problem" {
			continue
		}
		key := [2]string{p.Instant.Day(), p.Tags.Stage}
		if slots[key] == nil {
			order = append(order, key)
		}
		slots[key] = append(slots[key], p)
	}
	side := usualView(order, slots)
	var all []*journal.Photo
	for _, key := range order {
		all = append(all, shownOf(slots[key], side))
	}
	step := 1
	for len(all) > step*mostFrames {
		step *= 2
	}
	var out []*journal.Photo
	for i, p := range all {
		if i%step == 0 || i == len(all)-1 {
			out = append(out, p)
		}
	}
	return out
}

// usualView is the view that most of the slots can show, the earliest of several.
func usualView(order [][2]string, slots map[[2]string][]*journal.Photo) string {
	counts, usual := map[string]int{}, ""
	var seen []string
	for _, key := range order {
		here := map[string]bool{}
		for _, p := range slots[key] {
			if is := p.Tags.View; is != "" && !here[is] {
				if here[is] = true; counts[is] == 0 {
					seen = append(seen, is)
				}
				counts[is]++
			}
		}
	}
	for _, is := range seen {
		if counts[is] > counts[usual] {
			usual = is
		}
	}
	return usual
}

// shownOf is the picture of a slot that shows most: from the usual side before any
// other, then as best has it.
func shownOf(photos []*journal.Photo, side string) *journal.Photo {
	like := keepPhotos(photos, func(p *journal.Photo) bool { return side != "" && p.Tags.View == side })
	if len(like) == 0 {
		like = photos
	}
	return best(like)
}

// flick is a build's flick-through, nil where there are too few pictures. It is worked
// out once, after the cards' grays are known.
func (v *view) flick(b *build) *flick {
	b.flickOnce.Do(func() {
		if photos := v.flickPhotos(b); len(photos) >= fewFrames {
			b.flicked = v.flickOf(photos)
		}
	})
	return b.flicked
}

// flickOf lays pictures into one frame. It has the shape of the first picture; the
// first that shows a card that can be used is what the others with a card are
// steadied on.
func (v *view) flickOf(photos []*journal.Photo) *flick {
	first := photos[0]
	shape := min(max(float64(first.Height)/float64(first.Width), 0.5), 1)
	f := &flick{width: frameWide, height: int(math.Round(frameWide * shape))}
	var anchor *anchored
	for _, p := range photos {
		one := flickFrame{photo: p, laid: asTaken(p, f.width, f.height), like: first}
		if r := card.Best(v.State, p); r != nil {
			switch {
			case r.Tilt > mostTilt:
				one.unsteady = say.Of("its card is tilted by about %s°", say.Decimal(r.Tilt, 0))
			case anchor == nil:
				anchor = &anchored{p, r, one.laid.From}
				one.steady = true
			default:
				var from card.Homography
				if from, one.unsteady = anchor.steady(p, r, f); one.unsteady.Key == "" {
					one.laid.From, one.steady = from, true
				}
			}
			if !one.steady {
				f.cards++
			}
		}
		if g := v.gray(p); g.Why == "" {
			one.laid.Gain, one.like = g.Gain, nil
			f.grayed++
		}
		f.frames = append(f.frames, one)
	}
	for i := range f.frames {
		one := &f.frames[i]
		if one.steady {
			f.steadied++
		}
		if one.like == one.photo {
			one.like = nil
		}
		one.stem = one.name(f.frames[0].laid.Gain)
	}
	if f.steadied == 1 { // a card alone steadies nothing
		f.steadied = 0
	}
	return f
}

// asTaken lays all of a picture into the middle of a frame.
func asTaken(p *journal.Photo, width, height int) media.Laid {
	by := math.Max(float64(p.Width)/float64(width), float64(p.Height)/float64(height))
	dx, dy := (float64(p.Width)-by*float64(width))/2, (float64(p.Height)-by*float64(height))/2
	return media.Laid{From: card.Homography{by, 0, dx, 0, by, dy, 0, 0, 1}, Width: width, Height: height,
		Ground: frameGround}
}

// anchored is the picture that others are steadied on.
type anchored struct {
	photo *journal.Photo
	ruler *card.Ruler
	from  card.Homography // pixels of the frame to its own
}

// steady lays a picture so that its card covers that of the anchor: shifted, turned
// and scaled as the plane of both says, and not bent, because the work stands up from
// the plane. why says that it stays as taken.
func (a *anchored) steady(p *journal.Photo, r *card.Ruler, f *flick) (from card.Homography, why say.Text) {
	if apart := a.ruler.MMPerPixel / r.MMPerPixel; max(apart, 1/apart) > mostApart {
		return from, say.Of("its scale is %s times apart", say.Decimal(max(apart, 1/apart), 1))
	}
	back := a.ruler.Plane.Inverse()
	var at, to [][2]float64
	for _, c := range a.ruler.Corners {
		x, y := back.At(c[0], c[1])
		u, w := r.Plane.At(x, y)
		at, to = append(at, c), append(to, [2]float64{u, w})
	}
	s, err := metrics.SimilarityOf(at, to)
	if err != nil || !(s.Scale > 0) {
		return from, say.Of("its card fixes no scale")
	}
	sin, cos := math.Sincos(s.Turn)
	from = a.from.Then(card.Homography{
		s.Scale * cos, -s.Scale * sin, s.DX, s.Scale * sin, s.Scale * cos, s.DY, 0, 0, 1})
	if a.unsure(r, s, f) > mostUnsure*float64(f.width) {
		return from, say.Of("its card is too small to say how the picture lies")
	}
	x, y := from.Inverse().At(float64(p.Width)/2, float64(p.Height)/2)
	moved := math.Hypot(x-float64(f.width)/2, y-float64(f.height)/2)
	if moved > mostMoved*float64(f.width) || inside(from, p, f) < leastInside {
		return from, say.Of("its card lies elsewhere")
	}
	return from, say.Text{}
}

// unsure is how far, in pixels of the frame, a picture may be off at the frame's
// corners by the standard errors of the cards' corners. Of a square of side l whose
// four corners are known to within sd, the middle is known to sd/2 and the turn and
// the scale to sd/(l√2): the variances of a least-squares fit.
func (a *anchored) unsure(r *card.Ruler, s metrics.Similarity, f *flick) float64 {
	middle, long := [2]float64{}, 0.0
	back := a.from.Inverse()
	for i, c := range a.ruler.Corners {
		x, y := back.At(c[0], c[1])
		middle[0], middle[1] = middle[0]+x/4, middle[1]+y/4
		next := a.ruler.Corners[(i+1)%4]
		long += math.Hypot(next[0]-c[0], next[1]-c[1]) / a.from[0] / 4
	}
	sd := math.Hypot(a.ruler.SD, r.SD/s.Scale) / a.from[0]
	worst := 0.0
	for _, c := range [4][2]float64{{0, 0}, {float64(f.width), 0}, {0, float64(f.height)},
		{float64(f.width), float64(f.height)}} {
		d := math.Hypot(c[0]-middle[0], c[1]-middle[1])
		worst = max(worst, sd*math.Sqrt(0.25+d*d/(2*long*long)))
	}
	return worst
}

// inside is the share of the frame that a picture fills.
func inside(from card.Homography, p *journal.Photo, f *flick) float64 {
	const across, down = 24, 18
	n := 0
	for i := range across * down {
		x, y := from.At((float64(i%across)+0.5)*float64(f.width)/across, (float64(i/across)+0.5)*float64(f.height)/down)
		if x >= 0 && y >= 0 && x <= float64(p.Width) && y <= float64(p.Height) {
			n++
		}
	}
	return float64(n) / (across * down)
}

// name names the file of a frame after all that goes into it, so that another stands
// beside it when anything changes.
func (f *flickFrame) name(likeGain card.Correction) string {
	h := sha256.New()
	p := f.photo
	fmt.Fprintln(h, "flick 1", p.Hash, p.Width, p.Height, p.Turn, f.laid)
	if f.like != nil {
		fmt.Fprintln(h, f.like.Hash, f.like.Turn, likeGain)
	}
	return fmt.Sprintf("flick-%x", h.Sum(nil)[:6])
}

// files are the names of the frames' files, below the pages folder.
func (f *flick) files() []string {
	var names []string
	for _, one := range f.frames {
		names = append(names, sizeName(one.stem, f.width))
	}
	return names
}

// flicks are those of all builds, in their order.
func (v *view) flicks() []*flick {
	var out []*flick
	for _, b := range v.order {
		if f := v.flick(b); f != nil {
			out = append(out, f)
		}
	}
	return out
}

// flickWords say what was done to the pictures, sentence by sentence.
func (in voice) flickWords(f *flick) []string {
	n := len(f.frames)
	var out []string
	switch {
	case f.steadied > 0 && f.steadied == n:
		out = append(out, in.Say("Each picture is shifted, turned and scaled so that its bench card lies where that of the first one does."))
	case f.steadied > 0:
		out = append(out, in.Say("%d of the %d pictures are shifted, turned and scaled so that their bench cards lie in one place; the others are as taken.",
			f.steadied, n))
	default:
		out = append(out, in.Say("The pictures stand as they were taken: no two of them show a bench card by which they could be steadied."))
	}
	if f.cards > 0 {
		out = append(out, in.Say("%d pictures show a card that steadies nothing, and its picture is as taken.", f.cards))
	}
	switch f.grayed {
	case 0:
		out = append(out, in.Say("The light is evened by the edge of the pictures, where the bench is: by half of what they differ, and by half a stop at most."))
	case n:
		out = append(out, in.Say("The light is evened by the cards' gray steps."))
	default:
		out = append(out, in.Say("The light of %d is evened by the cards' gray steps; that of the others by the edge of the pictures, where the bench is: by half of what they differ, and by half a stop at most.",
			f.grayed))
	}
	return append(out, in.Say("Nothing was sharpened or retouched."))
}
