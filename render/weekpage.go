// The page of a week: an entry of a diary. A picture of its best moment, then its
// words, with the pictures where the words are.

package render

import (
	"slices"
	"strings"
	"time"

	"rakelight/journal"
)

// WeekPage is weeks/YYYY-Www.html.
type WeekPage struct {
	Frame
	Heading string // a title of its words, else its days
	Week    string // "Week 26 of 2026"
	Span    string // "22 to 28 June 2026"
	Opening Picture
	Entries []WeekEntry
	Onward  Onward
}

// WeekEntry is a day of a week.
type WeekEntry struct {
	Day     string // "Tuesday"
	Date    string // "23 June 2026"
	Stamp   string
	Href    string   // the day's own page
	Heading string   // its title, "" = none, or it heads the page
	Margin  []string // what stands in the outer margin: hours, parts, one comparison
	Words   []DayWords
	Done    []Done
	Slips   []Slip
	Events  []Event
	Plates  []Plate
	Series  []SeriesLine
	More    Link // to the day, where it has more photos
}

func (v *view) weekPage(w *benchWeek, t *texts) WeekPage {
	p := v.weekEntry(w, t, top)
	p.Frame = v.frame(top, "week", p.Heading+", "+v.low(p.Week))
	p.Onward = v.onwardOfWeek(w)
	return p
}

// weekEntry is a week for a page where root leads back to the top: its own, the
// first page, the feed.
func (v *view) weekEntry(w *benchWeek, t *texts, root string) WeekPage {
	p := WeekPage{Week: v.weekNamed(w.id), Span: v.weekSpan(w)}
	shown := v.inWords(w.days...)
	best := bestMoment(w.photos(), shown)
	if best != nil {
		p.Opening = v.shownAs(root, best, asOpening)
		p.Opening.Eager = true
		shown[best.Hash] = true
	}
	titled := w.titled(best)
	p.Heading = p.Span
	if titled != nil {
		p.Heading = titled.title()
	}
	margin := v.margins(w)
	at := around{root: root, below: 2}
	for _, d := range w.days {
		e := v.entryOfDay(d, root, shown)
		at.prefix = "day-" + d.date + "-"
		for _, one := range d.words {
			e.Words = append(e.Words, v.dayWords(one, t, at, len(d.words) > 1))
		}
		e.Margin = margin[d]
		if d != titled {
			e.Heading = d.title()
		}
		p.Entries = append(p.Entries, e)
	}
	return p
}

// entryOfDay is a day of a week without its words.
func (v *view) entryOfDay(d *benchDay, root string, shown map[string]bool) WeekEntry {
	at, _ := time.Parse(time.DateOnly, d.date)
	e := WeekEntry{Day: v.Weekday(at.Weekday()), Date: v.dayOf(d.date), Stamp: d.date, Href: root + v.dayHref(d.date),
		Done: v.doneOf(root, d.sessions)}
	e.Slips = v.slips(root, d, shown)
	e.Events = v.eventsOf(root, d.without(func(one dayEvent) bool { return one.notes }), shown)
	for _, pair := range d.pairs(shown) {
		e.Plates = append(e.Plates, v.pairPlate(root, pair))
		shown[pair[0].Hash], shown[pair[1].Hash] = true, true
	}
	e.Series = v.seriesLines(root, d.series)
	left := keepPhotos(d.photos, func(p *journal.Photo) bool { return !shown[p.Hash] })
	there := keepPhotos(d.photos, func(p *journal.Photo) bool { return shown[p.Hash] })
	few := telling(unlike(left, there...), fewOfDay)
	for _, p := range few {
		shown[p.Hash] = true
	}
	if len(few) > 0 {
		e.Plates = append(e.Plates, v.plate(root, few))
	}
	if n := len(left) - len(few); n > 0 {
		e.More = Link{Words: v.Say("day¦%s of %s", v.count(n, "more photo"), e.Day), Href: e.Href}
	}
	return e
}

// without is the day without some of what was said.
func (d *benchDay) without(drop func(dayEvent) bool) *benchDay {
	return &benchDay{date: d.date, photos: d.photos, events: slices.DeleteFunc(slices.Clone(d.events), drop)}
}

func (w *benchWeek) photos() (all []*journal.Photo) {
	for _, d := range w.days {
		all = append(all, d.photos...)
	}
	return all
}

func (w *benchWeek) sessions() (all []*journal.Session) {
	for _, d := range w.days {
		all = append(all, d.sessions...)
	}
	return all
}

// titled is the day whose title heads the week: that of the opening picture, else
// the first with one; nil without titles.
func (w *benchWeek) titled(best *journal.Photo) *benchDay {
	var found *benchDay
	for _, d := range w.days {
		if d.title() == "" {
			continue
		}
		if found == nil || best != nil && slices.Contains(d.photos, best) {
			found = d
		}
	}
	return found
}

// margins are the three facts of a week, each beside the day it belongs to: its
// hours beside the first, what was done beside the day most was done on, one
// comparison beside the last.
func (v *view) margins(w *benchWeek) map[*benchDay][]string {
	out := map[*benchDay][]string{}
	first, last := w.days[0], w.days[len(w.days)-1]
	if t := v.timeTold(timed(w.sessions())); t != "" {
		out[first] = append(out[first], v.Say("%s at the bench this week", t))
	}
	if counts := v.countsOf(w.sessions()); len(counts) > 0 {
		most := slices.MaxFunc(w.days, func(a, b *benchDay) int { return partsOf(a) - partsOf(b) })
		out[most] = append(out[most], v.List(counts))
	}
	if s := v.comparisonOf(w); s != "" {
		out[last] = append(out[last], s)
	}
	return out
}

func partsOf(d *benchDay) int {
	n := 0
	for _, w := range timed(d.sessions) {
		n += int(w.Parts)
	}
	return n
}

// comparisonOf is what the journal's claims say of the build they are about, in the
// latest week that was worked on it: a week of its own would be too short to say
// anything. It is "" in all other weeks, and where nothing can be said.
func (v *view) comparisonOf(w *benchWeek) string {
	if v.calendar().compared != w || !v.Claims().Since.Interval.OK {
		return ""
	}
	return v.speedSentence().Words
}

// weekNamed is a week as one says it: "Week 26 of 2026".
func (in voice) weekNamed(id string) string {
	return in.Say("Week %s of %s", weekNumber(id), id[:4])
}

// weekNumber is the number of a week in its year: "26".
func weekNumber(id string) string { return strings.TrimPrefix(id[6:], "0") }

// weekBeside names a week beside another one: its year stands where it is another.
func (in voice) weekBeside(id, other string) string {
	if id[:4] == other[:4] {
		return in.Say("Week %s", weekNumber(id))
	}
	return in.weekNamed(id)
}

func (in voice) weekSpan(w *benchWeek) string { return in.spanOfWeek(monday(w.days[0].date)) }

// spanOfWeek is from a Monday to the Sunday of its week: "29 June to 5 July 2026".
func (in voice) spanOfWeek(from time.Time) string {
	to := from.AddDate(0, 0, 6)
	switch {
	case from.Year() != to.Year():
		return in.Say("dates¦%s to %s", in.day(from), in.day(to))
	case from.Month() != to.Month():
		return in.Say("dates¦%s to %s", in.DayOfMonth(from), in.day(to))
	}
	return in.Say("days of a month¦%d to %s", from.Day(), in.day(to))
}

func (v *view) onwardOfWeek(w *benchWeek) Onward {
	weeks := v.calendar().weeks
	i := slices.Index(weeks, w)
	o := Onward{Up: Link{Words: v.Say("the year %s", w.year.id), Href: top + v.yearHref(w.year.id)}}
	if i > 0 {
		o.Earlier = Link{Words: v.weekBeside(weeks[i-1].id, w.id), Href: weeks[i-1].id + ".html"}
	}
	if i+1 < len(weeks) {
		o.Later = Link{Words: v.weekBeside(weeks[i+1].id, w.id), Href: weeks[i+1].id + ".html"}
	}
	return o
}
