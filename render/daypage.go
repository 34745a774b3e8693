// The page of a day at the bench: its words, what was done, its mistakes, and its
// photos in the order of the work.

package render

import (
	"cmp"
	"html/template"
	"slices"
	"time"

	"rakelight/journal"
)

// DayPage is days/YYYY-MM-DD.html.
type DayPage struct {
	Frame
	Heading string // the title of its words, else the day
	Date    string // "Tuesday, 23 June 2026"; "" = the heading says it
	Stamp   string // YYYY-MM-DD
	Opening Picture
	Words   []DayWords
	Done    []Done
	Events  []Event
	Slips   []Slip
	Pairs   []Plate
	Series  []SeriesLine
	Runs    []PhotoRun
	Rest    []Link // builds that have more photos of the day than stand here
	Onward  Onward
}

// DayWords are the words of a day on one build.
type DayWords struct {
	Tag      Tag
	Heading  string // "" = the page's says it
	Deep     bool   // the heading stands under another of its day
	Body     template.HTML
	Warnings []string
}

// Event is something that was said of a build.
type Event struct {
	Tag   Tag
	Words string
	Link  Link
	Plate []Plate // of its photo
}

// Slip is a mistake in words.
type Slip struct {
	Tag   Tag
	Words string
	Plate []Plate // its photo
}

// PhotoRun is photos of one stage that follow each other.
type PhotoRun struct {
	Tag    Tag
	Stage  string
	Photos []Picture
}

// Onward is the last line of a page of the diary: what came before and after, and
// where it belongs.
type Onward struct{ Earlier, Later, Up Link }

// mostOfDay is how many photos a day's page shows beside those in its words: its
// build's page has all.
const mostOfDay = 96

func (v *view) dayPage(d *benchDay, t *texts) DayPage {
	p := DayPage{Frame: v.frame(top, "day", ""), Stamp: d.date, Date: v.dayNamed(d.date), Heading: d.title()}
	shown := v.inWords(d)
	for _, one := range d.words {
		p.Words = append(p.Words, v.dayWords(one, t, around{root: top, prefix: "words-", below: 1}, len(d.words) > 1))
	}
	if p.Heading == "" {
		p.Heading, p.Date = p.Date, ""
	}
	p.Frame.Title = joinWords(", ", p.Heading, p.Date) + " · " + p.Journal
	// A picture that the words show is not shown twice on one page.
	if best := bestMoment(d.photos, shown); best != nil && !shown[best.Hash] {
		p.Opening = v.shownAs(top, best, asOpening)
		p.Opening.Eager = true
		shown[best.Hash] = true
	}
	p.Done = v.doneOf(top, d.sessions)
	p.Slips = v.slips(top, d, shown)
	p.Events = v.eventsOf(top, d, shown)
	for _, pair := range d.pairs(shown) {
		p.Pairs = append(p.Pairs, v.pairPlate(top, pair))
		shown[pair[0].Hash], shown[pair[1].Hash] = true, true
	}
	p.Series = v.seriesLines(top, d.series)
	p.Runs, p.Rest = v.photoRuns(d, shown)
	p.Onward = v.onwardOfDay(d)
	return p
}

// dayWords are the words of a day on a build. Where there are several builds, each has
// a heading.
func (v *view) dayWords(d *journal.DiaryDay, t *texts, at around, several bool) DayWords {
	b := v.builds[d.Build]
	words := DayWords{Tag: b.tag(at.root)}
	if several {
		words.Heading = cmp.Or(d.Title, b.Title)
		at.below++
		words.Deep = at.below > 2
	}
	at.prefix += fileName(d.Build) + "-"
	at.build = b
	text := t.render(d.Body, at)
	words.Body, words.Warnings = text.html, text.warnings
	return words
}

// dayNamed is a day as a diary heads it: "Tuesday, 23 June 2026".
func (in voice) dayNamed(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return in.Say("weekday¦%s, %s", in.Weekday(t.Weekday()), in.Day(t))
}

// title is the first title of a day's words, "" without one.
func (d *benchDay) title() string {
	for _, one := range d.words {
		if one.Title != "" {
			return one.Title
		}
	}
	return ""
}

// pairs are before and after of the day. A before may be of an earlier day of the
// same week; what was shown already is in none.
func (d *benchDay) pairs(shown map[string]bool) [][2]*journal.Photo {
	var photos []*journal.Photo
	for _, one := range d.week.days {
		photos = append(photos, one.photos...)
		if one == d {
			break
		}
	}
	return slices.DeleteFunc(beforeAfters(photos), func(pair [2]*journal.Photo) bool {
		return !slices.Contains(d.photos, pair[1]) || shown[pair[0].Hash] && shown[pair[1].Hash]
	})
}

// slips are the mistakes of a day in words, each with its picture: the photo of a
// problem on that stage, or of its parts, that was taken nearest to it.
func (v *view) slips(root string, d *benchDay, shown map[string]bool) []Slip {
	var out []Slip
	for _, m := range d.mistakes {
		one := Slip{Tag: v.builds[m.Build].tag(root), Words: v.slipWords(m)}
		if photo := pictureOf(m, d.photos, shown); photo != nil {
			shown[photo.Hash] = true
			one.Plate = []Plate{v.plate(root, []*journal.Photo{photo})}
		}
		out = append(out, one)
	}
	return out
}

// slipWords tell a mistake as one would: what, where, why, and what was done about
// it.
func (v *view) slipWords(m journal.Mistake) string {
	words := journal.Capital(m.Kind)
	if len(m.Parts) > 0 {
		words = v.Say("mistake¦%s on %s", words, partWords(m.Parts))
	}
	if st := v.builds[m.Build].Stage(m.Stage); st != nil {
		words += " (" + v.low(v.stageTitle(st)) + ")"
	}
	words = joinWords(": ", words, m.Cause) + "."
	words = joinWords(" ", words, journal.Capital(sentence(m.Mended)))
	if m.Lost > 0 {
		words = joinWords(" ", words, v.Say("It cost %s.", v.inHours(m.Lost.Hours())))
	}
	return words
}

func pictureOf(m journal.Mistake, photos []*journal.Photo, shown map[string]bool) *journal.Photo {
	var found *journal.Photo
	var away time.Duration
	for _, p := range photos {
		if p.Tags.Build != m.Build || p.Tags.Role != "problem" || shown[p.Hash] {
			continue
		}
		ofParts := slices.ContainsFunc(p.Tags.Parts, func(ref journal.PartRef) bool { return has(m.Parts, ref) })
		if p.Tags.Stage != m.Stage && m.Stage != "" && !ofParts {
			continue
		}
		if far := p.Instant.At.Sub(m.At).Abs(); found == nil || far < away {
			found, away = p, far
		}
	}
	return found
}

func (v *view) eventsOf(root string, d *benchDay, shown map[string]bool) []Event {
	var out []Event
	for _, e := range d.events {
		one := Event{Tag: v.builds[e.build].tag(root), Words: e.words}
		if e.href != "" {
			one.Link = Link{Words: e.to, Href: root + e.href}
		}
		if photo := v.byHash[e.photo]; photo != nil && v.print(photo) && !shown[photo.Hash] {
			shown[photo.Hash] = true
			one.Plate = []Plate{v.plate(root, []*journal.Photo{photo})}
		}
		out = append(out, one)
	}
	return out
}

// photoRuns are the day's photos that are not shown yet, in the order of the work.
func (v *view) photoRuns(d *benchDay, shown map[string]bool) (runs []PhotoRun, rest []Link) {
	photos := keepPhotos(d.photos, func(p *journal.Photo) bool { return !shown[p.Hash] })
	left := map[*build]int{}
	if len(photos) > mostOfDay {
		for _, p := range photos[mostOfDay:] {
			left[v.builds[p.Tags.Build]]++
		}
		photos = photos[:mostOfDay]
	}
	for _, run := range runsOf(photos) {
		b := v.builds[run.build]
		one := PhotoRun{Tag: b.tag(top), Stage: v.stageTold(b, run.stage)}
		for _, p := range run.photos {
			pic := v.shownAs(top, p, asThird)
			if v.mine() {
				pic.More = v.smalls(top, v.bursts[p.Hash])
			}
			one.Photos = append(one.Photos, pic)
		}
		runs = append(runs, one)
	}
	for _, b := range v.order {
		if n := left[b]; n > 0 {
			rest = append(rest, Link{Words: v.Say("%s more of this day on the page of %s", v.count(n, "photo"),
				b.named()), Href: top + b.href})
		}
	}
	return runs, rest
}

// stageTold is a stage as a word in the margin.
func (v *view) stageTold(b *build, stage string) string {
	if st := b.Stage(stage); st != nil {
		return v.stageTitle(st)
	}
	return v.Say("At the bench")
}

func (v *view) onwardOfDay(d *benchDay) Onward {
	days := v.calendar().days
	i := slices.Index(days, d)
	var o Onward
	if i > 0 {
		o.Earlier = Link{Words: v.dayBeside(days[i-1].date, d.date), Href: days[i-1].date + ".html"}
	}
	if i+1 < len(days) {
		o.Later = Link{Words: v.dayBeside(days[i+1].date, d.date), Href: days[i+1].date + ".html"}
	}
	o.Up = Link{Words: v.Say("its week"), Href: top + v.weekHref(d.date)}
	return o
}

// dayBeside names a day beside another one: its year stands where it is another.
func (in voice) dayBeside(date, other string) string {
	if date[:4] == other[:4] {
		return in.DayOfMonth(dayMoment(date))
	}
	return in.dayOf(date)
}
