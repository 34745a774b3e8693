// The return page of an open build: what somebody needs who comes back to it after
// weeks, on one screen.

package render

import (
	"cmp"
	"fmt"
	"slices"

	"rakelight/journal"
)

// ReturnPage is builds/<id>/return.html.
type ReturnPage struct {
	Frame
	Build              Tag
	State              string  // "put aside since 3 May 2024; last at the bench on 1 May 2024"
	Photo              Picture // the last one of the work
	Why, Next, Waiting string
	Stage              string // the stage to go on with, "" = not known
	Left               string // "12 parts left, next"
	Parts              []Link // the next ones to do
	Topics             []Topic
	Ways               []Link
}

// Topic is one thing to know, with what is so.
type Topic struct {
	Head  string
	Lines []TopicLine
	More  Link // the page with the rest, where only some stand here
}

// TopicLine is one line of a topic.
type TopicLine struct {
	Parts []Link
	Words string
}

// How much stands on one screen.
const (
	topicLines = 4
	nextParts  = 6
)

// returns reports whether a build has a return page: it is open and was begun.
func (v *view) returns(b *build) bool {
	return v.atBench(b) && (len(b.sessions) > 0 || len(b.photos) > 0 || v.Paused(b.ID) != nil)
}

func (b *build) returnHref() string { return b.folder() + "return.html" }

func (v *view) returnPage(b *build) ReturnPage {
	root := "../../"
	p := ReturnPage{Frame: v.frameIn(root, "book", joinWords(": ", b.Title, "to go on"), b), Build: b.tag(root)}
	r, _ := v.State.Return(b.ID)
	if v.Paused(b.ID) != nil {
		p.State = v.stateOf(b)
	}
	if r.Pause != nil {
		p.Why, p.Next, p.Waiting = v.of(journal.WhySaid(r.Pause.Why)), r.Pause.Next, r.Pause.Waiting
	}
	if r.Last != nil {
		p.State = joinWords("; ", p.State, "last at the bench on "+v.dayOf(r.Last.Date))
	}
	p.Photo = v.picture(root, v.lastShown(b), asHalf)
	p.Photo.Eager = true
	v.nextStep(&p, root, b, r.NextStage)
	for _, topic := range v.returnTopics(root, b, r) {
		p.Topics = append(p.Topics, topic.short())
	}
	p.Ways = append(p.Ways, Link{Words: b.Title, Href: root + b.href})
	if v.takesApart(b) {
		p.Ways = append(p.Ways, Link{Words: "the take-apart sheet", Href: root + b.takeApartHref()})
	}
	for _, leaf := range v.leaves(b) {
		p.Ways = append(p.Ways, Link{Words: v.leafWords(b, leaf), Href: root + leaf.href})
	}
	return p
}

// lastShown is the last photo of the work of a build that can be shown.
func (v *view) lastShown(b *build) *journal.Photo {
	if len(b.prints) == 0 {
		return nil
	}
	return b.prints[len(b.prints)-1]
}

// nextStep is the stage to go on with, and the next parts of it.
func (v *view) nextStep(p *ReturnPage, root string, b *build, stage string) {
	st := b.Stage(stage)
	if st == nil {
		return
	}
	p.Stage = v.stageTitle(st)
	var next []journal.PartRef
	left := 0
	for _, leaf := range v.leaves(b) {
		for _, r := range leaf.runners {
			if !slices.ContainsFunc(r.Stages, func(one *journal.Stage) bool { return one.ID == stage }) {
				continue
			}
			for _, part := range r.Parts {
				if part.Use != journal.ForUse || part.Stands[stage] == journal.PartDone {
					continue
				}
				if left++; left <= nextParts {
					next = append(next, part.Ref)
				}
			}
		}
	}
	p.Parts = v.partLinks(root, b, next)
	if left > len(next) {
		p.Left = v.count(left, "part") + " left, next"
	}
}

// short is a topic on one screen: of many lines the first, and the way to the rest.
func (t Topic) short() Topic {
	n := len(t.Lines) - topicLines
	if n <= 1 {
		t.More = Link{}
		return t
	}
	t.Lines, t.More.Words = t.Lines[:topicLines], fmt.Sprintf("%d more", n)
	return t
}

// mixesHead is the topic of the mixes in use.
const mixesHead = "Mixes in use"

// returnTopics are what is to be known, what is at stake first, each with the page that
// has it, too.
func (v *view) returnTopics(root string, b *build, r journal.Return) (topics []Topic) {
	links := func(parts []journal.PartRef) []Link { return v.partLinks(root, b, parts) }
	rest := Link{}
	if v.takesApart(b) {
		rest.Href = root + b.takeApartHref()
	}
	add := func(head string, rest Link, lines []TopicLine) {
		if len(lines) == 0 {
			return
		}
		topics = append(topics, Topic{Head: head, Lines: lines, More: rest})
	}
	held := func(holds []journal.Hold) (lines []TopicLine) {
		for _, h := range holds {
			line := TopicLine{Words: joinWords("; ", v.sinceWords(h), h.Text)}
			v.about(&line, root, b, h.Noted)
			lines = append(lines, line)
		}
		return lines
	}
	prepared := func(preps []journal.Prep) (lines []TopicLine) {
		for _, one := range preps {
			words := v.prepWords(one)
			if one.Is != "store" {
				words = one.PrepWords()
			}
			line := TopicLine{Words: words}
			v.about(&line, root, b, one.Noted)
			lines = append(lines, line)
		}
		return lines
	}
	add(v.Say(holdTitles["unglued"]), rest, held(r.NotGlued))
	add(v.Say(holdTitles["masked"]), rest, held(r.MasksOn))
	add(v.Say(holdTitles["curing"]), rest, held(r.Curing))
	add("Mind", rest, prepared(r.Mind))
	add("Loose parts lie in", rest, prepared(r.Stored))
	add("Lacking", Link{Href: root + b.href + "#runners"}, v.lackLines(root, b, r.Lacking))
	add("To get", Link{Href: root + suppliesPage}, supplyLines(v.voice, r.Supplies))
	var mixes []TopicLine
	for _, m := range slices.Backward(r.Mixes) {
		mixes = append(mixes, TopicLine{Words: m.Words()})
	}
	add(mixesHead, Link{Href: root + b.href + "#mixes"}, mixes)
	add("Before glue", rest, questionLines(links, r.Questions))
	var doubtful []TopicLine
	for _, one := range r.Doubtful {
		title := one.Stage
		if st := b.Stage(one.Stage); st != nil {
			title = v.low(v.stageTitle(st))
		}
		doubtful = append(doubtful, TopicLine{Words: "how long was " + title + " on " + v.dayOf(one.Date) + "?"})
	}
	add("Not answered yet", Link{Href: root + b.href + "#stages"}, doubtful)
	return topics
}

// about says what a line is about: a sub-assembly in words, parts as links.
func (v *view) about(line *TopicLine, root string, b *build, n journal.Noted) {
	if n.Sub != "" {
		line.Words = joinWords(": ", n.Sub, line.Words)
		return
	}
	line.Parts = v.partLinks(root, b, n.Parts)
}

// lackLines are what is lacking, by what is so of it.
func (v *view) lackLines(root string, b *build, lacks []journal.Found) (lines []TopicLine) {
	for _, state := range journal.CheckStates {
		var parts []journal.PartRef
		for _, f := range lacks {
			if f.State == state {
				parts = append(parts, f.Part)
			}
		}
		if len(parts) > 0 {
			lines = append(lines, TopicLine{v.partLinks(root, b, parts), journal.StateWords(state)})
		}
	}
	return lines
}

func supplyLines(in voice, supplies []journal.Supply) (lines []TopicLine) {
	for _, s := range supplies {
		words := s.Text
		if s.State != journal.SupplyMissing {
			words = joinWords(", ", words, in.supplyWords(s))
		}
		lines = append(lines, TopicLine{Words: words})
	}
	return lines
}

// questionLines are what is to be told of parts that were fitted dry.
func questionLines(links func([]journal.PartRef) []Link, questions []journal.DryFitQuestion) (lines []TopicLine) {
	gates, pegs := journal.GatesAndPegs(questions)
	if len(gates) > 0 {
		lines = append(lines, TopicLine{links(gates), "were the gates cut together with the mating part?"})
	}
	if len(pegs) > 0 {
		lines = append(lines, TopicLine{links(pegs), "which pegs were cut, and do any show?"})
	}
	return lines
}

// resting are the open builds that do not run and that nobody put aside, those worked
// on last first; those put aside stand in their own right.
func (v *view) resting() []*build {
	var out []*build
	for _, b := range v.order {
		runs := slices.ContainsFunc(b.sessions, func(s *journal.Session) bool { return s.Open })
		if v.returns(b) && v.Paused(b.ID) == nil && !runs && len(b.sessions) > 0 {
			out = append(out, b)
		}
	}
	slices.SortStableFunc(out, func(a, b *build) int { return cmp.Compare(b.last, a.last) })
	return out[:min(len(out), railOpen)]
}
