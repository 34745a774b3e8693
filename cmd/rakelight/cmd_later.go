// rakelight worked, reopen, correct, retract, pause and resume: what is said
// after the fact.

package main

import (
	"flag"
	"fmt"
	"strings"
	"time"

	"rakelight/journal"
)

var workedCmd = &command{
	name: "worked", line: "enter work done earlier",
	usage: `Usage: rakelight worked BUILD STAGE "WHEN AND HOW LONG" [--parts PARTS] [--kit N] [--class CLASS]
                       [--tool NAME]… [--for STAGE]

Enters a session from memory. It is shown as remembered, apart from measured
time, and never mixed with it unasked. The phrase holds a length and, if it was
not today, a day: "about 40 min yesterday evening", "1h20 2026-03-14",
"6 h spring 1998". --tool names a tool used, once for each; --for names the
stage, or the id of the mistake, that a repair mends.

Example:
  rakelight worked lorry clean "about 40 min yesterday evening" --parts A1-A12
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("worked", flag.ContinueOnError)
		parts := fs.String("parts", "", "")
		kit := fs.Int("kit", 0, "")
		class := fs.String("class", "", "")
		tools := toolFlag(fs)
		mends := fs.String("for", "", "")
		j, rest, err := a.openWith(fs, args, takes(3, many, "worked takes a build, a stage, and how long and when"))
		if err != nil {
			return err
		}
		build, stage, err := place(j.State, rest[0], rest[1], *kit)
		if err != nil {
			return err
		}
		w, err := journal.ParseWorked(strings.Join(rest[2:], " "), a.now().In(j.State.Zone))
		if err != nil {
			return &usageError{err.Error()}
		}
		if err := knownClass(build, *class); err != nil {
			return err
		}
		causer, err := mended(j.State, build, stage.Kind, *mends)
		if err != nil {
			return err
		}
		body := journal.WorkBody{
			Build: build.ID, Stage: stage.ID, Kind: stage.Kind, Class: *class, Kit: *kit,
			Date: w.Date, Minutes: w.Minutes, Known: journal.Remembered, Note: w.Words, Counted: *parts != "",
			Tools: *tools, For: causer,
		}
		if *parts != "" {
			if body.Parts, body.Count, err = journal.ParseParts(*parts, build); err != nil {
				return err
			}
		}
		if twice := j.State.DoneBefore(build.ID, stage.ID, body.Parts); twice != "" {
			return &journal.AskError{What: fmt.Sprintf("%s was counted as done in %s of %s already: nothing written", twice, stage.ID, build.ID), Hint: "leave it out, or say first that it was opened again: " + journal.Typed("rakelight reopen %s %s", build.ID, twice)}
		}
		rec, err := j.Append("work", body)
		if err != nil {
			return err
		}
		done := ""
		if s := j.State.Session(rec.ID()); s != nil && s.Counted {
			done = ", " + count(s.Done(), "part") + " done"
		}
		a.printf("%s on %s, %s: %s, remembered%s (session %s)\n", stage.ID, build.ID, w.Date, journal.Spell(time.Duration(w.Minutes*float64(time.Minute))), done, rec.ID())
		return nil
	},
}

var reopenCmd = &command{
	name: "reopen", line: "say that parts must be done again",
	usage: `Usage: rakelight reopen BUILD PARTS [--stage STAGE] [--why TEXT]
       rakelight reopen BUILD COUNT --session ID [--why TEXT]

Parts that were done and must be done again stop being done: the count of the
session that did them falls. Parts that stand done in several stages need the
stage that must be done again; a bare count needs the session it belongs to.

Example:
  rakelight reopen pilot-boat A4,A5 --why "seam showed under primer"
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("reopen", flag.ContinueOnError)
		why := fs.String("why", "", "")
		session := fs.String("session", "", "")
		stageName := fs.String("stage", "", "")
		j, rest, err := a.openWith(fs, args, takes(2, 2, "reopen takes a build and the parts"))
		if err != nil {
			return err
		}
		build, err := j.State.ResolveBuild(rest[0])
		if err != nil {
			return err
		}
		refs, bare, err := journal.ParseParts(rest[1], build)
		if err != nil {
			return err
		}
		if bare == 0 {
			stage := ""
			if *stageName != "" {
				st, err := j.State.ResolveStage(build, *stageName)
				if err != nil {
					return err
				}
				stage = st.ID
			}
			rec, stage, err := j.ReopenParts(build, stage, refs, *why, a.now())
			if err != nil {
				return err
			}
			a.printf("%s reopened in %s of %s%s\n", rest[1], stage, build.ID, takeBack(rec))
			return nil
		}
		s := j.State.Session(*session)
		switch {
		case *session == "":
			return &journal.AskError{What: "a bare count belongs to some session", Hint: "name it with --session ID, or name the parts"}
		case s == nil || s.Build != build.ID:
			return fmt.Errorf("%s has no session %q: nothing written", build.ID, *session)
		case s.Done() < bare:
			return fmt.Errorf("session %s has %s done, so %d cannot be opened again: nothing written", s.ID, count(s.Done(), "part"), bare)
		}
		rec, err := j.Append("reopen", journal.ReopenBody{Build: build.ID, Count: bare, Session: s.ID, Why: *why, At: a.now()})
		if err != nil {
			return err
		}
		a.printf("%s reopened in %s of %s%s\n", count(bare, "part"), s.Stage, build.ID, takeBack(rec))
		return nil
	},
}

var correctCmd = &command{
	name: "correct", line: "correct a session",
	usage: `Usage: rakelight correct SESSION [--worked TIME] [--count N] [--build BUILD] [--stage STAGE] [--class CLASS]
                         [--tool NAME]… [--for STAGE] [--note TEXT] [--yes]

Corrects a session; the earlier record stays, the newer one counts. The id of a
session is printed when it ends, and stands on the build's page.

  --worked TIME   it lasted that long: 40m, 1h20; it is then a remembered time
  --count N       parts done by bare count, on top of those named
  --tool NAME     the tools used, in place of those named before; "" = none
  --for STAGE     of a repair: the stage, or the id of the mistake, that it mends
  --yes           yes, it really ran that long

Example:
  rakelight correct bench-1f3a/12 --worked 1h20
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("correct", flag.ContinueOnError)
		worked := fs.String("worked", "", "")
		parts := fs.Int("count", -1, "")
		build := fs.String("build", "", "")
		stage := fs.String("stage", "", "")
		class := fs.String("class", "", "")
		note := fs.String("note", "", "")
		yes := fs.Bool("yes", false, "")
		tools := toolFlag(fs)
		mends := fs.String("for", "", "")
		j, rest, err := a.openWith(fs, args, takes(1, 1, "correct takes one session"))
		if err != nil {
			return err
		}
		s := j.State.Session(rest[0])
		if s == nil {
			return fmt.Errorf("there is no session %q in this journal", rest[0])
		}
		if fs.NFlag() == 0 {
			return &usageError{"nothing to correct: name at least one of the flags"}
		}
		body := journal.CorrectBody{Session: s.ID, Accept: *yes || *worked != ""}
		if *worked != "" {
			w, err := journal.ParseWorked(*worked, a.now())
			if err != nil {
				return &usageError{err.Error()}
			}
			body.Minutes = &w.Minutes
		}
		if *parts >= 0 {
			body.Count = parts
		}
		in := s.Build
		if *build != "" {
			b, err := j.State.ResolveBuild(*build)
			if err != nil {
				return err
			}
			in, body.Build = b.ID, &b.ID
		}
		if *stage != "" {
			_, st, err := place(j.State, in, *stage, 0)
			if err != nil {
				return err
			}
			body.Stage = &st.ID
		}
		if *class != "" {
			if b := j.State.Build(in); b != nil {
				if err := knownClass(b, *class); err != nil {
					return err
				}
			}
			body.Class = class
		}
		if *note != "" {
			body.Note = note
		}
		if *tools != nil {
			body.Tools = tools
		}
		if *mends != "" {
			kind := s.Kind
			b := j.State.Build(in)
			if b == nil {
				b = &journal.Build{ID: in}
			}
			if body.Stage != nil {
				kind = b.Stage(*body.Stage).Kind
			}
			causer, err := mended(j.State, b, kind, *mends)
			if err != nil {
				return err
			}
			body.For = &causer
		}
		rec, err := j.Append("correct", body)
		if err != nil {
			return err
		}
		a.printEnded(j, j.State.Session(s.ID))
		a.printf("corrected%s\n", takeBack(rec))
		return nil
	},
}

var retractCmd = &command{
	name: "retract", line: "take a record back",
	usage: `Usage: rakelight retract RECORD [--why TEXT]

Takes a record back: the record stays in the file, and counts no more. A photo
whose record is taken back leaves the pages; its original stays.

Example:
  rakelight retract bench-1f3a/12 --why "wrong build"
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("retract", flag.ContinueOnError)
		why := fs.String("why", "", "")
		j, rest, err := a.openWith(fs, args, takes(1, 1, "retract takes one record"))
		if err != nil {
			return err
		}
		body, err := j.ToRetract(rest[0])
		if err != nil {
			return err
		}
		body.Why = *why
		rec, err := j.Append("retract", body)
		if err != nil {
			return err
		}
		a.printf("%s is taken back (%s undoes that)\n", rest[0], journal.Typed("rakelight retract %s", rec.ID()))
		return nil
	},
}

var pauseCmd = &command{
	name: "pause", line: "put a build aside",
	usage: `Usage: rakelight pause BUILD --why TEXT [--next TEXT] [--waiting TEXT]

Puts a build aside. Say why you stop, what comes next and what you wait for:
the reason is what fades first, and the build's page opens with these three.

Example:
  rakelight pause pilot-boat --why "waiting for wire" --next "drill the mast, A14" --waiting "0.3 mm wire"
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("pause", flag.ContinueOnError)
		why := fs.String("why", "", "")
		next := fs.String("next", "", "")
		waiting := fs.String("waiting", "", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) != 1 {
			return &usageError{"pause takes one build"}
		}
		if *why == "" {
			return &journal.AskError{What: "why do you stop? in five weeks you will want to know", Hint: journal.Typed(`rakelight pause %s --why "…" --next "…" --waiting "…"`, rest[0])}
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		build, err := j.State.ResolveBuild(rest[0])
		if err != nil {
			return err
		}
		if p := j.State.Paused(build.ID); p != nil {
			return fmt.Errorf("%s is paused already, since %s", build.ID, p.From.In(j.State.Zone).Format("2006-01-02"))
		}
		for _, s := range j.State.Running() {
			if s.Build == build.ID {
				return &journal.AskError{What: fmt.Sprintf("%s on %s is still running", s.Stage, s.Build), Hint: "rakelight off ends it"}
			}
		}
		rec, err := j.Append("pause", journal.PauseBody{Build: build.ID, From: a.now(), Why: *why, Next: *next, Waiting: *waiting})
		if err != nil {
			return err
		}
		a.printf("%s is paused%s\n", build.ID, takeBack(rec))
		return nil
	},
}

var resumeCmd = &command{
	name: "resume", line: "take a paused build up again",
	usage: `Usage: rakelight resume BUILD

Takes a paused build up again, and says what you noted when you stopped.

Example:
  rakelight resume pilot-boat
`,
	run: func(a *app, args []string) error {
		j, rest, err := a.openWith(flag.NewFlagSet("resume", flag.ContinueOnError), args, takes(1, 1, "resume takes one build"))
		if err != nil {
			return err
		}
		build, err := j.State.ResolveBuild(rest[0])
		if err != nil {
			return err
		}
		p := j.State.Paused(build.ID)
		if p == nil {
			return fmt.Errorf("%s is not paused", build.ID)
		}
		rec, err := j.Append("resume", journal.ResumeBody{Build: build.ID, At: a.now()})
		if err != nil {
			return err
		}
		a.printf("%s goes on%s\nYou stopped because: %s. Next was: %s. You waited for: %s.\n", build.ID, takeBack(rec), orNothing(p.Why), orNothing(p.Next), orNothing(p.Waiting))
		return nil
	},
}
