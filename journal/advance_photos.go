// This file goes on from the photos of a state: those that come, and those that
// records tag otherwise.

package journal

import (
	"maps"
	"slices"
	"time"
)

// takePhotos adds photos that nothing was known of.
func (a *advancing) takePhotos() bool {
	if len(a.photos) == 0 {
		return true
	}
	s, g := a.f.state, &a.f.ground
	s.Photos = slices.Clone(s.Photos)
	for _, r := range a.photos {
		b, err := read[PhotoBody](r)
		if err != nil || len(b.Cards) > 0 || g.Absent[b.Hash] ||
			slices.ContainsFunc(s.Asides, func(one Aside) bool { return one.Hash == b.Hash }) {
			return false
		}
		if _, _, kept := s.Kept(b.Hash); kept {
			return false
		}
		one := folding{state: s, bodies: photoCache{}, photos: map[string]*Photo{}, taggedAt: map[string][]time.Time{}}
		if one.photo(r) != nil {
			return false
		}
		p := one.photos[b.Hash]
		p.Instant = correctClock(p.Instant, p.Camera, s.Clocks, s.ZoneAt(p.Instant.At))
		if !g.Cards.IsZero() && !p.Instant.At.After(g.Cards) {
			return false
		}
		if !p.Instant.At.Equal(b.Instant.At) {
			g.Moved = true
			s.tagAgain(p)
		}
		if len(s.Cards) > 0 && p.wantsSession() {
			s.tagAgain(p)
		}
		if c, ok := p.openClip(); ok {
			g.Clips = append(slices.Clip(g.Clips), c)
		}
		a.insert(p)
	}
	return true
}

// wantsSession reports whether cards let the sessions be asked again about a photo.
func (p *Photo) wantsSession() bool {
	return p.Tags.Build == "" || p.Why["build"].BySession() || p.Why["stage"].BySession() || p.Tags.Stage == ""
}

// insert puts a photo into its place.
func (a *advancing) insert(p *Photo) {
	s := a.f.state
	i, _ := slices.BinarySearchFunc(s.Photos, p, orderOfPhotos)
	s.Photos = slices.Insert(s.Photos, i, p)
	a.fresh = append(a.fresh, p)
}

// renew puts a photo that may be changed in the place of one.
func (a *advancing) renew(p *Photo) *Photo {
	if slices.Contains(a.fresh, p) {
		return p
	}
	if len(a.fresh) == 0 {
		a.f.state.Photos = slices.Clone(a.f.state.Photos)
	}
	one := *p
	one.Why, one.Tags.Parts = maps.Clone(p.Why), slices.Clone(p.Tags.Parts)
	a.f.state.Photos[slices.Index(a.f.state.Photos, p)] = &one
	a.fresh = append(a.fresh, &one)
	return &one
}

// burst finds the burst of a photo anew, and those of the photos beside it.
func (a *advancing) burst(p *Photo) {
	s := a.f.state
	near := func(x, y *Photo) bool { return y.Instant.At.Sub(x.Instant.At).Abs() <= burstGap }
	at := slices.Index(s.Photos, p)
	if at < 0 {
		return // another has its place by now
	}
	from, to := at, at+1
	for from > 0 && near(s.Photos[from-1], s.Photos[from]) {
		from--
	}
	for to < len(s.Photos) && near(s.Photos[to-1], s.Photos[to]) {
		to++
	}
	stretch := s.Photos[from:to]
	alone := make([]*Photo, len(stretch))
	for i, one := range stretch {
		copied := *one
		copied.Burst, alone[i] = "", &copied
	}
	(&State{Photos: alone}).foldBursts()
	for i, one := range alone {
		if stretch[i].Burst != one.Burst {
			a.renew(stretch[i]).Burst = one.Burst
		}
	}
}
