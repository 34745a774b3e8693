// rakelight note, rakelight day: words kept at once, without an editor.

package main

import (
	"errors"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/phrase"
)

var noteCmd = &command{
	name: "note", line: "keep a note, on the session that runs or on a part",
	usage: `Usage: rakelight note "TEXT" [flags]

Keeps a note at once: on the session that runs, else on the build. With --part
it belongs to those parts and is part of their story (rakelight parts A12): which
side pegs were cut, where to pull from, where it is stored. The build page shows it, too.

  --part PARTS    the parts it is on, such as A12 or A1-A4,B3
  --build BUILD   the build, where no session runs and several are open
  --stage STAGE   the stage, if it is not the session's
  --session ID    another session than the one that runs
  --at TIME       when, if it was not now: 20:10

Example:
  rakelight note "peg cut on the left side" --part A12
`,
	run: func(a *app, args []string) error {
		var said entry.Note
		fs := pflag.NewFlagSet("note", pflag.ContinueOnError)
		fs.StringVar(&said.Parts, "part", "", "")
		fs.StringVar(&said.Build, "build", "", "")
		fs.StringVar(&said.Stage, "stage", "", "")
		fs.StringVar(&said.Session, "session", "", "")
		at := fs.String("at", "", "")
		j, rest, err := a.openWith(fs, args, takes(1, many, `note takes its words: rakelight note "peg short"`))
		if err != nil {
			return err
		}
		if said.At, err = a.moment(*at, j.State.Zone); err != nil {
			return err
		}
		said.Text = strings.Join(rest, " ")
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		a.printf("noted on %s%s\n", noteOn(done.Add[0].(journal.NoteBody)), takeBack(done.Records[0]))
		a.told(done.Remarks)
		return nil
	},
}

// noteOn is what a note is on, in words.
func noteOn(n journal.NoteBody) string {
	on := n.Build
	if n.Stage != "" {
		on = n.Stage + " of " + n.Build
	}
	if len(n.Parts) == 0 {
		return on
	}
	var parts []string
	for _, p := range n.Parts {
		parts = append(parts, p.String())
	}
	return strings.Join(parts, ", ") + ", " + on
}

var dayCmd = &command{
	name: "day", line: "add to the day's words in the diary",
	usage: `Usage: rakelight day "TEXT" [--date DAY] [--build BUILD]

Adds a paragraph to the diary of a day: builds/BUILD/diary/YYYY-MM-DD.md, a file
that is yours to edit. What stands in it stays as it is; two in a row make two
paragraphs. Without --build it goes to the build of the session that runs, or of
the last session of that day.

The words are Markdown, and on the pages they may also hold:

  ![words](1f3a9c04)           the photo with these first digits
  ![words](1f3a9c04+77aa0011)  two of them beside each other
  [the cab](part:A12)          the way to part A12 of this build
  [that day](2026-03-14.md)    the way to another day; [W11](2026-W11) to a week

A photo alone in its paragraph stands between the paragraphs; three or more that
share one are a strip.

  --date DAY     yesterday, Tuesday, 24 November, 2026-03-14; left out: today,
                 and after midnight the day on which the session that runs began
  --build BUILD  the build

Example:
  rakelight day "The seam is gone at last; the second coat of filler did it."
`,
	run: func(a *app, args []string) error {
		var said entry.Day
		fs := pflag.NewFlagSet("day", pflag.ContinueOnError)
		fs.StringVar(&said.Build, "build", "", "")
		date := fs.String("date", "", "")
		j, rest, err := a.openWith(fs, args, takes(1, many, `day takes its words: rakelight day "the seam is gone"`))
		if err != nil {
			return err
		}
		if *date != "" {
			if said.Date, err = oneDay(*date, a.now().In(j.State.Zone)); err != nil {
				return err
			}
		}
		said.Text = strings.Join(rest, " ")
		build, file, err := entry.AddToDay(j, said)
		if errors.Is(err, journal.ErrChanged) {
			return &journal.AskError{What: err.Error(), Hint: "close the editor that holds it, or write there"}
		}
		if err != nil {
			return err
		}
		a.printf("added to the words of %s of %s\n", strings.TrimSuffix(file[strings.LastIndex(file, "/")+1:], ".md"),
			build)
		a.printf("to change it or take it out, edit %s\n", file)
		return nil
	},
}

// oneDay reads a day, which no more than one can be meant by.
func oneDay(text string, now time.Time) (string, error) {
	day, err := phrase.ParseDay(text, now)
	if err != nil {
		return "", notUnderstood(err)
	}
	if !day.Exact() {
		return "", &usageError{"--date takes one day, and " + day.Said + " has many"}
	}
	return day.First.Format(time.DateOnly), nil
}
