// How dates, lengths of time and figures are worded on every page.

package render

import (
	"fmt"
	"html/template"
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/wording"
)

// day writes a day as "3 May 2024".
func day(t time.Time) string { return t.Format("2 January 2006") }

// dayOf writes a date as far as it is known: "3 May 2024", "May 2024", "2024".
// What is no date comes back as it is.
func dayOf(date string) string {
	for _, l := range [...][2]string{{time.DateOnly, "2 January 2006"}, {"2006-01", "January 2006"}} {
		if t, err := time.Parse(l[0], date); err == nil {
			return t.Format(l[1])
		}
	}
	return date
}

// monthOf writes a date as "May 2024", or less when less is known.
func monthOf(date string) string {
	if t, err := time.Parse(time.DateOnly, date); err == nil {
		return t.Format("January 2006")
	}
	return dayOf(date)
}

// monthSpan writes the months from one date to another: "March 2021 to May
// 2022", or one month when both lie in it.
func monthSpan(from, to string) string {
	a, b := monthOf(from), monthOf(to)
	switch {
	case a == b || b == "":
		return a
	case a == "":
		return b
	}
	return a + " to " + b
}

// yearOf is the year of a date, "" when there is none.
func yearOf(date string) string { return date[:min(4, len(date))] }

// underMinute is bench time that no number of minutes says.
const underMinute = "under 1 min"

// hours writes bench time: "12.4 h", "35 min", "under 1 min".
func hours(h float64) string {
	switch {
	case h <= 0 || math.IsNaN(h) || math.IsInf(h, 0):
		return "0 h"
	case h*60 < 0.9999: // a minute in hours may come out a hair short
		return underMinute
	case h < 0.995:
		return fmt.Sprintf("%d min", int(math.Round(h*60)))
	case h >= 100:
		return fmt.Sprintf("%.0f h", h)
	}
	return metrics.Tenths(h) + " h"
}

// benchTime writes the hours of some work. A timer that was stopped at once has
// measured less than a minute, not nothing.
func benchTime(ws []metrics.Work) string {
	total, timed := 0.0, false
	for _, w := range ws {
		total += w.Hours
		timed = timed || w.Known == metrics.Measured
	}
	if total <= 0 && timed {
		return underMinute
	}
	return hours(total)
}

// whole keeps the words of a title that are joined by a hyphen on one line, so
// that a narrow page does not break inside a name.
func whole(title string) template.HTML {
	const longest = 22 // letters of a heading on the narrowest phone
	words := strings.Split(title, " ")
	for i, w := range words {
		escaped := template.HTMLEscapeString(w)
		if n := utf8.RuneCountInString(w); strings.Contains(w, "-") && n <= longest {
			escaped = `<span class="whole">` + escaped + `</span>`
		}
		words[i] = escaped
	}
	return template.HTML(strings.Join(words, " "))
}

// figure writes a rate as the sentences of package metrics do.
func figure(x float64) string { return metrics.Figure(x) }

// count writes a number with its noun: "1 photo", "12 photos".
func count(n int, noun string) string { return metrics.Count(n, noun) }

func plural(noun string) string {
	if strings.HasSuffix(noun, "ch") {
		return noun + "es"
	}
	return noun + "s"
}

// low writes a title inside a sentence: its first letter small, unless the
// title is an abbreviation.
func low(s string) string {
	if s == "" {
		return ""
	}
	r, n := utf8.DecodeRuneInString(s)
	next, _ := utf8.DecodeRuneInString(s[n:])
	if unicode.IsUpper(next) {
		return s
	}
	return string(unicode.ToLower(r)) + s[n:]
}

// kindTitle is a stage kind as a heading.
func kindTitle(kind string) string { return wording.KindName(kind) }

// stageTitle is a stage of a build as a heading, as the build calls it.
func stageTitle(st *journal.Stage) string { return wording.StageName(*st) }

// capital begins a heading with a capital letter.
func capital(s string) string { return journal.Title(s) }

// Known is how a time was known, as a word and a mark beside it: the mark's
// shape differs, so color and word both may be missed.
type Known struct {
	Word string // "measured", "estimated", "remembered"
	Mark string // style class of the mark
}

func known(word string) Known {
	switch word {
	case journal.Measured, journal.Estimated, journal.Remembered:
		return Known{word, "known known-" + word}
	}
	return Known{"not said how", "known known-unsaid"}
}

// viewWord and lightWord are tags in words, "" when unset.
func viewWord(view string) string {
	if view == "" {
		return ""
	}
	return view + " view"
}

func lightWord(light string) string {
	if light == "" {
		return ""
	}
	return light + " light"
}

// joinWords joins the parts that are not empty.
func joinWords(sep string, parts ...string) string {
	var some []string
	for _, p := range parts {
		if p != "" {
			some = append(some, p)
		}
	}
	return strings.Join(some, sep)
}

// tie keeps a percent sign on the line of its number.
func tie(s string) string { return strings.ReplaceAll(s, " %", "\u00a0%") }
