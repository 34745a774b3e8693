// This file keeps at hand the latest of a journal: all after a moment over which nothing
// hangs. The photos of an evening by cards, what is corrected or taken back of the last
// weeks: any of them may change what other records of that time say, and nothing before.
// So the records of that time are kept (ground.go) and folded anew by the fold itself
// (advance_tail.go), with what has to be known of the time before (tail_begin.go).
//
// Who asks for more than that, a correction of an older session, parts opened again,
// another plan, waits for a fold of all. TestIndexAgrees holds one against the other.

package journal

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"rakelight/journal/record"
)

// tail is the latest of a journal, with what has to be known to fold it alone.
type tail struct {
	Since   time.Time // after it begins all that is of the tail, by far; zero = there is none
	Records []Record  // that had a say in it and stand, in their order
	Hidden  bool      // files were put aside that count for nothing by now

	// What cards after Since may hang on.
	Cards   bool        // there are any before
	Last    string      // build worked on last
	LastAt  time.Time   // when
	Pauses  []Pause     // as they stood
	Shown   []shownThen // cards that may lie in view
	Works   []workedThen
	Counted int // photos with instants
}

// shownThen is a card in the latest picture that showed it.
type shownThen struct {
	Text string
	showing
}

// workedThen is the place of the latest picture of work by a camera.
type workedThen struct {
	Camera Camera
	Place  int
}

// Bounds of a tail. It should hold some weeks at the bench, and be read quickly.
var (
	tailLeast = 60   // sessions and photos, if nights can be found that far back
	tailMost  = 1500 // records, until a nearer night is looked for
)

// tailMargin is how far apart two things are that cannot meet.
func tailMargin(c Config) time.Duration {
	return max(c.LongestTimer(), c.Silence(), c.Twice(), c.Retake(), c.SettleTime(), CardHold, CardAfter, CardCameras,
		burstGap, seriesStop) + time.Minute
}

// tailKind reports whether a record is of those that have a say in what they name and in the
// time around it, and nowhere else.
func tailKind(r Record) bool {
	return is[BeginBody](r) || is[WorkBody](r) || is[EndBody](r) || is[BreakBody](r) || is[DoneBody](r) ||
		is[CorrectBody](r) || is[PhotoBody](r) || is[TagBody](r) || is[CardBody](r) || is[DatedBody](r) ||
		is[BesideBody](r) || is[PauseBody](r) || is[ResumeBody](r)
}

// named is what a record of a tail may name, and when.
type named struct {
	Session, Photo, Hash, Build string
	Start, End, At, From        time.Time
	Minutes                     float64
}

// of tells whether a record had a say in the tail of a fold.
func (t *tail) of(f *folding, r Record, n named) bool {
	session := func(id string) bool {
		s := f.sessions[cmp.Or(f.alias[id], id)]
		return s != nil && s.Start.After(t.Since)
	}
	photo := func(hash string) bool {
		p := f.shown(hash)
		return p != nil && p.Instant.At.After(t.Since)
	}
	switch {
	case is[BeginBody](r), is[WorkBody](r):
		return session(r.ID())
	case is[DoneBody](r) && n.Session == "", is[ResumeBody](r):
		return n.At.After(t.Since)
	case is[EndBody](r), is[BreakBody](r), is[DoneBody](r), is[CorrectBody](r):
		return session(n.Session)
	case is[PhotoBody](r):
		return photo(n.Hash)
	case is[TagBody](r), is[CardBody](r), is[DatedBody](r), is[BesideBody](r):
		return photo(n.Photo)
	case is[PauseBody](r):
		return n.From.After(t.Since)
	}
	return false
}

// ofPast tells whether what is said of many pictures had a say in the tail.
func (t *tail) ofPast(f *folding, r Record) bool {
	b, err := read[PastBody](r)
	return err == nil && slices.ContainsFunc(b.Photos, func(hash string) bool {
		p := f.shown(hash)
		return p != nil && p.Instant.At.After(t.Since)
	})
}

// settleTail finds the tail of a fold.
func (f *folding) settleTail(records []Record, gone gone) {
	t := &f.ground.Tail
	if f.seed != nil {
		*t = *f.seed
		t.Records = nil
	}
	t.Hidden = t.Hidden || len(f.asides) > len(f.state.Asides)
	said := make([]named, len(records))
	for i, r := range records {
		if tailKind(r) && !gone.has(r) && json.Unmarshal(r.Body, &said[i]) != nil {
			f.ground.Tail = tail{}
			return
		}
	}
	if f.seed == nil || len(records) > tailMost {
		if since := f.nightBefore(records, said, gone); since.After(t.Since) {
			f.endTail(since, records, said, gone)
		}
	}
	for i, r := range records {
		if !gone.has(r) && (tailKind(r) && t.of(f, r, said[i]) || is[PastBody](r) && t.ofPast(f, r)) {
			t.Records = append(t.Records, r)
		}
	}
	if t.Since.IsZero() || !f.tailStandsAlone() {
		f.ground.Tail = tail{}
	}
}

// tailStandsAlone reports whether nothing else had a say in the tail.
func (f *folding) tailStandsAlone() bool {
	t := &f.ground.Tail
	by := map[string]bool{}
	for _, r := range t.Records {
		by[r.ID()] = true
	}
	for _, p := range f.state.Problems {
		if by[p.Record] {
			return false
		}
	}
	for _, s := range f.state.Sessions {
		if s.Start.After(t.Since) && (strings.Contains(s.ID, "~") || len(s.Again) > 0 || s.Reopened > 0) {
			return false
		}
	}
	for _, one := range f.log.joined {
		if p := f.shown(one.hash); p != nil && p.Instant.At.After(t.Since) != one.at.After(t.Since) {
			return false
		}
	}
	for _, p := range f.state.Photos {
		if p.Instant.At.After(t.Since) && p.CardsBy != "" && !by[p.CardsBy] {
			return false // a sheet says what its cards say
		}
	}
	return true
}

// keep takes what a record of the quick way changes into the tail, or lets go of the
// tail where it can no longer stand alone.
func (t *tail) keep(add []Record, s *State, changes []change) {
	if t.Since.IsZero() {
		return
	}
	for _, c := range changes {
		if c.old != nil && c.old.Start.After(t.Since) != c.new.Start.After(t.Since) {
			*t = tail{}
			return
		}
	}
	records := slices.Clip(t.Records)
	for _, r := range add {
		if !tailKind(r) {
			continue
		}
		at, ok := t.when(r, s)
		switch {
		case !ok || !at.to.Before(t.Since.Add(-tailMargin(s.Config))) && !at.from.After(t.Since):
			*t = tail{}
			return
		case at.from.After(t.Since):
			records = append(records, r)
		case is[PauseBody](r), is[ResumeBody](r), (is[BeginBody](r) || is[WorkBody](r)) && at.from.After(t.LastAt):
			*t = tail{}
			return
		}
	}
	slices.SortStableFunc(records, record.Compare)
	t.Records = records
}

// when is from when to when a record has a say.
func (t *tail) when(r Record, s *State) (at spell, ok bool) {
	var n named
	if json.Unmarshal(r.Body, &n) != nil {
		return spell{}, false
	}
	switch {
	case is[BeginBody](r), is[WorkBody](r):
		n.Session = r.ID()
	case is[PhotoBody](r), is[TagBody](r):
		p, _, kept := s.Kept(cmp.Or(n.Hash, n.Photo))
		if !kept {
			return spell{}, false
		}
		at.add(p.Instant.At)
		return at, true
	case is[PauseBody](r):
		at.add(n.From)
		return at, true
	case is[ResumeBody](r):
		at.add(n.At)
		return at, true
	}
	one := s.Session(n.Session)
	if one == nil {
		return spell{}, false
	}
	at.add(one.Start)
	at.add(one.End)
	if at.add(n.Start); one.Open {
		at.add(time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC))
	}
	return at, true
}
