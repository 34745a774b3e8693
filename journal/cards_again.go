// This file tells a card that is shown anew from one that was seen before: taken
// twice, or left lying where the next photos are taken. A begin, an end, a pause,
// a count and a runner say what they say once; shown anew they say it again.
//
// Anew is
//
//   - a card that a person says is in the picture;
//   - a card in a picture of cards alone: it was taken to say something;
//   - a card that was away meanwhile: a picture of the work, of the camera that
//     saw it last or of the one that sees it now, does not show it. Pictures of
//     cards alone prove nothing, since they show hardly anything else;
//   - a card that was moved clearly.
//
// A camera held by hand moves the whole scene, and who walks round the bench
// turns it, so a place in the picture tells nothing by itself. But people point
// the camera at the work. Seen from the card, the middles of two pictures of the
// same work lie near each other, from wherever they were taken. The card was moved
// clearly where each of them lies outside the other picture: then the card lay
// between two things, or was laid down elsewhere. Less is no proof, and a card
// that only may have been moved is listed, with what to type if it was meant.
//
// Two pictures of a card within a short while may be one picture taken again,
// also where they show cards alone; so may those of two cameras, whose clocks
// differ by minutes. A card photographed meanwhile parts them.
//
// A card whose place in the picture no record tells counts as shown anew.

package journal

import (
	"cmp"
	"slices"
	"time"
)

// repeat is how a card was seen before. The zero repeat is a card shown anew.
type repeat struct {
	how   repeatKind
	since time.Time // of the picture that showed it before; of the first of those it lies in
	photo string    // hash of the picture of that card before
}

type repeatKind int

const (
	anew    repeatKind = iota
	twice              // within card-twice: surely the same
	retaken            // a little later, or by another camera: perhaps the same
	lying              // in view since
)

// CardCameras is within how much time two pictures of a card by two cameras, whose
// clocks may be off, may be of one moment.
const CardCameras = 5 * time.Minute

// showing is the latest picture that shows a card.
type showing struct {
	photo *Photo
	place int       // among all photos
	since time.Time // of the first picture it lies in
}

// saying is the latest picture in which a card counted as said.
type saying struct {
	photo *Photo
	place int // among the pictures that say anything
}

// watching walks over the photos in order and remembers what they showed.
type watching struct {
	f       *folding
	said    map[string]saying  // by the card's text
	shown   map[string]showing // by the card's text; cards that never said anything are none
	works   map[Camera]int     // place of the latest picture of work
	sayings int                // how many pictures said something
}

// repeats tells of each card how it was seen before.
func (f *folding) repeats(photos []*Photo, said []CardSaid) []repeat {
	of := map[string][]int{}
	for i, c := range said {
		of[c.Photo] = append(of[c.Photo], i)
	}
	w := watching{f: f, said: map[string]saying{}, shown: map[string]showing{}, works: map[Camera]int{}}
	from := 0
	if f.seed != nil {
		from = f.seed.Counted
		for _, one := range f.seed.Shown {
			w.shown[one.Text] = one.showing
		}
		for _, one := range f.seed.Works {
			w.works[one.Camera] = one.Place
		}
	}
	out := make([]repeat, len(said))
	for place, p := range photos {
		place += from
		work := !p.OfCards()
		for _, i := range of[p.Hash] {
			out[i] = w.look(p, work, said[i])
		}
		w.remember(p, place, said, of[p.Hash], out)
		if work && p.Width > 0 {
			w.works[p.Camera] = place
		}
		f.log.photos = append(f.log.photos, loggedPhoto{p.Instant.At, p.Camera, work && p.Width > 0})
	}
	return out
}

// photosInOrder are the photos whose instants are not in doubt, as cards are
// ordered.
func (f *folding) photosInOrder() []*Photo {
	var photos []*Photo
	for _, p := range f.photos {
		if certain(p.Instant) {
			photos = append(photos, p)
		}
	}
	slices.SortFunc(photos, inOrder)
	return photos
}

// again is a card that may be the one before. Where it would change something it
// is listed, else it says nothing new.
func (run *cardRun) again(c *CardSaid, before repeat) {
	s, changes := run.wouldChange(c)
	if s != nil {
		c.Session = s.ID
	}
	c.Did = CardCame{What: Lies, Since: before.since}
	switch {
	case !changes && before.how == retaken:
		run.once(c, before)
	case changes && before.how == retaken:
		c.Did.What = Retaken
	case changes:
		c.Did.What = InView
	}
}

// once is a card that is the one before.
func (run *cardRun) once(c *CardSaid, before repeat) {
	c.Did = CardCame{What: Once, Since: before.since}
	if c.Card.Says == BeginCard {
		first := cardSession(before.photo)
		run.f.alias[cardSession(c.Photo)] = cmp.Or(run.f.alias[first], first)
	}
}

// wouldChange is the session a card would go to if it were shown anew, and whether
// it would change anything. It leaves all as it is.
func (run *cardRun) wouldChange(c *CardSaid) (*Session, bool) {
	config := run.f.state.Config
	if c.Card.Says == BeginCard {
		s := run.runs(c.At, config.Silence())
		b, st, wrong := run.stage(c)
		switch {
		case wrong.Idle():
			return nil, false
		case s != nil && s.is(b, st):
			return s, false
		case s != nil:
			return nil, s == run.open // a begin beside a timer begins nothing
		}
		return nil, true
	}
	s := run.runs(c.At, config.LongestTimer())
	switch c.Card.Says {
	case BreakCard:
		// One that runs is ended by the photo itself, if it shows the work.
		return s, s != nil && !c.ofOther(s) && run.rest.session != s
	case PauseCard:
		build := run.pauseOf(c, s)
		runs := s != nil && !c.ofOther(s)
		return nil, build != "" && (runs || !run.asideAt(build, c.At))
	case EndCard:
		return nil, s != nil && !c.ofOther(s) && (s == run.open || !run.endSaid(s))
	}
	if s == nil {
		s = run.justEnded(c)
	}
	if s == nil || c.ofOther(s) {
		return nil, false
	}
	same := func(one cardRunner) bool { return one.session == s && one.text == c.Text }
	if c.Card.Says == CountCard {
		return s, c.Card.Count > 0 || !s.Counted
	}
	return s, !slices.ContainsFunc(run.f.runners, same)
}

// runs is the session at a moment, nil if the one by card had fallen silent.
func (run *cardRun) runs(at time.Time, limit time.Duration) *Session {
	if _, silent := run.fell(at, limit); silent {
		return run.timer(at)
	}
	return run.running(at)
}

// asideAt reports whether the build was put aside at the moment.
func (run *cardRun) asideAt(build string, at time.Time) bool {
	return slices.ContainsFunc(run.f.state.Pauses, func(p Pause) bool {
		return p.Build == build && !p.From.After(at) && (p.Until.IsZero() || p.Until.After(at))
	})
}

// look compares a card in a picture, of the work or of cards alone, with the
// pictures before.
func (w *watching) look(p *Photo, work bool, c CardSaid) repeat {
	byHand := p.CardsBy != ""
	if before, ok := w.said[c.Text]; ok && before.place == w.sayings {
		d, config := p.Instant.At.Sub(before.photo.Instant.At), w.f.state.Config
		switch {
		case d <= config.Twice():
			return repeat{twice, before.photo.Instant.At, before.photo.Hash}
		case byHand:
		case d <= config.Retake() || p.Camera != before.photo.Camera && d <= CardCameras:
			return repeat{retaken, before.photo.Instant.At, before.photo.Hash}
		}
	}
	before, ok := w.shown[c.Text]
	if !ok || byHand || !work || p.symbol(c.Text) == nil || w.away(before, p) || moved(before.photo, p, c.Text) {
		return repeat{}
	}
	return repeat{lying, before.since, before.photo.Hash}
}

// away reports whether a picture of the work, taken since by the camera that
// showed the card before or by the one that shows it now, was without it.
func (w *watching) away(before showing, now *Photo) bool {
	for _, camera := range []Camera{before.photo.Camera, now.Camera} {
		if place, ok := w.works[camera]; ok && place > before.place {
			return true
		}
	}
	return false
}

// remember adds a picture.
func (w *watching) remember(p *Photo, place int, said []CardSaid, of []int, out []repeat) {
	says := false
	for _, i := range of {
		says = says || !said[i].Did.Idle()
	}
	if says {
		w.sayings++
	}
	for _, i := range of {
		text, since := said[i].Text, p.Instant.At
		if !said[i].Did.Idle() {
			w.said[text] = saying{p, w.sayings}
		}
		if before, ok := w.shown[text]; ok && out[i].how != anew {
			since = before.since
		}
		w.show(text, showing{p, place, since})
	}
	for _, c := range p.Cards {
		// Of these a person said that they say nothing. They lie there all the same;
		// one that had come back is as if it were not there.
		if before, ok := w.shown[c.Text]; ok && before.place != place && !w.away(before, p) {
			w.show(c.Text, showing{p, place, before.since})
		}
	}
}

func (w *watching) show(text string, one showing) {
	w.shown[text] = one
	w.f.log.shown = append(w.f.log.shown, shownThen{text, one})
}

// symbol is the card of that text as it was seen in the picture, nil if it was
// not, or if nothing tells where.
func (p *Photo) symbol(text string) *CardSeen {
	i := slices.IndexFunc(p.Cards, func(c CardSeen) bool { return c.Text == text })
	if i < 0 || p.Width == 0 || p.Cards[i].Corners == [8]float64{} {
		return nil
	}
	return &p.Cards[i]
}

// moved reports whether the card was moved clearly between two pictures of the
// work by one camera: see the head of this file.
func moved(before, now *Photo, text string) bool {
	was, is := before.symbol(text), now.symbol(text)
	if was == nil || is == nil || before.Camera != now.Camera || before.OfCards() {
		return false
	}
	return !sees(before, frameOf(was), frameOf(is).from(now.middle())) &&
		!sees(now, frameOf(is), frameOf(was).from(before.middle()))
}

// sees reports whether a spot, told from the card, lies well within the picture.
func sees(p *Photo, card frame, spot [2]float64) bool {
	const edge = 0.05 // what lies nearer to the edge is not what a picture is of
	at, size := card.to(spot), p.stored()
	for i := range at {
		if at[i] < edge*size[i] || at[i] > (1-edge)*size[i] {
			return false
		}
	}
	return true
}

// stored is the picture's size as its pixels are stored, which is how corners are
// told.
func (p *Photo) stored() [2]float64 {
	if p.Turn >= 5 {
		return [2]float64{float64(p.Height), float64(p.Width)}
	}
	return [2]float64{float64(p.Width), float64(p.Height)}
}

func (p *Photo) middle() [2]float64 {
	size := p.stored()
	return [2]float64{size[0] / 2, size[1] / 2}
}

// frame is the plane about a card: pixels of its middle, and of the way along the
// upper edge of its symbol and down its left one. What tilt does to distances is
// left out: the question is too coarse for it.
type frame struct{ mid, along, down [2]float64 }

func frameOf(c *CardSeen) frame {
	var f frame
	k := c.Corners
	for i := range 2 {
		f.mid[i] = (k[i] + k[2+i] + k[4+i] + k[6+i]) / 4
		f.along[i] = (k[2+i] - k[i] + k[4+i] - k[6+i]) / 2
		f.down[i] = (k[6+i] - k[i] + k[4+i] - k[2+i]) / 2
	}
	return f
}

// from is a pixel as seen from the card, in sides of its symbol. A symbol without
// area sees every pixel at its own place.
func (f frame) from(at [2]float64) [2]float64 {
	area := f.along[0]*f.down[1] - f.along[1]*f.down[0]
	if area == 0 {
		return [2]float64{}
	}
	x, y := at[0]-f.mid[0], at[1]-f.mid[1]
	return [2]float64{(x*f.down[1] - y*f.down[0]) / area, (y*f.along[0] - x*f.along[1]) / area}
}

// to is the pixel of a spot as seen from the card.
func (f frame) to(spot [2]float64) [2]float64 {
	return [2]float64{f.mid[0] + spot[0]*f.along[0] + spot[1]*f.down[0],
		f.mid[1] + spot[0]*f.along[1] + spot[1]*f.down[1]}
}
