// This file reads what a person types about work done earlier: how long, and
// on which day ("about 40 min yesterday evening", "1h20 2026-03-14",
// "6 h spring 1998").

package journal

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Worked is a stretch of bench work as somebody remembers it.
type Worked struct {
	Minutes float64
	Date    string // YYYY-MM-DD, YYYY-MM or YYYY, no finer than was said
	Words   string // the phrase as typed, kept as the session's note
}

var (
	hoursMinutes = regexp.MustCompile(`(?i)\b(\d+(?:[.,]\d+)?)\s*h(?:ours?|rs?)?\s*(?:(\d{1,2})\s*(?:m(?:in(?:utes?)?)?)?)?\b`)
	onlyMinutes  = regexp.MustCompile(`(?i)\b(\d+(?:[.,]\d+)?)\s*m(?:in(?:utes?)?)?\b`)
	isoDate      = regexp.MustCompile(`\b(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?\b`)
	daysAgo      = regexp.MustCompile(`(?i)\b(\d+)\s+days?\s+ago\b`)
)

// fillers are words that carry no date: they say how sure the person is, or
// which part of the day, and stay in the note.
var fillers = map[string]bool{
	"about": true, "around": true, "roughly": true, "maybe": true, "ca": true,
	"on": true, "in": true, "the": true, "at": true, "of": true, "last": true,
	"morning": true, "afternoon": true, "evening": true, "night": true,
	"spring": true, "summer": true, "autumn": true, "fall": true, "winter": true,
}

// ParseWorked reads a duration and a day from text. No day means today, in the
// zone of now. Words it does not understand are an error and not skipped: a
// misread day would put hours on the wrong build week.
func ParseWorked(text string, now time.Time) (Worked, error) {
	w := Worked{Words: strings.TrimSpace(text)}
	rest := w.Words

	switch m := hoursMinutes.FindStringSubmatch(rest); {
	case m != nil:
		w.Minutes = number(m[1]) * 60
		if m[2] != "" {
			w.Minutes += number(m[2])
		}
		rest = strings.Replace(rest, m[0], " ", 1)
	default:
		m := onlyMinutes.FindStringSubmatch(rest)
		if m == nil {
			return Worked{}, fmt.Errorf("%q says no length of time; write it as 40 min, 1h20 or 2 h", text)
		}
		w.Minutes = number(m[1])
		rest = strings.Replace(rest, m[0], " ", 1)
	}
	if w.Minutes <= 0 || w.Minutes > 24*60 {
		return Worked{}, fmt.Errorf("%q: a stretch at the bench lasts between 1 minute and 24 hours; enter longer work day by day", text)
	}

	if m := daysAgo.FindStringSubmatch(rest); m != nil {
		n, err := strconv.Atoi(m[1])
		if err != nil || n > 40000 {
			return Worked{}, fmt.Errorf("%q: %s days ago is too long ago to be meant", text, m[1])
		}
		w.Date = now.AddDate(0, 0, -n).Format(time.DateOnly)
		rest = strings.Replace(rest, m[0], " ", 1)
	} else if m := isoDate.FindString(rest); m != "" {
		layout := map[int]string{10: "2006-01-02", 7: "2006-01", 4: "2006"}[len(m)]
		day, err := time.ParseInLocation(layout, m, now.Location())
		if err != nil {
			return Worked{}, fmt.Errorf("%q is no date", m)
		}
		if day.After(now) {
			return Worked{}, fmt.Errorf("%s lies in the future", m)
		}
		w.Date = m
		rest = strings.Replace(rest, m, " ", 1)
	}

	for _, word := range strings.FieldsFunc(strings.ToLower(rest), func(r rune) bool { return r == ' ' || r == ',' || r == '.' || r == '~' || r == '\t' }) {
		day, ok := namedDay(word, now)
		switch {
		case ok && w.Date == "":
			w.Date = day
		case ok:
			return Worked{}, fmt.Errorf("%q names two days", text)
		case !fillers[word]:
			return Worked{}, fmt.Errorf("%q: the word %q is not understood; say today, yesterday, a weekday, 3 days ago, 2026-03-14, 2026-03 or 1998", text, word)
		}
	}
	if w.Date == "" {
		w.Date = now.Format(time.DateOnly)
	}
	return w, nil
}

// namedDay turns today, yesterday and weekday names into a date; a weekday is
// the latest one before today.
func namedDay(word string, now time.Time) (string, bool) {
	switch word {
	case "today", "tonight":
		return now.Format(time.DateOnly), true
	case "yesterday":
		return now.AddDate(0, 0, -1).Format(time.DateOnly), true
	}
	for back := 1; back <= 7; back++ {
		day := now.AddDate(0, 0, -back)
		if strings.EqualFold(day.Weekday().String(), word) {
			return day.Format(time.DateOnly), true
		}
	}
	return "", false
}

// number reads digits that a pattern has already vouched for; a comma is a
// decimal point in much of the world.
func number(s string) float64 {
	f, _ := strconv.ParseFloat(strings.ReplaceAll(s, ",", "."), 64)
	return f
}
