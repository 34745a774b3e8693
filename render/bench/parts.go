// The parts of a runner as they lie on it, to be tapped.

package bench

import (
	"strings"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/wording"
)

// partsPage is one runner of a build in one stage.
type partsPage struct {
	Build, Stage string // ids
	Title, Name  string // of the build, of the stage
	Stages       []stageChoice
	Runs         bool   // the stage runs: what is tapped counts
	Open         bool   // what is tapped is opened, though the stage runs
	Unit         string // "part", "join", …
	Runners      []runnerTab
	Runner       string // name of the one shown, "" = none
	Squares      []square
}

// runnerTab is a runner to choose.
type runnerTab struct {
	Name      string // "A", "2/A"
	Left, All int
	Here      bool
}

// square is one part.
type square struct {
	Number string
	Ref    string // "A12", "2/A12"
	State  string // "", "done", "again" (opened again), "unused", "missing"
	Words  string // the state for whoever does not see it
}

// Before is what stands before the number: "A", "2/A".
func (s square) Before() string { return strings.TrimSuffix(s.Ref, s.Number) }

// parts makes the page of a build's parts in a stage.
func parts(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.value("build"))
	if err != nil {
		return nil, err
	}
	st, err := a.StageCalled(b, a.value("stage"))
	if err != nil {
		return nil, err
	}
	page := a.partsOf(b.ID, st.ID, a.value("runner"))
	if page == nil {
		page = &partsPage{Build: b.ID, Stage: st.ID, Title: b.Title, Name: wording.StageName(*st)}
	}
	page.Stages = a.stagesOf(b, st.ID)
	page.openBy(a.value("open") != "")
	return page, nil
}

// openBy says whether a tap opens a part instead of counting it.
func (p *partsPage) openBy(open bool) {
	if p != nil {
		p.Open = open
	}
}

// partsOf is a runner of a build in a stage: the one named, else the one with
// something left that was worked on last. Nil = the build's runners are not known,
// or their parts are not.
func (a *asking) partsOf(build, stage, runner string) *partsPage {
	b := a.Build(build)
	if b == nil || b.Stage(stage) == nil {
		return nil
	}
	st := b.Stage(stage)
	unit, countable := metrics.CountedKind(st.Kind)
	if !countable {
		return nil
	}
	page := &partsPage{Build: build, Stage: stage, Title: b.Title, Name: wording.StageName(*st), Unit: unit}
	for _, s := range a.Running() {
		page.Runs = page.Runs || s.Build == build && s.Stage == stage
	}
	ledger := a.Ledger(b)
	at := shown(ledger, stage, runner)
	for i, r := range ledger {
		left, all := r.Left(stage)
		page.Runners = append(page.Runners, runnerTab{Name: r.Name(), Left: left, All: all, Here: i == at})
	}
	if at < 0 {
		return page
	}
	page.Runner = ledger[at].Name()
	for _, p := range ledger[at].Parts {
		page.Squares = append(page.Squares, squareOf(p, stage))
	}
	return page
}

// shown is the place of the runner to show, -1 = none.
func shown(ledger []journal.RunnerLedger, stage, name string) int {
	at := -1
	for i, r := range ledger {
		left, _ := r.Left(stage)
		switch {
		case r.Name() == name:
			return i
		case len(r.Parts) == 0 || left == 0:
		case at < 0, begun(r, stage) && !begun(ledger[at], stage):
			at = i
		}
	}
	if at < 0 && len(ledger) > 0 {
		return 0
	}
	return at
}

// begun reports whether some parts of the runner are done in the stage.
func begun(r journal.RunnerLedger, stage string) bool {
	left, all := r.Left(stage)
	return left < all
}

func squareOf(p journal.PartLedger, stage string) square {
	s := square{Number: p.Ref.Number, Ref: p.Ref.Key(), Words: "to do"}
	switch {
	case p.Use == journal.NotUsed:
		s.State, s.Words = "unused", "not for use"
	case p.Stands[stage] == journal.PartDone:
		s.State, s.Words = "done", "done"
	case p.Stands[stage] == journal.PartOpened:
		s.State, s.Words = "again", "to do again"
	case p.Use == journal.Missing:
		s.State, s.Words = "missing", "missing"
	}
	return s
}
