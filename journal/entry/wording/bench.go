package wording

import (
	"fmt"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/metrics"
)

type (
	refusal = entry.Refusal
	table   = map[entry.Reason]func(*refusal) Words
)

// benchRefusals are those of what is said at the bench.
var benchRefusals = table{
	entry.NoSession: func(r *refusal) Words {
		switch r.Wish {
		case entry.ToEnd:
			return Words{"no session is running",
				`work done earlier is entered with: rakelight worked BUILD STAGE "about 40 min yesterday"`}
		case entry.ToCount:
			return Words{"no session is running, so the parts belong to no stage yet",
				"rakelight on BUILD STAGE first, or rakelight worked BUILD STAGE \"40 min\" --parts A1-A12"}
		case entry.ToTool:
			return Words{"no session is running, and a tool is noted in the one that runs",
				"rakelight correct SESSION --tool NAME notes it in another"}
		}
		w := Words{"no session is running, and a break lies in the one that runs",
			"rakelight on BUILD STAGE begins a session"}
		if r.Session != nil {
			w.Hint = fmt.Sprintf("if it was in %s, which ended on %s: %s", on(r.Session),
				r.Session.End.Format(minute), withBreak(r.Session, "FROM to TO"))
		}
		return w
	},
	entry.SeveralSessions: func(r *refusal) Words {
		return Words{fmt.Sprintf("%d sessions are running on different devices, so it is not plain which is meant",
			r.Count),
			"rakelight off --at HH:MM ends them all; rakelight retract SESSION takes one back that never was"}
	},
	entry.FellSilent: func(r *refusal) Words {
		zone := r.At.Location()
		return Words{fmt.Sprintf("no session is running; %s ended with its last photo on %s, estimated"+nothing,
			on(r.Session), r.Session.End.In(zone).Format(minute)),
			"if you know when it really ended: " +
				journal.Typed("rakelight off --at %s", r.Session.End.Add(10*time.Minute).In(zone).Format(minute))}
	},
	entry.Forgotten: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s has been running for %s; was the timer forgotten? nothing was written",
			on(r.Session), journal.Spell(r.At.Sub(r.Session.Start))),
			fmt.Sprintf(`say how long it really was: %s; or rakelight off --worked "1h20", or rakelight off --worked "11h20" if it truly ran so long`,
				EndedThen(r.Session, r.Sign, r.At.Location()))}
	},
	entry.OrTheLast: func(r *refusal) Words {
		return Words{fmt.Sprintf("no session is running; the last one was %s and ended on %s", on(r.Session),
			r.Session.End.Format(minute)),
			"if the parts were done in it: " + journal.Typed("rakelight done %s --last", r.Name)}
	},
	entry.RunsAlready: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s is running since %s already", on(r.Session),
			in(r.Session.Start, r.At).Format(hour)), "rakelight off ends it"}
	},
	entry.BeganLater: func(r *refusal) Words {
		w := Words{fmt.Sprintf("%s began on %s, after %s"+nothing, on(r.Session),
			in(r.Session.Start, r.At).Format(minute), r.At.Format(minute)),
			journal.Typed("rakelight retract %s", r.Session.ID) + " takes it back, if it never was"}
		if r.Photo != nil {
			w.Hint = fmt.Sprintf("a bench card in %s began it; if the camera's clock was wrong: %s; to drop the card: %s",
				r.Photo.Name,
				journal.Typed("rakelight clock --photo %s --really TIME", r.Photo.Short()),
				journal.Typed("rakelight cards --ignore %s", r.Photo.Short()))
		}
		return w
	},
	entry.LongerThanSince: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s began %s ago, so it cannot have lasted %s"+nothing, on(r.Session),
			journal.Spell(r.Ran), journal.Spell(r.Length))}
	},
	entry.NotYet: func(r *refusal) Words {
		return Words{What: r.At.Format(minute) + " has not come yet" + nothing}
	},
	entry.NoDay: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%q is not a day"+nothing, r.Name)}
	},
	entry.Overlaps: func(r *refusal) Words {
		zone := r.At.Location()
		from, to := r.Other.Start.In(zone), r.Other.End.In(zone)
		w := Words{fmt.Sprintf("%s ran from %s to %s, and one pair of hands does one thing"+nothing, on(r.Other),
			from.Format(minute), to.Format(hour)),
			"if that is wrong: " + journal.Typed("rakelight correct %s --worked TIME", r.Other.ID) +
				" says how long it really was"}
		if !r.Session.Start.Before(from) {
			w.Hint = fmt.Sprintf("if it ended before %s: %s; else begin at %s or later",
				r.Session.Start.In(zone).Format(hour),
				journal.Typed("rakelight correct %s --worked TIME", r.Other.ID),
				to.Add(time.Minute-1).Truncate(time.Minute).Format(hour))
		}
		return w
	},
	entry.BreakTaken: func(r *refusal) Words {
		return Words{fmt.Sprintf("there was a break in %s from %s to %s already"+nothing, on(r.Session),
			r.Break.Start.Format(hour), r.Break.End.Format(hour)),
			"a break begins after it: " + journal.Typed("rakelight break --at %s", r.Break.End.Format(minute))}
	},
	entry.HourUnknown: func(r *refusal) Words {
		return Words{fmt.Sprintf("of %s only the day is known, %s"+nothing, on(r.Session), r.Session.Date),
			"say also when it began: " + journal.Typed("rakelight correct %s --begin %s", r.Session.ID,
				r.Session.Date+" HH:MM")}
	},
	entry.BreakOutside: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("the break from %s to %s does not lie in %s, which ran from %s to %s"+nothing,
			r.Break.Start.Format(hour), r.Break.End.Format(hour),
			on(r.Session), in(r.Session.Start, r.Break.Start).Format(minute),
			in(r.Session.End, r.Break.Start).Format(hour))}
	},
	entry.EndsBefore: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s would end at %s, before it began at %s"+nothing, on(r.Session),
			in(r.Session.End, r.At).Format(minute), in(r.Session.Start, r.At).Format(minute))}
	},
	entry.BreakBackward: func(r *refusal) Words {
		return Words{fmt.Sprintf("the break in %s began at %s, after %s"+nothing, on(r.Session),
			r.Break.Start.Format(hour), in(r.At, r.Break.Start).Format(hour)),
			"rakelight break --at HH:MM ends it at a later time"}
	},
	entry.CountedTwice: func(r *refusal) Words {
		was, out, again := "was", "it", "it was"
		if r.Count > 1 {
			was, out, again = "were", "them", "they were"
		}
		return Words{fmt.Sprintf("%s %s counted as done in %s of %s already"+nothing, r.Part, was, r.Stage, r.Build),
			fmt.Sprintf("leave %s out, or, if %s opened again, say so first: ", out, again) +
				journal.Typed("rakelight reopen %s %s", r.Build, r.Part)}
	},
	entry.UnknownKit: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s has %s; --kit %d is none of them", r.Build, metrics.Count(r.Count, "kit"),
			r.Number)}
	},
	entry.UnknownClass: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("--class %s is not known; it is one of %s, or a class of the runners in the build's build.md",
			r.Name, list(r.Known))}
	},
	entry.NoRepair: func(*refusal) Words {
		return Words{What: "--for belongs to a repair: it says which stage caused it"}
	},
	entry.MendsElsewhere: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("the mistake %s is of %s, not of %s"+nothing, r.Name, r.Stage, r.Build)}
	},
	entry.MendsRepair: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("--for %s: a repair is charged to the stage that caused it", r.Name)}
	},
	entry.NoTool: func(*refusal) Words { return Words{What: "say the name of the tool"} },
}

// EndedThen is the command that ends a forgotten session at the last that is known
// of it, with what that is.
func EndedThen(s *journal.Session, sign journal.Sign, zone *time.Location) string {
	if sign.At.IsZero() {
		return journal.Typed("rakelight off --at %s", s.Start.Add(80*time.Minute).In(zone).Format(minute))
	}
	what := "the last that was said in it"
	if sign.Photo != nil {
		what = "its last photo, " + sign.Photo.Name
	}
	// A photo has seconds, and what ends before it would leave it out.
	at := sign.At.Add(time.Minute - 1).Truncate(time.Minute).In(zone)
	return fmt.Sprintf("%s (%s)", journal.Typed("rakelight off --at %s", at.Format(minute)), what)
}

// laterRefusals are those of what is said of sessions, parts and records
// afterwards.
var laterRefusals = table{
	entry.NoSuchSession: func(r *refusal) Words {
		if r.Build != "" {
			return Words{What: fmt.Sprintf("%s has no session %q"+nothing, r.Build, r.Name)}
		}
		return Words{What: fmt.Sprintf("there is no session %q in this journal", r.Name)}
	},
	entry.ShownBySeries: func(r *refusal) Words {
		from, to := in(r.Session.Start, r.At), in(r.Session.End, r.At)
		return Words{fmt.Sprintf("%s on %s was made from a series of photos, and nothing can be said of it by itself"+nothing,
			on(r.Session), from.Format(minute)),
			"say the work yourself, and it takes its place: " +
				journal.Typed("rakelight worked %s %s %s", r.Session.Build, r.Session.Stage,
					from.Format(minute)+" to "+to.Format(hour))}
	},
	entry.NoSuchRecord: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("there is no record %q in this journal", r.Name)}
	},
	entry.SeveralRecords: func(r *refusal) Words {
		var which []string
		for _, one := range r.Records {
			which = append(which, fmt.Sprintf("%s (%s of %s)",
				journal.Typed("rakelight retract %s", one.ID()+"#"+one.Sum()), one.Kind, one.At.Format(time.DateTime)))
		}
		return Words{fmt.Sprintf("%d records are called %s"+nothing, len(r.Records), r.Name),
			"say which: " + strings.Join(which, "; ")}
	},
	entry.NothingSaid: func(*refusal) Words {
		return Words{"nothing to correct: name at least one of the flags", "rakelight help correct lists them"}
	},
	entry.TakenBack: func(r *refusal) Words {
		return Words{r.Name + " is taken back already",
			journal.Typed("rakelight retract %s", r.Record) + " brings it back"}
	},
	entry.RestsOn: func(r *refusal) Words {
		return Words{fmt.Sprintf("the record %s rests on %s"+nothing, r.Record, r.Name),
			"take that one back first: " + journal.Typed("rakelight retract %s", r.Record)}
	},
	entry.NoLength: func(*refusal) Words {
		return Words{What: "a stretch at the bench lasts between 1 minute and 24 hours; enter longer work day by day"}
	},
	entry.NotDone: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s of %s was not done before, so it cannot be opened again"+nothing, r.Part,
			r.Build)}
	},
	entry.WhichStage: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s: done in %s", r.Part, strings.Join(r.Known, " and in ")),
			"say which must be done again: --stage " + journal.Quoted(r.Known[len(r.Known)-1])}
	},
	entry.WhichSession: func(*refusal) Words {
		return Words{"a bare count belongs to some session", "name it with --session ID, or name the parts"}
	},
	entry.FewerDone: func(r *refusal) Words {
		if r.Count < 0 {
			return Words{What: fmt.Sprintf("%d parts cannot be"+nothing, r.Count)}
		}
		return Words{What: fmt.Sprintf("session %s has %s, so %d cannot be opened again"+nothing, r.Session.ID,
			Done(r.Session), r.Count)}
	},
	entry.NoReferences: func(*refusal) Words {
		return Words{What: "--parts takes references such as A12, not a bare count"}
	},
	entry.NoBuild: func(r *refusal) Words {
		if r.Name != "" {
			return Words{What: "--parts needs a build to read the runners from"}
		}
		return Words{What: "a stage or a kit needs the build it is of"}
	},
}

// buildRefusals are those of what is said of a whole build.
var buildRefusals = table{
	entry.PausedBuild: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s is paused since %s (%s)", r.Pause.Build, r.Pause.From.Format(time.DateOnly),
			r.Pause.Why), journal.Typed("rakelight resume %s", r.Pause.Build) + " takes it up again"}
	},
	entry.PausedAlready: func(r *refusal) Words {
		return Words{What: fmt.Sprintf("%s is paused already, since %s", r.Pause.Build,
			r.Pause.From.Format(time.DateOnly))}
	},
	entry.NotPaused: func(r *refusal) Words { return Words{What: r.Build + " is not paused"} },
	entry.StillRunning: func(r *refusal) Words {
		return Words{on(r.Session) + " is still running", "rakelight off ends it"}
	},
	entry.FinishedAlready: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s is finished, since %s"+nothing, r.Build, r.Name),
			journal.Typed("rakelight resume %s", r.Build) + " takes it up again"}
	},
	entry.FinishedByHand: func(r *refusal) Words {
		return Words{fmt.Sprintf("builds/%s/build.md says that it was finished on %s"+nothing, r.Build, r.Name),
			"take the line finished: out of that file"}
	},
	entry.NotFinished: func(r *refusal) Words { return Words{What: r.Build + " is not finished"} },
	entry.WorkedAfter: func(r *refusal) Words {
		return Words{fmt.Sprintf("%s was done on %s, after %s"+nothing, on(r.Session), r.Session.Date, r.Name),
			"a day without work after it: " + journal.Typed("rakelight finish %s %s", r.Session.Build, r.Session.Date)}
	},
	entry.LongSinceWork: func(r *refusal) Words {
		when := r.Name
		if len(when) < len("2006-01-02") {
			when = "DATE" // of that month or year
		}
		return Words{fmt.Sprintf("the last sign of work on %s is of %s, so it was hardly finished today"+nothing, r.Build,
			r.Name), journal.Typed("rakelight finish %s %s", r.Build, when) + " says it was finished then, " +
			journal.Typed("rakelight finish %s today", r.Build) + " that it was today"}
	},
	entry.WhichBuild: func(r *refusal) Words {
		if len(r.Known) == 0 {
			return Words{"no build is open, so it is not plain which is meant" + nothing, "name it: --build BUILD"}
		}
		return Words{fmt.Sprintf("%d builds are open, so it is not plain which is meant"+nothing, len(r.Known)),
			"name it with --build; it is one of " + list(r.Known)}
	},
	entry.NoBuildNamed: func(r *refusal) Words {
		if len(r.Known) == 0 {
			return Words{"no build is open, so it is not plain which is meant" + nothing, "name it first: BUILD"}
		}
		return Words{fmt.Sprintf("it is not plain which of %d builds is meant"+nothing, len(r.Known)),
			"name it first; it is one of " + list(r.Known)}
	},
	entry.NoWhy: func(r *refusal) Words {
		return Words{"why do you stop? in five weeks you will want to know",
			journal.Typed(`rakelight pause %s --why "…" --next "…" --waiting "…"`, r.Build)}
	},
}
