// What became of a build of the years before: asked once its pictures are in the
// journal, since from then on pages tell of it.

package past

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/phrase"
)

// fateAsk is the question.
type fateAsk struct {
	Build string
	Last  string // when the last photo was taken, "" = nobody knows
	Day   string // the same as a day, "" = only about when is known
}

// fateOf is what is asked of a build, nil = nothing.
func (a *asking) fateOf(b *journal.Build) *fateAsk {
	last, untold := a.state.Untold(b)
	if !untold {
		return nil
	}
	day, err := time.Parse(time.DateOnly, last.Date)
	if err != nil {
		return &fateAsk{b.ID, last.String(), ""}
	}
	return &fateAsk{b.ID, day.Format("January 2, 2006"), last.Date}
}

// Why a build was put aside that nobody works on any more, by what a button says.
var asideWhy = map[string]journal.Answer{"aside": journal.NoReason, "given": journal.GivenAway,
	"scrapped": journal.Scrapped, "on": journal.NoReason}

// fate says what became of a build, and on which day.
func fate(a *asking, s said, is string) (toSay, error) {
	b := a.state.Build(s.text("build"))
	if b == nil || a.fateOf(b) == nil {
		return toSay{}, refusal("this is said already: nothing was written", "load the page again")
	}
	day, err := phrase.ParseDay(s.text("day"), a.Now().In(a.state.Zone))
	if err != nil || !day.Exact() {
		return toSay{}, refusal("the day is not said: nothing was written", "write it as 2021-03-14; about is enough")
	}
	date := day.First.Format(time.DateOnly)
	words := b.Title + ": finished on " + day.First.Format("January 2, 2006")
	if is == "finished" {
		return toSay{requests: []entry.Request{entry.Finish{Build: b.ID, Date: date}}, words: words}, nil
	}
	why, known := asideWhy[is]
	if !known {
		return toSay{}, refusal("this cannot be said of a build: nothing was written", "load the page again")
	}
	aside := entry.Pause{Build: b.ID, Why: string(why), From: entry.AsideOn(day.First, a.Now())}
	words = fmt.Sprintf("%s: put aside on %s, %s", b.Title, day.First.Format("January 2, 2006"), why)
	if is == "on" {
		aside.Until = a.Now()
		words = b.Title + ": it goes on"
	}
	return toSay{requests: []entry.Request{aside}, words: words}, nil
}

// toldOf is what a record says of what became of a build of old pictures, and of which;
// "" = it says something else.
func (l *look) toldOf(r journal.Said) (build, words string) {
	var finish journal.FinishBody
	var pause journal.PauseBody
	var resume journal.ResumeBody
	read := func(into any) bool { return json.Unmarshal(r.Body, into) == nil }
	switch {
	case r.Kind == finish.RecordKind() && read(&finish):
		switch build = finish.Build; {
		case finish.Past:
			words = "finished, as its last picture shows"
		case finish.Date != "":
			words = "finished on " + finish.Date
		default:
			words = "open again"
		}
	case r.Kind == pause.RecordKind() && read(&pause):
		build, words = pause.Build, joined(", ", "put aside", pause.Why)
	case r.Kind == resume.RecordKind() && read(&resume):
		build, words = resume.Build, "it goes on"
	}
	if !slices.ContainsFunc(l.groups, func(g *group) bool { return g.build != nil && g.build.ID == build }) {
		return "", "" // of another build
	}
	return build, words
}
