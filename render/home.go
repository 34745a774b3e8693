// The first page. For readers the newest week of the diary, for the builder before it
// what is on the bench and the next small step; under both the years. In an empty
// journal it says what to do first.

package render

import (
	"slices"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
)

// Home is index.html.
type Home struct {
	Frame
	Bench     []BenchLine // open builds that are worked on, the latest first
	Aside     []Aside     // builds put aside: what to know on return
	Week      *HomeWeek   // the newest week, nil = none yet
	Sentences []Sentence  // speed, skill, hours
	Band      Band
	Latest    []Picture // the latest photos, newest first
	Teach     *Teach    // in an empty journal, instead of everything else
	Stretches []Stretch // and the builds that are planned in it
	Empty     bool      // nothing is here that readers may see
}

// HomeWeek is the newest week as the first page shows it.
type HomeWeek struct {
	WeekPrint
	Week    string // "Week 26 of 2026"
	Opening Picture
	Figure  string // "6.9 h at the bench this week", "" = none
}

// BenchLine is a build on the bench, and the next small step.
type BenchLine struct {
	Tag     Tag
	Stage   string // the stage to go on with, "" = not known
	Left    string // "12 parts left, next"
	Parts   []Link
	Since   string // the last day at it
	Running bool
	Return  Link // everything needed to go on
}

// Sentence is a number in words, with the way to the sessions it comes from.
type Sentence struct {
	Words    string
	Note     string
	Href     string // where its sessions are, "" = nowhere
	HrefText string
}

// Teach is what the first page of an empty journal shows.
type Teach struct {
	Build string // a build's folder name to write in the examples
	Old   string // "170 pictures": of the years before, which wait to be sorted; "" = none
	Steps []Step
}

// Step is one thing to do, and what to type or where to put it.
type Step struct{ Words, Type, Then string }

// Aside is a build that was put aside.
type Aside struct {
	Tag                Tag
	Since              string
	Why, Next, Waiting string
	OwnWhy             bool    // Why is in the words of a person
	Card               Picture // of the card that says it: what is written on it tells why
	Return             string  // address of the page with all that is needed to go on
}

func (v *view) home(t *texts) Home {
	h := Home{Frame: v.frame("", "home", "")}
	if len(v.Photos) == 0 && len(v.Sessions) == 0 && len(v.Diary) == 0 {
		if h.Empty = !v.mine(); !h.Empty {
			h.Teach, h.Stretches = v.teach(), v.stretches("", v.order)
		}
		return h
	}
	if v.mine() {
		v.onTheBench(&h)
	}
	h.Week = v.homeWeek(t)
	h.Sentences = v.headlines()
	h.Band = v.band("", v.order, "", "")
	return h
}

// onTheBench is what the builder's own first page begins with.
func (v *view) onTheBench(h *Home) {
	for _, b := range slices.Backward(v.order) {
		if slices.ContainsFunc(b.sessions, func(s *journal.Session) bool { return s.Open }) {
			h.Bench = append(h.Bench, v.benchLine(b))
		}
	}
	for _, b := range v.resting() {
		h.Bench = append(h.Bench, v.benchLine(b))
	}
	for _, b := range v.order {
		if p := v.Paused(b.ID); p != nil && b.gone == nil {
			h.Aside = append(h.Aside, v.aside("", b, p))
		}
	}
	for _, p := range v.latestPhotos() {
		pic := v.picture("", p, asPrint)
		pic.More = v.smalls("", v.bursts[p.Hash])
		h.Latest = append(h.Latest, pic)
	}
}

func (v *view) benchLine(b *build) BenchLine {
	line := BenchLine{Tag: b.tag(""), Since: v.dayOf(b.last),
		Running: slices.ContainsFunc(b.sessions, func(s *journal.Session) bool { return s.Open }),
		Return:  Link{Words: "everything you need to go on", Href: b.returnHref()}}
	r, _ := v.State.Return(b.ID)
	var next ReturnPage
	v.nextStep(&next, "", b, r.NextStage)
	line.Stage, line.Left, line.Parts = next.Stage, next.Left, next.Parts
	return line
}

// homeWeek is the newest week: its picture, its first words, one figure.
func (v *view) homeWeek(t *texts) *HomeWeek {
	w := v.newestWeek()
	if w == nil {
		return nil
	}
	best := bestMoment(w.photos(), v.inWords(w.days...))
	one := &HomeWeek{WeekPrint: v.weekPrint("", w, t), Week: v.weekNamed(w.id), Opening: v.shownAs("", best, asOpening)}
	one.Opening.Eager = true
	if told := v.timeTold(timed(w.sessions())); told != "" {
		one.Figure = v.Say("%s at the bench that week", told)
	}
	return one
}

func (v *view) newestWeek() *benchWeek {
	weeks := v.calendar().weeks
	if len(weeks) == 0 {
		return nil
	}
	return weeks[len(weeks)-1]
}

func (v *view) aside(root string, b *build, p *journal.Pause) Aside {
	why, own := v.why(p)
	one := Aside{Tag: b.tag(root), Since: v.day(p.From.In(v.zone())), Why: why, OwnWhy: own,
		Next: p.Next, Waiting: p.Waiting, Card: v.pauseCard(root, p)}
	if v.returns(b) {
		one.Return = root + b.returnHref()
	}
	return one
}

// latestPhotos are the latest photos of work, newest first.
func (v *view) latestPhotos() []*journal.Photo {
	var out []*journal.Photo
	for i := len(v.Photos) - 1; i >= 0 && len(out) < 8; i-- {
		if p := v.Photos[i]; p.Tags.Build != "" && stands(p) && v.series[p.Series] == nil && !p.OfCards() {
			out = append(out, p)
		}
	}
	return out
}

// portrait is the photo, of some that can be shown, that shows a whole model
// best: of the last day with
// finished work the latest three-quarter view, else the latest photo of that
// day; without finished work the best of the step furthest along, where a
// photo from before the work counts only if there is no other.
func (v *view) portrait(shown []*journal.Photo) *journal.Photo {
	var found *journal.Photo
	for _, p := range shown {
		if p.Tags.Role != "finished" {
			continue
		}
		sameDay := found != nil && found.Instant.Day() == p.Instant.Day()
		if !sameDay || p.Tags.View == "three-quarter" || found.Tags.View != "three-quarter" {
			found = p
		}
	}
	if found != nil {
		return found
	}
	if some := keepPhotos(shown, func(p *journal.Photo) bool { return p.Tags.Role != "before" }); len(some) > 0 {
		shown = some
	}
	furthest := -1
	for _, p := range shown {
		furthest = max(furthest, slices.Index(journal.Kinds, p.Kind))
	}
	return best(keepPhotos(shown, func(p *journal.Photo) bool {
		return slices.Index(journal.Kinds,
			p.Kind) == furthest
	}))
}

// headlines are the sentences of the first page: speed now against then, and skill,
// each as its own page answers it; where there is nothing to hold against yet, the
// kind of work most done of late; and the hours.
func (v *view) headlines() []Sentence {
	var out []Sentence
	first, last := v.ends()
	if first != nil && last != first {
		out = append(out, v.speedSentence())
	}
	if s, ok := v.skillSentence(); ok {
		out = append(out, s)
	}
	if len(out) > 0 {
		return append(out, v.hoursSentence())
	}
	if last != nil {
		kind, n := "", 0
		for _, k := range journal.Kinds {
			if ps := last.paces(v.voice, k); len(ps) > 0 && ps[0].N > n {
				kind, n = k, ps[0].N
			}
		}
		if kind != "" {
			p := last.paces(v.voice, kind)[0]
			s := Sentence{Words: v.of(p.Sentence(v.kindTitle(kind)+", "+last.named(), unit(kind))),
				Href: "pace.html#" + kind, HrefText: v.Say("the sessions")}
			if p.Known.Word != "measured" {
				s.Note = v.Say("This time is %s.", p.Known.Word)
			}
			out = append(out, s)
		}
	}
	return append(out, v.hoursSentence())
}

// skillSentence says how the latest judged build looks beside the first one it was
// judged against. ok is false where no pairs tell.
func (v *view) skillSentence() (s Sentence, ok bool) {
	q := v.judged.quality()
	if q == nil {
		return s, false
	}
	for _, e := range q.Earlier {
		if a, ok := v.skillAnswer(q, e.ID, q.Build.ID); ok {
			return Sentence{Words: v.Say("%s: %s", a.Lead, a.Words), Note: a.Note, Href: "skill.html",
				HrefText: v.Say("how it was judged")}, true
		}
	}
	return s, false
}

// speedSentence compares the latest build with all before it: over all shared
// work or, where that leaves too little to tell, in the kind of work with the most
// sessions that does not. The choice is by sessions, never by the result.
func (v *view) speedSentence() Sentence {
	c := v.Claims()
	earlier, later := v.before(c.Build)
	s := Sentence{Words: v.of(c.Since.Sentence(earlier, later)), Href: "pace.html#like-for-like",
		HrefText: v.Say("the figures behind this")}
	if c.Since.Interval.OK {
		return s
	}
	most := 0
	for _, kind := range journal.Kinds {
		if one := c.Kinds[kind]; one.Interval.OK && one.N1+one.N2 > most {
			most = one.N1 + one.N2
			s = Sentence{Words: v.Say("%s: %s", v.kindTitle(kind), one.Sentence(earlier, later)),
				Href: "pace.html#" + kind, HrefText: v.Say("the sessions")}
		}
	}
	return s
}

func (v *view) hoursSentence() Sentence {
	sums := metrics.Hours(v.Work(""), func(metrics.Work) string { return "" })
	if len(sums) == 0 {
		return Sentence{Words: v.Say("%s and no bench time yet.", v.count(len(v.Photos), "photo"))}
	}
	s := sums[0]
	total := v.benchTime(v.Work(""))
	var how string
	for _, one := range []struct {
		h   float64
		how say.Key
	}{{s.Measured, "%s measured"}, {s.Remembered, "%s remembered"}, {s.Estimated,
		"%s estimated from photos, a lower bound"}} {
		if one.h > 0 {
			how = joinWords(", ", how, v.Say(one.how, v.inHours(one.h)))
		}
	}
	return Sentence{
		Words: v.Say("%s at the bench over %s (%s).", total, v.count(len(v.order), "dative¦build"),
			joinWords("; ", how, v.count(s.N, "session"))),
		Href: "pace.html#hours", HrefText: v.Say("the hours by build"),
	}
}

// ends are the first and the last build that hold counted sessions.
func (v *view) ends() (first, last *build) {
	for _, b := range v.order {
		for _, w := range b.work {
			if w.Counted && w.Hours > 0 {
				if first == nil {
					first = b
				}
				last = b
				break
			}
		}
	}
	return first, last
}

// teach is the three things to do next in a journal that holds nothing.
func (v *view) teach() *Teach {
	name := "mail-seaplane"
	stage := "clean"
	if len(v.order) > 0 {
		name = v.order[0].ID
		if stages := v.order[0].Stages; len(stages) > 0 {
			stage = stages[0].ID
		}
	}
	old := ""
	if v.old > 0 {
		old = metrics.Count(v.old, "picture")
	}
	return &Teach{Build: name, Old: old, Steps: []Step{
		{"Write down what you are going to build, in a plain text file.", "builds/" + name + "/build.md",
			"A title and a line about the idea are enough; checklists and runners can come later."},
		{"Say when you sit down at the bench.", journal.Typed("rakelight on %s %s", name, stage),
			"Type rakelight done A1-A12 as parts get done, and rakelight off when you get up."},
		{"Drop your photos into the inbox folder, from any camera.", "inbox/",
			"Then type rakelight take. Each photo is copied, dated and put to its build and stage."},
	}}
}
