// How dates, lengths of time and figures are worded on every page.

package render

import (
	"html/template"
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
	"rakelight/journal/wording"
)

// day writes a day as "3 May 2024".
func (in voice) day(t time.Time) string { return in.Day(t) }

// dayOf writes a date as far as it is known: "3 May 2024", "May 2024", "2024".
// What is no date comes back as it is.
func (in voice) dayOf(date string) string { return in.Date(date) }

// monthOf writes a date as "May 2024", or less when less is known.
func (in voice) monthOf(date string) string {
	if t, err := time.Parse(time.DateOnly, date); err == nil {
		return in.MonthOf(t)
	}
	return in.dayOf(date)
}

// monthSpan writes the months from one date to another: "March 2021 to May
// 2022", or one month when both lie in it.
func (in voice) monthSpan(from, to string) string {
	a, b := in.monthOf(from), in.monthOf(to)
	switch {
	case a == b || b == "":
		return a
	case a == "":
		return b
	}
	return in.Say("dates¦%s to %s", a, b)
}

// yearOf is the year of a date, "" when there is none.
func yearOf(date string) string { return date[:min(4, len(date))] }

// inHours writes bench time: "12.4 h", "35 min", "under 1 min".
func (in voice) inHours(h float64) string {
	switch {
	case h <= 0 || math.IsNaN(h) || math.IsInf(h, 0):
		return in.Say("%d h", 0)
	case h*60 < 0.9999: // a minute in hours may come out a hair short
		return in.Say("under 1 min")
	case h < 0.995:
		return in.Say("%d min", int(math.Round(h*60)))
	case h >= 100:
		return in.Say("%d h", int(math.RoundToEven(h)))
	}
	return in.Say("%s h", metrics.Tenths(h))
}

// benchTime writes the hours of some work. A timer that was stopped at once has
// measured less than a minute, not nothing.
func (in voice) benchTime(ws []metrics.Work) string {
	total, timed := 0.0, false
	for _, w := range ws {
		total += w.Hours
		timed = timed || w.Known == metrics.Measured
	}
	if total <= 0 && timed {
		return in.Say("under 1 min")
	}
	return in.inHours(total)
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
func (in voice) figure(x float64) string { return metrics.Figure(x).In(in.Speaker) }

// count says a number with its noun: "1 photo", "12 photos".
func (in voice) count(n int, noun say.Noun) string { return in.Count(n, noun) }

func plural(noun string) string {
	if strings.HasSuffix(noun, "ch") {
		return noun + "es"
	}
	return noun + "s"
}

// low says a title inside a sentence.
func (in voice) low(title string) string { return in.Inside(title) }

// kindTitle is a stage kind as a heading.
func (in voice) kindTitle(kind string) string { return wording.Kind(kind).In(in.Speaker) }

// stageTitle is a stage of a build as a heading, as the build calls it.
func (in voice) stageTitle(st *journal.Stage) string { return wording.Stage(*st).In(in.Speaker) }

// capital begins a heading with a capital letter.
func capital(s string) string { return journal.Title(s) }

// Known is how a time was known, as a word and a mark beside it: the mark's
// shape differs, so color and word both may be missed.
type Known struct {
	Word string // "measured", "estimated", "remembered"
	Mark string // style class of the mark
}

func (in voice) known(word string) Known {
	switch word {
	case journal.Measured, journal.Estimated, journal.Remembered:
		return Known{in.Say(knownWords[word]), "known known-" + word}
	}
	return Known{in.Say("not said how"), "known known-unsaid"}
}

var knownWords = map[string]say.Key{journal.Measured: "measured", journal.Estimated: "estimated",
	journal.Remembered: "remembered"}

// viewWord and lightWord are tags in words, "" when unset.
func (in voice) viewWord(view string) string {
	return in.sayTag(view, viewWords, "%s view")
}

func (in voice) lightWord(light string) string {
	return in.sayTag(light, lightWords, "%s light")
}

var (
	viewWords = map[string]say.Key{"front": "front view", "left": "left view", "right": "right view",
		"rear": "rear view", "top": "top view", "three-quarter": "three-quarter view"}
	lightWords = map[string]say.Key{"diffuse": "diffuse light", "raking": "raking light"}
)

// viewName and lightName are tags as they stand alone.
func (in voice) viewName(view string) string   { return in.sayTag(view, viewNames, "%s") }
func (in voice) lightName(light string) string { return in.sayTag(light, lightNames, "%s") }

var (
	viewNames = map[string]say.Key{"front": "view¦front", "left": "view¦left", "right": "view¦right",
		"rear": "view¦rear", "top": "view¦top", "three-quarter": "view¦three-quarter"}
	lightNames = map[string]say.Key{"diffuse": "light¦diffuse", "raking": "light¦raking"}
)

// roleWord is the role of a photo, "" when unset.
func (in voice) roleWord(role string) string { return journal.RoleSaid(role).In(in.Speaker) }

// sanding is a word of a sanding plan.
func (in voice) sanding(word string) string { return journal.SandingSaid(word).In(in.Speaker) }

// finishWord is what the plastic ends as.
func (in voice) finishWord(finish string) string {
	return in.sayTag(finish, map[string]say.Key{"painted": "painted", "bare": "finish¦bare"}, "%s")
}

// classNames are the classes of parts that cards and commands propose.
var classNames = map[string]say.Key{"flat": "surface¦flat", "curved": "surface¦curved", "small": "surface¦small",
	"clear": "surface¦clear", "resin": "surface¦resin", "etched": "surface¦etched"}

// classWord is the class of a part: one of classNames, or what a person called it.
func (in voice) classWord(class string) string { return in.sayTag(class, classNames, "%s") }

// runnerTitle is a runner with the class of its parts: "Runner A, flat".
func (in voice) runnerTitle(r journal.RunnerLedger) string {
	return joinWords(", ", in.Say("Runner %s", r.Name()), in.classWord(r.Class))
}

// sayTag says the words of a tag, or, for one that is not of the tables, what it is.
func (in voice) sayTag(tag string, table map[string]say.Key, other say.Key) string {
	if tag == "" {
		return ""
	}
	if key, ok := table[tag]; ok {
		return in.Say(key)
	}
	return in.Say(other, tag)
}

func joinWords(sep string, parts ...string) string { return journal.Joined(sep, parts...) }

// tie keeps a percent sign on the line of its number.
func tie(s string) string { return strings.ReplaceAll(s, " %", "\u00a0%") }
