// What belongs to a week: sessions, photos, words and notes of its seven days, build
// by build.

package render

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// ErrNoWeek says that nothing is kept of any week.
var ErrNoWeek = errors.New("nothing is kept of any day yet")

// talkWeek is a week with what was kept of it.
type talkWeek struct {
	v           *view
	evenings    journal.Evenings
	from, until string // its Monday and its Sunday, YYYY-MM-DD
	newest      bool   // nothing is kept of a later one
	builds      []*talkBuild
}

// talkBuild is what a week holds of a build.
type talkBuild struct {
	*build
	sessions []*journal.Session
	photos   []*journal.Photo // of the work
	days     []journal.DiaryDay
	mistakes []journal.Mistake
	trials   []*journal.Trial // begun, seen or over in it
	checks   []journal.Checked
	preps    []journal.Prep
	mixes    []journal.Mix
	sandings []journal.SandingPlan
	begun    []journal.Pause // pauses
	ended    []journal.Pause
}

// weekWord is a week as a person writes it: "2026-W26".
var weekWord = regexp.MustCompile(`^([0-9]{4})-?[Ww]([0-9]{1,2})$`)

// WeekOf is the Monday of the week that words name: "2026-W26" (ISO 8601), a day in
// it, "last" for the one before now, and "" for the newest of which something is kept.
func WeekOf(s *journal.State, words string, now time.Time) (time.Time, error) {
	zone := s.Zone
	if zone == nil {
		zone = time.UTC
	}
	if m := weekWord.FindStringSubmatch(words); m != nil {
		year, _ := strconv.Atoi(m[1])
		n, _ := strconv.Atoi(m[2])
		// The first week of a year is the one with 4 January in it.
		day := mondayOf(time.Date(year, 1, 4, 0, 0, 0, 0, time.UTC)).AddDate(0, 0, 7*(n-1))
		if y, w := day.ISOWeek(); y != year || w != n {
			return time.Time{}, fmt.Errorf("%d has no week %d", year, n)
		}
		return day, nil
	}
	switch words {
	case "":
		last := latestDay(s)
		if last.IsZero() {
			return time.Time{}, ErrNoWeek
		}
		return mondayOf(last), nil
	case "last":
		return mondayOf(now.In(zone)).AddDate(0, 0, -7), nil
	}
	day, err := time.Parse(time.DateOnly, words)
	if err != nil {
		return time.Time{}, fmt.Errorf("%q names no week: write one as 2026-W26, a day in it as 2026-06-24, or last", words)
	}
	return mondayOf(day), nil
}

// latestDay is the latest day of which something was done, shown or written.
func latestDay(s *journal.State) time.Time {
	latest := ""
	for _, b := range s.Builds {
		if day := lastKept(s, b.ID); day > latest {
			latest = day
		}
	}
	day, err := time.Parse(time.DateOnly, latest)
	if err != nil {
		return time.Time{}
	}
	return day
}

// lastKept is the last day of a build with a session, a photo or words, "" = none.
func lastKept(s *journal.State, build string) string {
	last := ""
	for _, one := range s.Sessions {
		if one.Build == build && len(one.Date) == len(time.DateOnly) {
			last = max(last, one.Date)
		}
	}
	for _, p := range s.Photos {
		if p.Tags.Build == build && !p.Instant.At.IsZero() && p.Instant.Said == "" {
			last = max(last, p.Instant.Day())
		}
	}
	for _, d := range s.Diary {
		if d.Build == build {
			last = max(last, d.Date)
		}
	}
	return last
}

// week gathers what is kept of the week that begins on a Monday.
func (v *view) week(monday time.Time) *talkWeek {
	w := &talkWeek{v: v, evenings: v.Evenings(), from: monday.Format(time.DateOnly),
		until: monday.AddDate(0, 0, 6).Format(time.DateOnly)}
	w.newest = !latestDay(v.State).After(monday.AddDate(0, 0, 6))
	for _, b := range v.order {
		one := w.of(b)
		if one.any() {
			w.builds = append(w.builds, one)
		}
	}
	// The build most was done on is told first.
	slices.SortStableFunc(w.builds, func(a, b *talkBuild) int { return cmp.Compare(b.hours(), a.hours()) })
	return w
}

// in reports whether a moment is of an evening of the week.
func (w *talkWeek) in(at time.Time) bool { return w.holds(w.evenings.Here(at)) }

// holds reports whether a day lies in the week.
func (w *talkWeek) holds(date string) bool {
	return len(date) == len(time.DateOnly) && date >= w.from && date <= w.until
}

func (w *talkWeek) of(b *build) *talkBuild {
	one := &talkBuild{build: b}
	for _, s := range b.sessions {
		if w.holds(s.Date) && !s.Open {
			one.sessions = append(one.sessions, s)
		}
	}
	one.photos = keepPhotos(b.photos, func(p *journal.Photo) bool {
		return p.Instant.Said == "" && !p.OfCards() && w.holds(w.evenings.Of(p.Instant.At, p.Instant.Day()))
	})
	v := w.v
	for _, d := range v.Diary {
		if d.Build == b.ID && w.holds(d.Date) {
			one.days = append(one.days, d)
		}
	}
	for _, m := range v.Mistakes {
		if m.Build == b.ID && w.in(m.At) {
			one.mistakes = append(one.mistakes, m)
		}
	}
	for _, t := range v.Trials {
		seen := slices.ContainsFunc(t.Observations, func(o journal.Observation) bool { return w.in(o.At) })
		if t.Build == b.ID && (seen || w.in(t.At) || w.in(t.Closed)) {
			one.trials = append(one.trials, t)
		}
	}
	for _, c := range v.Checks {
		if c.Build == b.ID && c.Counts() && w.in(c.At) {
			one.checks = append(one.checks, c)
		}
	}
	for _, p := range v.PrepsOf(b.ID) {
		if w.in(p.At) {
			one.preps = append(one.preps, p)
		}
	}
	for _, m := range v.MixesOf(b.ID) {
		if w.in(m.At) {
			one.mixes = append(one.mixes, m)
		}
	}
	for _, p := range v.SandingsOf(b.ID) {
		if w.in(p.At) {
			one.sandings = append(one.sandings, p)
		}
	}
	for _, p := range v.Pauses {
		if p.Build == b.ID && w.in(p.From) {
			one.begun = append(one.begun, p)
		}
		if p.Build == b.ID && w.in(p.Until) {
			one.ended = append(one.ended, p)
		}
	}
	return one
}

// any reports whether anything is kept of the build.
func (b *talkBuild) any() bool {
	return len(b.sessions)+len(b.photos)+len(b.days)+len(b.mistakes)+len(b.trials)+len(b.checks)+len(b.preps)+
		len(b.mixes)+len(b.sandings)+len(b.begun)+len(b.ended) > 0
}

func (b *talkBuild) hours() float64 {
	sum := 0.0
	for _, s := range b.sessions {
		if !s.Doubt.Any() {
			sum += s.Hours()
		}
	}
	return sum
}

// works are the sessions as the numbers take them.
func (b *talkBuild) works() []metrics.Work {
	ids := map[string]bool{}
	for _, s := range b.sessions {
		ids[s.ID] = true
	}
	return keepWork(b.work, func(w metrics.Work) bool { return ids[w.Session] })
}

// stages are the stages worked on in the week, in the order of work.
func (b *talkBuild) stages() []journal.Stage {
	var out []journal.Stage
	for _, st := range b.Stages {
		if slices.ContainsFunc(b.sessions, func(s *journal.Session) bool { return s.Stage == st.ID }) {
			out = append(out, st)
		}
	}
	return out
}

// number is the week's number, and span its days: "16 to 22 November 2026".
func (w *talkWeek) number() int {
	_, n := w.monday().ISOWeek()
	return n
}

func (w *talkWeek) monday() time.Time {
	day, _ := time.Parse(time.DateOnly, w.from)
	return day
}

func (w *talkWeek) span() string { return w.v.spanOfWeek(w.monday()) }

// weekday is a day of the week in speech: "Tuesday, 17 November".
func weekday(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return t.Format("Monday, 2 January")
}
