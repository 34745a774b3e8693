// Cameras whose clocks were wrong, as far as their evenings tell: moved by one length,
// they fall on evenings on which other cameras took pictures.

package past

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
)

// Clock is a guess at how far a camera's clock was off: moved by Fast, its evenings
// fall on evenings on which other cameras took pictures too. Only a person makes it a
// record (entry.Clock).
type Clock struct {
	Camera    journal.Camera
	Fast      time.Duration // how far it was ahead; below 0 = behind
	Low, High time.Duration // all from Low to High explain as many evenings
	From, To  string        // YYYY-MM-DD, its first and last day as it showed them
	Pictures  int
	Evenings  int  // its evenings
	Would     int  // of those, evenings of others when it is moved
	Does      int  // of those, evenings of others as it is
	Rival     int  // of those, evenings of others at any length far from this
	Phones    bool // the others set their clocks by the network, as phones do
}

// How sure a guess must be. A wrong one moves pictures to where they never were.
const (
	clockSlack    = 30 * time.Minute // two cameras of one evening need not be used at once
	leastEvenings = 6                // of the camera
	leastWould    = 0.5              // of its evenings are those of others, moved
	mostDoes      = 0.7              // of Would as it is: else it is not plainly wrong
	mostRival     = 0.75             // of Would, at any length far from it
	farthestClock = 40 * 365 * 24 * time.Hour
)

// guessClocks looks at each camera whose clock nobody vouches for.
func (s *Survey) guessClocks() {
	shots := map[journal.Camera][]*Picture{}
	for _, p := range s.Pictures {
		if p.Placed == AsTaken && p.Instant.ByClock() && p.Camera != (journal.Camera{}) {
			shots[p.Camera] = append(shots[p.Camera], p)
		}
	}
	var cameras []journal.Camera
	vouched := map[journal.Camera]bool{}
	for c, pictures := range shots {
		slices.SortStableFunc(pictures, func(a, b *Picture) int { return a.At.Compare(b.At) })
		cameras = append(cameras, c)
		vouched[c] = vouches(pictures)
	}
	slices.SortFunc(cameras, func(a, b journal.Camera) int {
		return cmp.Or(len(shots[b])-len(shots[a]),
			strings.Compare(a.Make+a.Model+a.Serial, b.Make+b.Model+b.Serial))
	})
	phones := slices.ContainsFunc(cameras, func(c journal.Camera) bool { return vouched[c] })
	if !phones && len(cameras) > 0 {
		vouched[cameras[0]] = true // the one most used stands for the bench
	}
	var others []*Picture
	for _, c := range cameras {
		if vouched[c] {
			others = append(others, shots[c]...)
		}
	}
	slices.SortStableFunc(others, func(a, b *Picture) int { return a.At.Compare(b.At) })
	with := sittings(others)
	for _, c := range cameras {
		if vouched[c] {
			continue
		}
		if guess, ok := guessClock(sittings(shots[c]), with); ok {
			guess.Camera, guess.Pictures, guess.Phones = c, len(shots[c]), phones
			guess.From = shots[c][0].Instant.Shown().Format(time.DateOnly)
			guess.To = shots[c][len(shots[c])-1].Instant.Shown().Format(time.DateOnly)
			s.Clocks = append(s.Clocks, guess)
			for _, p := range shots[c] {
				p.At, p.Placed = p.At.Add(-guess.Fast), ByClock
			}
		}
	}
}

// vouches reports whether a camera sets its clock by the network: it states its offset,
// or satellites or its file names agree with it, in every fifth picture at least.
func vouches(pictures []*Picture) bool {
	n := 0
	for _, p := range pictures {
		in := p.Instant
		if in.Corrected.Any() || in.Offset == journal.StatedOffset || in.Offset == journal.FromGPS {
			n++
		}
	}
	return 5*n >= len(pictures)
}

// sitting is a stretch without a long gap.
type sitting struct{ first, last time.Time }

// sittings are those of pictures in the order of At.
func sittings(pictures []*Picture) []sitting {
	var all []sitting
	for _, p := range pictures {
		if n := len(all); n > 0 && p.At.Sub(all[n-1].last) < EveningGap {
			all[n-1].last = p.At
			continue
		}
		all = append(all, sitting{p.At, p.At})
	}
	return all
}

// shifts is a range of shifts at which so many sittings coincide with those of others.
type shifts struct {
	from, to time.Duration
	n        int
}

// coincide counts, for every shift, how many sittings coincide with those of others
// when they are moved back by it.
func coincide(own, others []sitting) []shifts {
	type edge struct {
		at   time.Duration
		step int
	}
	var edges []edge
	for _, a := range own {
		var spans []shifts
		for _, b := range others {
			from, to := a.first.Sub(b.last)-clockSlack, a.last.Sub(b.first)+clockSlack
			if from < farthestClock && to > -farthestClock {
				spans = append(spans, shifts{from: from, to: to})
			}
		}
		slices.SortFunc(spans, func(a, b shifts) int { return cmp.Compare(a.from, b.from) })
		for i := 0; i < len(spans); { // others side by side count a sitting once
			one := spans[i]
			for i++; i < len(spans) && spans[i].from <= one.to; i++ {
				one.to = max(one.to, spans[i].to)
			}
			edges = append(edges, edge{one.from, 1}, edge{one.to, -1})
		}
	}
	slices.SortFunc(edges,
		func(a, b edge) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(b.step, a.step)) })
	var all []shifts
	n := 0
	for i, e := range edges {
		n += e.step
		if i+1 < len(edges) && edges[i+1].at > e.at {
			all = append(all, shifts{e.at, edges[i+1].at, n})
		}
	}
	return all
}

// at is how many sittings coincide at one shift.
func at(all []shifts, shift time.Duration) int {
	i, _ := slices.BinarySearchFunc(all, shift,
		func(s shifts, shift time.Duration) int { return cmp.Compare(s.to, shift) })
	if i < len(all) && all[i].from <= shift {
		return all[i].n
	}
	return 0
}

// Tiers of shifts, the likely ones first: hours that somebody set wrong, years, and
// anything, as after a battery. Each is asked only where the one before explains
// nothing, because the more shifts there are the more agree by chance. Hours are held
// against other hours, the rest against any.
var tiers = []func(shift time.Duration) bool{
	func(s time.Duration) bool { return s.Abs() <= 26*time.Hour },
	func(s time.Duration) bool {
		const day = 24 * time.Hour
		years := (s.Abs() + 5*day) / (365 * day)
		over := s.Abs() - years*365*day // as many leap days as there are
		return years > 0 && over >= -2*day && over <= (years/4+3)*day
	},
	func(time.Duration) bool { return true },
}

// guessClock finds how far the sittings of a camera are off from those of others; ok
// is false where nothing says that they are.
func guessClock(own, others []sitting) (c Clock, ok bool) {
	if len(own) < leastEvenings || len(others) < leastEvenings {
		return c, false
	}
	all := coincide(own, others)
	c.Evenings, c.Does = len(own), at(all, 0)
	for i, in := range tiers {
		best := shifts{}
		for _, one := range all {
			if one.n > best.n && in((one.from+one.to)/2) {
				best = one
			}
		}
		rival := 0
		for _, one := range all {
			far := one.to < best.from-12*time.Hour || one.from > best.to+12*time.Hour
			if far && (i > 0 || in((one.from+one.to)/2)) {
				rival = max(rival, one.n)
			}
		}
		sure := float64(best.n) >= leastWould*float64(len(own)) && best.n >= leastEvenings &&
			float64(rival) <= mostRival*float64(best.n)
		if !sure {
			continue
		}
		if float64(c.Does) > mostDoes*float64(best.n) {
			return c, false // it is right, or so little wrong that evenings do not tell
		}
		c.Low, c.High = best.from, best.to
		c.Fast, c.Would, c.Rival = plainest(best.from, best.to), best.n, rival
		return c, true
	}
	return c, false
}

// plainest is the shift between two that a person would most easily have made: whole
// days, twelve hours, whole hours; else their middle, to the minute.
func plainest(low, high time.Duration) time.Duration {
	middle := (low + high) / 2
	for _, step := range []time.Duration{24 * time.Hour, 12 * time.Hour, time.Hour} {
		if near := middle.Round(step); near >= low && near <= high && near != 0 {
			return near
		}
	}
	return middle.Round(time.Minute)
}
