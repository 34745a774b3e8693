// This file is what the package is asked for: work done, a moment, a stretch,
// a day.

package phrase

import (
	"fmt"
	"strings"
	"time"
)

// Worked is a stretch of bench work as somebody remembers it.
type Worked struct {
	Minutes float64
	Date    string    // YYYY-MM-DD, YYYY-MM or YYYY, no finer than was said; the day it began
	Start   time.Time // zero where no time of day was said
	Words   string    // the phrase as typed
}

// ParseWorked reads how long somebody worked and when: a length with or
// without a day ("40 min yesterday"), or from when to when ("24 November 19:30
// to 20:15"). No day means today, in the zone of now.
func ParseWorked(text string, now time.Time) (Worked, error) {
	s, err := scan(text, now)
	if err != nil {
		return Worked{}, err
	}
	if s.span == nil && s.lengths == 0 {
		return Worked{}, s.unclear(NoLength, "")
	}
	if err := s.understood(); err != nil {
		return Worked{}, err
	}
	w := Worked{Words: s.text, Minutes: s.minutes}
	switch {
	case s.span != nil && s.lengths > 0:
		return Worked{}, s.unclear(Twice, "lengths of time")
	case s.span != nil:
		start, end, err := s.stretch(s.span[0], s.span[1])
		if err != nil {
			return Worked{}, err
		}
		w.Start, w.Minutes = start, end.Sub(start).Minutes()
	case s.start != nil:
		if w.Start, err = s.single(*s.start); err != nil {
			return Worked{}, err
		}
	case s.end != nil:
		end, err := s.single(*s.end)
		if err != nil {
			return Worked{}, err
		}
		w.Start = end.Add(-time.Duration(w.Minutes * float64(time.Minute)))
	}
	if w.Minutes <= 0 || w.Minutes > 24*60 {
		return Worked{}, s.unclear(BadLength, "")
	}
	if !w.Start.IsZero() {
		if end := w.Start.Add(time.Duration(w.Minutes * float64(time.Minute))); end.After(now) {
			return Worked{}, s.unclear(Future, "the end of it, "+end.Format("15:04"))
		}
		w.Date = w.Start.Format(time.DateOnly)
		return w, nil
	}
	w.Date = now.Format(time.DateOnly)
	if s.day != nil {
		w.Date = s.day.coarse()
	}
	return w, nil
}

// coarse is the day as records hold it: a season is no finer than its year.
func (d day) coarse() string {
	if len(d.said) == len("2006-01-02") && strings.Count(d.said, "-") == 2 ||
		len(d.said) == len("2006-01") && strings.Count(d.said, "-") == 1 {
		return d.said
	}
	return d.first.Format("2006")
}

// ParseLength reads a length of time alone: "1h20", "half an hour".
func ParseLength(text string) (time.Duration, error) {
	s, err := scan(text, time.Time{})
	if err != nil {
		return 0, err
	}
	switch {
	case s.lengths == 0:
		return 0, s.unclear(NoLength, "")
	case s.unknown != "":
		return 0, s.understood()
	case s.day != nil || s.part != anytime || s.span != nil || s.start != nil || s.end != nil:
		return 0, s.unclear(Word, s.text)
	case s.minutes <= 0 || s.minutes > 24*60:
		return 0, s.unclear(BadLength, "")
	}
	return time.Duration(s.minutes * float64(time.Minute)), nil
}

// ParseMoment reads one point in time: "19:30", "yesterday 7.30 pm",
// "2026-11-24 19:30". Without a day it is the latest such time that has come;
// dated tells whether the day was said.
func ParseMoment(text string, now time.Time) (at time.Time, dated bool, err error) {
	s, err := scan(strings.Replace(text, "T", " ", 1), now)
	if err != nil {
		return time.Time{}, false, err
	}
	if err := s.understood(); err != nil {
		return time.Time{}, false, err
	}
	dated = s.day != nil
	switch {
	case s.lengths > 0 || s.span != nil || s.end != nil:
		return time.Time{}, false, s.unclear(NoTime, "")
	case s.start == nil:
		return time.Time{}, false, s.unclear(NoTime, "")
	}
	at, err = s.single(*s.start)
	return at, dated, err
}

// Span is a stretch of time.
type Span struct{ Start, End time.Time }

// ParseSpan reads from when to when: "20:10 to 20:25", "from 7 to 8.15 pm
// yesterday", "15 min from 20:10".
func ParseSpan(text string, now time.Time) (Span, error) {
	w, err := ParseWorked(text, now)
	if err != nil {
		return Span{}, err
	}
	if w.Start.IsZero() {
		return Span{}, &Unclear{Text: w.Words, Reason: NoTime}
	}
	return Span{w.Start, w.Start.Add(time.Duration(w.Minutes * float64(time.Minute)))}, nil
}

// Day is a day, or a stretch of days as vague as it was said.
type Day struct {
	First, Last time.Time // midnights in the zone of now; Last may lie after now for a stretch that has begun
	Said        string    // "2026-11-24", "2019-03", "2019", "spring 2019"
}

// Exact reports whether it is one day.
func (d Day) Exact() bool { return d.First.Equal(d.Last) }

// ParseDay reads a day, a month, a season or a year.
func ParseDay(text string, now time.Time) (Day, error) {
	s, err := scan(text, now)
	if err != nil {
		return Day{}, err
	}
	if err := s.understood(); err != nil {
		return Day{}, err
	}
	if s.day == nil || s.lengths > 0 || s.span != nil || s.start != nil || s.end != nil {
		return Day{}, s.unclear(NoDay, "")
	}
	return Day{s.day.first, s.day.last, s.day.said}, nil
}

// Understood says how the words were read, in a form that cannot be misread:
// "Tuesday 24 November 2026, 19:30 to 20:15, 45 min".
func (w Worked) Understood() string {
	day := w.Date
	if t, err := time.Parse(time.DateOnly, w.Date); err == nil {
		day = t.Format("Monday 2 January 2006")
	} else if t, err := time.Parse("2006-01", w.Date); err == nil {
		day = t.Format("January 2006")
	}
	length := spell(w.Minutes)
	if w.Start.IsZero() {
		return day + ", " + length
	}
	end := w.Start.Add(time.Duration(w.Minutes * float64(time.Minute)))
	return fmt.Sprintf("%s, %s to %s, %s", day, w.Start.Format("15:04"), end.Format("15:04"), length)
}

// spell writes minutes as "1 h 20 min".
func spell(minutes float64) string {
	whole := int(minutes + 0.5)
	switch h, m := whole/60, whole%60; {
	case h == 0:
		return fmt.Sprintf("%d min", m)
	case m == 0:
		return fmt.Sprintf("%d h", h)
	default:
		return fmt.Sprintf("%d h %d min", h, m)
	}
}
