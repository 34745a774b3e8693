// The runners of a kit as they lie on the bench: rows of numbered squares, and below
// them the place of each part.

package render

import (
	"rakelight/journal"
	"rakelight/journal/say"
)

// KitPage is builds/<id>/kit-<n>.html.
type KitPage struct {
	Frame
	Build   Tag
	Heading string // "Lightship: Hull"
	Sums    []string
	Marks   []string // the stages, in the order of the marks in a square
	Others  []Link   // the other pages of runners of the build
	Runners []RunnerPart
}

// RunnerPart is one runner.
type RunnerPart struct {
	ID, Heading string // "runner-A", "Runner A, flat"
	Words       string // "Cut: 3 of 24 left; Cleanup: all 24 done"
	Squares     []PartSquare
	Places      []PartPlace
}

// PartSquare is one part on its runner. It can be told apart without color: Look draws
// it, Marks has the stages by shape, Words says it to a screen reader.
type PartSquare struct {
	Number, Href string
	Look         string // "done", "begun", "not", "lacks", "unused"
	Sign         string // beside the number: "?" missing, "!" damaged, "+" asked for; "" = none
	Marks        []string
	Words        string // "A12: cut, cleanup done; assembly not done"
}

// The marks of a stage in a square.
var stageMarks = map[journal.PartState]string{
	journal.NotDone: "not", journal.PartDone: "done", journal.PartOpened: "opened",
}

// lackSigns stand beside the number of a part that is lacking.
var lackSigns = map[string]string{"missing": "?", "damaged": "!", "asked": "+"}

// kitPage is a page of the runners of a kit.
func (v *view) kitPage(b *build, leaf *kitLeaf) KitPage {
	root := "../../"
	title := joinWords(": ", b.Title, v.kitTitle(b, leaf.kit))
	p := KitPage{Frame: v.frameIn(root, "book", title, b), Build: b.tag(root), Heading: title}
	for _, other := range v.leaves(b) {
		p.Others = append(p.Others, Link{Words: v.leafWords(b, other), Href: root + other.href, Here: other == leaf})
	}
	if len(p.Others) == 1 {
		p.Others = nil
	}
	p.Sums = v.kitSums(b, leaf)
	for _, st := range leaf.runners[0].Stages {
		p.Marks = append(p.Marks, v.low(v.stageTitle(st)))
	}
	teller := v.teller(b, root, leaf.href)
	for _, r := range leaf.runners {
		one := RunnerPart{ID: runnerID(r),
			Heading: v.runnerTitle(r), Words: v.runnerWords(b, r)}
		for _, part := range r.Parts {
			one.Squares = append(one.Squares, v.square(b, leaf, r, part))
			one.Places = append(one.Places, teller.place(r, part))
		}
		p.Runners = append(p.Runners, one)
	}
	return p
}

// noKitTitle stands for the kit of a build that has no other one.
const noKitTitle say.Key = "the runners"

// kitTitle is a kit as its build calls it.
func (in voice) kitTitle(b *build, kit int) string {
	i := max(1, kit) - 1
	if i < len(b.Kits) && b.Kits[i].Title != "" && b.Kits[i].Title != b.Title {
		return b.Kits[i].Title
	}
	if len(b.Kits) > 1 {
		return in.Say("kit %d", i+1)
	}
	return in.Say(noKitTitle)
}

// leafWords names a page of runners: "Hull", "Hull, runners A to F".
func (in voice) leafWords(b *build, leaf *kitLeaf) string {
	first, last := leaf.runners[0].Letter, leaf.runners[len(leaf.runners)-1].Letter
	runners := in.Say("runner %s", first)
	if first != last {
		runners = in.Say("runners %s to %s", first, last)
	}
	if title := in.kitTitle(b, leaf.kit); title != in.Say(noKitTitle) {
		return title + ", " + runners
	}
	return journal.Capital(runners)
}

// runnerID is the place of a runner on its page.
func runnerID(r journal.RunnerLedger) string {
	return "runner-" + anchorOf(journal.PartRef{Runner: r.Letter})
}

// runnerWords says how far a runner is, stage by stage.
func (in voice) runnerWords(b *build, r journal.RunnerLedger) string {
	words := ""
	for _, st := range r.Stages {
		left, all := r.Left(st.ID)
		words = joinWords("; ", words, in.stageTitle(st)+": "+in.leftWords(b, left, all))
	}
	return words
}

// leftWords say how many parts a stage has still to do. A build that is finished has
// none left, and there they say how many were named as done.
func (in voice) leftWords(b *build, left, all int) string {
	switch {
	case left == 0:
		return in.Say("all %d done", all)
	case b.Finished != "" && left == all:
		return in.Say("no part named")
	case b.Finished != "":
		return in.Say("%d of %d named as done", all-left, all)
	case left == all:
		return in.Say("not begun")
	}
	return in.Say("%d of %d left", left, all)
}

// kitSums are the sums of a kit in words, over all its pages.
func (v *view) kitSums(b *build, leaf *kitLeaf) []string {
	forUse, uses := 0, map[string]int{}
	left := map[string]int{}
	for _, other := range v.leaves(b) {
		if other.kit != leaf.kit {
			continue
		}
		for _, r := range other.runners {
			for _, st := range r.Stages {
				n, _ := r.Left(st.ID)
				left[st.ID] += n
			}
			for _, p := range r.Parts {
				switch p.Use {
				case journal.NotUsed:
					uses["not-used"]++
				case journal.Missing:
					uses[p.Found]++
					forUse++
				case journal.Unknown:
					uses["unknown"]++
				default:
					forUse++
				}
			}
		}
	}
	words := v.Say("%s for use", v.count(forUse, "part"))
	for _, one := range []struct {
		use string
		is  say.Key
	}{{"missing", "%d missing"}, {"damaged", "%d damaged"}, {"asked", "%d with a replacement asked for"},
		{"not-used", "%d not for use"}, {"unknown", "%d not in build.md"}} {
		if n := uses[one.use]; n > 0 {
			words += "; " + v.Say(one.is, n)
		}
	}
	sums := []string{words + "."}
	for _, st := range leaf.runners[0].Stages {
		sums = append(sums, v.stageTitle(st)+": "+v.leftWords(b, left[st.ID], forUse)+".")
	}
	return sums
}

// square draws a part on its runner.
func (v *view) square(b *build, leaf *kitLeaf, r journal.RunnerLedger, p journal.PartLedger) PartSquare {
	s := PartSquare{Number: p.Ref.Number, Href: v.partAt(b, p.Ref)[len(leaf.href):], Look: "not",
		Words: anchorOf(p.Ref) + ": " + v.standWords(r, p)}
	if p.Use == journal.NotUsed {
		s.Look = "unused"
		return s
	}
	done := 0
	for _, st := range r.Stages {
		s.Marks = append(s.Marks, stageMarks[p.Stands[st.ID]])
		if p.Stands[st.ID] == journal.PartDone {
			done++
		}
	}
	switch {
	case p.Use == journal.Missing:
		s.Look, s.Sign = "lacks", lackSigns[p.Found]
	case done > 0 && done == len(r.Stages):
		s.Look = "done"
	case len(p.Stands) > 0:
		s.Look = "begun"
	}
	return s
}

// standWords says how a part stands: "cut, cleanup done; assembly not done".
func (in voice) standWords(r journal.RunnerLedger, p journal.PartLedger) string {
	if p.Use == journal.NotUsed {
		return in.Say("not for use")
	}
	var done, opened, not string
	for _, st := range r.Stages {
		title := in.low(in.stageTitle(st))
		switch p.Stands[st.ID] {
		case journal.PartDone:
			done = joinWords(", ", done, title)
		case journal.PartOpened:
			opened = joinWords(", ", opened, title)
		default:
			not = joinWords(", ", not, title)
		}
	}
	if done != "" {
		done = in.Say("stages¦%s done", done)
	}
	if opened != "" {
		opened = in.Say("stages¦%s opened again", opened)
	}
	if not != "" {
		not = in.Say("stages¦%s not done", not)
	}
	lack := p.LackSaid(in.Speaker)
	switch {
	case p.Use == journal.Unknown:
		lack = in.Say("not in build.md")
	case p.Found == "come":
		lack = in.Say("replacement arrived")
	}
	return joinWords("; ", lack, done, opened, not)
}
