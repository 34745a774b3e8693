// The mat: the first page, with what runs and its parts, or what to go on with.

package bench

import (
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/wording"
)

// matPage is the mat.
type matPage struct {
	Caution *care // of what has just begun; nil = none, or it was read
	Running []running
	Parts   *partsPage // of what runs; nil = its parts are not counted one by one
	Offers  []offer    // where nothing runs: what to go on with, the likeliest first
	Paused  []offer    // builds put aside
	More    bool       // there are more builds to begin on than Offers
	Asks    []ask      // questions that wait, the first of them
	None    bool       // there is no open build
}

// running is a session that runs.
type running struct {
	Build, Stage string // ids
	Title        string // of the build
	Name         string // of the stage
	Since        string // "19:32"
	Minutes      int    // at the bench so far
	Resting      string // since when a break runs, "" = none
	Done         int
	Counted      bool
	Next         *offer // the stage after it, nil = it is the last
}

// offer is a build and a stage to begin.
type offer struct {
	Build, Stage string // ids
	Title, Name  string
	Kit          int
	Left         string // "24 parts left", "" = nothing tells
	Why          string // of a build put aside: what comes next
}

const offered = 3 // so many builds are offered at once, to leave each a large field

// mat makes the first page.
func mat(a *asking) (any, error) {
	page := matPage{Asks: a.asks()}
	for _, s := range a.Running() {
		page.Running = append(page.Running, a.runningOf(s))
		if page.Parts == nil {
			page.Parts = a.partsOf(s.Build, s.Stage, a.value("runner"))
			page.Parts.openBy(a.value("open") != "")
		}
	}
	if len(page.Running) > 0 {
		return page, nil
	}
	open := a.openBuilds()
	page.None = len(open) == 0
	for _, b := range open {
		o, ok := a.goOn(b)
		switch {
		case !ok:
		case a.Paused(b.ID) != nil:
			page.Paused = append(page.Paused, o)
		case a.longPast(b):
			page.More = true
		case len(page.Offers) < offered:
			page.Offers = append(page.Offers, o)
		default:
			page.More = true
		}
	}
	return page, nil
}

func (a *asking) runningOf(s *journal.Session) running {
	b := a.Build(s.Build)
	r := running{Build: s.Build, Stage: s.Stage, Title: s.Build, Name: s.Stage,
		Since:   s.Start.In(a.Zone).Format("15:04"),
		Minutes: int(s.NetSoFar(a.Now) / time.Minute), Done: s.Done(), Counted: s.Counted}
	if rest, rests := s.Resting(); rests {
		r.Resting = rest.Start.In(a.Zone).Format("15:04")
	}
	if b == nil {
		return r
	}
	r.Title = b.Title
	if st := b.Stage(s.Stage); st != nil {
		r.Name = wording.StageName(*st)
	}
	i := slices.IndexFunc(b.Stages, func(st journal.Stage) bool { return st.ID == s.Stage })
	if i >= 0 && i+1 < len(b.Stages) {
		next := b.Stages[i+1]
		r.Next = &offer{Build: b.ID, Stage: next.ID, Title: b.Title, Name: wording.StageName(next), Kit: s.Kit}
	}
	return r
}

// openBuilds are the builds that are not finished, the one worked on last first.
func (a *asking) openBuilds() []*journal.Build {
	open := a.OpenBuilds()
	slices.SortStableFunc(open, func(x, y *journal.Build) int { return strings.Compare(a.LastDay(y), a.LastDay(x)) })
	return open
}

// longPast reports whether nothing but photos tells of a build, all of them of 60 days ago
// or more: nobody goes on with it, and it is offered only where all builds are.
func (a *asking) longPast(b *journal.Build) bool {
	last, cut := a.LastDay(b), a.Now.In(a.Zone).AddDate(0, 0, -60).Format(time.DateOnly)
	return len(a.SessionsOf(b.ID)) == 0 && last != "" && last < cut
}

// goOn is what there is to go on with in a build: the stage worked on last while it
// has something left, else the next.
func (a *asking) goOn(b *journal.Build) (offer, bool) {
	o := offer{Build: b.ID, Title: b.Title}
	if p := a.Paused(b.ID); p != nil {
		o.Why = p.Next
	}
	left := a.Remains(b)
	id := left.Next
	if sessions := a.SessionsOf(b.ID); id == "" && len(sessions) > 0 {
		id = sessions[len(sessions)-1].Stage
	}
	if id == "" && len(b.Stages) > 0 {
		id = b.Stages[0].ID
	}
	st := b.Stage(id)
	if st == nil {
		return o, false
	}
	o.Stage, o.Name = st.ID, wording.StageName(*st)
	for _, one := range left.Stages {
		if one.Stage == id {
			o.Left = countOf(one.Left, one.Unit) + " left"
		}
	}
	return o, true
}
