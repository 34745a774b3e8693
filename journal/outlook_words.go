// This file words an outlook, once for commands and pages.

package journal

import (
	"strings"
	"time"

	"rakelight/journal/metrics"
	"rakelight/journal/say"
)

// onDay is a day as a sentence has it: "2 January 2006".
type onDay struct{ time.Time }

// In says it in a language.
func (d onDay) In(s *say.Speaker) string { return s.Day(d.Time) }

// Sentence says the hours that are left. Hours of work without a count, or of which
// no session tells, come on top, and then it speaks of the counted work alone.
func (o Outlook) Sentence() say.Text {
	if !o.OK {
		return o.withKept(say.Of("%s: no forecast (%s).", o.Build.Title, o.Why), true)
	}
	var known say.Text
	switch {
	case o.Remembered == o.N:
		known = say.Of(", all remembered")
	case o.Remembered > 0:
		known = say.Of(", %d of them remembered", o.Remembered)
	}
	onTop, left := o.OnTop(), say.Key("%s: about %s hours left; 4 in 5 chance %s (%s%s).")
	if onTop.Key != "" {
		left = "%s, counted work: about %s hours left; 4 in 5 chance %s (%s%s)."
	}
	h := o.Hours
	s := say.Of(left, o.Build.Title, metrics.Rough(h.Middle), metrics.Between(metrics.Rough(h.Low80),
		metrics.Rough(h.High80)), say.Count{N: o.N, Noun: "session"}, known)
	if !o.WeeksOK {
		s = notIncluding(s, onTop)
	}
	return o.withKept(s, len(o.LeftOut) > 0)
}

// withKept adds to a sentence how remembered time is taken in.
func (o Outlook) withKept(s say.Text, wanted bool) say.Text {
	if !wanted || o.Kept == 0 {
		return s
	}
	kept := say.Key("%s of this work are left out, because remembered time counts only if you ask: %s includes it.")
	if o.Kept == 1 {
		kept = "%s of this work is left out, because remembered time counts only if you ask: %s includes it."
	}
	return say.Of("%s %s", s, say.Of(kept, say.Count{N: o.Kept, Noun: "remembered session"},
		Typed("rakelight forecast %s --remembered", o.Build.ID)))
}

// notIncluding adds to a sentence what the forecast does not hold.
func notIncluding(s, onTop say.Text) say.Text {
	if onTop.Key == "" {
		return s
	}
	return say.Of("%s Not included: %s.", s, onTop)
}

// OnTop names the work that the forecast does not hold; it says nothing when it holds
// all.
func (o Outlook) OnTop() say.Text {
	var kinds []string
	for _, t := range o.LeftOut {
		if k := strings.TrimSpace(t.Kind + " " + t.Class); len(kinds) == 0 || kinds[len(kinds)-1] != k {
			kinds = append(kinds, k)
		}
	}
	noTotal, noSession := say.Of("%s (no total)", strings.Join(o.Uncounted, ", ")),
		say.Of("%s (no timed session)", strings.Join(kinds, ", "))
	switch {
	case len(o.Uncounted) > 0 && len(kinds) > 0:
		return say.Of("list¦%s and %s", noTotal, noSession)
	case len(o.Uncounted) > 0:
		return noTotal
	case len(kinds) > 0:
		return noSession
	}
	return say.Text{}
}

// When says when the build may be done; days are those of the zone. It says nothing
// when there is no forecast.
func (o Outlook) When(zone *time.Location) say.Text {
	s := o.Weeks
	switch {
	case !o.OK:
		return say.Text{}
	case !o.WeeksOK:
		return say.Of("No day can be named (%s).", o.WhyNot)
	}
	weeks := say.Count{N: o.NWeeks, Noun: "week"}
	if o.Paused {
		whole := func(w float64) say.Number { return say.Decimal(w, 0) }
		return notIncluding(say.Of("The build is put aside. Once taken up again it needs about %s weeks; even chance %s, 4 in 5 chance %s (%s).",
			whole(s.Middle), metrics.Between(whole(s.Low50), whole(s.High50)),
			metrics.Between(whole(s.Low80), whole(s.High80)), weeks), o.OnTop())
	}
	done := say.Key("Done about %s; even chance %s, 4 in 5 chance %s (%s).")
	if o.OnTop().Key != "" {
		done = "The counted work done about %s; even chance %s, 4 in 5 chance %s (%s)."
	}
	at := func(w float64) say.Wording { return onDay{o.Day(w).In(zone)} }
	return notIncluding(say.Of(done, at(s.Middle), between(at(s.Low50), at(s.High50)),
		between(at(s.Low80), at(s.High80)), weeks), o.OnTop())
}

// between is metrics.Between of days, which are alike where they read alike.
func between(low, high say.Wording) say.Wording { return betweenDays{low, high} }

type betweenDays struct{ low, high say.Wording }

// In says it in a language.
func (b betweenDays) In(s *say.Speaker) string {
	low, high := b.low.In(s), b.high.In(s)
	if low == high {
		return s.Say("days¦about %s", low)
	}
	return s.Say("days¦between %s and %s", low, high)
}

// ReadyInFull is ReadyWords with what the forecast does not hold, for where nothing
// else says that.
func (o Outlook) ReadyInFull() say.Text {
	s := o.ReadyWords()
	if s.Key == "" || !o.Ready.HoursOK {
		return s
	}
	return notIncluding(s, o.OnTop())
}

// ReadyWords says how the build stands to the day it must be ready by; it says nothing
// when build.md names none.
func (o Outlook) ReadyWords() say.Text {
	r := o.Ready
	if r == nil {
		return say.Text{}
	}
	day := onDay{r.Day}
	switch {
	case r.Weeks <= 0:
		return say.Of("It was to be ready by %s; that day has passed.", day)
	case !r.HoursOK:
		return say.Of("It must be ready by %s; whether it will be cannot be told (%s).", day, r.WhyNot)
	}
	chance := say.Of("the chance cannot be told (%s)", r.WhyNot)
	if r.OK {
		chance = say.Of("a chance of %s in 100 (%s)", inHundred(r.Chance), say.Count{N: o.NWeeks, Noun: "week"})
	}
	ready := say.Of("Ready by %s: %s.", day, chance)
	if o.OnTop().Key != "" {
		ready = say.Of("Ready by %s, for the counted work alone: %s.", day, chance)
	}
	return say.Of("%s %s", ready, o.pacing())
}

// pacing says how many hours a week it takes to be ready, beside those there were.
func (o Outlook) pacing() say.Text {
	r := o.Ready
	takes, span := metrics.Figure(r.PerWeek.Middle),
		metrics.Between(metrics.Figure(r.PerWeek.Low80), metrics.Figure(r.PerWeek.High80))
	switch {
	case r.Weeks < 1:
		return say.Of("It takes about %s hours until then, 4 in 5 chance %s.", takes, span)
	case o.NWeeks > 0:
		return say.Of("It takes about %s hours a week until then, 4 in 5 chance %s; in the last %s you had %s.", takes, span,
			say.Count{N: o.NWeeks, Noun: "dative¦week"}, metrics.Figure(o.PerWeek))
	}
	return say.Of("It takes about %s hours a week until then, 4 in 5 chance %s.", takes, span)
}

// inHundred is a chance in words that do not promise more than draws can tell.
func inHundred(p float64) say.Text {
	switch {
	case p < 0.01:
		return say.Of("less than 1")
	case p > 0.99:
		return say.Of("more than 99")
	}
	return say.Of("about %.0f", 100*p)
}

// RecordWords says how forecasts held on finished builds, each counted once; it says
// nothing when there is none to try them on.
func RecordWords(replays []metrics.Replay) say.Text {
	r := metrics.Halfway(replays)
	if r.N == 0 {
		return say.Text{}
	}
	return say.Of("Tried on your finished builds, each once, when %.0f %% of its counted parts were done: of %s, %d ended inside the outer range (4 in 5 would be right) and %d inside the inner range (half would be right).",
		100*r.Share, say.Count{N: r.N, Noun: "dative¦build"}, r.In80, r.In50)
}
