// Package wording makes words of what the door says: why something was refused,
// and what the person should know of what was said.
//
// Start with Refused and Remark. Nothing reads these words to decide anything, so
// they may be changed, or said in another language, here and nowhere else. They
// name commands to type, since every page has a terminal behind it.
package wording

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/metrics"
)

// Words are what is said, lower case and without a period at the end, and what to
// do about it, "" = nothing.
type Words struct{ What, Hint string }

// forms of moments.
const (
	hour   = "15:04"
	minute = "2006-01-02 15:04"
)

// nothing ends a refusal: what was left untouched.
const nothing = ": nothing written"

// Refused words an error of the door; ok is false when it is none of the door's.
func Refused(err error) (words Words, ok bool) {
	var r *entry.Refusal
	var ask *journal.AskError
	switch {
	case errors.As(err, &r):
		words = Words{What: string(r.Reason) + nothing}
		if say, known := refusals[r.Reason]; known {
			words = say(r)
		}
		// What was added to the error on its way stays around the words.
		words.What = strings.Replace(err.Error(), r.Error(), words.What, 1)
		return words, true
	case errors.As(err, &ask):
		return Words{err.Error(), ask.Hint}, true
	}
	return Words{}, false
}

// Text is a refusal in one line, for a page.
func Text(err error) string {
	words, ok := Refused(err)
	switch {
	case !ok:
		return err.Error()
	case words.Hint == "":
		return words.What
	}
	return words.What + "; " + words.Hint
}

// refusals words each reason.
var refusals = map[entry.Reason]func(*entry.Refusal) Words{}

func init() {
	for _, some := range []map[entry.Reason]func(*entry.Refusal) Words{benchRefusals, laterRefusals, buildRefusals,
		photoRefusals, privateRefusals, judgingRefusals, skillRefusals, bookRefusals, shopRefusals} {
		for reason, say := range some {
			refusals[reason] = say
		}
	}
}

// on is a session as a person knows it: "clean on pilot-boat".
func on(s *journal.Session) string { return s.Stage + " on " + s.Build }

// Done is what was done in a session, in what its kind of work counts: "2 decals done".
func Done(s *journal.Session) string {
	unit, counted := metrics.CountedKind(s.Kind)
	if !counted {
		unit = "part"
	}
	return metrics.Count(s.Done(), unit) + " done"
}

// in is a moment in the zone of another, which the door put there.
func in(at, like time.Time) time.Time { return at.In(like.Location()) }

// Remark words a remark. Some have no words of their own here: whoever asked says
// them with the rest of its answer.
func Remark(r entry.Remark) Words {
	switch r.Matter {
	case entry.MoreThanThere:
		return Words{r.Over.String(), r.Over.Mend()}
	case entry.Overlapping:
		return Words{r.Overlap.String(), r.Overlap.Mend()}
	case entry.InTheFuture:
		w := Words{fmt.Sprintf("%s begins on %s, which has not come yet", on(r.Session), r.At.Format(minute)),
			journal.Typed("rakelight retract %s", r.Session.ID) + " takes it back"}
		if r.Photo != nil {
			w.Hint = "if the camera's clock was wrong: " +
				journal.Typed("rakelight clock --photo %s --really TIME", r.Photo.Short())
		}
		return w
	case entry.GoesAlong:
		return Words{What: "with it goes " + along(r.Along) + "; all of it comes back with it"}
	case entry.SeemsFinished:
		return Words{r.Finishable.String(), r.Finishable.Mend()}
	case entry.OnBreak:
		return onBreak(r)
	case entry.ToolNoted:
		return Words{What: fmt.Sprintf("%s is noted in %s already", r.Name, on(r.Session))}
	case entry.MarkedBefore:
		return Words{What: fmt.Sprintf("it was marked %s before, so this is kept as a re-mark: the first mark counts in the tables, the difference as drift",
			metrics.Count(r.Count, "time"))}
	case entry.CardShown:
		day := r.At.Format(time.DateOnly)
		return Words{fmt.Sprintf("card %d was shown before the trial began, first on %s, and does not count for it then",
			r.Number, day),
			"if it began then: " + journal.Typed("rakelight retract %s", r.Record) + ", and begin it with --from " +
				day}
	case entry.ReplacesPoints:
		return Words{What: "they replace those of " + r.Record}
	case entry.StayAsFound:
		return Words{r.Name + ": as it was found before", "name the part to say that it is there"}
	case entry.PartsLack:
		return partsLack(r)
	case entry.DryFitAsks:
		return dryFitAsks(r)
	case entry.HeldStill:
		return heldStill(r)
	case entry.GritLeaps:
		return gritLeaps(r)
	case entry.KeptAnyway:
		return keptAnyway(r)
	case entry.AnswersTaken:
		return Words{What: answers(r.Answers)}
	}
	return Words{}
}

// keptAnyway words what was left out although it is kept.
func keptAnyway(r entry.Remark) Words {
	if r.Count == 1 {
		return Words{What: r.Photo.Name + " is kept in the journal already, and stays there: left out is only what was not brought in yet"}
	}
	return Words{What: fmt.Sprintf("%d of these pictures, %s among them, are kept in the journal already, and stay there: left out is only what was not brought in yet",
		r.Count, r.Photo.Name)}
}

// onBreak words a break that nobody ended.
func onBreak(r entry.Remark) Words {
	if r.Session.End.IsZero() {
		return Words{"a break has been running since " + r.At.Format(hour),
			"rakelight break --at HH:MM says when it ended, and rakelight break that it ends now"}
	}
	return Words{fmt.Sprintf("nobody ended the break that began at %s, so the time from then on does not count as bench time", r.At.Format(hour)),
		"if you came back sooner: " + withBreak(r.Session, r.At.Format(hour)+" to TIME")}
}

// withBreak is the command that puts one more break into a session; those that it
// has are named again, since what is said replaces them.
func withBreak(s *journal.Session, span string) string {
	line := journal.Typed("rakelight correct %s", s.ID)
	for _, b := range s.Breaks {
		line += journal.Typed(" --break %s", b.Start.Format(hour)+" to "+b.End.Format(hour))
	}
	return line + journal.Typed(" --break %s", span)
}

// along is what hangs on a record.
func along(n journal.Hanging) string {
	var all []string
	for _, one := range []struct {
		n    int
		what string
	}{{n.Ends, "end"}, {n.Breaks, "note of a break"}, {n.Counts, "count"}, {n.Opened, "reopening"},
		{n.Corrections, "correction"}, {n.Notes, "note"}, {n.Others, "other record"}} {
		switch {
		case one.n == 1:
			all = append(all, "1 "+one.what)
		case one.n > 1 && one.what == "note of a break":
			all = append(all, fmt.Sprintf("%d notes of breaks", one.n))
		case one.n > 1:
			all = append(all, metrics.Count(one.n, one.what))
		}
	}
	return list(all)
}

// answers is what became of a sheet of answers.
func answers(s entry.SheetTaken) string {
	line := journal.JudgeCalled(s.Judge) + ": nothing new"
	if s.Taken > 0 {
		line = fmt.Sprintf("%s: %s taken", journal.JudgeCalled(s.Judge), metrics.Count(s.Taken, "answer"))
		if s.Untold > 0 {
			line += fmt.Sprintf(", %d of them “cannot tell”", s.Untold)
		}
	}
	if s.Before > 0 {
		line += fmt.Sprintf(", %d taken before", s.Before)
	}
	if s.Otherwise > 0 {
		line += fmt.Sprintf(", %s said otherwise now, and what was said first stands",
			metrics.Count(s.Otherwise, "pair"))
	}
	if s.Open > 0 {
		line += fmt.Sprintf(", %s of the pack still open", metrics.Count(s.Open, "pair"))
	}
	return line
}

// Spots is what laying a photo over another comes to.
func Spots(s entry.Spots) string {
	words := fmt.Sprintf("scaled %.2f times, turned by %.1f°", s.Scale, s.Turn)
	if s.Count == journal.FewestPoints {
		return "2 spots: " + words + "; a third would show how well they agree"
	}
	return fmt.Sprintf("%d spots: %s; they are %.1f of %d pixels off on average", s.Count, words, s.Off, s.Width)
}

// list is words with commas between them.
func list(words []string) string { return strings.Join(words, ", ") }
