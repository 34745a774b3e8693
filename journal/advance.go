// This file goes on from a state with the records that came since, without the
// records before. What it gives is what the fold of all records gives, or nothing:
// where a record could change anything that is not looked at here, the fold has to
// be made anew.
//
// Records that stand behind all others are gone on from: sessions by the latest of
// which the records are at hand (advance_sessions.go), and what is said of photos,
// notes, mistakes, marks, verdicts and pauses (advance_said.go). A session is folded
// again from its own records, by the fold itself; so no rule of the fold stands here a
// second time. TestIndexAgrees holds the result against the fold over random histories.

package journal

import (
	"encoding/json"
	"slices"

	"rakelight/journal/metrics"
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
	a := at.begin(plan)
	next := a.f.state
	if slices.ContainsFunc(add, func(r Record) bool { return is[PhotoBody](r) || is[TagBody](r) }) {
		next.whole()
	}
	ok := a.sort(add) && a.refold() && a.takePhotos() && a.sayRest() && a.checkRunners() && a.settle()
	if ok && a.numbersStay(add) {
		next.reckoned = at.state.reckoned
	}
	if ok {
		a.f.ground.Tail.keep(add, next, a.changes)
	}
	return standing{next, a.f.ground, at.records}, ok
}

// begin is a copy of the state, with the ground below it, that may be changed.
func (at standing) begin(plan Plan) *advancing {
	next, ground := *at.state, at.ground.clone()
	next.reckoned = &reckoned{}
	return &advancing{
		before: at.state, records: at.records, plan: plan, last: ground.Last, touched: map[string]bool{},
		f: folding{state: &next, ground: ground, judges: ground.Judges, sessions: map[string]*Session{},
			photos: map[string]*Photo{}, shownBy: map[string]string{}},
	}
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

// numbersStay reports whether no number that rests on the whole journal is another
// than before: photos came of which nothing was said, none was given another burst, none
// is of a series that shows work, and no build another place among the builds.
func (a *advancing) numbersStay(add []Record) bool {
	pasts := len(keep(a.rest, is[PastBody])) // of pictures that are not here
	return len(a.photos)+pasts == len(add) && len(a.fresh) == len(a.photos) && len(a.changes) == 0 && !a.beganBuild()
}
