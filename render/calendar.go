// The journal by the calendar: days at the bench, the weeks and years that hold
// them, and the addresses of their pages.

package render

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"

	"rakelight/journal"
)

// calendar is every day at the bench, in order.
type calendar struct {
	days   []*benchDay
	weeks  []*benchWeek
	years  []*benchYear
	byDate map[string]*benchDay
	byWeek map[string]*benchWeek
	byYear map[string]*benchYear
	latest map[string]*benchWeek // by build: the latest week with sessions on it

	compared *benchWeek // in whose margin a comparison may stand, nil = in none
}

// benchDay is what happened on a day, over all builds. It goes on after midnight
// as long as the work that began on it does: see journal.Evenings.
type benchDay struct {
	date     string           // YYYY-MM-DD
	photos   []*journal.Photo // prints of work, in the order they were taken
	series   []*seriesShown   // that began on it
	sessions []*journal.Session
	words    []*journal.DiaryDay
	mistakes []journal.Mistake
	events   []dayEvent
	week     *benchWeek

	digestOnce sync.Once
	digested   digest // see dayDigest
}

// dayEvent is something that was said of a build: that it was put aside or taken
// up, that it is finished, what a trial showed.
type dayEvent struct {
	build, words string
	href, to     string // address from the top and its words, "" = none
	photo        string // hash, "" = none
	notes        bool   // a quick note
}

// benchWeek is an ISO 8601 week: Monday first, and of the year that has its
// Thursday.
type benchWeek struct {
	id   string // "2026-W26"
	days []*benchDay
	year *benchYear
}

// benchYear is a year with its days by the calendar, and the weeks that ISO 8601
// counts to it: a Monday in December may begin the first week of the next.
type benchYear struct {
	id    string // "2026"
	days  []*benchDay
	weeks []*benchWeek
}

// weekOf is the ISO 8601 week of a day as its pages are called, "" for what is no
// day.
func weekOf(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return ""
	}
	year, week := t.ISOWeek()
	return fmt.Sprintf("%04d-W%02d", year, week)
}

// monday is the first day of the week a day lies in.
func monday(date string) time.Time {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return time.Time{}
	}
	return mondayOf(t)
}

// mondayOf is the Monday of the week a day lies in, at midnight of no zone.
func mondayOf(t time.Time) time.Time {
	t = time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
	return t.AddDate(0, 0, -(int(t.Weekday())+6)%7)
}

// dayHref is the address, from the top, of the page of a day, "" where nothing
// happened on it.
func (v *view) dayHref(date string) string {
	if v.calendar().byDate[date] == nil {
		return ""
	}
	return "days/" + date + ".html"
}

// weekHref is the address, from the top, of the page of the week that holds a day,
// "" where nothing happened in it.
func (v *view) weekHref(date string) string { return v.weekNamedHref(weekOf(date)) }

// weekNamedHref is the address of a week by its name.
func (v *view) weekNamedHref(id string) string {
	if v.calendar().byWeek[id] == nil {
		return ""
	}
	return "weeks/" + id + ".html"
}

// yearHref is the address, from the top, of the page of a year, "" where nothing
// happened in it.
func (v *view) yearHref(year string) string {
	if v.calendar().byYear[year] == nil {
		return ""
	}
	return "years/" + year + ".html"
}

func (v *view) calendar() *calendar {
	v.calendarOnce.Do(func() { v.dated = v.readCalendar() })
	return v.dated
}

func (v *view) readCalendar() *calendar {
	c := &calendar{byDate: map[string]*benchDay{}, byWeek: map[string]*benchWeek{}, byYear: map[string]*benchYear{},
		latest: map[string]*benchWeek{}}
	clock := v.Evenings()
	for _, p := range v.Photos {
		if v.builds[p.Tags.Build] == nil || p.Instant.Said != "" || !v.ofDay(p) {
			continue
		}
		if d := c.day(clock.Of(p.Instant.At, p.Instant.At.Format(time.DateOnly))); d != nil {
			d.photos = append(d.photos, p)
		}
	}
	for i := range v.Series {
		s := v.series[v.Series[i].ID]
		if s == nil {
			continue
		}
		if d := c.day(clock.Of(s.First, s.First.Format(time.DateOnly))); d != nil {
			d.series = append(d.series, s)
		}
	}
	for _, s := range v.Sessions {
		if v.builds[s.Build] == nil || s.Kind == "wait" {
			continue // curing is no time at the bench
		}
		if d := c.day(s.Date); d != nil {
			d.sessions = append(d.sessions, s)
		}
	}
	for i, one := range v.Diary {
		if v.builds[one.Build] == nil || strings.TrimSpace(one.Body) == "" && one.Title == "" {
			continue
		}
		if d := c.day(one.Date); d != nil {
			d.words = append(d.words, &v.Diary[i])
		}
	}
	for _, m := range v.Mistakes {
		if v.builds[m.Build] == nil {
			continue
		}
		if d := c.day(clock.Here(m.At)); d != nil {
			d.mistakes = append(d.mistakes, m)
		}
	}
	v.tellEvents(func(date string, e dayEvent) {
		if d := c.day(date); d != nil {
			d.events = append(d.events, e)
		}
	}, clock)
	c.settle()
	if b := v.LatestCounted(); b != nil {
		c.compared = c.latest[b.ID]
	}
	return c
}

// day is the day of a date, made where there is none; nil for what is no day.
func (c *calendar) day(date string) *benchDay {
	if d := c.byDate[date]; d != nil {
		return d
	}
	if _, err := time.Parse(time.DateOnly, date); err != nil {
		return nil
	}
	d := &benchDay{date: date}
	c.byDate[date] = d
	c.days = append(c.days, d)
	return d
}

// settle puts days into their order, weeks and years.
func (c *calendar) settle() {
	slices.SortFunc(c.days, func(a, b *benchDay) int { return cmp.Compare(a.date, b.date) })
	for _, d := range c.days {
		id := weekOf(d.date)
		w := c.byWeek[id]
		if w == nil {
			w = &benchWeek{id: id, year: c.yearNamed(yearOf(id))}
			c.byWeek[id] = w
			c.weeks = append(c.weeks, w)
			w.year.weeks = append(w.year.weeks, w)
		}
		w.days, d.week = append(w.days, d), w
		for _, s := range d.sessions {
			c.latest[s.Build] = w
		}
		y := c.yearNamed(yearOf(d.date))
		y.days = append(y.days, d)
	}
	slices.SortFunc(c.years, func(a, b *benchYear) int { return cmp.Compare(a.id, b.id) })
}

func (c *calendar) yearNamed(id string) *benchYear {
	y := c.byYear[id]
	if y == nil {
		y = &benchYear{id: id}
		c.byYear[id] = y
		c.years = append(c.years, y)
	}
	return y
}

// tellEvents tells what was said of builds, each with its day.
func (v *view) tellEvents(tell func(date string, e dayEvent), clock journal.Evenings) {
	for _, p := range v.Pauses {
		if v.builds[p.Build] == nil {
			continue
		}
		words := v.Say("Put aside.")
		if p.Why != "" {
			words = v.Say("Put aside: %s", sentence(v.of(journal.WhySaid(p.Why))))
		}
		if p.Ended() {
			words = sentence(v.of(journal.WhySaid(p.Why)))
		}
		tell(clock.Here(p.From), dayEvent{build: p.Build, words: words})
		if !p.Until.IsZero() {
			tell(clock.Here(p.Until), dayEvent{build: p.Build, words: v.Say("Taken up again.")})
		}
	}
	for _, t := range v.Trials {
		if v.builds[t.Build] == nil {
			continue
		}
		about := dayEvent{build: t.Build, href: "trials.html", to: v.Say("the trial")}
		about.words = v.Say("Began to try %s.", t.What)
		tell(clock.Here(t.At), about)
		for _, o := range t.Observations {
			about.words, about.photo = v.Say("Trying %s: %s", t.What, sentence(o.Text)), o.Photo
			tell(clock.Here(o.At), about)
		}
	}
	for _, n := range v.State.Notes {
		if v.builds[n.Build] != nil {
			words := sentence(n.Text)
			if len(n.Parts) > 0 {
				words = journal.Ranges(n.Parts) + ": " + words
			}
			tell(clock.Here(n.At), dayEvent{build: n.Build, words: words, notes: true})
		}
	}
	for _, b := range v.order {
		if b.Finished != "" {
			tell(b.Finished, dayEvent{build: b.ID, words: v.Say("Finished."), href: b.href, to: v.Say("the build")})
		}
	}
}

// sentence ends words that a person typed with a period, where nothing ends them.
func sentence(words string) string {
	words = strings.TrimSpace(words)
	if words == "" || strings.ContainsRune(".!?…", []rune(words)[len([]rune(words))-1]) {
		return words
	}
	return words + "."
}
