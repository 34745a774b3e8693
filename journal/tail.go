// This file folds the latest of a journal anew, alone: all after a moment over which
// nothing hangs. The photos of an evening by cards, what is corrected or taken back of
// the last weeks: any of them may change what other records of that time say, and
// nothing before. So the records of that time are kept at hand (ground.go) and folded
// by the fold itself, with what has to be known of the time before.
//
// Who asks for more than that, a correction of an older session, parts opened again,
// another plan, waits for a fold of all. TestIndexAgrees holds one against the other.

package journal

import (
	"bytes"
	"cmp"
	"encoding/json"
	"reflect"
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

// tailMargin is how far apart two things are that cannot meet.
func tailMargin(c Config) time.Duration {
	return max(c.LongestTimer(), c.Silence(), c.Twice(), c.Retake(), c.SettleTime(), CardHold, CardAfter, CardCameras,
		burstGap, seriesStop) + time.Minute
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

// advanceTail is advance by folding the tail anew.
func (at standing) advanceTail(plan Plan, add []Record) (standing, bool) {
	t := at.ground.Tail
	if t.Since.IsZero() {
		return standing{}, false
	}
	next := *at.state
	next.reckoned = &reckoned{}
	next.whole()
	a := &advancing{before: at.state, plan: plan, touched: map[string]bool{},
		f: folding{state: &next, ground: at.ground.clone(), sessions: map[string]*Session{},
			photos: map[string]*Photo{}, shownBy: map[string]string{}, judges: nil}}
	a.f.judges = a.f.ground.Judges
	mine, ok := a.sortTail(add)
	if !ok {
		return standing{}, false
	}
	anew := foldTail(plan, at.state, &t, slices.Concat(t.Records, mine))
	ok = a.mayTake(anew, mine) && a.splice(anew) && a.sayRest() && a.settle()
	return standing{&next, a.f.ground, at.records}, ok
}

// foldTail folds the records of a tail, with what is known of before.
func foldTail(plan Plan, before *State, t *tail, records []Record) *folding {
	alone := Plan{Config: plan.Config, Zone: plan.Zone, Now: plan.Now}
	for _, b := range plan.Builds {
		if now := before.Build(b.ID); now != nil {
			b = now // perhaps it was finished
		}
		alone.Builds = append(alone.Builds, b)
	}
	return foldSeeded(passes, alone, records, photoCache{}, t, before)
}

// until are the sessions and the photos until a moment.
func (s *State) until(at time.Time) ([]*Session, []*Photo) {
	i, _ := slices.BinarySearchFunc(s.Sessions, at.Add(1),
		func(s *Session, at time.Time) int { return s.Start.Compare(at) })
	photos := s.photos()
	j, _ := slices.BinarySearchFunc(photos, at.Add(1), func(p *Photo, at time.Time) int { return p.Instant.At.Compare(at) })
	return s.Sessions[:i], photos[:j]
}

// sortTail tells apart which records are of the tail.
func (a *advancing) sortTail(add []Record) (mine []Record, ok bool) {
	g := &a.f.ground
	here := map[string]Record{}
	for _, r := range g.Tail.Records {
		here[r.ID()] = r
	}
	for _, r := range add {
		id := r.ID()
		if g.Absent[id] || r.Seq <= g.Tops[r.Dev] {
			return nil, false
		}
		g.Last, g.Tops[r.Dev] = r, r.Seq
		var n struct {
			named
			Record string
		}
		switch {
		case is[RetractBody](r):
			if json.Unmarshal(r.Body, &n) != nil {
				return nil, false
			}
			what, known := here[n.Record]
			if !known || is[PastBody](what) || g.Tail.Hidden && (is[PhotoBody](what) || is[BesideBody](what)) {
				return nil, false
			}
			mine = append(mine, r)
		case tailKind(r):
			if json.Unmarshal(r.Body, &n) != nil {
				return nil, false
			}
			here[id] = r
			mine = append(mine, r)
		case is[NoteBody](r), is[MistakeBody](r), is[MarkBody](r), is[VerdictBody](r):
			a.rest = append(a.rest, r)
		default:
			return nil, false
		}
	}
	return mine, true
}

// mayTake reports whether a tail folded anew is all that its records change.
func (a *advancing) mayTake(anew *folding, mine []Record) bool {
	s, g := a.f.state, &a.f.ground
	t := anew.ground.Tail
	if len(anew.state.Problems) > 0 || len(anew.state.Unknown) > 0 || t.Since.Before(g.Tail.Since) {
		return false
	}
	if !g.Tail.Cards && (len(s.Cards) > 0) != (len(anew.state.Cards) > 0) {
		return false // with the first card all photos are looked at again
	}
	// Each record has a say in the tail, or was taken back.
	kept := map[string]bool{}
	for _, r := range t.Records {
		kept[r.ID()] = true
	}
	for _, r := range mine {
		if t.Since.Equal(g.Tail.Since) && !is[RetractBody](r) && !kept[r.ID()] {
			return false
		}
	}
	names, was := namesIn(anew.state, time.Time{}), namesIn(s, g.Tail.Since)
	var gone []string
	for name := range was {
		if !names[name] {
			gone = append(gone, name)
		}
	}
	for name := range names {
		if !was[name] && (g.Absent[name] || s.knows(name)) {
			return false
		}
	}
	for _, p := range anew.state.Photos {
		if !p.Instant.At.After(g.Tail.Since) || len(p.Cards) > 0 && g.Absent[cardSession(p.Hash)] {
			return false
		}
	}
	for _, one := range anew.state.Sessions {
		if !one.Start.After(g.Tail.Since) {
			return false
		}
	}
	return len(gone) == 0 || !s.speaksOf(gone)
}

// namesIn are the names of sessions and photos after a moment, and of files beside them.
func namesIn(s *State, since time.Time) map[string]bool {
	names := map[string]bool{}
	for _, one := range slices.Backward(s.Sessions) {
		if !one.Start.After(since) {
			break
		}
		names[one.ID] = true
	}
	for _, p := range slices.Backward(s.Photos) {
		if !p.Instant.At.After(since) {
			break
		}
		names[p.Hash] = true
		for _, o := range p.Beside {
			names[o.Hash] = true
		}
	}
	return names
}

// knows reports whether a session, a photo or a file put aside bears the name.
func (s *State) knows(name string) bool {
	if _, _, kept := s.Kept(name); kept || s.Session(name) != nil {
		return true
	}
	return slices.ContainsFunc(s.Asides, func(one Aside) bool { return one.Hash == name })
}

// speaksOf reports whether anything is said of what is named, besides tags.
func (s *State) speaksOf(names []string) bool {
	if slices.ContainsFunc(s.Problems, func(p Problem) bool { return p.Record != "" }) {
		return true // a record without effect may be silent once what it names is gone
	}
	said, err := json.Marshal([]any{s.Notes, s.Mistakes, s.Marks, s.Verdicts, s.Packs, s.Trials, s.Points, s.Alikes,
		s.Sheets, s.Repairs, s.Asides, s.Checks, s.Subs, s.Holds, s.Preps, s.Hands, s.Mixes, s.Additions, s.Sandings})
	named := func(name string) bool { return bytes.Contains(said, []byte(name)) }
	return err != nil || slices.ContainsFunc(names, named)
}

// splice puts a tail folded anew in the place of the tail.
func (a *advancing) splice(anew *folding) bool {
	s, g, since := a.f.state, &a.f.ground, a.f.ground.Tail.Since
	was := map[string]*Session{}
	base := 0
	for i, one := range slices.Backward(s.Sessions) {
		if base = i + 1; !one.Start.After(since) {
			break
		}
		was[one.ID], base = one, i
		delete(g.Strands, one.ID)
	}
	s.Sessions = slices.Clip(s.Sessions[:base])
	for _, one := range anew.state.Sessions {
		old := was[one.ID]
		delete(was, one.ID)
		if old != nil && reflect.DeepEqual(old, one) {
			one = old
		} else {
			a.changes = append(a.changes, change{old, one})
		}
		s.Sessions = append(s.Sessions, one)
	}
	for _, old := range was {
		a.changes = append(a.changes, change{old, old})
	}
	if a.changesRunners(s.Sessions[:base], since) {
		return false
	}
	a.splicePhotos(anew, since)
	a.spliced = true
	cards := slices.IndexFunc(s.Cards, func(c CardSaid) bool { return c.At.After(since) })
	if cards < 0 {
		cards = len(s.Cards)
	}
	s.Cards = append(slices.Clone(s.Cards[:cards]), anew.state.Cards...)
	s.Pauses = anew.state.Pauses
	s.Series = someOf(append(slices.Clone(seriesUntil(s.Series, since)), anew.state.Series...))
	s.reach = reachOf(s.Sessions, s.Config.LongestTimer())
	a.spliceGround(anew, since)
	s.Sessions, s.Photos, s.Cards = someOf(s.Sessions), someOf(s.Photos), someOf(s.Cards)
	return true
}

// changesRunners reports whether parts are counted otherwise of a runner that a card
// before says is done as a whole: it counts those that nothing else counts, be it
// earlier or later.
func (a *advancing) changesRunners(base []*Session, since time.Time) bool {
	counted := map[string]bool{} // build and runner
	for _, c := range a.changes {
		for _, p := range c.parts() {
			counted[c.new.Build+" "+p.Runner] = true
			if c.old != nil {
				counted[c.old.Build+" "+p.Runner] = true
			}
		}
	}
	if len(counted) == 0 {
		return false
	}
	builds := map[string]string{}
	for _, one := range base {
		builds[one.ID] = one.Build
	}
	for _, c := range a.f.state.Cards {
		if c.At.After(since) {
			break
		}
		if c.Card.Says == RunnerCard && c.Did.Runner != "" && counted[builds[c.Session]+" "+c.Did.Runner] {
			return true
		}
	}
	return false
}

// parts are those of which the session counts more than before, or fewer.
func (c change) parts() []PartRef {
	if c.old == nil || c.old == c.new || c.old.Build != c.new.Build || c.old.Stage != c.new.Stage {
		all := slices.Clone(c.new.Parts)
		if c.old != nil {
			all = append(all, c.old.Parts...)
		}
		return all
	}
	return slices.DeleteFunc(slices.Concat(c.old.Parts, c.new.Parts),
		func(p PartRef) bool { return countOf(c.old.Parts, p) == countOf(c.new.Parts, p) })
}

// someOf is a list as the fold leaves it: nil where it holds nothing.
func someOf[T any](all []T) []T {
	if len(all) == 0 {
		return nil
	}
	return all
}

func (a *advancing) splicePhotos(anew *folding, since time.Time) {
	s := a.f.state
	base := len(s.Photos)
	was := map[string]*Photo{}
	for base > 0 && s.Photos[base-1].Instant.At.After(since) {
		base--
		was[s.Photos[base].Hash] = s.Photos[base]
	}
	s.Photos = slices.Clip(s.Photos[:base])
	for _, p := range anew.state.Photos {
		old := was[p.Hash]
		delete(was, p.Hash)
		if old != nil && reflect.DeepEqual(old, p) {
			p = old
		} else {
			a.fresh = append(a.fresh, p)
		}
		s.Photos = append(s.Photos, p)
	}
	for _, old := range was {
		a.left = append(a.left, old)
	}
}

// spliceGround brings the ground of a tail to that of all.
func (a *advancing) spliceGround(anew *folding, since time.Time) {
	g, of := &a.f.ground, anew.ground
	for id, records := range of.Strands {
		g.Strands[id] = records
	}
	for id := range of.Absent {
		g.Absent[id] = true
	}
	for build := range of.Runners {
		g.Runners[build] = true
	}
	for build, at := range of.Loose {
		noteLater(g.Loose, build, at)
	}
	for build, at := range of.Resumed {
		noteLater(g.Resumed, build, at)
	}
	g.Moved = g.Moved || of.Moved
	g.spliceClips(anew, a.left)
	g.From, g.Until, g.Tail = of.From, of.Until, of.Tail
	if g.Cards = of.Cards; len(a.f.state.Cards) > 0 && since.After(g.Cards) {
		g.Cards = since
	}
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
