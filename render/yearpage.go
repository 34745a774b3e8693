// The page of a year: its builds as stretches, its weeks with their pictures and
// first words, a step then and now, and what its mistakes taught.

package render

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"rakelight/journal"
)

// YearPage is years/YYYY.html.
type YearPage struct {
	Frame
	Heading  string
	Opening  Picture
	Facts    []Fact
	Done     string // "65 parts cut off and 17 joins at the seams", "" = nothing was counted
	Finished []Tag
	Band     Band
	Step     *FirstLatest
	Slips    []SlipKind
	Months   []YearMonth
	Sheets   []Link // its review for print
	Onward   Onward
}

// YearMonth is a month with its weeks and days.
type YearMonth struct {
	ID, Title string
	Weeks     []WeekPrint
	Days      []Link
}

// WeekPrint is a week as a picture and its first words.
type WeekPrint struct {
	Href, Span, Title, Words string
	OwnTitle, OwnWords       bool // they are the person's
	Picture                  Picture
}

// FirstLatest is a step of the trade, the first and the latest time in a year.
type FirstLatest struct {
	Title string
	Plate Plate
}

// SlipKind is a kind of mistake of a year, and what was noted of it.
type SlipKind struct{ Kind, Times, Causes, Mended string }

func (v *view) yearPage(y *benchYear, t *texts) YearPage {
	p := YearPage{Frame: v.frame(top, "year", y.id), Heading: y.id}
	var photos []*journal.Photo
	var sessions []*journal.Session
	var mistakes []journal.Mistake
	for _, d := range y.days {
		photos, sessions = append(photos, d.photos...), append(sessions, d.sessions...)
		mistakes = append(mistakes, d.mistakes...)
	}
	if best := v.portrait(photos); best != nil {
		p.Opening = v.shownAs(top, best, asOpening)
		p.Opening.Eager = true
	}
	worked := 0
	for _, d := range y.days {
		if len(d.sessions) > 0 {
			worked++
		}
	}
	atBench := v.Say("no session")
	if worked > 0 {
		atBench = v.Say("hours¦%s in %s", cmp.Or(v.timeTold(timed(sessions)), v.Say("no timed hours")),
			v.count(worked, "dative¦day"))
	}
	p.Facts = append(p.Facts, Fact{v.Say("At the bench"), atBench})
	p.Done = v.List(v.countsOf(sessions))
	if len(photos) > 0 {
		p.Facts = append(p.Facts, Fact{v.Say("Photos of the work"), fmt.Sprint(len(photos))})
	}
	for _, b := range v.order {
		if yearOf(b.Finished) == y.id {
			p.Finished = append(p.Finished, b.tag(top))
		}
	}
	p.Band = v.band(top, v.buildsOfYear(y), y.id+"-01-01", y.id+"-12-31")
	p.Step = v.firstLatest(photos)
	p.Slips = v.slipKinds(mistakes)
	p.Months = v.monthsOf(y, t)
	if v.reviewed(y.id) {
		p.Sheets = []Link{{Words: v.Say("the year in review"), Href: top + yearSheetHref(y.id)}}
	}
	years := v.calendar().years
	i := slices.Index(years, y)
	p.Onward.Up = Link{Words: v.Say("all years"), Href: top + archivePage}
	if i > 0 {
		p.Onward.Earlier = Link{Words: years[i-1].id, Href: years[i-1].id + ".html"}
	}
	if i+1 < len(years) {
		p.Onward.Later = Link{Words: years[i+1].id, Href: years[i+1].id + ".html"}
	}
	return p
}

// buildsOfYear are the builds that were under way in a year.
func (v *view) buildsOfYear(y *benchYear) []*build {
	return keepBuilds(v.order, func(b *build) bool {
		return b.first != "" && yearOf(b.first) <= y.id && yearOf(b.last) >= y.id
	})
}

// firstLatest is the step whose first and latest result of some photos, alike in view
// and light, lie furthest apart: at least two weeks. It claims nothing; the eye
// judges.
func (v *view) firstLatest(photos []*journal.Photo) *FirstLatest {
	type look struct{ kind, view, light string }
	first := map[look]*journal.Photo{}
	var found [2]*journal.Photo
	const apart = 14 * 24 * time.Hour
	longest := apart
	for _, p := range photos {
		if !isResult(p) || p.Kind == "" || p.Tags.View == "" || p.Tags.Light == "" {
			continue
		}
		key := look{p.Kind, p.Tags.View, p.Tags.Light}
		if first[key] == nil {
			first[key] = p
		} else if away := p.Instant.At.Sub(first[key].Instant.At); away > longest {
			found, longest = [2]*journal.Photo{first[key], p}, away
		}
	}
	if found[0] == nil {
		return nil
	}
	return &FirstLatest{Title: v.kindTitle(found[0].Kind), Plate: v.pairPlate(top, found)}
}

// slipKinds sum up mistakes by what they were, the most frequent first, with what
// was noted of their causes and of what helped.
func (in voice) slipKinds(mistakes []journal.Mistake) []SlipKind {
	type sum struct {
		kind            string
		n               int
		causes, mending []string
	}
	var sums []*sum
	for _, m := range mistakes {
		i := slices.IndexFunc(sums, func(s *sum) bool { return s.kind == m.Kind })
		if i < 0 {
			i, sums = len(sums), append(sums, &sum{kind: m.Kind})
		}
		one := sums[i]
		one.n++
		for _, said := range []struct {
			words string
			into  *[]string
		}{{m.Cause, &one.causes}, {m.Mended, &one.mending}} {
			if said.words != "" && !slices.Contains(*said.into, said.words) {
				*said.into = append(*said.into, said.words)
			}
		}
	}
	slices.SortStableFunc(sums, func(a, b *sum) int { return b.n - a.n })
	var out []SlipKind
	for _, s := range sums {
		out = append(out, SlipKind{
			journal.Capital(s.kind), in.timesTold(s.n), in.List(s.causes), in.List(s.mending),
		})
	}
	return out
}

// timesTold says how often: "once", "twice", "7 times".
func (in voice) timesTold(n int) string {
	switch n {
	case 1:
		return in.Say("once")
	case 2:
		return in.Say("twice")
	}
	return in.count(n, "time")
}

// monthsOf are the months of a year, the newest first: a week stands in the month
// of its Thursday, as it does in the year of it.
func (v *view) monthsOf(y *benchYear, t *texts) []YearMonth {
	by := map[string]*YearMonth{}
	month := func(at time.Time) *YearMonth {
		id := at.Format("2006-01")
		if by[id] == nil {
			by[id] = &YearMonth{ID: monthID(id), Title: v.Month(at.Month())}
		}
		return by[id]
	}
	for _, w := range slices.Backward(y.weeks) {
		m := month(monday(w.days[0].date).AddDate(0, 0, 3))
		print := v.weekPrint(top, w, t)
		if print.Title == v.weekNamed(w.id) { // the page says of which year
			print.Title = v.Say("Week %s", weekNumber(w.id))
		}
		m.Weeks = append(m.Weeks, print)
	}
	for _, d := range y.days {
		at, _ := time.Parse(time.DateOnly, d.date)
		m := month(at)
		m.Days = append(m.Days, Link{Words: at.Format("2"), Href: top + v.dayHref(d.date)})
	}
	var out []YearMonth
	for id := time.December; id >= time.January; id-- {
		if m := by[fmt.Sprintf("%s-%02d", y.id, id)]; m != nil {
			out = append(out, *m)
		}
	}
	return out
}

// monthID is the place of a month on its year's page.
func monthID(month string) string { return "month-" + month[len(month)-2:] }

func (v *view) weekPrint(root string, w *benchWeek, t *texts) WeekPrint {
	best := bestMoment(w.photos(), v.inWords(w.days...))
	p := WeekPrint{Href: root + v.weekNamedHref(w.id), Span: v.weekSpan(w), Picture: v.shownAs(root, best, asPrint)}
	p.Title = v.weekNamed(w.id)
	p.Words, p.OwnWords = v.firstWords(w, best, t)
	if d := w.titled(best); d != nil {
		p.Title, p.OwnTitle = d.title(), true
	}
	return p
}

// firstWords are the first paragraph of a week: of the day that heads it, else of
// the first with words, which are the person's own; without words what was done, else
// what was said of a build.
func (v *view) firstWords(w *benchWeek, best *journal.Photo, t *texts) (words string, own bool) {
	days := w.days
	if d := w.titled(best); d != nil {
		days = append([]*benchDay{d}, days...)
	}
	for _, d := range days {
		for _, one := range d.words {
			if words := t.excerpt(one.Body); words != "" {
				return words, true
			}
		}
	}
	for _, one := range v.doneOf("", w.sessions()) {
		words = joinWords(" ", words, one.Tag.Title+": "+one.Words)
	}
	for _, d := range w.days {
		for _, e := range d.events {
			if words == "" {
				words = v.builds[e.build].Title + ". " + e.words
			}
		}
	}
	return words, false
}
