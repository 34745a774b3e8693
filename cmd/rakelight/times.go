// Times as a person types them: package phrase reads them, and what it does not
// understand is a wrong command line.

package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/phrase"
)

// moment is a point in time, zero for "". Without a day it is the latest such
// time that has come: after midnight, 22:10 means yesterday's.
func (a *app) moment(at string, zone *time.Location) (time.Time, error) {
	if at == "" {
		return time.Time{}, nil
	}
	t, _, err := phrase.ParseMoment(at, a.now().In(zone))
	var unclear *phrase.Unclear
	switch {
	case errors.As(err, &unclear) && (unclear.Reason == phrase.Word || unclear.Reason == phrase.NoTime):
		return time.Time{}, &usageError{fmt.Sprintf("--at %q is not a time; write it as 20:30, or as %q", at,
			a.now().In(zone).Format("2006-01-02 15:04"))}
	case err != nil:
		return time.Time{}, &usageError{"--at " + err.Error()}
	}
	return t, nil
}

// today is moment for what happens on the day it is typed: a time that has not
// come yet today is no other day's, and is for the door to refuse.
func (a *app) today(at string, zone *time.Location) (time.Time, error) {
	t, err := a.moment(at, zone)
	if err != nil || t.IsZero() {
		return t, err
	}
	now := a.now().In(zone)
	if _, dated, _ := phrase.ParseMoment(at, now); !dated && t.Day() != now.Day() {
		t = time.Date(now.Year(), now.Month(), now.Day(), t.Hour(), t.Minute(), 0, 0, zone)
	}
	return t, nil
}

// length is a length of time alone, such as 1h20.
func (a *app) length(text string) (time.Duration, error) {
	d, err := phrase.ParseLength(text)
	if err != nil {
		return 0, &usageError{err.Error()}
	}
	return d, nil
}

// evening reads times as those of a session: without a day, 20:10 is that of its
// own evening, whatever day it is now.
type evening struct {
	a    *app
	zone *time.Location
	from time.Time // its beginning
}

// around is the time nearest to the beginning.
func (e evening) around(flag, text string) (time.Time, error) {
	return e.until(flag, text, 12*time.Hour)
}

// after is the first such time after the beginning; where that has not come yet,
// the last one that has, which lies before the beginning then and is refused so.
func (e evening) after(flag, text string) (time.Time, error) {
	t, err := e.until(flag, text, 24*time.Hour)
	if now := e.a.now().In(e.zone); err == nil && t.After(now) {
		t, _, err = phrase.ParseMoment(text, now)
	}
	return t, err
}

func (e evening) until(flag, text string, reach time.Duration) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	now := e.a.now().In(e.zone)
	t, dated, err := phrase.ParseMoment(text, now)
	if !dated {
		t, _, err = phrase.ParseMoment(text, e.from.Add(reach).In(e.zone))
	}
	if err != nil {
		return time.Time{}, &usageError{fmt.Sprintf("%s %v", flag, err)}
	}
	return t, nil
}

// span is a stretch of that evening, or of the day it names.
func (e evening) span(flag, text string) (phrase.Span, error) {
	s, err := phrase.ParseSpan(text, e.from.Add(24*time.Hour).In(e.zone))
	if err != nil {
		if s, err = phrase.ParseSpan(text, e.a.now().In(e.zone)); err != nil {
			return s, &usageError{fmt.Sprintf("%s %v", flag, err)}
		}
	}
	return s, nil
}

// notUnderstood is a wrong command line: what was typed can mean two things, or
// nothing.
func notUnderstood(err error) error {
	var two *phrase.Ambiguous
	if errors.As(err, &two) {
		return &journal.AskError{What: err.Error() + ": nothing written",
			Hint: "say which: " + strings.Join(two.Readings, ", or ")}
	}
	var unclear *phrase.Unclear
	if errors.As(err, &unclear) && unclear.Reason == phrase.Future {
		return &journal.AskError{What: err.Error() + ": nothing written"}
	}
	return &usageError{err.Error()}
}
