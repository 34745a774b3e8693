// What is written or spoken: a note, a mistake, the three questions of a pause.

package bench

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/metrics"
	"rakelight/journal/phrase"
	"rakelight/journal/wording"
)

// wordsPage takes a note, a mistake, or both of a part.
type wordsPage struct {
	Build, Title string
	Stage        string
	Parts        string
	Mistakes     []string // kinds noted before, the most frequent first
}

func words(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.inHand(a.value("build")))
	if err != nil {
		return nil, err
	}
	page := wordsPage{Build: b.ID, Title: b.Title, Parts: a.value("parts")}
	for _, s := range a.Running() {
		if s.Build == b.ID {
			page.Stage = s.Stage
		}
	}
	page.Mistakes = a.mistakeKinds()
	return page, nil
}

const fewKinds = 6

// mistakeKinds are the kinds of mistakes noted most, at most fewKinds.
func (a *asking) mistakeKinds() []string {
	times := map[string]int{}
	for _, m := range a.Mistakes {
		times[m.Kind]++
	}
	kinds := slices.SortedFunc(maps.Keys(times), func(x, y string) int {
		return cmp.Or(times[y]-times[x], strings.Compare(x, y))
	})
	return kinds[:min(fewKinds, len(kinds))]
}

// mistakeOf is a mistake as the fields say it.
func mistakeOf(s said, at time.Time) entry.Request {
	return entry.Mistake{Build: s.text("build"), Kind: s.text("kind"), Stage: s.text("stage"), Parts: s.text("parts"),
		Cause: s.text("cause"), Mended: s.text("mended"), At: at}
}

// pausePage asks the three questions of a pause.
type pausePage struct {
	Build, Title string
}

func pause(a *asking) (any, error) {
	b, err := a.ResolveBuild(a.value("build"))
	if err != nil {
		return nil, err
	}
	return pausePage{Build: b.ID, Title: b.Title}, nil
}

// told words what was said, as it was written.
func told(s said, out entry.Outcome) string {
	of := func(session *journal.Session) string {
		b := out.State.Build(session.Build)
		if b == nil || b.Stage(session.Stage) == nil {
			return session.Stage + " on " + session.Build
		}
		return wording.StageName(*b.Stage(session.Stage)) + " on " + b.Title
	}
	sessions := out.Sessions()
	switch what := s.text("what"); {
	case what == "undo":
		return "taken back"
	case what == "done":
		return doneWords(s.text("parts"))
	case what == "begin" && len(sessions) > 0:
		return of(sessions[len(sessions)-1]) + " began"
	case what == "end" && len(sessions) > 0:
		one := sessions[0]
		return of(one) + " ended: " + journal.Spell(one.Net) + ", " + countOf(one.Done(), "part") + " done"
	case what == "break" && len(sessions) > 0:
		if _, rests := sessions[0].Resting(); rests {
			return "break"
		}
		return "the break ended"
	case what == "check":
		return s.text("parts") + " " + journal.StateWords(s.text("state"))
	case what == "prep" || what == "hold" || what == "sanding":
		return joined(" ", s.list("parts"), "noted")
	case what == "reopen":
		return s.text("parts") + " to do again"
	case what == "sub" && s.text("over") == "":
		return s.text("name") + " is a sub-assembly"
	case what == "mix":
		return s.text("name") + " kept"
	case what == "note":
		return "note kept"
	case what == "addition" || what == "hands":
		return joined(" ", cmp.Or(s.text("text"), s.text("kind")), "noted")
	case what == "tag":
		return countOf(len(s.Values["photo"]), "photo") + " sorted"
	case what == "alike" && s.text("answer") == "no":
		return "not alike"
	case what == "alike":
		return "side by side from now on"
	case what == "release":
		return "no longer held"
	case what == "mistake":
		return s.text("kind") + " noted"
	case what == "pause":
		return "put aside"
	case what == "resume":
		return "taken up again"
	}
	return "kept"
}

func doneWords(parts string) string {
	n, err := strconv.Atoi(parts)
	switch {
	case err != nil:
		return parts + " done"
	case n == 0:
		return "none done"
	}
	return countOf(n, "part") + " done"
}

func countOf(n int, unit string) string { return metrics.Count(n, unit) }

// curesFor reads how long something cures: "36 h", "3 days", or a length as lastedFor
// reads it.
func curesFor(text string) (time.Duration, error) {
	if d, err := time.ParseDuration(strings.ReplaceAll(text, " ", "")); err == nil {
		return d, nil
	}
	n, unit, _ := strings.Cut(text, " ")
	if days, err := strconv.Atoi(n); err == nil && (unit == "day" || unit == "days") {
		return time.Duration(days) * 24 * time.Hour, nil
	}
	return lastedFor(text)
}

func lastedFor(text string) (time.Duration, error) { return phrase.ParseLength(text) }

// dayPage takes the words of a day.
type dayPage struct {
	Build, Title string
	Date         string // YYYY-MM-DD
	Words        string // that stand there already, as Markdown
}

func day(a *asking) (any, error) {
	page := dayPage{Build: a.value("build"), Date: a.Now.In(a.Zone).Format(time.DateOnly)}
	for _, s := range a.Running() {
		if page.Build == "" || s.Build == page.Build {
			page.Build, page.Date = s.Build, s.Date
		}
	}
	b, err := a.ResolveBuild(a.inHand(page.Build))
	if err != nil {
		return nil, err
	}
	page.Build, page.Title = b.ID, b.Title
	for _, d := range a.Diary {
		if d.Build == b.ID && d.Date == page.Date {
			page.Words = d.Body
		}
	}
	return page, nil
}

// morePage is what is asked for more rarely.
type morePage struct {
	Build, Title string // of what runs, or was worked on last; "" = no build is open
}

func more(a *asking) (any, error) {
	var page morePage
	b := first(a.openBuilds())
	if running := a.Running(); len(running) > 0 {
		b = a.Build(running[0].Build)
	}
	if b != nil {
		page.Build, page.Title = b.ID, b.Title
	}
	return page, nil
}

func first(all []*journal.Build) *journal.Build {
	if len(all) == 0 {
		return nil
	}
	return all[0]
}
