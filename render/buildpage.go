// A build's own page: how it stands, its idea, its stages with their photos,
// hours and pace, its pauses, its days.

package render

import (
	"cmp"
	"fmt"
	"html/template"
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/wording"
)

// BuildPage is builds/<id>.html.
type BuildPage struct {
	Frame
	Tag        Tag
	Opening    Picture
	Heading    string
	Facts      []Fact   // scale, kits, months, bench time, how it stands
	Before     string   // what photos alone tell of it, "" = more than photos do
	Ready      string   // whether it will be by the day it must be, "" = no such day
	Unbegun    []Link   // the stages without a session or a photo, with their places
	Paused     *Aside   // first of all when the build is put aside
	ThenNow    *ThenNow // once it is finished
	Went       WentPart // when each stage was worked on
	Running    string   // "Cleanup has been running since 19:32 on 3 May 2024", "" = nothing runs
	Concept    template.HTML
	Warnings   []string // what in the text could not be shown as written
	Lists      []Checklist
	Done       string   // "7 of 12 done", "" without a checklist
	Book       BookPart // what waits; runners, mixes, what is not from the box
	Jump       []Link   // the stages that hold something
	Flick      Link     // to its flick-through, where there is one
	Stages     []StagePart
	Loose      []Picture    // photos of the build without a stage
	Series     []SeriesLine // without one, too
	LooseCards []Picture    // of them those of bench cards alone
	Pauses     []PauseLine
	Notes      []NoteLine // those on no session and no part of the runners
	Days       []DayPart  // the newest first
	OlderDays  []DayPart  // folded
	Typing     bool       // there are sessions or photos, with ids to type
}

// Fact is a term and what it is here.
type Fact struct{ Term, Is string }

// Checklist is the progress of one list.
type Checklist struct {
	Title, Words string
	Width, Fill  string // of the drawn bar, pixels
}

// StagePart is one stage of the build.
type StagePart struct {
	ID, Title, Kind string
	Table           string   // anchor of its sessions
	Wait            bool     // curing: time passes, but no bench time
	Hours           []HourOf // by how they were known
	Paces           []PaceSentence
	Photos          []Picture
	Between         []Picture // of many, those between the first and the latest, as small prints
	Elsewhere       []Link    // the pages that have these, where they are too many
	Later           []Picture // the latest of many
	Series          []SeriesLine
	Cards           []Picture // of bench cards alone: they say something, and show no work
	Sessions        []SessionLine
	Words           bool   // some session has words
	Compare         []Link // before and after; the step in other builds
	Empty           bool   // nothing happened here yet
}

// PaceSentence is a pace with how its time was known.
type PaceSentence struct {
	Sentence
	Known Known
}

// HourOf is bench time known in one way.
type HourOf struct {
	Hours    string
	Known    Known
	Sessions string
}

// SessionLine is one session in the table of a stage.
type SessionLine struct {
	ID, Date, Stamp, Clock, Hours, Class, Note, Doubt string
	Type                                              string // its id, as a person types it, "" for readers
	Parts                                             string // "" = not counted
	Known                                             Known
}

// PauseLine is one time the build was put aside.
type PauseLine struct {
	Span, Why     string
	OwnWhy        bool // Why is in the words of a person
	Next, Waiting string
	Card          Picture // of the card that says it
}

// DayPart is one diary day.
type DayPart struct {
	ID, Date, Stamp, Title string
	Body                   template.HTML
	Warnings               []string
}

const top = "../" // from a page in a folder

func (v *view) buildPage(b *build, t *texts) BuildPage {
	p := BuildPage{
		Frame: v.frame(top, "build", b.Title), Tag: b.tag(top), Heading: b.Title,
		Opening: v.picture(top, v.portrait(b.prints), asOpening), Facts: v.factsOf(b),
	}
	p.Opening.Eager = true
	if !slices.Contains(p.Frame.Builds, p.Tag) {
		p.Frame.Builds = slices.Insert(p.Frame.Builds, 0, p.Tag)
	}
	for i := range p.Frame.Builds {
		if p.Frame.Builds[i].Href == p.Tag.Href {
			p.Frame.Builds[i].Href = "#main"
		}
	}
	if pause := v.Paused(b.ID); pause != nil && b.gone == nil {
		one := v.aside(top, b, pause)
		p.Paused = &one
	}
	if b.Finished != "" {
		p.ThenNow = v.thenNow(b)
	}
	p.Went = v.went(b)
	p.Running = v.runs(b)
	text := t.render(b.Body, around{root: top, prefix: "concept-", below: 2, build: b})
	p.Concept, p.Warnings = text.html, text.warnings
	p.Lists, p.Done = v.checklists(b.Checklist)
	p.Book = v.bookPart(b)
	if b.open() && p.Paused == nil { // a pause says itself what is next
		p.Book.Waits = append(v.nextTopic(b), p.Book.Waits...)
	}
	if b.ReadyBy != "" && b.Finished == "" && !v.today.IsZero() {
		p.Ready = v.of(wording.Outlook(v.Outlook(b.Build, v.today, false), v.Speaker).ReadyInFull())
	}
	p.Before = v.glimpseSays(b)
	p.Flick = v.flickLink(b)
	for _, st := range b.Stages {
		part := v.stagePart(b, st)
		p.Stages = append(p.Stages, part)
		if part.Empty {
			p.Unbegun = append(p.Unbegun, Link{Words: v.low(part.Title), Href: part.ID})
		} else {
			p.Jump = append(p.Jump, Link{Words: part.Title, Href: "#" + part.ID})
		}
	}
	p.Typing = v.mine() && (len(b.sessions) > 0 || len(b.photos) > 0)
	loose := keepPhotos(b.photos, func(one *journal.Photo) bool { return b.Stage(one.Tags.Stage) == nil })
	p.Loose, p.LooseCards = v.strip(top, keepPhotos(loose, ofWork)), v.cardsOf(top, loose)
	p.Series = v.seriesLines(top, b.seriesIn(""))
	p.Pauses = v.pauseLines(b, v.Paused(b.ID) != nil)
	p.Notes = v.looseNotes(b)
	p.Days = v.dayParts(b, t)
	if n := fewDays; len(p.Days) > n+1 {
		p.Days, p.OlderDays = p.Days[:n], p.Days[n:]
	}
	return p
}

// runs says which stage runs, to the builder alone.
func (v *view) runs(b *build) (says string) {
	for _, s := range b.sessions {
		if v.mine() && s.Open && b.Stage(s.Stage) != nil {
			says = fmt.Sprintf("%s has been running since %s on %s.", v.stageTitle(b.Stage(s.Stage)),
				s.Start.In(v.zone()).Format("15:04"), v.day(s.Start.In(v.zone())))
		}
	}
	return says
}

// pauseLines are the times a build was put aside, but the one that a page has told of.
func (v *view) pauseLines(b *build, told bool) (lines []PauseLine) {
	for _, one := range v.Pauses {
		if one.Build != b.ID || one.Until.IsZero() && told {
			continue
		}
		span := v.Say("since %s", v.day(one.From.In(v.zone())))
		if !one.Until.IsZero() {
			span = v.Say("dates¦%s to %s", v.day(one.From.In(v.zone())), v.day(one.Until.In(v.zone())))
		}
		why, own := v.why(&one)
		lines = append(lines, PauseLine{span, why, own, one.Next, one.Waiting, v.pauseCard(top, &one)})
	}
	return lines
}

// dayParts are the words of the build's days, the newest first.
func (v *view) dayParts(b *build, t *texts) (days []DayPart) {
	for _, d := range slices.Backward(v.Diary) {
		if d.Build != b.ID {
			continue
		}
		text := t.render(d.Body, around{root: top, prefix: "day-" + d.Date + "-", below: 3, build: b})
		days = append(days, DayPart{
			ID: "day-" + d.Date, Date: v.dayOf(d.Date), Stamp: d.Date, Title: d.Title, Body: text.html,
			Warnings: text.warnings,
		})
	}
	return days
}

// fewDays is how many days of a diary a build's page shows before the rest folds.
const fewDays = 3

// nextTopic is the stage to go on with and its next parts, nothing where that is not
// known.
func (v *view) nextTopic(b *build) []Topic {
	r, _ := v.State.Return(b.ID)
	var step ReturnPage
	v.nextStep(&step, top, b, r.NextStage)
	if step.Stage == "" {
		return nil
	}
	line := TopicLine{Words: step.Stage}
	switch n := len(step.Parts); {
	case step.Left != "":
		line.Words += ": " + step.Left
	case n > 0:
		line.Words += ": " + v.Say("%s left", v.count(n, "part"))
	}
	next := Topic{Head: v.Say("Next"), Lines: []TopicLine{line}}
	if v.mine() && len(step.Parts) > 0 { // which ones helps at the bench, and nobody else
		next.Lines = append(next.Lines, TopicLine{Parts: step.Parts})
	}
	return []Topic{next}
}

// looseNotes are the notes of a build that stand neither with a session nor with
// a part.
func (v *view) looseNotes(b *build) []NoteLine {
	if !slices.ContainsFunc(v.State.Notes, func(n journal.Note) bool { return n.Build == b.ID }) {
		return nil
	}
	known := map[string]bool{}
	for _, r := range v.Ledger(b.Build) {
		for _, p := range r.Parts {
			for _, n := range v.NotesOf(b.ID, p.Ref) {
				known[n.Record] = true
			}
		}
	}
	for _, s := range b.sessions {
		if b.Stage(s.Stage) != nil {
			for _, n := range v.NotesIn(s.ID) {
				known[n.Record] = true
			}
		}
	}
	var out []NoteLine
	for _, n := range v.State.Notes {
		if n.Build != b.ID || known[n.Record] {
			continue
		}
		at := n.At.In(v.zone())
		line := NoteLine{Day: v.day(at), Stamp: at.Format(time.DateOnly), Text: n.Text}
		if st := b.Stage(n.Stage); st != nil {
			line.Text = v.stageTitle(st) + ": " + n.Text
		}
		out = append(out, line)
	}
	return out
}

func keepPhotos(photos []*journal.Photo, good func(*journal.Photo) bool) []*journal.Photo {
	var out []*journal.Photo
	for _, p := range photos {
		if good(p) {
			out = append(out, p)
		}
	}
	return out
}

func keepWork(ws []metrics.Work, good func(metrics.Work) bool) []metrics.Work {
	var out []metrics.Work
	for _, w := range ws {
		if good(w) {
			out = append(out, w)
		}
	}
	return out
}

func (v *view) factsOf(b *build) []Fact {
	facts := []Fact{{v.Say("Status"), v.stateOf(b)}}
	add := func(term, is string) {
		if is != "" {
			facts = append(facts, Fact{term, is})
		}
	}
	add(v.Say("Scale"), b.Scale)
	add(v.Say("Dates"), v.buildSpan(b))
	if b.ReadyBy != "" && b.Finished == "" && !v.today.IsZero() {
		add(v.Say("Must be ready"), v.Say("by %s", v.dayOf(b.ReadyBy)))
	}
	add(v.Say("At the bench"), v.hoursWords(b))
	add(v.Say("Finish"), v.finishWord(b.Finish))
	if len(b.Kits) > 1 || len(b.Kits) == 1 && b.Kits[0].Title != "" && b.Kits[0].Title != b.Title {
		kits := ""
		for _, k := range b.Kits {
			kits = joinWords("; ", kits, joinWords(", ", k.Title, k.Scale))
		}
		add(v.Say("Kits"), kits)
	}
	add(v.Say("Photos"), v.photosTold(b))
	return facts
}

// photosTold counts the photos of a build: "25 of the work, 69 of bench cards, a series
// of 412"; "" = there are none.
func (v *view) photosTold(b *build) string {
	words, work := "", len(keepPhotos(b.photos, ofWork))
	switch cards := len(b.photos) - work; {
	case cards > 0:
		words = v.Say("%d of the work, %d of bench cards", work, cards)
	case work > 0:
		words = fmt.Sprint(work)
	}
	frames := 0
	for _, s := range b.series {
		frames += s.Frames
	}
	switch n := len(b.series); {
	case n == 1:
		words = joinWords(", ", words, v.Say("a series of %d", frames))
	case n > 1:
		words = joinWords(", ", words, v.Say("%d series of %d together", n, frames))
	}
	return words
}

// checklists sums the task lists up by the heading they stand under.
func (in voice) checklists(items []journal.CheckItem) (lists []Checklist, total string) {
	type tally struct{ done, all int }
	var order []string
	by := map[string]*tally{}
	sum := tally{}
	for _, it := range items {
		if by[it.Section] == nil {
			by[it.Section] = &tally{}
			order = append(order, it.Section)
		}
		one := by[it.Section]
		one.all++
		sum.all++
		if it.Done {
			one.done++
			sum.done++
		}
	}
	const width = 240.0
	for _, title := range order {
		t := by[title]
		lists = append(lists, Checklist{
			Title: title, Words: in.Say("%d of %d done", t.done, t.all),
			Width: num(width), Fill: num(width * float64(t.done) / float64(t.all)),
		})
	}
	if sum.all > 0 {
		total = in.Say("%d of %d done", sum.done, sum.all)
	}
	return lists, total
}

func (v *view) stagePart(b *build, st journal.Stage) StagePart {
	part := StagePart{ID: "stage-" + fileName(st.ID), Table: "sessions-" + fileName(st.ID), Title: v.stageTitle(&st),
		Wait: st.Kind == "wait"}
	if !wording.SaysKind(st) {
		part.Kind = v.low(v.kindTitle(st.Kind))
	}
	own := keepPhotos(b.photos, func(p *journal.Photo) bool { return p.Tags.Stage == st.ID })
	part.strips(v, b, st, keepPhotos(own, ofWork))
	part.Cards, part.Series = v.cardsOf(top, own), v.seriesLines(top, b.seriesIn(st.ID))
	ids := map[string]bool{}
	for _, s := range b.sessions {
		if s.Stage == st.ID {
			ids[s.ID] = true
			part.Sessions = append(part.Sessions, v.sessionLine(s))
			part.Words = part.Words || s.Note != "" || s.Doubt.Any() || len(v.NotesIn(s.ID)) > 0
		}
	}
	var works []metrics.Work
	for _, w := range b.work {
		if ids[w.Session] {
			works = append(works, w)
		}
	}
	for _, sum := range metrics.Hours(works, func(w metrics.Work) string { return w.Known }) {
		some := keepWork(works, func(w metrics.Work) bool { return w.Known == sum.Key })
		part.Hours = append(part.Hours, HourOf{v.benchTime(some), v.known(sum.Key), v.count(sum.N, "session")})
	}
	for _, p := range v.pacesBy(works) {
		part.Paces = append(part.Paces, PaceSentence{
			Sentence{Words: v.of(p.Sentence(v.stageTitle(&st), unit(st.Kind))), Href: "#sessions-" + fileName(st.ID),
				HrefText: v.Say("the sessions")}, p.Known,
		})
	}
	part.Compare = v.comparisons(b, st)
	part.Empty = len(own)+len(part.Series)+len(part.Sessions) == 0
	return part
}

// How many photos of a stage are shown large at most, and how many of these are
// its first ones.
const (
	fewPhotos   = 16
	firstPhotos = 4
)

// strips fills in the photos of a stage. Of many those between the first and the
// latest have their own place among small prints, which fold.
func (s *StagePart) strips(v *view, b *build, st journal.Stage, photos []*journal.Photo) {
	standing := keepPhotos(photos, stands)
	from, to := folded(len(standing))
	if from == to {
		s.Photos = v.strip(top, photos)
		return
	}
	s.Photos, s.Later = v.strip(top, standing[:from]), v.strip(top, standing[to:])
	for _, page := range b.foldedPages(st) {
		s.Elsewhere = append(s.Elsewhere, Link{Words: v.foldedWords(page), Href: top + page.href})
	}
	if s.Elsewhere != nil {
		return
	}
	for _, p := range standing[from:to] {
		s.Between = append(s.Between, v.between(append([]*journal.Photo{p}, v.bursts[p.Hash]...))...)
	}
}

// comparisons are the ways from a stage to its photos beside others: before and
// after, the builds it is held against, the build after it, the latest.
func (v *view) comparisons(b *build, st journal.Stage) []Link {
	var out, later []Link
	for _, p := range v.pairsIn[b] {
		switch {
		case p.within && p.stage == st.ID:
			out = append(out, Link{Words: v.Say("before and after, side by side"), Href: top + p.href})
		case p.byHand && (p.a.b == b && p.a.photo.Tags.Stage == st.ID || p.b.b == b && p.b.photo.Tags.Stage == st.ID):
			words := v.Say("laid over each other by hand: %s; %s", v.alt(p.a.photo), v.alt(p.b.photo))
			if p.alike {
				words = v.Say("called alike: %s; %s", v.alt(p.a.photo), v.alt(p.b.photo))
			}
			out = append(out, Link{Words: words, Href: top + p.href})
		case p.within || p.byHand || p.kind != st.Kind:
		case p.b.b == b:
			out = append(out, Link{Words: v.Say("beside %s", p.a.b.named()), Href: top + p.href})
		default:
			later = append(later, Link{Words: v.Say("beside %s", p.b.b.named()), Href: top + p.href})
		}
	}
	if n := len(later); n > 2 {
		later = []Link{later[0], later[n-1]} // of the first build: then and now has all
	}
	return append(out, later...)
}

// classWords is the class of a session's parts, or how many there are of each.
func (in voice) classWords(s *journal.Session) string {
	if s.Class != "" || len(s.Classes) < 2 {
		return in.classWord(s.Class)
	}
	var each []string
	for _, c := range s.Classes {
		each = append(each, in.Say("%d %s", c.Parts, cmp.Or(in.classWord(c.Class), in.Say("of no class given"))))
	}
	return in.Say("of them %s", in.List(each))
}

func (v *view) sessionLine(s *journal.Session) SessionLine {
	line := SessionLine{
		ID: sessionID(s.ID), Date: v.dayOf(s.Date), Stamp: s.Date, Class: v.classWords(s), Note: s.Note,
		Doubt: wording.Length(s.Doubt),
		Known: v.known(s.Known), Hours: v.inHours(s.Hours()),
	}
	if v.mine() {
		line.Type = s.ID
	} else if s.Doubt.Any() {
		line.Doubt = v.Say("how long it took is in doubt")
	}
	for _, n := range v.NotesIn(s.ID) {
		words := n.Text
		if len(n.Parts) > 0 {
			words = journal.Ranges(n.Parts) + ": " + words
		}
		line.Note = joinWords("; ", line.Note, words)
	}
	if v.times() && !s.Start.IsZero() && s.Known == journal.Measured {
		line.Clock = s.Start.In(v.zone()).Format("15:04")
		if !s.End.IsZero() {
			line.Clock = v.Say("dates¦%s to %s", line.Clock, s.End.In(v.zone()).Format("15:04"))
		}
	}
	switch {
	case s.Open:
		line.Hours = v.Say("session¦running")
	case s.Net <= 0 && s.Known == journal.Measured:
		line.Hours = v.Say("under 1 min")
	case s.Net <= 0:
		line.Hours = v.Say("not said")
	}
	if s.Counted {
		line.Parts = fmt.Sprint(s.Done())
	}
	return line
}

// diaryDay is the diary's day of a photo of a build, nil when there is none or
// its day is not known.
func (v *view) diaryDay(build string, in journal.Instant) *journal.DiaryDay {
	if in.Said != "" {
		return nil
	}
	date := in.At.Format(time.DateOnly)
	i := slices.IndexFunc(v.Diary, func(d journal.DiaryDay) bool { return d.Build == build && d.Date == date })
	if i < 0 {
		return nil
	}
	return &v.Diary[i]
}
