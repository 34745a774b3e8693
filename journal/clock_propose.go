// This file looks whether a camera's clock disagrees with the bench, and says
// on what evidence. It proposes; only a person decides.

package journal

import (
	"cmp"
	"slices"
	"time"
)

// ClockProposal is a correction the photos themselves suggest: moved by Fast,
// the camera's photos fall into the sessions in which another camera, whose
// clock agrees with the bench, took photos too.
type ClockProposal struct {
	Camera   CameraUse
	Beside   CameraUse     // the camera whose clock agrees
	Fast     time.Duration // whole minutes; negative = slow
	Low      time.Duration // the shifts from Low to High explain the photos equally well
	High     time.Duration
	Sessions int           // n: sessions both cameras were used in
	Days     int           // on so many days
	Photos   int           // photos of Camera looked at
	Inside   int           // of those, inside a session as the clock is
	Would    int           // of those, inside a session when moved
	Spread   time.Duration // between the quartiles of the offset, session by session
	From, To string        // YYYY-MM-DD, first and last day of the evidence, as the camera shows them
}

// How sure the proposal must be. A wrong proposal costs trust in all others,
// a missed one only means that the person looks at a photo; so each bound is
// on the careful side.
const (
	farthest      = 14 * time.Hour   // zones lie no farther apart, and the next evening is 24 h away
	leastSessions = 4                // fewer agree by chance
	leastDays     = 3                // one long day says one thing
	leastPhotos   = 12               // of the camera
	leastWould    = 0.9              // of its photos fall into sessions when moved
	mostInside    = 0.5              // of its photos do so unmoved: else it is not plainly wrong
	mostRival     = 0.7              // of Would, what any shift elsewhere explains
	widest        = 30 * time.Minute // from Low to High: else photos after each session look like a fast clock
	leastCover    = 0.4              // of a session's length lies between the camera's first and last photo in it
	mostSpread    = 40 * time.Minute
	leastBeside   = 0.9 // of the other camera's photos on those days fall into sessions as they are
)

// ProposeClocks returns what the photos suggest, by camera name. It is pure and
// looks only at sessions that were measured by something else than photos, and at photos whose hour the camera's clock
// told and nobody doubts. A camera that is corrected already is measured as
// corrected. Cameras used alone are never judged: the timer may be what is
// wrong.
func (s *State) ProposeClocks() []ClockProposal {
	var sorted []*Session
	for _, one := range s.Sessions {
		if one.Known == Measured && one.Series == "" && !one.Open && !one.Doubt.Any() && one.Kind != "wait" &&
			one.End.Sub(one.Start) >= 10*time.Minute {
			sorted = append(sorted, one)
		}
	}
	spans := spans{sorted, reachOf(sorted, 0)}
	shots := map[Camera][]*Photo{}
	for _, p := range s.photos() {
		if p.Instant.ByClock() && !p.Instant.Doubts.Any() {
			shots[p.Camera] = append(shots[p.Camera], p)
		}
	}
	cameras := s.Cameras()
	var out []ClockProposal
	for _, b := range cameras {
		photos := near(shots[b.Camera], spans)
		if len(photos) < leastPhotos {
			continue
		}
		inside := cover(photos, spans, 0)
		if float64(inside) > mostInside*float64(len(photos)) {
			continue
		}
		low, high, would := bestShift(photos, spans)
		if float64(would) < leastWould*float64(len(photos)) || high-low > widest {
			continue
		}
		for _, a := range cameras {
			if a.Camera == b.Camera {
				continue
			}
			p := ClockProposal{Camera: b, Beside: a, Low: low, High: high, Photos: len(photos), Inside: inside,
				Would: would}
			if p.weigh(photos, near(shots[a.Camera], spans), spans) {
				out = append(out, p)
				break // one witness is enough
			}
		}
	}
	return out
}

// spans are sessions by start, and the length of the longest.
type spans struct {
	sorted []*Session
	reach  time.Duration
}

func (b spans) around(at time.Time, within time.Duration) []*Session {
	return around(b.sorted, b.reach, at, within)
}

// near are the photos within reach of a session.
func near(photos []*Photo, spans spans) []*Photo {
	return keep(photos, func(p *Photo) bool {
		return slices.ContainsFunc(spans.around(p.Instant.At, farthest),
			func(s *Session) bool { return distance(s, p.Instant.At, 0) <= farthest })
	})
}

// sessionAt is the first session that covers the moment, or nil.
func sessionAt(spans spans, at time.Time) *Session {
	for _, s := range spans.around(at, 0) {
		if distance(s, at, 0) == 0 {
			return s
		}
	}
	return nil
}

// cover counts the photos that fall into a session when moved back by shift.
func cover(photos []*Photo, spans spans, shift time.Duration) int {
	n := 0
	for _, p := range photos {
		if sessionAt(spans, p.Instant.At.Add(-shift)) != nil {
			n++
		}
	}
	return n
}

// bestShift is the range of shifts that bring the most photos into sessions,
// and how many. When shifts elsewhere do nearly as well, it is none: 0 photos.
func bestShift(photos []*Photo, spans spans) (low, high time.Duration, most int) {
	// Each photo is inside for the shifts between its distances from a
	// session's two ends: a sweep over these edges counts every shift at once.
	type edge struct {
		at   time.Duration
		step int
	}
	var edges []edge
	for _, p := range photos {
		var inside []Span
		for _, s := range spans.around(p.Instant.At, farthest) {
			from, to := p.Instant.At.Sub(s.End), p.Instant.At.Sub(s.Start)
			if from <= farthest && to >= -farthest {
				inside = append(inside, Span{time.Time{}.Add(from), time.Time{}.Add(to)})
			}
		}
		for _, one := range joinSpans(inside) { // sessions side by side count a photo once
			edges = append(edges, edge{one.Start.Sub(time.Time{}), 1}, edge{one.End.Sub(time.Time{}), -1})
		}
	}
	slices.SortFunc(edges, func(a, b edge) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(b.step, a.step)) })
	type stretch struct {
		from, to time.Duration
		n        int
	}
	var all []stretch
	n := 0
	for i, e := range edges {
		n += e.step
		if i+1 < len(edges) {
			all = append(all, stretch{e.at, edges[i+1].at, n})
			if n > most {
				low, high, most = e.at, edges[i+1].at, n
			}
		}
	}
	// A photo or two at the edge must not make the range look narrow: all
	// shifts around that do nearly as well belong to it.
	enough := most - max(1, most/20)
	for grown := true; grown; {
		grown = false
		for _, one := range all {
			if one.n >= enough && one.from <= high && one.to >= low && (one.from < low || one.to > high) {
				low, high, grown = min(low, one.from), max(high, one.to), true
			}
		}
	}
	for _, one := range all {
		if (one.to < low-widest || one.from > high+widest) && float64(one.n) > mostRival*float64(most) {
			return 0, 0, 0
		}
	}
	return low, high, most
}

// joinSpans are spans sorted, those that overlap made one.
func joinSpans(spans []Span) []Span {
	slices.SortFunc(spans, func(a, b Span) int { return a.Start.Compare(b.Start) })
	var out []Span
	for _, s := range spans {
		if n := len(out) - 1; n >= 0 && !s.Start.After(out[n].End) {
			if s.End.After(out[n].End) {
				out[n].End = s.End
			}
			continue
		}
		out = append(out, s)
	}
	return out
}

// weigh fills in the evidence of the sessions both cameras were used in, and
// reports whether it is enough.
func (p *ClockProposal) weigh(photos, beside []*Photo, spans spans) bool {
	middle := (p.Low + p.High) / 2
	type use struct{ first, last time.Time }
	used := map[*Session]use{}
	for _, one := range photos {
		at := one.Instant.At.Add(-middle)
		s := sessionAt(spans, at)
		if s == nil {
			continue
		}
		u, ok := used[s]
		if !ok || at.Before(u.first) {
			u.first = at
		}
		if at.After(u.last) {
			u.last = at
		}
		used[s] = u
	}
	witnessed := map[*Session]bool{}
	days := map[string]bool{}
	for _, one := range beside {
		if s := sessionAt(spans, one.Instant.At); s != nil {
			witnessed[s] = true
		}
	}
	var offsets []time.Duration
	covering := 0
	for _, s := range spans.sorted { // by start
		u, ok := used[s]
		if !ok || !witnessed[s] {
			continue
		}
		p.Sessions++
		days[s.Date] = true
		// Moved by this, the camera's photos lie in the middle of the session.
		offsets = append(offsets, middle+(u.first.Sub(s.Start)-s.End.Sub(u.last))/2)
		if float64(u.last.Sub(u.first)) >= leastCover*float64(s.End.Sub(s.Start)) {
			covering++
		}
		if day := u.first.Add(middle).Format(time.DateOnly); p.From == "" {
			p.From = day
		}
		p.To = u.last.Add(middle).Format(time.DateOnly)
	}
	p.Days = len(days)
	if p.Sessions < leastSessions || p.Days < leastDays || 2*covering < p.Sessions {
		return false
	}
	onDays := keep(beside, func(one *Photo) bool { return days[one.Instant.At.Format(time.DateOnly)] })
	if float64(cover(onDays, spans, 0)) < leastBeside*float64(len(onDays)) {
		return false
	}
	slices.Sort(offsets)
	p.Spread = offsets[len(offsets)*3/4] - offsets[len(offsets)/4]
	if p.Spread > mostSpread {
		return false
	}
	p.Fast = min(max(median(offsets), p.Low), p.High).Round(time.Minute)
	return p.Fast != 0
}

func median(sorted []time.Duration) time.Duration {
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
