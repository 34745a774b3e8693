// Pace: what a reader wants to know of the speed, first; the charts and tables of each
// kind of work stand on its own page (steppage.go).

package render

import (
	"fmt"
	"slices"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// PacePage is pace.html.
type PacePage struct {
	Frame
	Answers  []Answer   // the latest build against the first and the one before, and how its work looks
	Jump     []Link     // the parts of the page
	Overall  []Sentence // the same with how much of the work it speaks for
	Shared   []CellLine // the cells the first of them rests on
	LeftOut  []Fact     // the cells it cannot speak for, and why
	Stages   []StageLine
	Plot     []Chart // the stages against the builds before
	Tools    []ToolLine
	Learning LearningPart
	More     string // how many kinds of work the page of learning tells of besides, "" = none
	Years    YearsPart
	Hours    []HoursLine
	HourPlot []Chart
	Totals   string
	Hands    []HandsLine
	AllHours Link // the page of all builds, where some are left out here
}

// CellLine is one kind of work on one class of part, in both builds.
type CellLine struct{ Cell, Earlier, Later, Speed, Share string }

// StageLine is a kind of step in the latest build that has a pace of it, with the way
// to all the rest.
type StageLine struct {
	ID, Title   string
	Tag         Tag
	Pace, Range string
	N           Link   // its sessions
	Speed       string // against the builds before, with its range
	Caution     string // "may be chance", "" = it is claimed on its own page, or about the same
	To          string // its page
}

// KindPart is one kind of step over all builds.
type KindPart struct {
	Title    string
	Sentence string // of the latest build
	Against  *Sentence
	Seen     string     // how small a change these evenings could have shown, "" = not known
	Rework   []string   // the pace with what had to be mended, by build, where there was any
	Skill    []Sentence // chances on the criteria the step shows
	Unit     string     // "parts"
	Charts   []Chart
	Rows     []PaceLine
}

// PaceLine is one row of a pace table.
type PaceLine struct {
	Tag                          Tag
	Pace, Interval, Parts, Hours string
	N                            string
	Few                          bool
	Known                        Known
	Sessions                     []Link
	Untimed                      string
	Skill                        StepSkill
}

// ToolLine is the pace of one kind of work with one tool, over all builds.
type ToolLine struct {
	Tool, Step, Pace, Interval, Parts, Hours string
	Known                                    Known
	Behind                                   Behind
}

// HoursLine is the bench time of one build.
type HoursLine struct {
	Tag                                    Tag
	Total, Measured, Remembered, Estimated string
	N                                      string
}

func (v *view) pace() PacePage {
	p := PacePage{Frame: v.frame("", "pace", v.Say("page¦Pace"))}
	v.overall(&p)
	v.stageLines(&p)
	p.Tools = v.toolLines()
	p.Learning, p.Years = v.learning(), v.years()
	if n := len(p.Learning.Untold); n > 0 {
		p.More = v.Say("%s of work where it could still be chance", v.count(n, "kind"))
	}
	v.hoursTable(&p)
	p.Hands = v.hands()
	v.jump(&p)
	return p
}

// LearningPage is learning.html.
type LearningPage struct {
	Frame
	Learning LearningPart
}

// ToolsPage is tools.html.
type ToolsPage struct {
	Frame
	Tools []ToolLine
}

// The pages of the figures that pace.html leads to.
const (
	learningAt = "learning.html"
	toolsAt    = "tools.html"
)

func (v *view) learningPage() LearningPage {
	return LearningPage{Frame: v.frame("", "learning", v.Say("Learning")), Learning: v.learning()}
}

func (v *view) toolsPage() ToolsPage {
	return ToolsPage{Frame: v.frame("", "tools", v.Say("Pace by tool")), Tools: v.toolLines()}
}

// namesTools reports whether any session names a tool.
func (v *view) namesTools() bool {
	return slices.ContainsFunc(v.order, func(b *build) bool {
		return slices.ContainsFunc(b.work, func(w metrics.Work) bool { return w.Counted && len(w.Tools) > 0 })
	})
}

// jump lists the parts of the page, where there are enough to look for.
func (v *view) jump(p *PacePage) {
	for _, part := range []struct {
		there bool
		link  Link
	}{
		{len(p.Stages) > 0, Link{Words: v.Say("Stage by stage"), Href: "#stages"}},
		{p.Years.All != "", Link{Words: v.Say("Over the years"), Href: "#years"}},
		{len(p.Learning.Lines)+len(p.Learning.Untold) > 0 || p.Learning.None != "",
			Link{Words: v.Say("Learning"), Href: "#learning"}},
		{len(p.Tools) > 0, Link{Words: v.Say("With which tool"), Href: "#tools"}},
		{len(p.Hours) > 0, Link{Words: v.Say("Hours"), Href: "#hours"}},
		{len(p.Hands) > 0, Link{Words: v.Say("Hands"), Href: "#hands"}},
	} {
		if part.there {
			p.Jump = append(p.Jump, part.link)
		}
	}
}

// overall fills in the like-for-like answers, their sentences and the cells of the first.
func (v *view) overall(p *PacePage) {
	first, last := v.ends()
	claims := v.Claims()
	if first == nil || first == last || claims.Before == nil {
		return
	}
	c := claims.Since
	earlier, later := v.before(claims.Build)
	p.Answers = append(p.Answers, v.paceAnswer(c, earlier, later))
	p.Overall = append(p.Overall, Sentence{Words: v.of(c.Sentence(earlier, later))})
	for _, row := range c.Cells {
		p.Shared = append(p.Shared, CellLine{
			Cell:    v.cellWords(row.Cell),
			Earlier: v.Say("%s (%s)", v.figure(row.Earlier.PerHour), v.count(row.Earlier.N, "session")),
			Later:   v.Say("%s (%s)", v.figure(row.Later.PerHour), v.count(row.Later.N, "session")),
			Speed:   v.figure(row.Speed), Share: v.decimal(100*row.Share, 0) + " %",
		})
	}
	for _, row := range c.LeftOut {
		p.LeftOut = append(p.LeftOut, Fact{v.cellWords(row.Cell), v.of(row.Why)})
	}
	if before := v.builds[claims.Before.ID]; before != first {
		p.Answers = append(p.Answers, v.paceAnswer(claims.Beside, before.named(), later))
		p.Overall = append(p.Overall, Sentence{Words: v.of(claims.Beside.Sentence(before.named(), later))})
	}
	if q := v.judged.quality(); q != nil {
		if a, ok := v.skillAnswer(q, first.ID, last.ID); ok {
			a.Href, a.HrefText = "skill.html", v.Say("the skill page")
			p.Answers = append(p.Answers, a)
		}
	}
}

// before names the builds before one, and the build.
func (v *view) before(b *journal.Build) (earlier, later string) {
	all := v.Earlier(b)
	if len(all) == 1 {
		return v.builds[all[0].ID].named(), v.builds[b.ID].named()
	}
	return v.Say("the %d builds before it", len(all)), v.builds[b.ID].named()
}

func (in voice) cellWords(c metrics.Cell) string {
	class := in.classWord(c.Class)
	if class == "" {
		class = in.Say("no class given")
	}
	return joinWords(", ", in.kindTitle(c.Kind), class, in.finishWord(c.Finish))
}

// stageLines fills in each kind of step in the latest build that has a pace of it.
func (v *view) stageLines(p *PacePage) {
	var rows []Reading
	for _, kind := range journal.Kinds {
		paced := keepBuilds(v.order, func(b *build) bool { return len(b.paces(v.voice, kind)) > 0 })
		if len(paced) == 0 {
			continue
		}
		b := paced[len(paced)-1]
		pace := b.paces(v.voice, kind)[0]
		line := StageLine{ID: kind, Title: v.kindTitle(kind), Tag: b.tag(""), To: stepPage(kind), Speed: "–",
			Pace: v.Say("%s %s", v.figure(pace.PerHour), v.many(kind)), Range: "–",
			N: Link{Words: v.count(pace.N, "session"), Href: stepPage(kind) + "#pace"}}
		if pace.Interval.OK {
			line.Range = v.span(pace.Interval)
		}
		if c, ok := v.SpeedsOfKinds(b.Build)[kind]; ok && c.OK && c.Interval.OK {
			line.Speed = v.Say("%s (%s to %s)", v.figure(c.Speed), v.figure(c.Interval.Low),
				v.figure(c.Interval.High))
			if c.Verdict() == metrics.Unclear {
				line.Caution = v.Say("may be chance")
			}
			rows = append(rows, Reading{Label: joinWords(", ", line.Title, b.named()), Tag: line.Tag, Value: c.Speed,
				Low: c.Interval.Low, High: c.Interval.High, Interval: true})
		}
		p.Stages = append(p.Stages, line)
	}
	a := axis{title: v.Say("Times the speed of the builds before (95 % range)"), hi: topOf(rows),
		guide: &guideAt{1, v.Say("no change")}}
	p.Plot = v.rowCharts(v.altOf(v.Say("By stage"), rows, v.Say("times the speed of the builds before")), a, rows)
}

// kindPart is a kind of step in all builds that have a pace of it. ok is false where
// none has.
func (v *view) kindPart(kind string) (part KindPart, ok bool) {
	part = KindPart{Title: v.kindTitle(kind), Unit: v.many(kind)}
	shown := keepBuilds(v.order, func(b *build) bool { return len(b.paces(v.voice, kind)) > 0 })
	var rows []Reading
	var first, last *build
	for _, b := range shown {
		for _, p := range b.paces(v.voice, kind) {
			label := b.named()
			if p.Known != v.known(journal.Measured) {
				label += ", " + p.Known.Word
			}
			rows = append(rows, Reading{
				Label: label, Tag: b.tag(""), Value: p.PerHour, Low: p.Interval.Low, High: p.Interval.High,
				Interval: p.Interval.OK, Known: p.Known, Few: p.Few,
			})
			part.Rows = append(part.Rows, v.paceLine(b, kind, p))
		}
		if said := v.of(metrics.ReworkOf(metrics.KnownAs(b.work, journal.Measured), kind).Sentence(b.named(),
			unit(kind))); said != "" {
			part.Rework = append(part.Rework, said)
		}
		part.Sentence = v.of(b.paces(v.voice, kind)[0].Sentence(b.named(), unit(kind)))
	}
	if len(shown) > 0 {
		first, last = shown[0], shown[len(shown)-1]
	}
	if last == nil {
		return part, false
	}
	if c, ok := v.SpeedsOfKinds(last.Build)[kind]; ok {
		earlier, later := v.before(last.Build)
		part.Against = &Sentence{Words: v.of(c.Sentence(earlier, later))}
		var before []metrics.Work
		for _, b := range v.Earlier(last.Build) {
			before = append(before, v.builds[b.ID].workByKind[kind]...)
		}
		part.Seen = tie(v.of(metrics.SightOf(c, before, last.workByKind[kind]).Sentence()))
	}
	part.Skill = v.stepChances(kind, first, last)
	rate := v.Say("%s an hour", part.Unit)
	rows = firstAndLatest(rows, 2*fewBuilds) // the table has all
	part.Charts = v.rateCharts(v.altOf(part.Title, rows, rate), v.Say("%s (95 %% range)", journal.Capital(rate)), rows)
	return part, true
}

func (v *view) paceLine(b *build, kind string, p KnownPace) PaceLine {
	line := PaceLine{
		Tag: b.tag(""), Pace: v.figure(p.PerHour), Parts: fmt.Sprintf("%.0f", p.Parts), Hours: v.inHours(p.Hours),
		N: v.count(p.N, "session"), Few: p.Few, Known: p.Known,
		Interval: v.figures(p.Interval),
		Skill:    v.stepSkill(b.ID, kind),
	}
	if p.Untimed > 0 {
		line.Untimed = v.Say("%s without hours left out (%.0f done)", v.count(p.Untimed, "session"),
			p.UntimedParts)
	}
	few := fewSessions
	if len(v.order) > fewBuilds {
		few = 0 // the page has a row for each build
	}
	line.Sessions = v.sessionLinks(b, p.Sessions, few)
	return line
}

// toolLines are the paces with each tool, "none named" among them for the kinds
// of work in which any tool is named at all.
func (v *view) toolLines() []ToolLine {
	var all []metrics.Work
	named := map[string]bool{} // kinds of work
	for _, b := range v.order {
		all = append(all, b.work...)
		for _, w := range b.work {
			named[w.Kind] = named[w.Kind] || w.Counted && len(w.Tools) > 0
		}
	}
	var out []ToolLine
	for _, g := range metrics.PacesBy(all, journal.Kinds, metrics.ByTool) {
		if !named[g.Kind] {
			continue
		}
		line := ToolLine{
			Tool: v.Say("none named"), Step: v.kindTitle(g.Kind), Pace: "–",
			Interval: v.figures(g.Interval),
			Parts:    v.Say("%s %s", v.decimal(g.Parts, 0), v.many(g.Kind)), Hours: v.inHours(g.Hours),
			Known: v.known(g.Known), Behind: v.behindSessions(g.Sessions),
		}
		if g.Key != "" {
			line.Tool = v.ToolName(g.Key)
		}
		if g.OK {
			line.Pace = v.figure(g.PerHour)
		}
		out = append(out, line)
	}
	return out
}

// hoursTable fills in the bench time of each build.
func (v *view) hoursTable(p *PacePage) {
	var rows []Reading
	var timed []*build
	for _, b := range v.order {
		if len(metrics.Hours(b.work, func(metrics.Work) string { return "" })) > 0 {
			timed = append(timed, b)
		}
	}
	shown := firstAndLatest(timed, fewBuilds)
	if len(shown) < len(timed) {
		p.AllHours = Link{Words: v.Say("all %d builds", len(timed)), Href: buildsPage}
	}
	for _, b := range shown {
		sums := metrics.Hours(b.work, func(metrics.Work) string { return "" })
		s := sums[0]
		p.Hours = append(p.Hours, HoursLine{
			Tag: b.tag(""), Total: v.benchTime(b.work), Measured: v.inHours(s.Measured),
			Remembered: v.inHours(s.Remembered),
			Estimated:  v.inHours(s.Estimated), N: v.count(s.N, "session"),
		})
		k := v.known(journal.Measured)
		if s.Remembered+s.Estimated > s.Measured {
			k = v.known(journal.Remembered)
		}
		rows = append(rows, Reading{Label: b.named(), Tag: b.tag(""), Value: s.Hours, Known: k})
	}
	p.HourPlot = v.rateCharts(v.altOf(v.Say("Bench time"), rows, v.Say("hours")), v.Say("Hours at the bench"), rows)
	p.Totals = v.hoursSentence().Words
}
