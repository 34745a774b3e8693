// The first page: a picture, the years, three sentences. In an empty journal
// it says what to do first.

package render

import (
	"fmt"
	"slices"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// Home is index.html.
type Home struct {
	Frame
	Opening   Picture    // the latest finished work, or the latest photo
	Sentences []Sentence // at most three
	Years     []Chart
	Stretches []Stretch
	Rest      Link      // the page of all builds, where only some stand here
	Latest    []Picture // the latest photos, newest first
	Aside     []Aside   // builds put aside: what to know on return
	Resting   []Aside   // open builds that do not run
	Teach     *Teach    // in an empty journal, instead of everything else
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
	Steps []Step
}

// Step is one thing to do, and what to type or where to put it.
type Step struct{ Words, Type, Then string }

// Aside is a build that was put aside.
type Aside struct {
	Tag                Tag
	Since              string
	Why, Next, Waiting string
	Card               Picture // of the card that says it: what is written on it tells why
	Return             string  // address of the page with all that is needed to go on
}

func (v *view) home() Home {
	h := Home{Frame: v.frame("", "home", "")}
	if len(v.Photos) == 0 && len(v.Sessions) == 0 && len(v.Diary) == 0 {
		h.Teach = v.teach()
		h.Stretches = v.stretches("", v.order)
		return h
	}
	h.Opening = v.picture("", v.opening(), asOpening)
	h.Opening.Eager = true
	h.Sentences = v.headlines()
	shown := firstAndLatest(v.order, fewBuilds)
	h.Years, h.Stretches = v.yearCharts(shown), v.stretches("", shown)
	if n := len(v.order); n > len(shown) {
		h.Rest = Link{Words: fmt.Sprintf("all %d builds", n), Href: buildsPage}
	}
	for _, p := range v.latestPhotos() {
		pic := v.picture("", p, asPrint)
		pic.More = v.smalls("", v.bursts[p.Hash])
		h.Latest = append(h.Latest, pic)
	}
	for _, b := range v.order {
		if p := v.Paused(b.ID); p != nil {
			h.Aside = append(h.Aside, v.aside("", b, p))
		}
	}
	for _, b := range v.resting() {
		h.Resting = append(h.Resting, Aside{Tag: b.tag(""), Since: dayOf(b.last), Return: b.returnHref()})
	}
	return h
}

func (v *view) aside(root string, b *build, p *journal.Pause) Aside {
	one := Aside{Tag: b.tag(root), Since: day(p.From.In(v.zone())), Why: p.Why, Next: p.Next, Waiting: p.Waiting,
		Card: v.pauseCard(root, p)}
	if v.returns(b) {
		one.Return = root + b.returnHref()
	}
	return one
}

// latestPhotos are the latest photos of work, newest first.
func (v *view) latestPhotos() []*journal.Photo {
	var out []*journal.Photo
	for i := len(v.Photos) - 1; i >= 0 && len(out) < 8; i-- {
		if p := v.Photos[i]; p.Tags.Build != "" && stands(p) && !p.OfCards() {
			out = append(out, p)
		}
	}
	return out
}

// opening is the picture the first page opens on: the latest of finished
// work, else the latest that can be shown and belongs to a build.
func (v *view) opening() *journal.Photo {
	return v.portrait(keepPhotos(v.Photos, func(p *journal.Photo) bool { return p.Tags.Build != "" && v.print(p) }))
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

// headlines are the sentences of the first page: speed now against then, the
// kind of work most done of late, and the hours.
func (v *view) headlines() []Sentence {
	var out []Sentence
	first, last := v.ends()
	if first != nil && last != first {
		out = append(out, v.speedSentence())
	}
	if last != nil {
		kind, n := "", 0
		for _, k := range journal.Kinds {
			if ps := last.paces(k); len(ps) > 0 && ps[0].N > n {
				kind, n = k, ps[0].N
			}
		}
		if kind != "" {
			p := last.paces(kind)[0]
			s := Sentence{Words: p.Sentence(kindTitle(kind)+", "+last.named(), unit(kind)),
				Href: "pace.html#" + kind, HrefText: "the sessions"}
			if p.Known.Word != "measured" {
				s.Note = "This time is " + p.Known.Word + "."
			}
			out = append(out, s)
		}
	}
	return append(out, v.hoursSentence())
}

// speedSentence compares the latest build with all before it: over all shared
// work or, where that leaves too little to tell, in the kind of work with the most
// sessions that does not. The choice is by sessions, never by the result.
func (v *view) speedSentence() Sentence {
	c := v.Claims()
	earlier, later := v.before(c.Build)
	s := Sentence{Words: c.Since.Sentence(earlier, later), Href: "pace.html#like-for-like",
		HrefText: "the figures behind this"}
	if c.Since.Interval.OK {
		return s
	}
	most := 0
	for _, kind := range journal.Kinds {
		if one := c.Kinds[kind]; one.Interval.OK && one.N1+one.N2 > most {
			most = one.N1 + one.N2
			s = Sentence{Words: kindTitle(kind) + ": " + one.Sentence(earlier, later), Href: "pace.html#" + kind,
				HrefText: "the sessions"}
		}
	}
	return s
}

func (v *view) hoursSentence() Sentence {
	sums := metrics.Hours(v.Work(""), func(metrics.Work) string { return "" })
	if len(sums) == 0 {
		return Sentence{Words: fmt.Sprintf("%s and no bench time yet.", count(len(v.Photos), "photo"))}
	}
	s := sums[0]
	total := benchTime(v.Work(""))
	var how string
	for _, one := range []struct {
		h    float64
		word string
	}{{s.Measured, "measured"}, {s.Remembered, "remembered"}, {s.Estimated, "estimated from photos, a lower bound"}} {
		if one.h > 0 {
			how = joinWords(", ", how, hours(one.h)+" "+one.word)
		}
	}
	return Sentence{
		Words: fmt.Sprintf("%s at the bench over %s (%s).", total, count(len(v.order), "build"),
			joinWords("; ", how, count(s.N, "session"))),
		Href: "pace.html#hours", HrefText: "the hours by build",
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
	return &Teach{Build: name, Steps: []Step{
		{"Write down what you are going to build, in a plain text file.", "builds/" + name + "/build.md",
			"A title and a line about the idea are enough; checklists and runners can come later."},
		{"Say when you sit down at the bench.", journal.Typed("rakelight on %s %s", name, stage),
			"Type rakelight done A1-A12 as parts get done, and rakelight off when you get up."},
		{"Drop your photos into the inbox folder, from any camera.", "inbox/",
			"Then type rakelight take. Each photo is copied, dated and put to its build and stage."},
	}}
}
