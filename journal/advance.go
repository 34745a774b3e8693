// This file goes on from a state with the records that came since, without the
// records before. What it gives is what the fold of all records gives, or nothing:
// where a record could change anything that is not looked at here, the fold has to
// be made anew.
//
// Records that stand behind all others are gone on from: sessions by the latest of
// which the records are at hand, and what is said of photos, notes, mistakes, marks,
// verdicts and pauses. A session is folded again from its own records, by the fold
// itself; so no rule of the fold stands here a second time. TestIndexAgrees holds
// the result against the fold over random histories.

package journal

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"time"

	"rakelight/journal/metrics"
	"rakelight/journal/record"
)

// standing is a state with the ground it stands on.
type standing struct {
	state   *State
	ground  ground
	records func() []Record // all, read when they are asked for; nil = nobody has them
}

// advance is the state with more records, in their order, each of which stands behind
// all that were folded. It is false where the fold has to be made anew.
func (at standing) advance(plan Plan, add []Record) (standing, bool) {
	if !at.ground.holdsAt(plan.Now) { // what a silence ends is of the tail
		return at.advanceTail(plan, add)
	}
	if len(add) == 0 {
		return at, true
	}
	if next, ok := at.advanceAlone(plan, add); ok {
		return next, true
	}
	return at.advanceTail(plan, add)
}

// advanceAlone is advance where each record changes what it names, and nothing else.
func (at standing) advanceAlone(plan Plan, add []Record) (standing, bool) {
	next := *at.state
	next.reckoned = &reckoned{}
	a := &advancing{
		records: at.records,
		before:  at.state, plan: plan, touched: map[string]bool{},
		f: folding{state: &next, ground: at.ground.clone(), sessions: map[string]*Session{},
			photos: map[string]*Photo{}, shownBy: map[string]string{}, judges: nil},
	}
	a.f.judges, a.last = a.f.ground.Judges, at.ground.Last
	if slices.ContainsFunc(add, func(r Record) bool { return is[PhotoBody](r) || is[TagBody](r) }) {
		next.whole()
	}
	ok := a.sort(add) && a.refold() && a.takePhotos() && a.sayRest() && a.checkRunners() && a.settle()
	if ok && a.numbersStay(add) {
		next.reckoned = at.state.reckoned
	}
	if ok {
		a.f.ground.Tail.keep(add, &next, a.changes)
	}
	return standing{&next, a.f.ground, at.records}, ok
}

// advancing is a state on its way to the next.
type advancing struct {
	before  *State
	records func() []Record // as in standing
	plan    Plan
	f       folding
	touched map[string]bool // sessions
	photos  []Record        // to be taken in
	rest    []Record        // what changes no session
	changes []change
	fresh   []*Photo // that are not those of the state before
	left    []*Photo // that are none any more
	last    Record   // that was folded before
	spliced bool     // a tail was put in the place of another
}

// change is a session before and after; nil = it was not there before.
type change struct{ old, new *Session }

// sort tells apart what the records change, and is false where one may change more
// than is looked at.
func (a *advancing) sort(add []Record) bool {
	g := &a.f.ground
	for _, r := range add {
		id := r.ID()
		// It may be named by what is folded already; one whose number was there is a twin.
		if g.Absent[id] || r.Seq <= g.Tops[r.Dev] || g.Twins && (ofBook(r) || sayShop[r.Kind] != nil) {
			return false
		}
		g.Last, g.Tops[r.Dev] = r, r.Seq
		switch {
		case is[BeginBody](r), is[WorkBody](r):
			g.Strands[id] = []Record{r}
			a.touched[id] = true
		case is[EndBody](r), is[BreakBody](r), is[DoneBody](r), is[CorrectBody](r):
			var b struct{ Session string }
			if json.Unmarshal(r.Body, &b) != nil || !a.hasStrand(b.Session) {
				return false
			}
			g.Strands[b.Session] = append(slices.Clip(g.Strands[b.Session]), r)
			a.touched[b.Session] = true
		case is[PhotoBody](r):
			a.photos = append(a.photos, r)
		case is[PastBody](r) && !a.before.speaksOfKept(r):
			a.rest = append(a.rest, r)
		case is[TagBody](r), is[NoteBody](r), is[MistakeBody](r), is[MarkBody](r), is[VerdictBody](r), is[PauseBody](r),
			is[ResumeBody](r), is[SubBody](r), is[HoldBody](r), is[ReleaseBody](r), is[PrepBody](r), is[HandsBody](r),
			is[CheckedBody](r), is[PrivateBody](r):
			a.rest = append(a.rest, r)
		case sayShop[r.Kind] != nil:
			a.rest = append(a.rest, r)
		case is[RetractBody](r):
			if !a.unsay(r) {
				return false
			}
		default:
			return false
		}
	}
	return true
}

// unsay takes a note back. Nothing hangs on one.
func (a *advancing) unsay(r Record) bool {
	s, b := a.f.state, RetractBody{}
	if json.Unmarshal(r.Body, &b) != nil || a.records == nil {
		return false
	}
	note := func(n Note) bool { return n.Record == b.Record }
	if !slices.ContainsFunc(s.Notes, note) {
		return false
	}
	for _, one := range unique(a.records()) {
		if one.ID() == b.Record && (!is[NoteBody](one) || b.Sum != "" && b.Sum != one.Sum()) {
			return false
		}
	}
	s.Notes = someOf(slices.DeleteFunc(slices.Clone(s.Notes), note))
	a.f.ground.Absent[b.Record] = true
	return true
}

// hasStrand looks that the records of a session are at hand. Those of an older one are
// looked for among all records, which takes a while, though not as long as folding them.
func (a *advancing) hasStrand(id string) bool {
	g := &a.f.ground
	if g.Strands[id] != nil {
		return true
	}
	one := a.before.Session(id)
	if a.records == nil || one == nil || one.Cards || len(one.Again) > 0 || one.Reopened > 0 ||
		a.before.Session(id+"~2") != nil || !a.mayChange(change{one, one}) ||
		slices.ContainsFunc(one.Tallies, func(t Tally) bool { return t.Photo != "" }) {
		return false
	}
	strand := strandOf(id, unique(a.records()), a.last)
	if !slices.ContainsFunc(strand, func(r Record) bool { return r.ID() == id }) {
		return false
	}
	g.Strands[id] = strand
	return true
}

// strandOf are the records that a session is made of, until the last; none where others
// had a say in it.
func strandOf(id string, records []Record, last Record) []Record {
	gone := retracted(records)
	names := map[string]bool{id: true}
	var strand []Record
	for _, r := range records {
		if record.Compare(r, last) > 0 || r.ID() != id && !mentions(r, names) || gone.has(r) {
			continue
		}
		var b struct{ Session string }
		switch err := json.Unmarshal(r.Body, &b); {
		case err != nil || is[ReopenBody](r):
			return nil
		case slices.Contains(strandKinds, r.Kind) && (r.ID() == id || b.Session == id):
			strand = append(strand, r)
		}
	}
	return strand
}

// refold folds the sessions anew that the records are of.
func (a *advancing) refold() bool {
	if len(a.touched) == 0 {
		return true
	}
	s, g := a.f.state, &a.f.ground
	var records []Record
	for id := range a.touched {
		records = append(records, g.Strands[id]...)
	}
	for _, p := range a.before.Problems { // it may be none any more
		if slices.ContainsFunc(records, func(r Record) bool { return r.ID() == p.Record }) {
			return false
		}
	}
	plan := Plan{Config: a.plan.Config, Zone: a.plan.Zone, Builds: a.plan.Builds}
	alone := foldAll(passes, plan, records, photoCache{})
	if len(alone.state.Problems) > 0 || len(alone.ground.Absent) > 0 || len(alone.state.Sessions) != len(a.touched) {
		return false
	}
	s.Sessions = slices.Clone(s.Sessions)
	for _, one := range alone.state.Sessions {
		c := change{a.before.Session(one.ID), one}
		if !a.touched[one.ID] || !a.mayChange(c) {
			return false
		}
		a.changes = append(a.changes, c)
		if c.old == nil {
			s.Sessions = append(s.Sessions, one)
		} else {
			s.Sessions[slices.Index(s.Sessions, c.old)] = one
		}
	}
	slices.SortFunc(s.Sessions, orderOfSessions)
	s.reach = reachOf(s.Sessions, s.Config.LongestTimer())
	return a.photosStay()
}

// mayChange reports whether a session changes alone: nothing that was opened again,
// counted without a session, or said by a card, hangs on it.
func (a *advancing) mayChange(c change) bool {
	g := a.f.ground
	for _, s := range []*Session{c.old, c.new} {
		if s == nil {
			continue
		}
		for _, latest := range []map[string]time.Time{g.Reopened, g.Loose} {
			if at, ok := latest[s.Build]; ok && !s.Start.After(at) {
				return false
			}
		}
		if g.Runners[s.Build] || !s.Start.After(g.Cards) && !g.Cards.IsZero() {
			return false
		}
	}
	return true
}

// photosStay reports whether the photos that hang on sessions stay as they are.
func (a *advancing) photosStay() bool {
	s := a.f.state
	if len(s.Cards) == 0 && !a.f.ground.Moved {
		return true // tags that a record gave are looked for again in neither
	}
	for _, c := range a.changes {
		if c.old != nil && alike(c.old, c.new) {
			continue
		}
		from, to := a.about(c)
		for _, p := range s.photosBetween(from, to) {
			if !a.staysWith(p, s) {
				return false
			}
		}
	}
	return true
}

// alike reports whether two sessions give photos the same tags.
func alike(x, y *Session) bool {
	return x.Start.Equal(y.Start) && x.End.Equal(y.End) && x.Open == y.Open && x.Build == y.Build &&
		x.Stage == y.Stage && x.Kit == y.Kit && x.Kind == y.Kind &&
		x.Known == y.Known && x.Date == y.Date && x.Doubt.Any() == y.Doubt.Any()
}

// about is the time in which a photo could be of a session.
func (a *advancing) about(c change) (from, to time.Time) {
	config := a.f.state.Config
	from, to = c.new.Start, c.new.Start
	for _, s := range []*Session{c.old, c.new} {
		if s == nil {
			continue
		}
		if s.Start.Before(from) {
			from = s.Start
		}
		end := s.End
		if s.Open {
			end = s.Start.Add(config.LongestTimer())
		}
		if end.After(to) {
			to = end
		}
	}
	return from.Add(-config.SettleTime() - 1), to.Add(config.SettleTime() + 1)
}

// photosBetween are the photos taken from one moment to another.
func (s *State) photosBetween(from, to time.Time) []*Photo {
	at := func(p *Photo, t time.Time) int { return p.Instant.At.Compare(t) }
	photos := s.photos()
	i, _ := slices.BinarySearchFunc(photos, from, at)
	j, _ := slices.BinarySearchFunc(photos, to.Add(1), at)
	return photos[i:max(i, j)]
}

// staysWith reports whether a photo is tagged by the sessions of a state as it is.
// Of one of which a person said something it does not know.
func (a *advancing) staysWith(p *Photo, s *State) bool {
	for _, why := range p.Why {
		if why == said || why == otherBuild {
			return false
		}
	}
	one := *p
	one.Why = maps.Clone(p.Why)
	s.tagAgain(&one)
	return reflect.DeepEqual(&one, p)
}

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

// insert puts a photo into its place.
func (a *advancing) insert(p *Photo) {
	s := a.f.state
	i, _ := slices.BinarySearchFunc(s.Photos, p, orderOfPhotos)
	s.Photos = slices.Insert(s.Photos, i, p)
	a.fresh = append(a.fresh, p)
}

// sayRest lets the records take effect that change no session.
func (a *advancing) sayRest() bool {
	s := a.f.state
	s.Notes, s.Mistakes = slices.Clip(s.Notes), slices.Clip(s.Mistakes)
	s.Marks, s.Verdicts = slices.Clip(s.Marks), slices.Clip(s.Verdicts)
	if slices.ContainsFunc(a.rest, ofBook) {
		s.cloneBook()
	}
	s.Privates = slices.Clone(s.Privates)
	for _, r := range a.rest {
		effect := map[string]effect{
			NoteBody{}.RecordKind(): (*folding).note, MistakeBody{}.RecordKind(): (*folding).mistake,
			MarkBody{}.RecordKind(): (*folding).mark, VerdictBody{}.RecordKind(): (*folding).verdict,
			TagBody{}.RecordKind(): (*folding).tag, CheckedBody{}.RecordKind(): (*folding).checked,
			SubBody{}.RecordKind(): (*folding).sub, HoldBody{}.RecordKind(): (*folding).hold,
			ReleaseBody{}.RecordKind(): (*folding).release, PrepBody{}.RecordKind(): (*folding).prep,
			HandsBody{}.RecordKind(): (*folding).hands,
		}[r.Kind]
		var ok bool
		switch {
		case is[PauseBody](r):
			ok = a.pause(r)
		case is[PrivateBody](r):
			ok = a.f.private(r) == nil // it needs nothing to be there
		case is[PastBody](r):
			ok = a.sayPast(r)
		case is[ResumeBody](r):
			s.Pauses = slices.Clone(s.Pauses)
			ok = a.f.resume(r) == nil
		case sayShop[r.Kind] != nil:
			s.ownShop()
			ok = a.bring(r) && sayShop[r.Kind](&a.f, r) == nil
		default:
			ok = a.bring(r) && effect(&a.f, r) == nil
		}
		if !ok {
			return false
		}
	}
	return true
}

// sayPast takes in what is said of pictures that are not here: they may come yet.
func (a *advancing) sayPast(r Record) bool {
	b, err := read[PastBody](r)
	if err != nil || slices.ContainsFunc(a.photos, func(one Record) bool {
		p, err := read[PhotoBody](one)
		return err != nil || slices.Contains(b.Photos, p.Hash)
	}) {
		return false
	}
	a.f.datedBy = map[string]given{}
	for _, hash := range b.Photos {
		a.f.ground.Absent[hash] = true
	}
	return a.f.past(r) == nil
}

// ofBook reports whether a record is of the bench book.
func ofBook(r Record) bool {
	return is[CheckedBody](r) || is[SubBody](r) || is[HoldBody](r) || is[ReleaseBody](r) || is[PrepBody](r) ||
		is[HandsBody](r)
}

// checkRunners lets what the runner check found be part of the plan. Whole
// runners by card are counted by it.
func (a *advancing) checkRunners() bool {
	if !slices.ContainsFunc(a.rest, is[CheckedBody]) {
		return true
	}
	s := a.f.state
	for _, c := range s.Checks[len(a.before.Checks):] {
		if a.f.ground.Runners[c.Build] {
			return false
		}
	}
	s.Builds = slices.Clone(s.Builds)
	a.f.planned = a.plan.Builds
	a.f.setNotUsed()
	return true
}

// numbersStay reports whether no number that rests on the whole journal is another
// than before: photos came of which nothing was said, none was given another burst, none
// is of a series that shows work, and no build another place among the builds.
func (a *advancing) numbersStay(add []Record) bool {
	pasts := len(keep(a.rest, is[PastBody])) // of pictures that are not here
	return len(a.photos)+pasts == len(add) && len(a.fresh) == len(a.photos) && len(a.changes) == 0 && !a.beganBuild()
}

// pause puts a build aside that was not taken up again since.
func (a *advancing) pause(r Record) bool {
	b, err := read[PauseBody](r)
	resumed, was := a.f.ground.Resumed[b.Build]
	if err != nil || was && !b.From.After(resumed) || !a.f.ground.Cards.IsZero() {
		return false
	}
	a.f.state.Pauses = slices.Clip(a.f.state.Pauses)
	return a.f.pause(r) == nil
}

// bring makes known to the fold what a record names.
func (a *advancing) bring(r Record) bool {
	var b struct{ Session, Photo, Left, Right string }
	if json.Unmarshal(r.Body, &b) != nil {
		return false
	}
	if one := a.f.state.Session(b.Session); one != nil && one.Series == "" {
		a.f.sessions[one.ID] = one
	}
	for _, hash := range []string{b.Photo, b.Left, b.Right} {
		p, _, ok := a.f.state.Kept(hash)
		if !ok {
			continue // the fold tells of it, or needs none
		}
		if p.Hash != hash {
			a.f.shownBy[hash] = p.Hash
		}
		if is[TagBody](r) && !slices.Contains(a.fresh, p) {
			p = a.renew(p)
		}
		a.f.photos[p.Hash] = p
	}
	return true
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

// settle settles what depends on the whole, as the last pass of the fold does.
func (a *advancing) settle() bool {
	s := a.f.state
	if !a.clipsStay() {
		return false
	}
	a.series()
	for _, p := range slices.Clone(a.fresh) {
		p.Kind = a.f.kind(p.Tags.Build, p.Tags.Stage, "")
		a.burst(p)
	}
	a.charge()
	a.seriesSessions()
	if len(s.Cards) > 0 && (len(a.changes) > 0 || a.spliced) {
		s.Cards = slices.Clone(s.Cards)
		for i := range s.Cards {
			s.Cards[i].Over = nil
		}
		s.sayOver()
	}
	a.f.settlePast()
	s.sortSkill()
	s.settleBook()
	s.sortShop()
	sortNotes(s.Notes)
	sortPauses(s.Pauses)
	if a.beganBuild() {
		s.Builds = slices.Clone(s.Builds)
		s.sortBuilds()
	}
	if len(a.changes) > 0 {
		a.f.ground.trim(s)
	}
	if slices.ContainsFunc(a.changes, change.ofWork) {
		s.scatter = metrics.Scatter{}
		s.scatter = scatterOf(s.Work(""))
	}
	return true
}

// ofWork reports whether the session is one that numbers are made of, or was.
func (c change) ofWork() bool { return !c.new.Open || c.old != nil && !c.old.Open }

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

// charge charges repairs anew: to what they mend, which may have come, or changed.
func (a *advancing) charge() {
	s := a.f.state
	if len(a.changes) == 0 && len(s.Mistakes) == len(a.before.Mistakes) {
		return
	}
	repairs := slices.ContainsFunc(s.Sessions, func(one *Session) bool { return one.Kind == repairKind })
	if !repairs {
		return
	}
	s.Sessions = slices.Clone(s.Sessions)
	for i, one := range s.Sessions {
		if one.Kind == repairKind {
			anew := *one
			anew.Charged, s.Sessions[i] = nil, &anew
		}
	}
	a.f.chargeRepairs()
}

// beganBuild reports whether a build may have another first day than before.
func (a *advancing) beganBuild() bool {
	var builds []string
	for _, c := range a.changes {
		builds = append(builds, c.new.Build)
		if c.old != nil {
			builds = append(builds, c.old.Build)
		}
	}
	for _, p := range a.fresh {
		builds = append(builds, p.Tags.Build)
		if was, _, ok := a.before.Kept(p.Hash); ok {
			builds = append(builds, was.Tags.Build)
		}
	}
	for _, p := range a.left {
		builds = append(builds, p.Tags.Build)
	}
	slices.Sort(builds)
	for _, id := range slices.Compact(builds) {
		if b := a.f.state.Build(id); b != nil && b.Started == "" && a.f.state.FirstDay(b) != a.before.FirstDay(b) {
			return true
		}
	}
	return false
}

// trim leaves the records of the latest sessions.
func (g *ground) trim(s *State) {
	kept := 0
	for _, one := range slices.Backward(s.Sessions) {
		if g.Strands[one.ID] == nil {
			continue
		}
		if kept++; kept > strandsKept && !one.Open {
			delete(g.Strands, one.ID)
		}
	}
}

// wantsSession reports whether cards let the sessions be asked again about a photo.
func (p *Photo) wantsSession() bool {
	return p.Tags.Build == "" || p.Why["build"].BySession() || p.Why["stage"].BySession() || p.Tags.Stage == ""
}
