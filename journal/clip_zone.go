// This file decides what the time in a clip's header means, UTC or the local time,
// where other photos of its camera tell. It is asked as a clip is taken in
// (media.Choose), and again in each fold for the clips that came with a doubt: a
// photo of the same minute that comes later settles it, and one that is taken back
// leaves it open again. The record keeps the doubt, with both readings.

package journal

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"time"

	"rakelight/journal/reason"
)

// MovieHeader is the source of an instant that a clip's header tells.
const MovieHeader = "movie header"

// headerSlack is how far two clocks' times of one clip may lie apart, beside its
// length: the header may be written when it begins or when it ends, the file some
// time after (common practice, no source).
const headerSlack = 2 * time.Minute

// NearHeader reports whether a moment is of a clip of that length by the time in its
// header.
func NearHeader(at, header time.Time, length time.Duration) bool {
	d := header.Sub(at)
	return d >= -headerSlack-length && d <= headerSlack+length
}

// ClipKin is what the other photos and clips of a camera tell of the headers of its
// clips.
type ClipKin struct {
	Photos []time.Time // moments of its photos, those not in doubt
	UTCs   int         // how many of its other clips are known to mean UTC
	Locals int         // and how many the local time
}

// Add takes in what a photo or a clip of the camera tells.
func (k *ClipKin) Add(p *Photo) {
	in := p.Instant
	switch {
	case in.Doubts.Any(), in.Source == FileTime:
	case !p.Clip():
		k.Photos = append(k.Photos, in.At)
	case in.Source == MovieHeader:
		k.count(in)
	}
}

// count takes in how the header of a clip is known to be meant. A habit is not made of
// itself.
func (k *ClipKin) count(in Instant) {
	switch {
	case in.Meant == "" || in.Meant == reason.ByHabit:
	case in.Offset == ByStandard:
		k.UTCs++
	default:
		k.Locals++
	}
}

// Tells is which of the two readings of a clip's header is meant, and by what: photos
// of its time before a habit of the camera. by is "" where nothing tells.
func (k ClipKin) Tells(utc, local time.Time, length time.Duration) (isUTC bool, by reason.Meant) {
	utcs, locals := 0, 0
	for _, at := range k.Photos {
		switch u, l := NearHeader(at, utc, length), NearHeader(at, local, length); {
		case u && !l:
			utcs++
		case l && !u:
			locals++
		}
	}
	switch {
	case (utcs > 0) != (locals > 0):
		return utcs > 0, reason.ByKin
	case k.UTCs > 0 && k.Locals == 0:
		return true, reason.ByHabit
	case k.Locals > 0 && k.UTCs == 0:
		return false, reason.ByHabit
	}
	return false, ""
}

// openClip is a clip whose header may tell UTC or the local time, as its record and
// the clocks have it.
type openClip struct {
	Hash   string
	Camera Camera
	Length time.Duration
	UTC    Instant // with the doubt
}

// openClip is the photo as such a clip. ok is false of all others, and where no camera
// is named whose other photos could tell.
func (p *Photo) openClip() (c openClip, ok bool) {
	_, read := p.Instant.headerWall()
	return openClip{p.Hash, p.Camera, time.Duration(p.Length) * time.Millisecond, p.Instant},
		read && p.Clip() && p.Camera.Model != "" && p.Instant.Doubts.Has(reason.UTCOrNot)
}

// headerWall is what the header's time reads, its digits in UTC.
func (in Instant) headerWall() (time.Time, bool) {
	wall, err := time.Parse(time.DateTime, strings.TrimSuffix(in.Wall, " UTC"))
	return wall, err == nil && in.Source == MovieHeader && in.Offset == ByStandard
}

// local is the other reading of its header.
func (c openClip) local(s *State) Instant {
	wall, _ := c.UTC.headerWall()
	in := c.UTC
	fast := ClockOf(s.Clocks, c.Camera, wall.Format(time.DateOnly))
	at, doubts := InZone(wall.Add(-fast), s.ZoneAt(wall))
	in.At, in.Wall, in.Offset = atOffset(asWall(at), offsetOf(at)), wall.Format(time.DateTime), HomeOffset
	in.Corrected = reason.Fault{Fast: fast}
	in.Doubts = append(in.Doubts.Without(reason.UTCOrNot), doubts...)
	return in
}

// decideClips are the instants of open clips by what all photos tell: first those that
// photos of their time settle, which may show a habit, then the rest by habit.
func (s *State) decideClips(open []openClip, photos []*Photo) []Instant {
	kin := make([]ClipKin, len(open))
	for _, p := range photos {
		if slices.ContainsFunc(open, func(c openClip) bool { return c.Hash == p.Hash }) {
			continue // what it tells is decided here
		}
		for i, c := range open {
			if p.Camera.Same(c.Camera) {
				kin[i].Add(p)
			}
		}
	}
	out := make([]Instant, len(open))
	for i, c := range open {
		habits := ClipKin{Photos: kin[i].Photos}
		out[i] = c.decided(s, habits)
	}
	for i, c := range open {
		for j, other := range open {
			if out[j].Meant == reason.ByKin && other.Camera.Same(c.Camera) {
				kin[i].count(out[j])
			}
		}
	}
	for i, c := range open {
		if out[i].Meant == "" {
			out[i] = c.decided(s, ClipKin{UTCs: kin[i].UTCs, Locals: kin[i].Locals})
		}
	}
	return out
}

// decided is the instant of the clip by what is known of its camera.
func (c openClip) decided(s *State, kin ClipKin) Instant {
	local := c.local(s)
	isUTC, by := kin.Tells(c.UTC.At, local.At, c.Length)
	switch {
	case by == "":
		return c.UTC
	case isUTC:
		in := c.UTC
		in.Meant, in.Doubts = by, in.Doubts.Without(reason.UTCOrNot)
		return in
	}
	local.Meant = by
	return local
}

// settleClips decides the open clips of a fold.
func (f *folding) settleClips() {
	var open []openClip
	for _, p := range f.photos {
		if c, ok := p.openClip(); ok {
			open = append(open, c)
		}
	}
	if f.ground.Clips = open; len(open) == 0 {
		return
	}
	photos := slices.AppendSeq(slices.Clone(f.basePhotos), maps.Values(f.photos))
	for i, in := range f.state.decideClips(open, photos) {
		c := open[i]
		if in.Meant == "" {
			continue
		}
		f.log.joined = append(f.log.joined, joinedPhoto{c.Hash, c.UTC.At}) // cards were read with it there
		f.photos[c.Hash].Instant = in
		f.settled[c.Hash] = true
	}
}

// clipsStay reports whether the photos that came or went leave the open clips as they
// are.
func (a *advancing) clipsStay() bool {
	s, open := a.f.state, a.f.ground.Clips
	if len(open) == 0 || !slices.ContainsFunc(slices.Concat(a.fresh, a.left), func(p *Photo) bool {
		return slices.ContainsFunc(open, func(c openClip) bool { return c.Camera.Same(p.Camera) })
	}) {
		return true
	}
	for i, in := range s.decideClips(open, s.photos()) {
		if p, _, ok := s.Kept(open[i].Hash); !ok || !reflect.DeepEqual(p.Instant, in) {
			return false
		}
	}
	return true
}

// spliceClips brings the open clips of a tail folded anew into those of all.
func (g *ground) spliceClips(anew *folding, left []*Photo) {
	of := map[string]bool{}
	for _, p := range slices.Concat(anew.state.Photos, left) {
		of[p.Hash] = true
	}
	clips := slices.DeleteFunc(slices.Clone(g.Clips), func(c openClip) bool { return of[c.Hash] })
	g.Clips = append(clips, anew.ground.Clips...)
}
