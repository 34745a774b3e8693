// Forecast: what is left of the open builds, in hours and in days, what the
// forecast leaves out, and how such forecasts held on the finished ones.

package render

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
	"rakelight/journal/wording"
)

// ForecastPage is forecast.html.
type ForecastPage struct {
	Frame
	From     string // the day the weeks are counted from
	Open     []OutlookPart
	Finished bool   // there are builds, and all are finished
	Record   string // how forecasts held, "" = nothing to try them on
	Untried  string // why there is nothing to try them on
	Replays  []ReplayLine
}

// OutlookPart is what is left of one open build.
type OutlookPart struct {
	ID       string
	Tag      Tag
	Sentence string
	When     string
	Ready    string // "" = build.md names no day it must be ready by
	Hours    []Chart
	Days     []Chart
	Spreads  []SpreadLine
	Left     []LeftLine
	Done     []Link   // counted stages with nothing left
	Pooled   string   // kinds of work judged by their step alone
	Thin     string   // kinds of work judged by few sessions
	On       []Link   // stages without a count
	Total    string   // what build.md would say of one of them, "" = none can be counted
	LeftOut  []Fact   // counted work that no session tells of
	Behind   Behind   // sessions
	Weeks    string   // what the days rest on
	Typing   []string // commands where there is no forecast
}

// SpreadLine is one row of the forecast's table.
type SpreadLine struct{ What, Low80, Low50, Middle, High50, High80 string }

// LeftLine is counted work that is left.
type LeftLine struct {
	Stage Link
	Kit   string
	Class string
	Parts string
}

// ReplayLine is how forecasts from one share of a build would have done.
type ReplayLine struct{ Share, N, In50, In80 string }

func (v *view) forecast() ForecastPage {
	p := ForecastPage{Frame: v.frame("", "forecast", v.Say("page¦Forecast"))}
	if v.today.IsZero() {
		return p
	}
	p.From = v.day(v.today.In(v.zone()))
	p.Finished = len(v.order) > 0
	for i := len(v.order) - 1; i >= 0; i-- {
		if b := v.order[i]; b.open() {
			p.Finished = false
			p.Open = append(p.Open, v.outlook(b))
		}
	}
	v.record(&p)
	return p
}

func (v *view) outlook(b *build) OutlookPart {
	o := v.Outlook(b.Build, v.today, false)
	part := OutlookPart{ID: "build-" + fileName(b.ID), Tag: b.tag(""), Sentence: v.outlookSentence(o),
		Ready: v.of(wording.Outlook(o, v.Speaker).ReadyWords())}
	for _, id := range o.Uncounted {
		part.On = append(part.On, v.stageLink(b.ID, id))
		if _, countable := metrics.CountedKind(b.Stage(id).Kind); countable && part.Total == "" {
			part.Total = "totals: {" + id + ": 12}"
		}
	}
	part.Left, part.Done = v.left(b, o)
	for _, t := range o.LeftOut {
		part.LeftOut = append(part.LeftOut, Fact{
			joinWords(", ", v.kindTitle(t.Kind), v.classWord(t.Class), v.kitName(b, t.Kit)),
			v.Say("%s; no timed session of this work", v.count(int(t.Parts), say.Noun(unit(t.Kind)))),
		})
	}
	if !o.OK {
		return part
	}
	part.Pooled, part.Thin = v.cellNames(o.Pooled), v.cellNames(o.Thin)
	part.Behind = v.behindSessions(o.Sessions)
	row := func(label string, s metrics.Spread) {
		part.Spreads = append(part.Spreads, SpreadLine{label, v.figure(s.Low80), v.figure(s.Low50), v.figure(s.Middle),
			v.figure(s.High50), v.figure(s.High80)})
	}
	row(v.Say("Hours"), o.Hours)
	var readings []Reading
	for _, k := range o.Kits {
		label := v.upTo(b, k.Kit)
		row(v.Say("Hours %s", label), k.Hours)
		if k.Kit > 0 && k.Kit < len(b.Kits) { // 0 is all that is left
			readings = append(readings, spreadReading(capital(label), b.tag(""), k.Hours))
		}
	}
	readings = append(readings, spreadReading(b.named(), b.tag(""), o.Hours))
	part.Hours = v.rowCharts(v.Say("Forecast, bench hours left: %s.", v.altOfSpreads(readings)),
		axis{title: v.Say("Bench hours left (bar: 1 in 2, line: 4 in 5)"), hi: topOf(readings)}, readings)
	v.days(&part, b, o)
	return part
}

// outlookSentence leaves out, for readers, what would take in more.
func (v *view) outlookSentence(o journal.Outlook) string {
	if !v.mine() {
		o.Kept = 0
	}
	return v.of(wording.Outlook(o, v.Speaker).Sentence())
}

// upTo names a kit in the order of work, or all that is left where kits have no name.
func (in voice) upTo(b *build, kit int) string {
	if name := in.kitName(b, kit); name != "" {
		return in.Say("to the end of %s", name)
	}
	return in.Say("all kits")
}

func (in voice) cellNames(cells []metrics.Cell) string {
	var words []string
	for _, c := range cells {
		words = append(words, joinWords(", ", in.low(in.kindTitle(c.Kind)), strings.ToLower(in.classWord(c.Class))))
	}
	return strings.Join(words, "; ")
}

func spreadReading(label string, tag Tag, s metrics.Spread) Reading {
	return Reading{Label: label, Tag: tag, Value: s.Middle, Low: s.Low80, High: s.High80, Interval: true,
		Inner: [2]float64{s.Low50, s.High50}}
}

func (in voice) altOfSpreads(rows []Reading) string {
	var parts []string
	for _, r := range rows {
		parts = append(parts, in.Say("%s about %s; even chance %s, 4 in 5 chance %s", r.Label,
			in.figure(r.Value), metrics.Between(in.figure(r.Inner[0]), in.figure(r.Inner[1])),
			metrics.Between(in.figure(r.Low), in.figure(r.High))))
	}
	return strings.Join(parts, ". ")
}

// days says when the build may be done, where its weeks tell.
func (v *view) days(part *OutlookPart, b *build, o journal.Outlook) {
	s := o.Weeks
	part.When = v.of(wording.Outlook(o, v.Speaker).When(v.zone()))
	if !o.WeeksOK {
		return
	}
	if !o.Paused {
		part.Days = v.dayChart(b, o)
	}
	part.Spreads = append(part.Spreads, SpreadLine{v.Say("Weeks"), v.figure(s.Low80), v.figure(s.Low50),
		v.figure(s.Middle), v.figure(s.High50), v.figure(s.High80)})
	part.Weeks = v.Say("The days come from your bench hours in %s up to %s. Weeks without bench time count; weeks when the build was put aside, and weeks known only from memory, do not.",
		v.count(o.NWeeks, "dative¦week"), v.day(o.From.In(v.zone())))
}

// dayChart draws the days on a calendar from today on.
func (v *view) dayChart(b *build, o journal.Outlook) []Chart {
	days := func(weeks float64) float64 { return float64(o.Day(weeks).Unix()) / 86400 }
	s := o.Weeks
	r := Reading{
		Label: v.Say("%s: about %s", b.named(), v.day(o.Day(s.Middle).In(v.zone()))), Tag: b.tag(""),
		Value: days(s.Middle), Low: days(s.Low80), High: days(s.High80), Interval: true,
		Inner: [2]float64{days(s.Low50), days(s.High50)}, Words: v.tickDay(o.Day(s.Middle).In(v.zone())),
	}
	lo, hi := days(0), days(s.High80)
	hi += 0.02 * (hi - lo)
	a := axis{title: v.Say("Day it is done (bar: 1 in 2, line: 4 in 5)"), lo: lo, hi: hi,
		ticks: func(n int) []tickAt { return v.monthTicks(lo, hi, n) }}
	alt := v.Say("Forecast of the day %s is done, on a calendar from %s on. %s", b.Title,
		v.day(o.From.In(v.zone())), v.partWhen(o, v.zone()))
	return v.rowCharts(alt, a, []Reading{r})
}

func (in voice) partWhen(o journal.Outlook, zone *time.Location) string {
	s := o.Weeks
	at := func(weeks float64) string { return in.day(o.Day(weeks).In(zone)) }
	return in.Say("About %s; even chance %s, 4 in 5 chance %s.", at(s.Middle),
		metrics.Between(at(s.Low50), at(s.High50)), metrics.Between(at(s.Low80), at(s.High80)))
}

// monthTicks are the first day of a span and about n first days of months in it.
func (in voice) monthTicks(lo, hi float64, n int) []tickAt {
	from := time.Unix(int64(lo*86400), 0).UTC()
	months := math.Max(1, (hi-lo)/30.4)
	every := 1
	for _, e := range []int{1, 2, 3, 6, 12, 24, 60, 120, 240} {
		if every = e; months/float64(e) <= float64(n) {
			break
		}
	}
	out := []tickAt{{lo, in.tickDay(from)}}
	for m := time.Date(from.Year(), time.January, 1, 0, 0, 0, 0, time.UTC); ; m = m.AddDate(0, every, 0) {
		d := float64(m.Unix()) / 86400
		if d > hi {
			return out
		}
		if d >= lo+(hi-lo)/float64(n) { // room for the first
			out = append(out, tickAt{d, in.tickMonth(m)})
		}
	}
}

// left lists the counted work that is left, by stage, and the counted stages
// that are done.
func (v *view) left(b *build, o journal.Outlook) (left []LeftLine, done []Link) {
	open := map[string]bool{}
	// A task knows its kind of work; two stages of one kind share it.
	stageOf := func(kind string) Link {
		var found Link
		for _, st := range b.Stages {
			switch {
			case st.Kind != kind:
			case found.Href != "":
				return Link{Words: v.kindTitle(kind)}
			default:
				found = v.stageLink(b.ID, st.ID)
			}
		}
		return found
	}
	for _, t := range o.Tasks {
		open[t.Kind] = true
		left = append(left, LeftLine{stageOf(t.Kind), v.kitName(b, t.Kit), v.classWord(t.Class), v.count(int(t.Parts),
			say.Noun(unit(t.Kind)))})
	}
	for _, st := range b.Stages {
		if _, countable := metrics.CountedKind(st.Kind); countable && !open[st.Kind] &&
			!slices.Contains(o.Uncounted, st.ID) && st.Kind != "repair" {
			done = append(done, v.stageLink(b.ID, st.ID))
		}
	}
	return left, done
}

// kitName is a kit as the build calls it, "" when there is only one.
func (in voice) kitName(b *build, kit int) string {
	if kit < 1 || kit > len(b.Kits) {
		return ""
	}
	if t := b.Kits[kit-1].Title; t != "" {
		return t
	}
	return in.Say("kit %d", kit)
}

// record tells how such forecasts would have done on the finished builds.
func (v *view) record(p *ForecastPage) {
	replays := v.Replays()
	for _, r := range replays {
		if r.N > 0 {
			p.Replays = append(p.Replays, ReplayLine{v.Say("at %.0f %%", 100*r.Share), fmt.Sprint(r.N),
				v.Say("%d of %d", r.In50, r.N), v.Say("%d of %d", r.In80, r.N)})
		}
	}
	p.Record = v.of(journal.RecordWords(replays))
	p.Untried = v.Say("There is no finished build yet to try forecasts on. Once there is, this part shows how they held.")
	if slices.ContainsFunc(v.order, func(b *build) bool { return b.Finished != "" }) {
		p.Untried = v.Say("No finished build has noted enough timed work to try forecasts on. Once one has, this part shows how they held.")
	}
}
