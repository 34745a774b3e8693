// rakelight week: a week in a few lines, what there is to tell of it, and the stills
// for it.

package main

import (
	"errors"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/render"
)

var weekCmd = &command{
	name: "week", line: "say what a week brought, what to tell of it, and draw stills",
	usage: `Usage: rakelight week [WEEK]
       rakelight week [WEEK] --talk
       rakelight week [WEEK] --stills DIR [--night]

Says what a week brought, in a few lines. WEEK is 2026-W26 (ISO 8601), a day in
it, or last; left out, it is the newest week of which something is kept.

  --talk        what there is to tell of it, in the order of telling and in your
                own name: what was planned, what got done, hours and parts, this
                build beside the one before, what went wrong and what it taught, a
                tip with its caution, what waits. A change of speed is told only
                where the pace page tells it; else what was measured
  --stills DIR  the pictures for it, 1920 by 1080: a title, then-and-now pairs,
                the chart of the week, the runners, a statement each. They are
                numbered in their order; captions.txt has a line for each. DIR is
                made; in it only stills as this command drew them are replaced
  --night       ivory on dark paper

It is made to be told to others: what is private is left out (rakelight help
publish tells what that is).

Examples:
  rakelight week
  rakelight week 2026-W26 --talk
  rakelight week last --stills ../video
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("week", pflag.ContinueOnError)
		talk := fs.Bool("talk", false, "")
		stills := fs.String("stills", "", "")
		night := fs.Bool("night", false, "")
		j, rest, err := a.openWith(fs, args, takes(0, 1, "week takes one week: 2026-W26, a day in it, or last"),
			func([]string) error {
				if *night && *stills == "" {
					return &usageError{"--night goes with --stills"}
				}
				return nil
			})
		if err != nil {
			return err
		}
		words := ""
		if len(rest) == 1 {
			words = rest[0]
		}
		monday, err := render.WeekOf(j.State, words, a.now())
		if errors.Is(err, render.ErrNoWeek) {
			return &journal.AskError{What: err.Error(), Hint: "rakelight on BUILD STAGE begins a session"}
		} else if err != nil {
			return &usageError{err.Error()}
		}
		if *stills != "" {
			return a.writeStills(j, monday, *stills, *night)
		}
		of := render.ShortOf
		if *talk {
			of = render.TalkOf
		}
		t := of(j.State, monday, a.now())
		a.printf("%s\n", t.Heading)
		for _, part := range t.Parts {
			if part.Title != "" {
				a.printf("\n%s\n", part.Title)
			}
			for _, line := range part.Lines {
				a.printf("  %s\n", line)
			}
		}
		return nil
	},
}
