// The words of a day. They are prose and no record: what is said here is a
// paragraph more in a file that belongs to the person.

package entry

import (
	"strings"
	"time"
	"unicode/utf8"

	"rakelight/journal"
)

// Day adds a paragraph to the words of a day of a build.
type Day struct {
	Text  string
	Build string // "" = that of the session that runs, or of the last of that day
	Date  string // YYYY-MM-DD, "" = the day on which the session that runs began, or today
}

// AddToDay writes the paragraph down and returns the build and the day's file,
// below the journal folder. Nothing that stands there is changed.
func AddToDay(j *journal.Journal, r Day) (build, file string, err error) {
	l := j.Look()
	text := strings.TrimSpace(r.Text)
	if text == "" || !utf8.ValidString(text) {
		return "", "", &Refusal{Reason: NoWords}
	}
	if r.Date == "" {
		r.Date = l.Now.In(zone(l.State)).Format(time.DateOnly)
		// After midnight the evening is not over.
		if open := l.Running(); len(open) == 1 && !open[0].Overdue(l.Now, l.Config.LongestTimer()) {
			r.Date = open[0].Date
		}
	}
	day := journal.FirstMoment(r.Date, zone(l.State))
	switch {
	case len(r.Date) != len(time.DateOnly) || day.IsZero():
		return "", "", &Refusal{Reason: NoDay, Name: r.Date}
	case day.After(l.Now):
		return "", "", &Refusal{Reason: NotYet, At: day}
	}
	b, err := r.build(l)
	if err != nil {
		return "", "", err
	}
	file, err = j.AddToDiary(b.ID, r.Date, text)
	return b.ID, file, err
}

// build is the build whose day it is.
func (r Day) build(l journal.Look) (*journal.Build, error) {
	if r.Build != "" {
		return l.ResolveBuild(r.Build)
	}
	var last *journal.Session
	for _, s := range l.Sessions {
		if s.Date == r.Date || s.Open && l.Now.In(zone(l.State)).Format(time.DateOnly) == r.Date {
			last = s // by their beginnings, the one that runs last of all
		}
	}
	if last != nil {
		if b := l.Build(last.Build); b != nil {
			return b, nil
		}
	}
	return theOne(l)
}
