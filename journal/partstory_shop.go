// This file tells, in the story of a part, what it was worked with: paint, what is
// not from the box, and the plan by which it is sanded.

package journal

import (
	"strings"

	"rakelight/journal/say"
)

// shop adds mixes, additions and sanding plans.
func (t *story) shop() {
	s := t.s
	for i := range s.Mixes {
		m := &s.Mixes[i]
		if m.By == "" && t.about(Noted{Build: m.Build, Parts: m.Parts, Sub: m.Sub, At: m.At}) {
			t.add(m.At, StoryEvent{Is: WasPainted, Record: m.Record, Mix: m})
		}
	}
	for i := range s.Additions {
		a := &s.Additions[i]
		if a.By == "" && t.about(Noted{Build: a.Build, Parts: a.Parts, Sub: a.Sub, At: a.At}) {
			t.add(a.At, StoryEvent{Is: WasAddedTo, Record: a.Record, Addition: a})
		}
	}
	for i := range s.Sandings {
		p := &s.Sandings[i]
		if p.By == "" && t.about(Noted{Build: p.Build, Parts: p.Parts, Sub: p.Sub, At: p.At}) {
			t.add(p.At, StoryEvent{Is: GotSanding, Record: p.Record, Sanding: p})
		}
	}
}

// wordsOfShop are what such an event is.
func (e StoryEvent) wordsOfShop(in *say.Speaker) string {
	switch {
	case e.Mix != nil:
		return ofSub(e.Mix.Sub, in.Say("painted with %s", e.Mix.Said(in)))
	case e.Addition != nil:
		return ofSub(e.Addition.Sub, withText(in.Say("%s: %s", saidOf(additionWords, e.Addition.Kind),
			e.Addition.Text), e.Addition.Where))
	}
	return ofSub(e.Sanding.Sub, withText(in.Say("sanding plan: %s", e.Sanding.Said(in)), e.Sanding.Text))
}

// ofSub are words on a sub-assembly, or on the part itself.
func ofSub(sub, words string) string {
	if sub == "" {
		return words
	}
	return sub + ": " + words
}

// Words are a mix in one line: "hull red: 3 red, 2 thinner; 2 coats; batch 7".
func (m Mix) Words() string { return m.Said(say.English()) }

// Said says it in a language.
func (m Mix) Said(in *say.Speaker) string {
	words := m.Name
	if recipe := RecipeSaid(in, m.Recipe); recipe != "" {
		words += ": " + recipe
	}
	if m.Coats > 0 {
		words += "; " + in.Count(m.Coats, "coat")
	}
	if m.Batch != "" {
		words += "; " + in.Say("batch %s", m.Batch)
	}
	return withText(words, m.Text)
}

// Words are a sanding plan in one line: "nub, flat, primed: P400, P600, P800".
func (p SandingPlan) Words() string { return p.Said(say.English()) }

// Said says it in a language.
func (p SandingPlan) Said(in *say.Speaker) string {
	var grades []string
	for _, step := range p.Steps {
		grades = append(grades, step.Grade())
	}
	return strings.Join([]string{SandingSaid(p.Remove).In(in), SandingSaid(p.Surface).In(in),
		SandingSaid(p.Finish).In(in)},
		", ") + ": " + strings.Join(grades, ", ")
}
