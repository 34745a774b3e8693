// rakelight worked, reopen, retract, pause and resume: what is said after the
// fact.

package main

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
	"rakelight/journal/phrase"
)

var workedCmd = &command{
	name: "worked", line: "enter work done earlier",
	usage: `Usage: rakelight worked BUILD STAGE "WHEN AND HOW LONG" [--parts PARTS] [--kit N] [--class CLASS]
                       [--tool NAME]… [--for STAGE]

Enters a session from memory. It is shown as remembered, apart from measured
time, and never mixed with it unasked. The phrase holds how long it was, or from
when to when, and a day if it was not today: "about 40 min yesterday evening",
"half an hour", "an hour and a half last night", "24 November 19:30 to 20:15",
"from 7 to 8.15 pm yesterday", "1h20 2026-03-14", "6 h spring 1998". A date
without a year is the last such day. What can mean two things is refused with
both readings; what was understood is printed.

  --parts PARTS   parts done, by reference or as a number
  --tool NAME     a tool used, once for each
  --for STAGE     the stage, or the id of the mistake, that a repair puts right
  --preview       say what was understood, and write nothing

Example:
  rakelight worked lorry clean "about 40 min yesterday evening" --parts A1-A12
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("worked", pflag.ContinueOnError)
		parts := fs.String("parts", "", "")
		kit := fs.Int("kit", 0, "")
		class := fs.String("class", "", "")
		tools := toolFlag(fs)
		mends := fs.String("for", "", "")
		preview := fs.Bool("preview", false, "")
		j, rest, err := a.openWith(fs, args, takes(3, many, "worked takes a build, a stage, and how long and when"))
		if err != nil {
			return err
		}
		w, err := phrase.ParseWorked(strings.Join(rest[2:], " "), a.now().In(j.State.Zone))
		if err != nil {
			return notUnderstood(err)
		}
		work := entry.Worked{
			Build: rest[0], Stage: rest[1], Kit: *kit, Class: *class, Minutes: w.Minutes, Date: w.Date, Start: w.Start,
			Parts: *parts, Note: w.Words,
			Tools: *tools, For: *mends,
		}
		if *preview {
			plan, _, err := entry.Preview(j, work)
			if err != nil {
				return err
			}
			a.printf("understood as %s; nothing was written\n", w.Understood())
			a.told(plan.Remarks)
			return nil
		}
		said, err := entry.Do(j, work)
		if err != nil {
			return err
		}
		s := said.Sessions()[0]
		done := ""
		if s.Counted {
			done = ", " + wording.Done(s)
		}
		a.printf("%s on %s, %s: %s, remembered%s (session %s)\n", s.Stage, s.Build, s.Date, journal.Spell(s.Net), done,
			s.ID)
		a.printf("understood as %s\n", w.Understood())
		a.told(said.Remarks)
		return nil
	},
}

var reopenCmd = &command{
	name: "reopen", line: "say that parts must be done again",
	usage: `Usage: rakelight reopen [BUILD] PARTS [--stage STAGE] [--why TEXT]
       rakelight reopen [BUILD] COUNT --session ID [--why TEXT]

Parts that were done and must be done again stop being done: the count of the
session that did them falls. Parts done in several stages need the
stage that must be done again; a bare count needs the session it belongs to.
Without BUILD it is the one you are working on.

Example:
  rakelight reopen pilot-boat A4,A5 --why "seam showed under primer"
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("reopen", pflag.ContinueOnError)
		why := fs.String("why", "", "")
		session := fs.String("session", "", "")
		stage := fs.String("stage", "", "")
		j, rest, err := a.openWith(fs, args, takes(1, 2, "reopen takes a build and the parts"))
		if err != nil {
			return err
		}
		build, parts := "", rest[len(rest)-1]
		if len(rest) == 2 {
			build = rest[0]
		}
		said, err := entry.Do(j, entry.Reopen{Build: build, Parts: parts, Stage: *stage, Session: *session,
			Why: *why})
		if err != nil {
			return err
		}
		body := said.Add[0].(journal.ReopenBody)
		what, in := parts, body.Stage
		if body.Count > 0 {
			what, in = count(body.Count, "part"), said.Sessions()[0].Stage
		}
		a.printf("%s reopened in %s of %s%s\n", what, in, body.Build, takeBack(said.Records[0]))
		a.told(said.Remarks)
		return nil
	},
}

var retractCmd = &command{
	name: "retract", line: "take a record back",
	usage: `Usage: rakelight retract RECORD [--why TEXT] [--preview]
       rakelight retract FIRST..LAST [--why TEXT] [--preview]

Takes a record back, or all from one to another that a command wrote together: the
record stays in the file but no longer counts, nor does what depends on it, such as
the end and the parts of a session; it says what goes with it. A photo whose record is
taken back leaves the pages; its original stays.

  --preview  say what would go with it, and write nothing

Example:
  rakelight retract bench-1f3a/12 --why "wrong build"
  rakelight retract bench-1f3a/13..52
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("retract", pflag.ContinueOnError)
		why := fs.String("why", "", "")
		preview := fs.Bool("preview", false, "")
		j, rest, err := a.openWith(fs, args, takes(1, 1, "retract takes one record"))
		if err != nil {
			return err
		}
		back := entry.RetractAll{Records: recordsNamed(rest[0]), Why: *why}
		if *preview {
			plan, _, err := entry.Preview(j, back)
			if err != nil {
				return err
			}
			a.printf("%s would be taken back; nothing was written\n", rest[0])
			a.told(plan.Remarks)
			return nil
		}
		said, err := entry.Do(j, back)
		if err != nil {
			return err
		}
		is := "is"
		if len(said.Records) > 1 {
			is = "are"
		}
		a.printf("%s %s taken back (%s undoes that)\n", rest[0], is,
			journal.Typed("rakelight retract %s", nameOf(said.Records)))
		a.told(said.Remarks)
		return nil
	},
}

var recordRange = regexp.MustCompile(`^(.+/)([0-9]{1,9})\.\.([0-9]{1,9})$`)

// mostNamed is how many records one word may name.
const mostNamed = 10000

// recordsNamed are the records that a word names: one, or those of one device from a
// number to another, "bench-1f3a/13..52". What is no such range is taken for one record.
func recordsNamed(word string) []string {
	m := recordRange.FindStringSubmatch(word)
	if m == nil {
		return []string{word}
	}
	first, _ := strconv.Atoi(m[2])
	last, _ := strconv.Atoi(m[3])
	if last < first || last-first >= mostNamed {
		return []string{word}
	}
	var all []string
	for n := first; n <= last; n++ {
		all = append(all, m[1]+strconv.Itoa(n))
	}
	return all
}

// nameOf is a word that names records which one entry wrote, as recordsNamed reads it.
func nameOf(records []journal.Record) string {
	if len(records) == 1 {
		return records[0].ID()
	}
	return fmt.Sprintf("%s..%d", records[0].ID(), records[len(records)-1].Seq)
}

var pauseCmd = &command{
	name: "pause", line: "put a build aside",
	usage: `Usage: rakelight pause BUILD --why TEXT [--next TEXT] [--waiting TEXT] [--since DAY]

Puts a build aside. Say why you stop, what comes next and what you are waiting for:
the reason is what fades first, and the build's page opens with these three.
What was given away or scrapped is said so, too: that is the reason.

  --since DAY   it was put aside on that day: 2021-03-14, yesterday

Example:
  rakelight pause pilot-boat --why "waiting for wire" --next "drill the mast, A14" --waiting "0.3 mm wire"
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("pause", pflag.ContinueOnError)
		why := fs.String("why", "", "")
		next := fs.String("next", "", "")
		waiting := fs.String("waiting", "", "")
		since := fs.String("since", "", "")
		j, rest, err := a.openWith(fs, args, takes(1, 1, "pause takes one build"))
		if err != nil {
			return err
		}
		pause := entry.Pause{Build: rest[0], Why: *why, Next: *next, Waiting: *waiting}
		if *since != "" {
			day, err := exactDay(*since, a.now().In(j.State.Zone))
			if err != nil {
				return err
			}
			pause.From = entry.AsideOn(day, a.now())
		}
		said, err := entry.Do(j, pause)
		if err != nil {
			return err
		}
		a.printf("%s is paused%s\n", said.Add[0].(journal.PauseBody).Build, takeBack(said.Records[0]))
		a.told(said.Remarks)
		return nil
	},
}

var resumeCmd = &command{
	name: "resume", line: "take a build up again, paused or finished",
	usage: `Usage: rakelight resume BUILD

Takes a build up again that was paused, and says what you noted when you stopped;
or one that rakelight finish closed.

Example:
  rakelight resume pilot-boat
`,
	run: func(a *app, args []string) error {
		j, rest, err := a.openWith(pflag.NewFlagSet("resume", pflag.ContinueOnError), args,
			takes(1, 1, "resume takes one build"))
		if err != nil {
			return err
		}
		before := j.State
		said, err := entry.Do(j, entry.Resume{Build: rest[0]})
		if err != nil {
			return err
		}
		switch body := said.Add[0].(type) {
		case journal.FinishBody:
			a.printf("%s is open again%s\n", body.Build, takeBack(said.Records[0]))
		case journal.ResumeBody:
			a.printf("%s taken up again%s\n", body.Build, takeBack(said.Records[0]))
			if p := before.Paused(body.Build); p != nil {
				a.printf("You stopped because: %s. Next was: %s. You waited for: %s.\n", orNothing(p.Why),
					orNothing(p.Next), orNothing(p.Waiting))
			}
			if r, ok := said.State.Return(body.Build); ok {
				r.Pause = nil // it was told already
				a.printReturn(said.State, r)
			}
		}
		a.told(said.Remarks)
		return nil
	},
}
