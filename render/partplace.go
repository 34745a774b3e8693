// The place of a part: all that is known of it.

package render

import (
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/sanding"
)

// PartPlace is the place of one part on the page of its kit.
type PartPlace struct {
	ID, Name string // "A12"
	Class    string
	Stands   string // "cut done; cleanup not done"
	Facts    []PlaceFact
	Plan     string   // "Sanding plan: nub, flat, primed, of 3 May 2024"
	Steps    []string // of the sanding plan it was given
	Note     string   // beside the plan
	Photos   []Picture
	Story    []PlaceEvent
	Plain    bool // nothing but its class and how it stands
}

// PlaceFact is something that holds of a part now.
type PlaceFact struct {
	Term, Words string
	Parts       []Link
}

// PlaceEvent is something that happened to a part.
type PlaceEvent struct {
	Words string // "clean done", "cut opened again: stub left"
	Stamp string // YYYY-MM-DD, "" when not even the day is known
	Date  string
	Href  string // its session or its photo, "" = none
}

// fewOfPart is how many photos of a part are shown with it.
const fewOfPart = 8

// teller tells of the parts of a build.
type teller struct {
	v          *view
	b          *build
	root, page string // that the page leads back by, and its own address from the top
	s          *journal.State
	preps      []journal.Prep
	holds      []journal.Hold
	subs       []journal.Sub
	mixes      []journal.Mix
	additions  []journal.Addition
}

// teller looks at a build alone, so that the cost of a part is not that of the whole
// journal.
func (v *view) teller(b *build, root, page string) *teller {
	s := *v.State
	s.Sessions = b.sessions
	s.Photos = keepPhotos(b.photos, func(p *journal.Photo) bool { return len(p.Tags.Parts) > 0 })
	return &teller{v: v, b: b, root: root, page: page, s: &s, preps: s.PrepsOf(b.ID), holds: s.HoldsOf(b.ID),
		subs: s.SubsOf(b.ID), mixes: s.MixesOf(b.ID), additions: s.AdditionsOf(b.ID)}
}

// place is the place of a part.
func (t *teller) place(r journal.RunnerLedger, p journal.PartLedger) PartPlace {
	_, id, _ := strings.Cut(t.v.partAt(t.b, p.Ref), "#")
	one := PartPlace{ID: id, Name: p.Ref.String(), Class: t.v.classWord(p.Class), Stands: t.v.standWords(r, p)}
	t.holdsNow(&one, p.Ref)
	t.workedWith(&one, p.Ref)
	t.sanding(&one, p.Ref)
	t.story(&one, p.Ref)
	one.Plain = len(one.Facts)+len(one.Steps)+len(one.Story)+len(one.Photos) == 0
	if one.Plain && p.Class == r.Class {
		one.Class = "" // the runner's heading says it
	}
	return one
}

// holdsNow is the sub-assembly of a part, what has to be remembered of it, and what
// was done to it that must be known when it is put together.
func (t *teller) holdsNow(one *PartPlace, ref journal.PartRef) {
	for _, sub := range t.subs {
		if has(sub.Parts, ref) {
			one.Facts = append(one.Facts, PlaceFact{Term: t.v.Say("In the sub-assembly"), Words: sub.Sub,
				Parts: t.others(sub.Parts, ref)})
		}
	}
	for _, h := range t.holds {
		if t.s.About(h.Noted, t.b.ID, ref) {
			one.Facts = append(one.Facts, PlaceFact{Term: t.v.Say("To remember"),
				Words: joinWords("; ", t.v.heldWords(h), h.Text)})
		}
	}
	for _, p := range t.preps {
		switch {
		case t.s.About(p.Noted, t.b.ID, ref):
			one.Facts = append(one.Facts, PlaceFact{Term: t.v.prepTitle(p.Is), Words: t.v.prepWords(p),
				Parts: t.v.partLinks(t.root, t.b, p.With)})
		case has(p.With, ref):
			one.Facts = append(one.Facts, PlaceFact{Term: t.v.prepTitle(p.Is), Words: t.v.prepWords(p),
				Parts: t.v.partLinks(t.root, t.b, p.Parts)})
		}
	}
}

// others are the links to the parts beside one.
func (t *teller) others(parts []journal.PartRef, ref journal.PartRef) []Link {
	rest := slices.DeleteFunc(slices.Clone(parts), ref.Is)
	return t.v.partLinks(t.root, t.b, rest)
}

// workedWith are the mixes a part was painted with, and what is on it that is not from
// the box.
func (t *teller) workedWith(one *PartPlace, ref journal.PartRef) {
	for _, m := range t.mixes {
		if t.inIt(m.Parts, m.Sub, m.At, ref) {
			one.Facts = append(one.Facts, PlaceFact{Term: t.v.Say("Painted with"), Words: m.Said(t.v.Speaker)})
		}
	}
	for _, a := range t.additions {
		if t.inIt(a.Parts, a.Sub, a.At, ref) {
			one.Facts = append(one.Facts, PlaceFact{Term: t.v.additionTitle(a.Kind),
				Words: joinWords("; ", a.Text, a.Where)})
		}
	}
}

// inIt reports whether something was said of the part or of a sub-assembly that held
// it.
func (t *teller) inIt(parts []journal.PartRef, sub string, at time.Time, ref journal.PartRef) bool {
	return t.s.About(journal.Noted{Build: t.b.ID, Parts: parts, Sub: sub, At: at}, t.b.ID, ref)
}

// sanding is the plan a part was given, itself or with its sub-assembly.
func (t *teller) sanding(one *PartPlace, ref journal.PartRef) {
	plan, ok := t.s.SandingOf(t.b.ID, ref)
	for _, sub := range t.subs {
		of, given := t.s.SandingOfSub(t.b.ID, sub.Sub)
		if given && has(sub.Parts, ref) && (!ok || of.At.After(plan.At)) {
			plan, ok = of, true
		}
	}
	if !ok {
		return
	}
	one.Plan = joinWords(", ", t.v.sanding(plan.Remove), t.v.sanding(plan.Surface), t.v.sanding(plan.Finish),
		t.v.Say("given on %s", t.v.day(plan.At.In(t.v.zone()))))
	one.Note = plan.Text
	for _, step := range plan.Steps {
		one.Steps = append(one.Steps, t.v.sandingStep(step))
	}
}

// story is what happened to a part, by time, and the photos that show it.
func (t *teller) story(one *PartPlace, ref journal.PartRef) {
	var shown []*journal.Photo
	show := func(p *journal.Photo) {
		if p != nil && stands(p) && !slices.Contains(shown, p) {
			shown = append(shown, p)
		}
	}
	for _, e := range t.s.PartStory(t.b.ID, ref) {
		event := PlaceEvent{Words: e.Said(t.v.Speaker), Stamp: e.Day, Date: t.v.dayOf(e.Day)}
		switch {
		case e.Count != nil:
			event.Words, event.Href = t.counted(*e.Count), t.root+t.b.href+"#"+sessionID(e.Count.Session.ID)
		case e.Photo != nil:
			show(e.Photo)
			event.Href = t.v.picture(t.root, e.Photo, asSmall).Home
		case e.Mistake != nil:
			event.Words = t.v.mistakeWords(e.Mistake)
		}
		show(t.v.byHash[besideOf(e)])
		if _, err := time.Parse(time.DateOnly, e.Day); err != nil {
			event.Stamp = yearOf(e.Day)
		}
		one.Story = append(one.Story, event)
	}
	one.Photos = t.v.smalls(t.root, shown[max(0, len(shown)-fewOfPart):])
}

// counted says what was counted: "cut done", "cut opened again: stub left".
func (t *teller) counted(e journal.PartEvent) string {
	words := e.Stage
	if st := t.b.Stage(e.Stage); st != nil {
		words = t.v.low(t.v.stageTitle(st))
	}
	if !e.Tally.Back {
		return t.v.Say("stage¦%s done", words)
	}
	return joinWords(": ", t.v.Say("stage¦%s opened again", words), e.Tally.Why)
}

// mistakeWords says what went wrong, of what, and how it was mended.
func (in voice) mistakeWords(m *journal.Mistake) string {
	words := in.Say("mistake: %s", m.Kind)
	if m.Cause != "" {
		words = in.Say("mistake¦%s, of %s", words, m.Cause)
	}
	return joinWords("; ", words, m.Mended)
}

// besideOf is the hash of the photo beside an entry of a part's story, "" = none.
func besideOf(e journal.StoryEvent) string {
	switch {
	case e.Checked != nil:
		return e.Checked.Photo
	case e.Sub != nil:
		return e.Sub.Photo
	case e.Hold != nil:
		return e.Hold.Photo
	case e.Prep != nil:
		return e.Prep.Photo
	case e.Mix != nil:
		return e.Mix.Photo
	case e.Addition != nil:
		return e.Addition.Photo
	case e.Sanding != nil:
		return e.Sanding.Photo
	}
	return ""
}

func has(parts []journal.PartRef, ref journal.PartRef) bool {
	return slices.ContainsFunc(parts, ref.Is)
}

// sandingStep is a step as a page shows it: "P400 on hard block, wet: no step is felt".
func (in voice) sandingStep(s sanding.Step) string {
	words := s.Grade()
	if s.Grit == 0 {
		words = in.Say("sanding¦polish")
	}
	if s.Backing != "" {
		words = in.Say("sanding¦%s on %s", words, s.Backing)
	}
	if s.Wet {
		words = in.Say("sanding¦%s, wet", words)
	}
	return joinWords(": ", words, s.Check)
}
