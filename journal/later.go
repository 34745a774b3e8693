// This file lets a state be read without its photos, for commands at the bench:
// twenty thousand photos tell nothing of an evening that begins. Who asks for them
// gets them, and what is asked of all photos often is at hand.

package journal

import (
	"sync"
	"time"
)

// laterPhotos are the photos of a state, as long as nobody asked for them.
type laterPhotos struct {
	once  sync.Once
	read  func() []*Photo
	near  func(words ...string) ([]*Photo, bool) // those among which a word stands; false = nobody knows
	all   []*Photo
	shown map[string]shownBuild
}

// shownBuild is what the photos of a build tell of it as a whole.
type shownBuild struct {
	First, Last string // days of its photos, YYYY-MM-DD; "" = of none the day is known
	Earliest    When   // the same of photos whose day is doubted or known within bounds
	Latest      When
	Finished    *Photo // the latest that shows it finished, nil = none does
}

// photos are the photos of the state by instant. Whoever may be asked by a command at
// the bench takes them from here.
func (s *State) photos() []*Photo {
	if s.later == nil {
		return s.Photos
	}
	s.later.once.Do(func() { s.later.all = s.later.read() })
	return s.later.all
}

// photosRead are the photos as far as they were read: all of them, or none.
func (s *State) photosRead() []*Photo {
	if s.later == nil {
		return s.Photos
	}
	return s.later.all
}

// photosNaming are photos of the state, all those among them in which any of the words
// stands.
func (s *State) photosNaming(words ...string) []*Photo {
	if s.later != nil {
		if some, ok := s.later.near(words...); ok {
			return some
		}
	}
	return s.photos()
}

// whole lets the photos stand in the state, so that they can be changed.
func (s *State) whole() { s.Photos, s.later = s.photos(), nil }

// shownOf is what the photos of a build tell of it.
func (s *State) shownOf(build string) shownBuild {
	if s.later != nil {
		return s.later.shown[build]
	}
	var b shownBuild
	for _, p := range s.Photos {
		if p.Tags.Build == build {
			b.see(p)
		}
	}
	return b
}

// see adds a photo of the build, none of them taken after it.
func (b *shownBuild) see(p *Photo) {
	if p.Tags.Role == "finished" {
		b.Finished = p
	}
	if p.Instant.Doubts.Any() {
		b.seeVague(p)
		return
	}
	// The zone of each photo tells its day, so days do not go as moments do.
	day := p.Instant.At.Format(time.DateOnly)
	if b.First == "" {
		b.First = day
	}
	b.First, b.Last = min(b.First, day), max(b.Last, day)
}

// seeVague adds one whose time is in doubt.
func (b *shownBuild) seeVague(p *Photo) {
	w, ok := p.between()
	if !ok {
		return
	}
	w.Date = w.sure()
	if at := b.Earliest; at.Date == "" || w.to < at.to || w.to == at.to && w.from > at.from {
		b.Earliest = w
	}
	if at := b.Latest; at.Date == "" || w.from > at.from || w.from == at.from && w.to < at.to {
		b.Latest = w
	}
}

// shownBuilds is what the photos tell of each build.
func shownBuilds(photos []*Photo) map[string]shownBuild {
	all := map[string]shownBuild{}
	for _, p := range photos {
		b := all[p.Tags.Build]
		b.see(p)
		all[p.Tags.Build] = b
	}
	return all
}
