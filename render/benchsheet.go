// The bench sheet of a build: what is next and what waits, on paper beside the mat,
// with room to write what comes.

package render

import (
	"fmt"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/caution"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
)

// BenchSheet is builds/<id>/bench-sheet.html.
type BenchSheet struct {
	Frame
	Head     PaperHead
	Next     []string // small steps, to tick
	Stages   []StageToDo
	Done     string // the stages that are done, by name
	Left     []LeftPart
	Topics   []Topic
	Mixes    []string
	Care     []CareLine
	Deferral string
	Notes    Blank
	Evenings Blank // a row for each evening
	NewMixes Blank
}

// StageToDo is a stage with something left.
type StageToDo struct{ Title, Words string }

// LeftPart is the parts left of a stage, runner by runner.
type LeftPart struct {
	Title, Note string
	Runners     []PartGrid
	Rest        string // what there is no room for as squares
}

// CareLine is the care for some kinds of work.
type CareLine struct{ Work, Words string }

// How much stands on the sheet.
const (
	paperSquares = 160 // parts as squares: a larger kit has its runners on the runner check
	careKinds    = 4   // kinds of work to come whose care is told
)

func (v *view) benchSheet(b *build) BenchSheet {
	p := BenchSheet{Deferral: caution.Deferral, Notes: lines(40), Evenings: lines(8), NewMixes: lines(2)}
	p.Frame, p.Head = v.paper(b, "Bench sheet")
	p.Head.AsOf = v.dayOf(b.lastWorked())
	r, _ := v.State.Return(b.ID)
	p.Next = v.smallSteps(b, r.Pause)
	v.stagesToDo(&p, b)
	for _, t := range v.returnTopics(p.Root, b, r) {
		if t.Head != mixesHead {
			t.More = Link{}
			p.Topics = append(p.Topics, t)
		}
	}
	for _, m := range slices.Backward(r.Mixes) {
		p.Mixes = append(p.Mixes, m.Words())
	}
	p.Care = v.careToCome(b)
	return p
}

// smallSteps are what was said to come next at the pause, and what is not ticked on
// the lists of build.md; supplies stand in a place of their own.
func (v *view) smallSteps(b *build, pause *journal.Pause) []string {
	var steps []string
	if pause != nil && pause.Next != "" {
		steps = append(steps, pause.Next)
	}
	for _, item := range v.StepsOf(b.Build) {
		if !item.Done {
			steps = append(steps, item.Text)
		}
	}
	return steps
}

// stagesToDo fills in the stages in their order, and the parts left of those in which
// parts are counted.
func (v *view) stagesToDo(p *BenchSheet, b *build) {
	var done []string
	var parts []journal.PartLedger
	room := paperSquares
	for i := range b.Stages {
		st := &b.Stages[i]
		if st.Kind == "wait" || st.Kind == "repair" {
			continue
		}
		left := v.leftOf(b, st)
		if left.over {
			done = append(done, v.stageTitle(st))
			continue
		}
		p.Stages = append(p.Stages, StageToDo{v.stageTitle(st), left.words})
		switch n := len(p.Left); {
		case len(left.parts) == 0:
		case n > 0 && slices.EqualFunc(parts, left.parts, samePart):
			p.Left[n-1].Title += ", " + v.low(v.stageTitle(st)) // the same parts: they are drawn once
		default:
			p.Left = append(p.Left, leftPart(v.stageTitle(st), left, &room))
		}
		parts = left.parts
	}
	p.Done = strings.Join(done, ", ")
}

func samePart(a, b journal.PartLedger) bool { return a.Ref.Is(b.Ref) }

// stageLeft is what is left of a stage of a build.
type stageLeft struct {
	over  bool // nothing is left
	words string
	count int // left by the counts
	parts []journal.PartLedger
}

// leftOf reckons what is left of a stage. Parts that stand done in a later stage were
// passed over, and are not left.
func (v *view) leftOf(b *build, st *journal.Stage) stageLeft {
	unit, countable := metrics.CountedKind(st.Kind)
	there, known := b.CountOf(st)
	done, sessions := 0, 0
	for _, s := range b.sessions {
		if s.Stage == st.ID && !s.Doubt.Any() {
			done += s.Done()
			sessions++
		}
	}
	if !countable || !known {
		if sessions == 0 {
			return stageLeft{words: "not begun"}
		}
		return stageLeft{words: "begun, " + v.count(sessions, "session")}
	}
	left := stageLeft{count: there - done}
	passed := 0
	if unit == "part" {
		left.parts, passed = v.partsLeft(b, st)
		left.count -= passed
	}
	left.over = left.count <= 0
	left.words = fmt.Sprintf("%d of %s left", left.count, v.count(there, say.Noun(unit)))
	if passed > 0 {
		left.words += fmt.Sprintf("; %d passed over", passed)
	}
	return left
}

// partsLeft are the parts for use that do not stand done in a stage, nor in a later
// one; passed is how many of those not done do in a later one.
func (v *view) partsLeft(b *build, st *journal.Stage) (left []journal.PartLedger, passed int) {
	for _, leaf := range v.leaves(b) {
		for _, r := range leaf.runners {
			at := slices.IndexFunc(r.Stages, func(one *journal.Stage) bool { return one.ID == st.ID })
			if at < 0 {
				continue
			}
			for _, part := range r.Parts {
				switch {
				case part.Use == journal.NotUsed || part.Use == journal.Unknown, part.Stands[st.ID] == journal.PartDone:
				case slices.ContainsFunc(r.Stages[at+1:], func(one *journal.Stage) bool {
					return part.Stands[one.ID] == journal.PartDone
				}):
					passed++
				default:
					left = append(left, part)
				}
			}
		}
	}
	return left, passed
}

// leftPart draws the parts left of a stage as squares, as far as there is room.
func leftPart(title string, left stageLeft, room *int) LeftPart {
	out := LeftPart{Title: title}
	if n := len(left.parts); n > left.count {
		out.Note = fmt.Sprintf("%d of these %d are done already; which, nobody said.", n-left.count, n)
	}
	if len(left.parts) > *room {
		out.Rest = "Too many for this sheet: strike them out on the runner check."
		return out
	}
	*room -= len(left.parts)
	for _, part := range left.parts {
		name := journal.RunnerLedger{Kit: part.Ref.Kit, Letter: part.Ref.Runner}.Name()
		if n := len(out.Runners); n == 0 || out.Runners[n-1].Name != name {
			out.Runners = append(out.Runners, PartGrid{Name: name})
		}
		to := &out.Runners[len(out.Runners)-1]
		s := paperSquare(part)
		if s.Look == "was-seen" {
			s.Look = ""
		}
		to.Squares = append(to.Squares, s)
	}
	return out
}

// careToCome is the care for the kinds of work that come next, kinds of which the
// same is said together.
func (v *view) careToCome(b *build) []CareLine {
	var out []CareLine
	seen := map[string]bool{}
	for _, id := range v.OpenStages(b.Build) {
		st := b.Stage(id)
		if len(seen) == careKinds || st.Kind == "wait" || seen[st.Kind] || v.leftOf(b, st).over {
			continue
		}
		seen[st.Kind] = true
		words := strings.TrimSpace(strings.TrimSuffix(v.CautionOf(b.Build, st.Kind), caution.Deferral))
		i := slices.IndexFunc(out, func(one CareLine) bool { return one.Words == words })
		switch {
		case words == "":
		case i >= 0:
			out[i].Work += ", " + v.low(v.kindTitle(st.Kind))
		default:
			out = append(out, CareLine{v.kindTitle(st.Kind), words})
		}
	}
	return out
}

// benchSheetDigest is of the bench sheet.
func (v *view) benchSheetDigest(b *build) digest {
	var e encoding
	e.any(v.partsDigest(b))
	for _, p := range v.Pauses {
		if p.Build == b.ID {
			e.any(p)
		}
	}
	return e.sum()
}
