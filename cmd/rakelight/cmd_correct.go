// rakelight correct: mends what was said of a session.

package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
)

var correctCmd = &command{
	name: "correct", line: "correct a session",
	usage: `Usage: rakelight correct SESSION [--begin TIME] [--end TIME] [--worked TIME] [--break "FROM to TO"]…
                         [--no-breaks] [--parts PARTS] [--add PARTS] [--take PARTS] [--count N]
                         [--build BUILD] [--stage STAGE] [--kit N] [--class CLASS] [--tool NAME]… [--for STAGE]
                         [--note TEXT] [--yes] [--preview]

Corrects a session, by timer, by card or from memory; the earlier record stays,
the newer one counts. The id of a session is printed when it ends, and stands on
the build's page. What is not named stays as it is. A time without a day is one of
the session's own evening.

  --begin TIME    it began then: 19:40, or "2026-11-21 19:40"
  --end TIME      it ended then
  --worked TIME   it lasted that long: 40m, 1h20; it is then a remembered time
  --break SPAN    a break in it: "20:10 to 20:25"; once for each. They replace
                  those noted before
  --no-breaks     there was no break
  --parts PARTS   the parts done, in place of all counted before: A1-A12,B3, a
                  number, or 0 for none
  --add PARTS     more parts done: A13
  --take PARTS    parts that were not done: A4
  --count N       number of parts done beyond those named
  --kit N         which kit of the build
  --class CLASS   what sort of parts; "" = not said
  --tool NAME     the tools used, in place of those named before; "" = none
  --for STAGE     of a repair: the stage, or the id of the mistake, it puts right
  --note TEXT     the note; "" = none
  --yes           yes, it really ran that long
  --preview       say how it would be, and write nothing

Example:
  rakelight correct bench-1f3a/12 --end 20:40 --break "20:10 to 20:25"
  rakelight correct bench-1f3a/12 --take A4 --add A5 --preview
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("correct", pflag.ContinueOnError)
		f := correctFlags(fs)
		j, rest, err := a.openWith(fs, args, takes(1, 1, "correct takes one session"))
		if err != nil {
			return err
		}
		said, err := f.request(a, j.State, rest[0])
		if err != nil {
			return err
		}
		if f.preview {
			plan, after, err := entry.Preview(j, said)
			if err != nil {
				return err
			}
			a.printf("before: %s\n", inFull(j.State, j.State.Session(said.Session)))
			a.printf("then:   %s; nothing was written\n", inFull(after, after.Session(said.Session)))
			a.told(plan.Remarks)
			return nil
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		s := done.Sessions()[0]
		a.printf("corrected: %s%s\n", inFull(done.State, s), takeBack(done.Records[0]))
		a.told(done.Remarks)
		return nil
	},
}

// correction is the flags of correct, as they were typed.
type correction struct {
	set               *pflag.FlagSet
	begin, end, lasts string
	breaks            []string
	noBreaks, preview bool
	parts             string
	kit, count        int
	class, note       string
	tools             *[]string
	said              entry.Correct
}

func correctFlags(fs *pflag.FlagSet) *correction {
	f := &correction{set: fs}
	fs.StringVar(&f.begin, "begin", "", "")
	fs.StringVar(&f.end, "end", "", "")
	fs.StringVar(&f.lasts, "worked", "", "")
	fs.StringArrayVar(&f.breaks, "break", nil, "")
	fs.BoolVar(&f.noBreaks, "no-breaks", false, "")
	fs.StringVar(&f.parts, "parts", "", "")
	fs.StringVar(&f.said.Add, "add", "", "")
	fs.StringVar(&f.said.Take, "take", "", "")
	fs.IntVar(&f.count, "count", 0, "")
	fs.StringVar(&f.said.Build, "build", "", "")
	fs.StringVar(&f.said.Stage, "stage", "", "")
	fs.IntVar(&f.kit, "kit", 0, "")
	fs.StringVar(&f.class, "class", "", "")
	f.tools = toolFlag(fs)
	fs.StringVar(&f.said.For, "for", "", "")
	fs.StringVar(&f.note, "note", "", "")
	fs.BoolVar(&f.said.Accept, "yes", false, "")
	fs.BoolVar(&f.preview, "preview", false, "")
	return f
}

// request is what the flags say of the session.
func (f *correction) request(a *app, s *journal.State, session string) (entry.Correct, error) {
	said := f.said
	said.Session, said.Kit = session, f.kit
	switch {
	case f.end != "" && f.lasts != "":
		return said, &usageError{"correct takes either --end or --worked"}
	case f.noBreaks && len(f.breaks) > 0:
		return said, &usageError{"correct takes either --break or --no-breaks"}
	}
	for _, one := range []struct {
		flag string
		text *string
		to   **string
	}{{"parts", &f.parts, &said.Parts}, {"class", &f.class, &said.Class}, {"note", &f.note, &said.Note}} {
		if f.set.Changed(one.flag) {
			*one.to = one.text
		}
	}
	if f.set.Changed("count") {
		said.Count = &f.count
	}
	if *f.tools != nil {
		said.Tools = f.tools
	}
	if f.lasts != "" {
		var err error
		if said.Lasted, err = a.length(f.lasts); err != nil {
			return said, err
		}
	}
	return said, f.times(a, s, &said)
}

// times reads the times as those of the session's own evening.
func (f *correction) times(a *app, s *journal.State, said *entry.Correct) error {
	one := s.Session(said.Session)
	if one == nil {
		return nil // the door says so
	}
	evening := evening{a, s.Zone, one.Start}
	var err error
	if said.Start, err = evening.around("--begin", f.begin); err != nil {
		return err
	}
	if !said.Start.IsZero() {
		evening.from = said.Start
	}
	if said.End, err = evening.after("--end", f.end); err != nil {
		return err
	}
	if len(f.breaks) == 0 && !f.noBreaks {
		return nil
	}
	rests := []journal.Rest{}
	for _, text := range f.breaks {
		span, err := evening.span("--break", text)
		if err != nil {
			return err
		}
		rests = append(rests, journal.Rest(span))
	}
	said.Breaks = &rests
	return nil
}

// inFull is a session in one line: when it was, its breaks, what was done, and what
// is noted of it.
func inFull(s *journal.State, one *journal.Session) string {
	line := fmt.Sprintf("%s on %s, %s", one.Stage, one.Build, one.Date)
	if s.Clocked(one) {
		line += one.Start.In(s.Zone).Format(" 15:04")
		if !one.Open {
			line += one.End.In(s.Zone).Format(" to 15:04")
		}
	}
	if !one.Open {
		line += ", " + journal.Spell(one.Net) + " " + one.Known
	}
	for _, b := range one.Breaks {
		line += ", break " + b.Start.In(s.Zone).Format("15:04")
		if !b.End.IsZero() {
			line += b.End.In(s.Zone).Format(" to 15:04")
		}
	}
	if one.Counted {
		line += ", " + wording.Done(one)
	}
	if len(one.Parts) > 0 {
		var names []string
		for _, p := range one.Parts {
			names = append(names, p.String())
		}
		line += " (" + strings.Join(names, ", ") + ")"
	}
	for _, also := range []struct{ what, value string }{{"class", one.Class}, {"tools", strings.Join(one.Tools, ", ")},
		{"note", one.Note}} {
		if also.value != "" {
			line += ", " + also.what + ": " + also.value
		}
	}
	if one.Kit > 0 {
		line += fmt.Sprintf(", kit %d", one.Kit)
	}
	return line
}
