// rakelight on, off, break and done: the timer at the bench.

package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
	"rakelight/journal/metrics"
)

var onCmd = &command{
	name: "on", line: "begin a stage at the bench",
	bench: true,
	usage: `Usage: rakelight on BUILD STAGE [--kit N] [--class CLASS] [--tool NAME]… [--for STAGE] [--at HH:MM]

Begins a session. A session that runs on another stage ends at that moment. A
timer that seems forgotten is asked about first and never counted silently. A
beginning in the midst of another session is refused.

  --kit N         which kit of the build
  --class CLASS   what sort of parts: flat, curved, small, clear, resin
                  (pace is compared only within a class); parts that you name
                  tell it by their runners
  --tool NAME     a tool you use, by a name of your own; give it once for each.
                  rakelight tool adds one later
  --for STAGE     of a repair: the stage that caused it, or the id of the
                  mistake; its hours are charged there
  --at HH:MM      it began earlier today

Example:
  rakelight on pilot-boat clean --class curved
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("on", pflag.ContinueOnError)
		kit := fs.Int("kit", 0, "")
		class := fs.String("class", "", "")
		at := fs.String("at", "", "")
		tools := toolFlag(fs)
		mends := fs.String("for", "", "")
		j, rest, err := a.openWith(fs, args, takes(2, 2, "on takes a build and a stage"))
		if err != nil {
			return err
		}
		when, err := a.today(*at, j.State.Zone)
		if err != nil {
			return err
		}
		said, err := entry.Do(j, entry.Begin{Build: rest[0], Stage: rest[1], Kit: *kit, Class: *class, Tools: *tools,
			For: *mends, At: when})
		if err != nil {
			return err
		}
		sessions := said.Sessions()
		begun := sessions[len(sessions)-1]
		for _, ended := range sessions[:len(sessions)-1] {
			a.printEnded(ended)
		}
		a.printf("%s on %s began at %s\n", begun.Stage, begun.Build, begun.Start.In(j.State.Zone).Format("15:04"))
		a.told(said.Remarks)
		a.careful(said.State.Caution(begun))
		return nil
	},
}

var offCmd = &command{
	name: "off", line: "end the running session",
	bench: true,
	usage: `Usage: rakelight off [--at TIME] [--worked TIME]

Ends the running session now. If the timer was forgotten, say when it really
ended or how long you really worked; it is never counted silently. If nothing was
counted in it, it is asked once how much was done; rakelight done … --last
answers, at any time before the next session ends.

  --at TIME       it ended then: 22:10 (the latest such time that has passed),
                  or with its day, "2026-11-21 20:30"
  --worked TIME   it lasted that long: 40m, 1h20. A time you say is shown as
                  remembered, not as measured.

Example:
  rakelight off --worked 1h20
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("off", pflag.ContinueOnError)
		at := fs.String("at", "", "")
		worked := fs.String("worked", "", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) > 0 || (*at != "" && *worked != "") {
			return &usageError{"off takes either --at or --worked, and no more"}
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		var end entry.End
		if *worked != "" {
			end.Lasted, err = a.length(*worked)
		} else {
			end.At, err = a.moment(*at, j.State.Zone)
		}
		if err != nil {
			return err
		}
		said, err := entry.Do(j, end)
		if err != nil {
			return err
		}
		ended := said.Sessions()
		for _, s := range ended {
			a.printEnded(s)
		}
		a.told(said.Remarks)
		a.askCount(ended[len(ended)-1])
		return nil
	},
}

// askCount asks how much was done in a session that ended without a count: none
// is another answer than none given. It waits for nothing.
func (a *app) askCount(s *journal.Session) {
	unit, countable := metrics.CountedKind(s.Kind)
	if s.Counted || !countable {
		return
	}
	some := "A1-A12"
	if unit != "part" {
		some = "3"
	}
	a.remark(fmt.Sprintf("how many %ss were done? %s says it, rakelight done 0 --last that there were none", unit,
		journal.Typed("rakelight done %s --last", some)))
}

func (a *app) printEnded(s *journal.Session) {
	a.printf("%s on %s: %s at the bench", s.Stage, s.Build, journal.Spell(s.Net))
	if s.Counted {
		a.printf(", %s", wording.Done(s))
	}
	a.printf(" (session %s)\n", s.ID)
}

var breakCmd = &command{
	name: "break", line: "begin or end a break",
	bench: true,
	usage: `Usage: rakelight break [--at HH:MM]

Begins a break in the running session, or ends the break that runs. Breaks are
part of a good evening; they are only kept out of the bench time.

Example:
  rakelight break
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("break", pflag.ContinueOnError)
		at := fs.String("at", "", "")
		j, _, err := a.openWith(fs, args, takes(0, 0, "break takes no arguments"))
		if err != nil {
			return err
		}
		when, err := a.today(*at, j.State.Zone)
		if err != nil {
			return err
		}
		said, err := entry.Do(j, entry.Break{At: when})
		if err != nil {
			return err
		}
		lies := said.Add[0].(journal.BreakBody)
		word, moment := "ended", lies.End
		if moment.IsZero() {
			word, moment = "began", lies.Start
		}
		s := said.Sessions()[0]
		a.printf("the break in %s on %s %s at %s\n", s.Stage, s.Build, word, moment.In(j.State.Zone).Format("15:04"))
		a.told(said.Remarks)
		return nil
	},
}

var doneCmd = &command{
	name: "done", line: "count parts as done in the running session",
	bench: true,
	usage: `Usage: rakelight done PARTS [--at HH:MM] [--last]

Counts parts in the running session: by reference (runner letter and part
number) or as a bare count. References are better: each part counts once, and
weeks later you still know which. A reference that could mean two things is
asked about, never guessed. 0 says that none was done, which is not the same as
not counted.

  --last      in the session that ended last
  --at HH:MM  they were done earlier today

Example:
  rakelight done A1-A12,B3
  rakelight done A13 --last
  rakelight done 2/A4
  rakelight done 12
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("done", pflag.ContinueOnError)
		at := fs.String("at", "", "")
		last := fs.Bool("last", false, "")
		j, rest, err := a.openWith(fs, args, takes(1, many, "done takes the parts: A1-A12,B3 or a count"))
		if err != nil {
			return err
		}
		when, err := a.today(*at, j.State.Zone)
		if err != nil {
			return err
		}
		said, err := entry.Do(j, entry.Done{Parts: strings.Join(rest, ","), Last: *last, At: when})
		if err != nil {
			return err
		}
		s := said.Sessions()[0]
		which := "this session"
		if *last {
			which = "the session of " + s.Date
		}
		a.printf("%s in %s of %s on %s%s\n", wording.Done(s), which, s.Stage, s.Build,
			takeBack(said.Records[0]))
		a.told(said.Remarks)
		return nil
	},
}

// takeBack says how to take a record back.
func takeBack(rec journal.Record) string {
	return " (" + journal.Typed("rakelight retract %s", rec.ID()) + " takes it back)"
}

// told prints what a person should know of what was said, each with what to do
// about it.
func (a *app) told(remarks []entry.Remark) {
	for _, r := range remarks {
		if words := wording.Remark(r); words.Hint == "" {
			a.println(words.What)
		} else {
			a.printf("%s; %s\n", words.What, words.Hint)
		}
	}
}

// careful prints the caution of a kind of work, if there is one, as remarks are
// written.
func (a *app) careful(text string) {
	if text != "" {
		a.remark(strings.ToLower(text[:1]) + strings.TrimSuffix(text[1:], "."))
	}
}
