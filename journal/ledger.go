// This file keeps the parts ledger: what became of each part of each runner, in
// which stage, when, in which session, and by which record or bench card.

package journal

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"rakelight/journal/metrics"
)

// Tally is one act of counting in a session: parts done, or opened again.
type Tally struct {
	At     time.Time // zero where only the session's day is known
	Parts  []PartRef
	Bare   int    // by number, besides Parts
	Back   bool   // opened again: no longer done
	Why    string // of parts opened again, as the person said it
	Record string // id of the record that says so; "" = a bench card does
	Photo  string // hash of the photo of that card
}

// PartState is how a part stands in a stage.
type PartState int

// The states of a part in a stage.
const (
	NotDone    PartState = iota
	PartDone             // at least one of that number stands done
	PartOpened           // it was done, and opened again since
)

// PartUse is what the plan says of a part.
type PartUse int

// What the plan says of parts.
const (
	ForUse  PartUse = iota
	NotUsed         // marked not for use: never counted
	Missing         // lacking: for use, but missing or damaged, and none came in its place
	Unknown         // sessions name it, and its runner does not have it
)

// RunnerLedger is a runner of a build and how each of its parts stands.
type RunnerLedger struct {
	Kit    int // 1-based; 0 in a build with one kit
	Letter string
	Class  string   // of the runner; parts may differ
	Stages []*Stage // in which parts are counted one by one, or were named, in the order of work
	Parts  []PartLedger
}

// PartLedger is one part: how it stands, and what happened to it.
type PartLedger struct {
	Ref    PartRef
	Class  string
	Use    PartUse
	Found  string               // what the runner check found last, one of CheckStates; "missing" by build.md; "" = not looked at
	Stands map[string]PartState // by the id of the stage
	Story  []PartEvent          // by time
}

// PartEvent is something that happened to a part.
type PartEvent struct {
	Stage   string
	Session *Session
	Tally   Tally
	Count   int // how many of that number
}

// Name is the runner as a person names it: "A", "2/A".
func (l RunnerLedger) Name() string {
	if l.Kit > 0 {
		return strconv.Itoa(l.Kit) + "/" + l.Letter
	}
	return l.Letter
}

// Left is how many parts of the runner are for use and not done in the stage,
// and how many there are for use in all.
func (l RunnerLedger) Left(stage string) (left, all int) {
	for _, p := range l.Parts {
		if p.Use != ForUse && p.Use != Missing {
			continue
		}
		all++
		if p.Stands[stage] != PartDone {
			left++
		}
	}
	return left, all
}

// Part returns the ledger of the part of that number, nil = the runner has none.
func (l RunnerLedger) Part(number string) *PartLedger {
	for i := range l.Parts {
		if l.Parts[i].Ref.Number == number {
			return &l.Parts[i]
		}
	}
	return nil
}

// Ledger returns the runners of a build in the order of its plan, each with
// the story of its parts; runners that only sessions name come last.
// Sessions in doubt count: their hours are in question, not the parts. Parts
// counted by number are in no ledger: nothing says which they were.
func (s *State) Ledger(b *Build) []RunnerLedger {
	l := ledger{of: b, at: map[string]int{}, named: map[string]bool{}}
	for i := range b.Kits {
		for _, r := range b.Kits[i].Runners {
			l.plan(l.kitNumber(i), r)
		}
	}
	l.look(s.FoundOf(b.ID))
	for _, one := range s.SessionsOf(b.ID) {
		for _, t := range one.Tallies {
			for _, p := range t.Parts {
				l.add(p, PartEvent{Stage: one.Stage, Session: one, Tally: t, Count: max(1, p.Count)})
			}
		}
	}
	l.settle()
	return l.runners
}

// ledger is the ledger of a build in the making.
type ledger struct {
	of      *Build
	runners []RunnerLedger
	at      map[string]int  // runner by name → its place
	named   map[string]bool // stages in which parts were named
}

func (l *ledger) kitNumber(i int) int {
	if len(l.of.Kits) == 1 {
		return 0
	}
	return i + 1
}

// runner returns the runner of a kit, made if it is not there yet.
func (l *ledger) runner(kit int, letter, class string) *RunnerLedger {
	fresh := RunnerLedger{Kit: kit, Letter: letter, Class: class}
	i, ok := l.at[fresh.Name()]
	if !ok {
		i = len(l.runners)
		l.at[fresh.Name()] = i
		l.runners = append(l.runners, fresh)
	}
	return &l.runners[i]
}

// plan adds a runner as the plan has it. A letter that comes twice in the box
// is one runner: references do not tell the copies apart.
func (l *ledger) plan(kit int, r Runner) {
	to := l.runner(kit, r.Letter, r.Class)
	for _, n := range append(slices.Clone(r.Parts), r.NotUsed...) {
		if to.Part(n) != nil {
			continue
		}
		use, found := ForUse, ""
		switch {
		case slices.Contains(r.NotUsed, n):
			use = NotUsed
		case slices.Contains(r.Missing, n):
			use, found = Missing, "missing"
		}
		to.Parts = append(to.Parts, PartLedger{
			Ref: PartRef{Kit: kit, Runner: r.Letter, Number: n, Count: 1}, Class: r.ClassOf(n), Use: use, Found: found,
			Stands: map[string]PartState{},
		})
	}
}

// look notes what the runner check found.
func (l *ledger) look(found []Found) {
	for _, f := range found {
		r := &RunnerLedger{}
		if i, ok := l.at[RunnerLedger{Kit: f.Part.Kit, Letter: f.Part.Runner}.Name()]; ok {
			r = &l.runners[i]
		}
		p := r.Part(f.Part.Number)
		if p == nil {
			continue
		}
		p.Found = f.State
		switch {
		case p.Use == NotUsed:
		case f.Lacks():
			p.Use = Missing
		default:
			p.Use = ForUse
		}
	}
}

// add notes an event of a part.
func (l *ledger) add(ref PartRef, e PartEvent) {
	kit := ref.Kit
	if len(l.of.Kits) == 1 {
		kit = 0
	}
	to := l.runner(kit, ref.Runner, "")
	p := to.Part(ref.Number)
	if p == nil {
		use := Unknown
		if l.open(kit, ref.Runner) {
			use = ForUse
		}
		to.Parts = append(to.Parts, PartLedger{Ref: PartRef{Kit: kit, Runner: ref.Runner, Number: ref.Number, Count: 1},
			Class: to.Class, Use: use, Stands: map[string]PartState{}})
		p = &to.Parts[len(to.Parts)-1]
	}
	l.named[e.Stage] = true
	p.Story = append(p.Story, e)
}

// open reports whether the plan names the runner and not its parts.
func (l *ledger) open(kit int, letter string) bool {
	i := max(0, kit-1)
	return i < len(l.of.Kits) && slices.ContainsFunc(l.of.Kits[i].Runners,
		func(r Runner) bool { return r.Letter == letter && len(r.Parts) == 0 })
}

// settle sorts stories and parts, and says how each part stands.
func (l *ledger) settle() {
	var stages []*Stage
	for i := range l.of.Stages {
		st := &l.of.Stages[i]
		if unit, _ := metrics.CountedKind(st.Kind); unit == "part" || l.named[st.ID] {
			stages = append(stages, st)
		}
	}
	for i := range l.runners {
		r := &l.runners[i]
		r.Stages = stages
		slices.SortStableFunc(r.Parts, func(a, b PartLedger) int {
			x, _ := strconv.Atoi(a.Ref.Number)
			y, _ := strconv.Atoi(b.Ref.Number)
			return cmp.Or(x-y, cmp.Compare(a.Ref.Number, b.Ref.Number))
		})
		for j := range r.Parts {
			r.Parts[j].stand()
		}
	}
}

// stand tells from the story how the part stands in each stage.
func (p *PartLedger) stand() {
	slices.SortStableFunc(p.Story, func(a, b PartEvent) int { return a.when().Compare(b.when()) })
	count := map[string]int{}
	for _, e := range p.Story {
		n := e.Count
		if e.Tally.Back {
			n = -n
		}
		switch count[e.Stage] += n; {
		case count[e.Stage] > 0:
			p.Stands[e.Stage] = PartDone
		default:
			p.Stands[e.Stage] = PartOpened
		}
	}
}

// when orders the events of a part: by their moment, else by their session's.
func (e PartEvent) when() time.Time {
	if e.Tally.At.IsZero() {
		return e.Session.Start
	}
	return e.Tally.At
}

// Tell is an event of a part in one line: "2026-03-14 19:40  clean done
// (session bench-1f3a/12)".
func (s *State) Tell(e PartEvent) string {
	when := e.Session.Date
	if !e.Tally.At.IsZero() {
		when = e.Tally.At.In(s.zone()).Format(minute)
	}
	what := "done"
	if e.Tally.Back {
		what = "opened again"
		if e.Tally.Why != "" {
			what += ": " + e.Tally.Why
		}
	}
	by := ""
	if e.Tally.Photo != "" {
		by = ", by a bench card in photo " + e.Tally.Photo[:min(8, len(e.Tally.Photo))]
	}
	return when + "  " + e.Stage + " " + what + " (session " + e.Session.ID + by + ")"
}
