// The runners on a build's page: which parts are done in which stage, and the
// story of each part.

package render

import (
	"fmt"
	"time"

	"rakelight/journal"
)

// RunnerPart is one runner.
type RunnerPart struct {
	Heading string // "Runner A, flat"
	Words   string // "Cut: 3 of 24 left; Cleanup: all done"
	Stages  []RunnerStage
	Stories []PartStory // of the parts to which something happened
}

// RunnerStage is how the parts of a runner stand in a stage.
type RunnerStage struct {
	Title, Words string // "Cut", "3 of 24 left"
	Cells        []PartCell
}

// PartCell is one part in one stage. It can be told apart without color: Look
// draws it, Words says it to a screen reader.
type PartCell struct {
	Number string
	Look   string // "done", "not", "opened", "missing", "unused"
	Words  string // "A12 done"
}

// PartStory is what happened to one part, by time.
type PartStory struct {
	Part   string // "A12"
	Class  string // where it is not the runner's
	Events []PartEvent
}

// PartEvent is one thing that happened to a part.
type PartEvent struct {
	Words string // "clean", "cut opened again: stub left"
	Stamp string // YYYY-MM-DD, "" when not even the day is known
	Date  string
	Href  string // its session, "" = a note
}

// runnerParts shows the runners of a build that have parts.
func (v *view) runnerParts(b *build) []RunnerPart {
	var out []RunnerPart
	for _, r := range v.Ledger(b.Build) {
		if len(r.Parts) == 0 {
			continue
		}
		one := RunnerPart{Heading: joinWords(", ", "Runner "+r.Name(), r.Class)}
		for _, st := range r.Stages {
			stage := runnerStage(r, st)
			one.Words = joinWords("; ", one.Words, stage.Title+": "+stage.Words)
			one.Stages = append(one.Stages, stage)
		}
		for _, p := range r.Parts {
			if len(p.Story) > 0 || len(v.NotesOf(b.ID, p.Ref)) > 0 {
				one.Stories = append(one.Stories, v.partStory(b, r, p))
			}
		}
		out = append(out, one)
	}
	return out
}

func runnerStage(r journal.RunnerLedger, st *journal.Stage) RunnerStage {
	stage := RunnerStage{Title: st.Title}
	switch left, all := r.Left(st.ID); left {
	case 0:
		stage.Words = fmt.Sprintf("all %d done", all)
	default:
		stage.Words = fmt.Sprintf("%d of %d left", left, all)
	}
	for _, p := range r.Parts {
		look, words := partLook(p, st.ID)
		stage.Cells = append(stage.Cells, PartCell{p.Ref.Number, look, p.Ref.String() + " " + words})
	}
	return stage
}

// partLook is how a part is drawn and said.
func partLook(p journal.PartLedger, stage string) (look, words string) {
	switch {
	case p.Use == journal.NotUsed:
		return "unused", "not for use"
	case p.Stands[stage] == journal.PartDone:
		return "done", "done"
	case p.Stands[stage] == journal.PartOpened:
		return "opened", "opened again"
	case p.Use == journal.Missing:
		return "missing", p.LackWords()
	}
	return "not", "not done"
}

func (v *view) partStory(b *build, r journal.RunnerLedger, p journal.PartLedger) PartStory {
	story := PartStory{Part: p.Ref.String()}
	if p.Class != r.Class {
		story.Class = p.Class
	}
	for _, e := range p.Story {
		words := e.Stage
		if st := b.Stage(e.Stage); st != nil {
			words = low(st.Title)
		}
		if e.Tally.Back {
			words += " opened again"
			if e.Tally.Why != "" {
				words += ": " + e.Tally.Why
			}
		}
		at := e.Session.Date
		if !e.Tally.At.IsZero() {
			at = e.Tally.At.In(v.zone()).Format(time.DateOnly)
		}
		story.Events = append(story.Events, PartEvent{Words: words, Stamp: at, Date: dayOf(at),
			Href: "#" + sessionID(e.Session.ID)})
	}
	for _, n := range v.NotesOf(b.ID, p.Ref) {
		at := n.At.In(v.zone()).Format(time.DateOnly)
		story.Events = append(story.Events, PartEvent{Words: "note: " + n.Text, Stamp: at, Date: dayOf(at)})
	}
	return story
}
