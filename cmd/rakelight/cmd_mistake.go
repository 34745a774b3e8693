// rakelight mistake: notes what went wrong, and counts what came back.

package main

import (
	"fmt"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/metrics"
)

var mistakeCmd = &command{
	name: "mistake", line: "note what went wrong, or list what came back",
	usage: `Usage: rakelight mistake [BUILD] KIND [flags]
       rakelight mistake

Notes a mistake by its kind, a word or two that you use again for the next of
its like: gouge, "lost part", "glue fog". Without BUILD it is the one you are
working on; a kind of several words then needs its quotation marks. Without arguments
it lists the kinds: how many per 100 parts, in how many builds, and how many the latest
build has against those before it, with its range (95 %).

  --stage STAGE   the stage that caused it, not the one where you found it
  --parts PARTS   A12,B3
  --cause TEXT    why
  --mended TEXT   what put it right
  --lost TIME     bench time it cost: "15 min", 1h20; a bare number is minutes

Examples:
  rakelight mistake gouge
  rakelight mistake pilot-boat gouge --stage clean --parts A12 --cause "blunt blade" --lost 15
`,
	run: func(a *app, args []string) error {
		var said entry.Mistake
		fs := pflag.NewFlagSet("mistake", pflag.ContinueOnError)
		fs.StringVar(&said.Stage, "stage", "", "")
		fs.StringVar(&said.Parts, "parts", "", "")
		fs.StringVar(&said.Cause, "cause", "", "")
		fs.StringVar(&said.Mended, "mended", "", "")
		lost := minutesFlag(fs, "lost")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			a.printMistakes(j.State)
			return nil
		}
		said.Lost = time.Duration(*lost * float64(time.Minute))
		if said.Kind = rest[0]; len(rest) > 1 {
			said.Build, said.Kind = rest[0], strings.Join(rest[1:], " ")
		} else if j.State.Build(rest[0]) != nil {
			return &usageError{"mistake wants to know what kind of mistake it was on " + rest[0]}
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		body := done.Add[0].(journal.MistakeBody)
		times := 0
		for _, m := range done.State.Mistakes {
			if m.Kind == body.Kind {
				times++
			}
		}
		a.printf("%s on %s noted, %s in all%s\n", body.Kind, body.Build, count(times, "time"),
			takeBack(done.Records[0]))
		a.told(done.Remarks)
		return nil
	},
}

// printMistakes lists the kinds of mistake.
func (a *app) printMistakes(s *journal.State) {
	if len(s.Mistakes) == 0 {
		a.println("No mistakes noted.")
		return
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	fprintf(t, "mistake\ttimes\tbuilds\tminutes lost\ton 100 parts\tlatest build\n")
	for _, one := range s.SlipKinds() {
		c := one.PerHundred()
		rate := "–"
		if c.Centre > 0 {
			size := 0.0
			for _, p := range c.Points {
				size += 100 * p.Size
			}
			rate = fmt.Sprintf("%.1f of %s", c.Centre, count(int(math.Round(size)), "part"))
		}
		fprintf(t, "%s\t%d\t%d\t%.0f\t%s\t%s\n", one.Kind, len(one.Mistakes), len(one.In), one.Lost.Minutes(), rate,
			latestPoint(c))
	}
	t.Flush()
}

func latestPoint(c metrics.Chart) string {
	if !c.OK {
		return c.Why.String()
	}
	said := fmt.Sprintf("%.1f: %s", c.Points[len(c.Points)-1].PerUnit, c.RatioWords())
	switch {
	case c.Claimed && c.Interval.Low > 1:
		return said + ", more than before"
	case c.Claimed && c.Interval.High < 1:
		return said + ", fewer than before"
	}
	return said
}
