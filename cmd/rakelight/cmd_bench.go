// rakelight on, off, break, done and status: the timer at the bench.

package main

import (
	"flag"
	"fmt"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
)

var onCmd = &command{
	name: "on", line: "begin a stage at the bench",
	usage: `Usage: rakelight on BUILD STAGE [--kit N] [--class CLASS] [--tool NAME]… [--for STAGE] [--at HH:MM]

Begins a session. A session that runs on another stage ends at that moment. A
timer that seems forgotten is asked about first and never counted silently.

  --kit N         which kit of the build
  --class CLASS   what sort of parts: flat, curved, small, clear, resin
                  (pace is compared only within a class)
  --tool NAME     a tool you use, by a name of your own; give it once for each.
                  rakelight tool adds one later
  --for STAGE     of a repair: the stage that caused it, or the id of the
                  mistake; its hours are charged there
  --at HH:MM      it began earlier today

Example:
  rakelight on pilot-boat clean --class curved
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("on", flag.ContinueOnError)
		kit := fs.Int("kit", 0, "")
		class := fs.String("class", "", "")
		at := fs.String("at", "", "")
		tools := toolFlag(fs)
		mends := fs.String("for", "", "")
		j, rest, err := a.openWith(fs, args, takes(2, 2, "on takes a build and a stage"))
		if err != nil {
			return err
		}
		build, stage, err := place(j.State, rest[0], rest[1], *kit)
		if err != nil {
			return err
		}
		if p := j.State.Paused(build.ID); p != nil {
			return &journal.AskError{What: fmt.Sprintf("%s is paused since %s (%s)", build.ID, p.From.In(j.State.Zone).Format("2006-01-02"), p.Why), Hint: journal.Typed("rakelight resume %s", build.ID) + " takes it up again"}
		}
		if err := knownClass(build, *class); err != nil {
			return err
		}
		causer, err := mended(j.State, build, stage.Kind, *mends)
		if err != nil {
			return err
		}
		start, err := a.clock(*at, j.State.Zone)
		if err != nil {
			return err
		}
		begun, ended, err := j.BeginAt(journal.BeginBody{Build: build.ID, Kit: *kit, Stage: stage.ID, Kind: stage.Kind, Class: *class, Start: start, Tools: *tools, For: causer})
		if err != nil {
			return err
		}
		if ended != nil {
			a.printEnded(j, ended)
		}
		a.printf("%s on %s began at %s\n", stage.ID, build.ID, begun.Start.In(j.State.Zone).Format("15:04"))
		if c := caution(stage.Kind); c != "" {
			a.remark(c)
		}
		return nil
	},
}

var offCmd = &command{
	name: "off", line: "end the running session",
	usage: `Usage: rakelight off [--at TIME] [--worked TIME]

Ends the running session now. If the timer was forgotten, say when it really
ended or how long you really worked; it is never counted silently.

  --at TIME       it ended then: 22:10 (the latest such time that has passed),
                  or with its day, "2026-11-21 20:30"
  --worked TIME   it lasted that long: 40m, 1h20. A time you say is shown as
                  remembered, not as measured.

Example:
  rakelight off --worked 1h20
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("off", flag.ContinueOnError)
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
		var ended []*journal.Session
		if *worked != "" {
			w, err := journal.ParseWorked(*worked, a.now())
			if err != nil {
				return &usageError{err.Error()}
			}
			ended, err = j.EndAfter(time.Duration(w.Minutes*float64(time.Minute)), a.now())
			if err != nil {
				return err
			}
		} else {
			end, err := a.ended(*at, j.State.Zone)
			if err != nil {
				return err
			}
			if ended, err = j.EndAt(end); err != nil {
				return err
			}
		}
		for _, s := range ended {
			a.printEnded(j, s)
		}
		return nil
	},
}

// ended is now, or the moment a person names as an end: a day and a time, or the
// latest such time that has passed.
func (a *app) ended(at string, zone *time.Location) (time.Time, error) {
	if end, err := time.ParseInLocation("2006-01-02 15:04", at, zone); err == nil {
		if end.After(a.now()) {
			return time.Time{}, &usageError{fmt.Sprintf("--at %q has not come yet; nothing was written", at)}
		}
		return end, nil
	}
	end, err := a.onTheDay(at, zone)
	if err != nil {
		return time.Time{}, &usageError{fmt.Sprintf("--at %q is no time; write it as 20:30, or as %q", at, a.now().In(zone).Format("2006-01-02 15:04"))}
	}
	if at != "" && end.After(a.now()) {
		end = end.AddDate(0, 0, -1) // after midnight, 22:10 means yesterday's
	}
	return end, nil
}

func (a *app) printEnded(j *journal.Journal, s *journal.Session) {
	a.printf("%s on %s: %s at the bench", s.Stage, s.Build, journal.Spell(s.Net))
	if s.Counted {
		a.printf(", %s done", count(s.Done(), "part"))
	}
	a.printf(" (session %s)\n", s.ID)
}

var breakCmd = &command{
	name: "break", line: "begin or end a break",
	usage: `Usage: rakelight break [--at HH:MM]

Begins a break in the running session, or ends the break that runs. Breaks are
part of a good evening; they are only kept out of the bench time.

Example:
  rakelight break
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("break", flag.ContinueOnError)
		at := fs.String("at", "", "")
		j, _, err := a.openWith(fs, args, takes(0, 0, "break takes no arguments"))
		if err != nil {
			return err
		}
		when, err := a.clock(*at, j.State.Zone)
		if err != nil {
			return err
		}
		s, resting, err := j.BreakAt(when)
		if err != nil {
			return err
		}
		word := "ended"
		if resting {
			word = "began"
		}
		a.printf("the break in %s on %s %s at %s\n", s.Stage, s.Build, word, when.In(j.State.Zone).Format("15:04"))
		return nil
	},
}

var doneCmd = &command{
	name: "done", line: "count parts as done in the running session",
	usage: `Usage: rakelight done PARTS [--at HH:MM]

Counts parts in the running session: by reference (runner letter and part
number) or as a bare count. References are better: each part counts once, and
weeks later you still know which. A reference that could mean two things is
asked about, never guessed.

Example:
  rakelight done A1-A12,B3
  rakelight done 2/A4
  rakelight done 12
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("done", flag.ContinueOnError)
		at := fs.String("at", "", "")
		j, rest, err := a.openWith(fs, args, takes(1, many, "done takes the parts: A1-A12,B3 or a count"))
		if err != nil {
			return err
		}
		var build *journal.Build
		if running := j.State.Running(); len(running) > 0 {
			build = j.State.Build(running[0].Build)
		}
		if build == nil {
			build = &journal.Build{}
		}
		when, err := a.clock(*at, j.State.Zone)
		if err != nil {
			return err
		}
		if len(j.State.Running()) == 0 {
			_, _, err := j.DoneAt(nil, 0, when) // the refusal says what to do
			return err
		}
		refs, bare, err := journal.ParseParts(strings.Join(rest, ","), build)
		if err != nil {
			return err
		}
		s, rec, err := j.DoneAt(refs, bare, when)
		if err != nil {
			return err
		}
		a.printf("%s done in this session of %s on %s%s\n", count(s.Done(), "part"), s.Stage, s.Build, takeBack(rec))
		if over := j.State.OverIn(s.Build, s.Stage); over != nil {
			a.printf("%s; %s\n", over, over.Mend())
		}
		return nil
	},
}

var statusCmd = &command{
	name: "status", line: "say what is running, paused and to sort",
	usage: `Usage: rakelight status

Says which session runs, which builds are paused and what they wait for, and
how many photos are still to sort.

Example:
  rakelight status
`,
	run: func(a *app, args []string) error {
		j, _, err := a.openWith(flag.NewFlagSet("status", flag.ContinueOnError), args, takes(0, 0, "status takes no arguments"))
		if err != nil {
			return err
		}
		running := j.State.Running()
		for _, s := range running {
			a.printf("running: %s on %s since %s (%s)\n", s.Stage, s.Build, s.Start.In(j.State.Zone).Format("2006-01-02 15:04"), journal.Spell(a.now().Sub(s.Start)))
		}
		if len(running) == 0 {
			a.println("no session is running")
		}
		for _, b := range j.State.Builds {
			if p := j.State.Paused(b.ID); p != nil {
				a.printf("paused: %s since %s; why: %s; next: %s; waiting for: %s\n", b.ID, p.From.In(j.State.Zone).Format("2006-01-02"), orNothing(p.Why), orNothing(p.Next), orNothing(p.Waiting))
			}
		}
		// The pages name the same number beside the way to "To sort".
		if n := len(journal.Asked(j.State.ToDo())); n > 0 {
			a.printf("%s to sort\n", count(n, "photo"))
			a.println("rakelight check --photos lists them, each with what to type")
		}
		a.askForgotten(j)
		return nil
	},
}

func orNothing(s string) string {
	if s == "" {
		return "not said"
	}
	return s
}

// takeBack says how to take a record back.
func takeBack(rec journal.Record) string {
	return " (" + journal.Typed("rakelight retract %s", rec.ID()) + " takes it back)"
}

// classes are the part classes of the trade; a build's own come on top.
var classes = []string{"flat", "curved", "small", "clear", "resin", "etched"}

// knownClass refuses a class that neither the trade nor the build's runners
// name: a slip of the finger would fall out of every comparison unseen.
func knownClass(b *journal.Build, class string) error {
	all := slices.Clone(classes)
	for _, k := range b.Kits {
		for _, r := range k.Runners {
			if r.Class != "" && !slices.Contains(all, r.Class) {
				all = append(all, r.Class)
			}
		}
	}
	if class == "" || slices.Contains(all, class) {
		return nil
	}
	return &usageError{fmt.Sprintf("--class %s is not known; it is one of %s, or a class of the runners in the build's build.md", class, strings.Join(all, ", "))}
}

// place finds the build and stage a person named, and looks that the kit is
// one of the build's.
func place(s *journal.State, buildName, stageName string, kit int) (*journal.Build, *journal.Stage, error) {
	build, err := s.ResolveBuild(buildName)
	if err != nil {
		return nil, nil, err
	}
	stage, err := s.ResolveStage(build, stageName)
	if err != nil {
		return nil, nil, err
	}
	if kit < 0 || kit > max(1, len(build.Kits)) {
		return nil, nil, &usageError{fmt.Sprintf("%s has %s; --kit %d is none of them", build.ID, count(len(build.Kits), "kit"), kit)}
	}
	return build, stage, nil
}

// clock is now, or today at HH:MM in the journal's zone. A time that has not
// come yet is refused.
func (a *app) clock(hhmm string, zone *time.Location) (time.Time, error) {
	t, err := a.onTheDay(hhmm, zone)
	if err == nil && t.After(a.now()) {
		return time.Time{}, &usageError{fmt.Sprintf("--at %s has not come yet today; nothing was written", hhmm)}
	}
	return t, err
}

// onTheDay is now, or today at HH:MM, come or not.
func (a *app) onTheDay(hhmm string, zone *time.Location) (time.Time, error) {
	now := a.now().In(zone)
	if hhmm == "" {
		return now, nil
	}
	t, err := time.Parse("15:04", hhmm)
	if err != nil {
		return time.Time{}, &usageError{fmt.Sprintf("--at %s is no time of day; write it as 19:30", hhmm)}
	}
	return time.Date(now.Year(), now.Month(), now.Day(), t.Hour(), t.Minute(), 0, 0, zone), nil
}

// caution is the usual care for a kind of work, in one line. It defers to the
// data sheet, the label and local rules, which know the product.
func caution(kind string) string {
	const deferral = "; follow the product's label and data sheet, and your local rules"
	switch kind {
	case "clean", "seam":
		return "sand wet where you can, catch the dust and wipe it up wet" + deferral
	case "cut":
		return "sharp blade, light strokes, cut away from the hand, cover small pieces; cap the blade after"
	case "prime", "paint", "gloss", "top-coat":
		return "air to the outside, no flame or sparks near, gloves and mask as the data sheet names" + deferral
	case "assemble", "repair":
		return "keep glue off skin and away from eyes, with fresh air" + deferral
	}
	return ""
}

// askForgotten says which timers seem to have been forgotten.
func (a *app) askForgotten(j *journal.Journal) {
	now := a.now()
	for _, s := range j.State.Running() {
		if s.Overdue(now, j.State.Config.LongestTimer()) {
			a.say(fmt.Errorf("%s on %s has been running for %s; was the timer forgotten? it is not counted", s.Stage, s.Build, journal.Spell(now.Sub(s.Start))),
				`rakelight off --worked "1h20" says how long it really was`)
		}
	}
	for _, s := range j.State.Sessions {
		if s.Doubt != "" && !s.Open {
			a.say(fmt.Errorf("%s on %s, %s: %s; it is not counted", s.Stage, s.Build, s.Start.In(j.State.Zone).Format("2006-01-02"), s.Doubt),
				journal.Typed(`rakelight correct %s --worked "1h20"`, s.ID)+" says how long it really was")
		}
	}
}
