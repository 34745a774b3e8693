// This file finds the moment at which a tail begins, a night over which nothing hangs,
// and notes what has to be known of the time before to fold the tail alone.

package journal

import (
	"cmp"
	"slices"
	"time"
)

// cardLog is what befell while cards were read, for a tail to go on from.
type cardLog struct {
	shown  []shownThen
	photos []loggedPhoto
	runs   []loggedRun
	joined []joinedPhoto
}

// joinedPhoto is when a photo was taken, by itself, that lies beside another or has
// another beside it.
type joinedPhoto struct {
	hash string
	at   time.Time
}

type loggedPhoto struct {
	at     time.Time
	camera Camera
	work   bool
}

// loggedRun is how a run of cards stood at a moment.
type loggedRun struct {
	at, lastAt time.Time
	last       string
	resting    bool
}

// spell is from when to when something was.
type spell struct{ from, to time.Time }

// add lets the spell hold a moment.
func (s *spell) add(at time.Time) {
	if at.IsZero() {
		return
	}
	if s.from.IsZero() || at.Before(s.from) {
		s.from = at
	}
	if at.After(s.to) {
		s.to = at
	}
}

// nightBefore is a moment over which nothing hangs, with enough after it; the zero
// time where there is none.
func (f *folding) nightBefore(records []Record, said []named, gone gone) time.Time {
	spells, margin := f.spells(records, said, gone), tailMargin(f.state.Config)
	var least time.Time
	for _, at := range f.ground.Reopened {
		least = laterOf(least, at)
	}
	until := make([]time.Time, len(spells)+1) // of all before
	for i, s := range spells {
		until[i+1] = laterOf(until[i], s.to)
	}
	var night time.Time
	for i := len(spells) - 1; i > 0; i-- {
		since := until[i].Add(margin)
		if !spells[i].from.After(since) || until[i].IsZero() || !until[i].After(least) {
			continue
		}
		if night = since; len(spells)-i >= tailLeast {
			break
		}
	}
	return night
}

// laterOf is the later moment.
func laterOf(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// spells are those of all that is in a fold, in their order: with all that was said of
// them at any time.
func (f *folding) spells(records []Record, said []named, gone gone) []spell {
	sessions := map[string]*spell{}
	var all []spell
	for _, s := range f.sessions {
		one := &spell{}
		one.add(s.Start)
		one.add(s.End)
		if s.Open {
			one.add(time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC))
		}
		sessions[s.ID] = one
	}
	for i, r := range records {
		if !tailKind(r) || gone.has(r) {
			continue
		}
		n := said[i]
		id := n.Session
		if is[BeginBody](r) || is[WorkBody](r) {
			id = r.ID()
		}
		if one := sessions[cmp.Or(f.alias[id], id)]; one != nil {
			for _, at := range []time.Time{n.Start, n.End, n.Start.Add(minutes(n.Minutes))} {
				one.add(at)
			}
		} else if is[DoneBody](r) {
			all = append(all, spell{n.At, n.At})
		}
	}
	for _, one := range sessions {
		all = append(all, *one)
	}
	for _, p := range f.photos {
		all = append(all, spell{p.Instant.At, p.Instant.At})
	}
	for _, one := range f.log.joined {
		all = append(all, spell{one.at, one.at})
	}
	slices.SortFunc(all, func(a, b spell) int { return a.from.Compare(b.from) })
	return all
}

// endTail lets a tail begin at a moment, and notes what has to be known of before.
func (f *folding) endTail(since time.Time, records []Record, said []named, gone gone) {
	t, s := &f.ground.Tail, f.state
	t.Since = since
	t.Cards = t.Cards || slices.ContainsFunc(s.Cards, func(c CardSaid) bool { return !c.At.After(since) })
	t.Pauses = nil
	for _, p := range s.Pauses {
		if p.From.After(since) {
			continue
		}
		if p.Until.After(since) {
			p.Until = time.Time{}
		}
		t.Pauses = append(t.Pauses, p)
	}
	f.seedRun(since, records, said, gone)
	f.seedCards(since)
}

// seedRun notes which build was worked on last, as the run of cards knew it.
func (f *folding) seedRun(since time.Time, records []Record, said []named, gone gone) {
	t := &f.ground.Tail
	for _, one := range f.log.runs {
		if !one.at.After(since) {
			t.Last, t.LastAt = one.last, one.lastAt
			if one.resting {
				t.Since = time.Time{}
			}
		}
	}
	last := ""
	for i, r := range records {
		if !is[BeginBody](r) && !is[WorkBody](r) || gone.has(r) {
			continue
		}
		b, err := read[WorkBody](r)
		if err != nil {
			continue
		}
		start := said[i].Start
		if start.IsZero() {
			start = FirstMoment(b.Date, f.state.Zone)
		}
		vague := len(b.Date) != len(time.DateOnly) && !FirstMoment(b.Date, f.state.Zone).IsZero()
		if is[WorkBody](r) && vague ||
			start.After(since) || start.Before(t.LastAt) || start.Equal(t.LastAt) && (last == "" || r.ID() > last) {
			continue
		}
		t.Last, t.LastAt, last = b.Build, start, r.ID()
	}
}

// seedCards notes which cards may lie in view.
func (f *folding) seedCards(since time.Time) {
	t := &f.ground.Tail
	works, shown := map[Camera]int{}, map[string]showing{}
	for _, one := range t.Works {
		works[one.Camera] = one.Place
	}
	for _, one := range t.Shown {
		shown[one.Text] = one.showing
	}
	from := t.Counted
	for i, p := range f.log.photos {
		if p.at.After(since) {
			break
		}
		t.Counted = from + i + 1
		if p.work {
			works[p.camera] = from + i
		}
	}
	for _, one := range f.log.shown {
		if one.place < t.Counted {
			shown[one.Text] = one.showing
		}
	}
	t.Works, t.Shown = nil, nil
	for camera, place := range works {
		t.Works = append(t.Works, workedThen{camera, place})
	}
	for _, text := range sortedKeys(shown) {
		one := shown[text]
		if place, ok := works[one.photo.Camera]; !ok || place <= one.place {
			t.Shown = append(t.Shown, shownThen{text, one})
		}
	}
}
