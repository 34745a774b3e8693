// This file words an outlook, once for commands and pages.

package journal

import (
	"fmt"
	"strings"
	"time"

	"rakelight/journal/metrics"
)

// dayWords is how a day is written in a sentence.
const dayWords = "2 January 2006"

// Sentence says the hours that are left. Hours of work without a count, or of which
// no session tells, come on top, and then it speaks of the counted work alone.
func (o Outlook) Sentence() string {
	if !o.OK {
		s := fmt.Sprintf("%s: no forecast (%s).", o.Build.Title, o.Why)
		if o.Kept > 0 {
			s += " " + o.keptWords()
		}
		return s
	}
	what, known := o.Build.Title, ""
	onTop := o.OnTop()
	if onTop != "" {
		what += ", counted work"
	}
	switch {
	case o.Remembered == o.N:
		known = ", all remembered"
	case o.Remembered > 0:
		known = fmt.Sprintf(", %d of them remembered", o.Remembered)
	}
	h := o.Hours
	s := fmt.Sprintf("%s: about %s hours left; 4 in 5 chance %s (%s%s).", what,
		metrics.Rough(h.Middle), metrics.Between(metrics.Rough(h.Low80), metrics.Rough(h.High80)),
		metrics.Count(o.N, "session"), known)
	if onTop != "" && !o.WeeksOK {
		s += " Not included: " + onTop + "."
	}
	if len(o.LeftOut) > 0 && o.Kept > 0 {
		s += " " + o.keptWords()
	}
	return s
}

// keptWords says how remembered time is taken in.
func (o Outlook) keptWords() string {
	return fmt.Sprintf("%s of this work %s left out, because remembered time counts only if you ask: "+
		"%s includes it.", metrics.Count(o.Kept, "remembered session"),
		map[bool]string{true: "is", false: "are"}[o.Kept == 1], Typed("rakelight forecast %s --remembered", o.Build.ID))
}

// OnTop names the work that the forecast does not hold, "" when it holds all.
func (o Outlook) OnTop() string {
	var parts []string
	if len(o.Uncounted) > 0 {
		parts = append(parts, strings.Join(o.Uncounted, ", ")+" (no total)")
	}
	var kinds []string
	for _, t := range o.LeftOut {
		if k := strings.TrimSpace(t.Kind + " " + t.Class); len(kinds) == 0 || kinds[len(kinds)-1] != k {
			kinds = append(kinds, k)
		}
	}
	if len(kinds) > 0 {
		parts = append(parts, strings.Join(kinds, ", ")+" (no timed session)")
	}
	return strings.Join(parts, " and ")
}

// When says when the build may be done; days are those of the zone. It is "" when
// there is no forecast.
func (o Outlook) When(zone *time.Location) string {
	s := o.Weeks
	switch {
	case !o.OK:
		return ""
	case !o.WeeksOK:
		return fmt.Sprintf("No day can be named (%s).", o.WhyNot)
	}
	done, onTop := "Done", ""
	if on := o.OnTop(); on != "" {
		done, onTop = "The counted work done", " Not included: "+on+"."
	}
	rests := fmt.Sprintf("(%s).%s", metrics.Count(o.NWeeks, "week"), onTop)
	if o.Paused {
		weeks := func(w float64) string { return fmt.Sprintf("%.0f", w) }
		return fmt.Sprintf("The build is put aside. Once taken up again it needs about %s weeks; even chance %s, "+
			"4 in 5 chance %s %s", weeks(s.Middle), metrics.Between(weeks(s.Low50), weeks(s.High50)),
			metrics.Between(weeks(s.Low80), weeks(s.High80)), rests)
	}
	at := func(w float64) string { return o.Day(w).In(zone).Format(dayWords) }
	return fmt.Sprintf("%s about %s; even chance %s, 4 in 5 chance %s %s", done, at(s.Middle),
		metrics.Between(at(s.Low50), at(s.High50)), metrics.Between(at(s.Low80), at(s.High80)), rests)
}

// ReadyInFull is ReadyWords with what the forecast does not hold, for where nothing
// else says that.
func (o Outlook) ReadyInFull() string {
	s := o.ReadyWords()
	if on := o.OnTop(); s != "" && on != "" && o.Ready.HoursOK {
		s += " Not included: " + on + "."
	}
	return s
}

// ReadyWords says how the build stands to the day it must be ready by, "" when
// build.md names none.
func (o Outlook) ReadyWords() string {
	r := o.Ready
	if r == nil {
		return ""
	}
	day := r.Day.Format(dayWords)
	switch {
	case r.Weeks <= 0:
		return fmt.Sprintf("It was to be ready by %s; that day has passed.", day)
	case !r.HoursOK:
		return fmt.Sprintf("It must be ready by %s; whether it will be cannot be told (%s).", day, r.WhyNot)
	}
	s := "Ready by " + day
	if o.OnTop() != "" {
		s += ", for the counted work alone"
	}
	if r.OK {
		s += fmt.Sprintf(": a chance of %s in 100 (%s).", inHundred(r.Chance), metrics.Count(o.NWeeks, "week"))
	} else {
		s += fmt.Sprintf(": the chance cannot be told (%s).", r.WhyNot)
	}
	unit := "hours a week until then"
	if r.Weeks < 1 {
		unit = "hours until then"
	}
	s += fmt.Sprintf(" It takes about %s %s, 4 in 5 chance %s", metrics.Figure(r.PerWeek.Middle), unit,
		metrics.Between(metrics.Figure(r.PerWeek.Low80), metrics.Figure(r.PerWeek.High80)))
	if o.NWeeks > 0 && r.Weeks >= 1 {
		s += fmt.Sprintf("; in the last %s you had %s", metrics.Count(o.NWeeks, "week"), metrics.Figure(o.PerWeek))
	}
	return s + "."
}

// inHundred is a chance in words that do not promise more than draws can tell.
func inHundred(p float64) string {
	switch {
	case p < 0.01:
		return "less than 1"
	case p > 0.99:
		return "more than 99"
	}
	return fmt.Sprintf("about %.0f", 100*p)
}

// RecordWords says how forecasts held on finished builds, each counted once; ""
// when there is none to try them on.
func RecordWords(replays []metrics.Replay) string {
	r := metrics.Halfway(replays)
	if r.N == 0 {
		return ""
	}
	return fmt.Sprintf("Tried on your finished builds, each once, when %.0f %% of its counted parts were done: "+
		"of %s, %d ended inside the outer range (4 in 5 would be right) and %d inside the inner range (half would "+
		"be right).", 100*r.Share, metrics.Count(r.N, "build"), r.In80, r.In50)
}
