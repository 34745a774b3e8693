// rakelight mistake: notes what went wrong, and counts what came back.

package main

import (
	"flag"
	"fmt"
	"math"
	"strings"
	"text/tabwriter"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

var mistakeCmd = &command{
	name: "mistake", line: "note what went wrong, or list what came back",
	usage: `Usage: rakelight mistake BUILD KIND [flags]
       rakelight mistake

Notes a mistake by its kind, a word or two that you use again for the next of
its like: gouge, lost part, glue fog. Without arguments it lists the kinds: how
many on 100 parts, in how many builds, and whether the latest build stands out
from what chance explains.

  --stage STAGE   the stage that caused it, not the one where you found it
  --parts PARTS   A12,B3
  --cause TEXT    why
  --mended TEXT   what mended it
  --lost TIME     bench time it cost: "15 min", 1h20; a bare number is minutes

Example:
  rakelight mistake pilot-boat gouge --stage clean --parts A12 --cause "blunt blade" --lost 15
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("mistake", flag.ContinueOnError)
		stage := fs.String("stage", "", "")
		parts := fs.String("parts", "", "")
		cause := fs.String("cause", "", "")
		mended := fs.String("mended", "", "")
		lost := minutesFlag(fs, "lost")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) == 1 {
			return &usageError{"mistake takes a build and what kind of mistake it was"}
		}
		if !(*lost >= 0 && *lost < 24*60) {
			return &usageError{"--lost takes less than a day, such as --lost \"15 min\""}
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			a.printMistakes(j.State)
			return nil
		}
		build, err := j.State.ResolveBuild(rest[0])
		if err != nil {
			return err
		}
		body := journal.MistakeBody{Build: build.ID, Kind: strings.ToLower(strings.Join(strings.Fields(strings.Join(rest[1:], " ")), " ")),
			Cause: *cause, Mended: *mended, Minutes: *lost, At: a.now()}
		if *stage != "" {
			st, err := j.State.ResolveStage(build, *stage)
			if err != nil {
				return err
			}
			body.Stage = st.ID
		}
		if *parts != "" {
			refs, bare, err := journal.ParseParts(*parts, build)
			if err != nil {
				return err
			}
			if bare > 0 {
				return &usageError{"--parts takes references such as A12, not a bare count"}
			}
			body.Parts = refs
		}
		if body.Kind == "" {
			return &usageError{"say in a word or two what kind of mistake it was"}
		}
		rec, err := j.Append("mistake", body)
		if err != nil {
			return err
		}
		times := 0
		for _, m := range j.State.Mistakes {
			if m.Kind == body.Kind {
				times++
			}
		}
		a.printf("%s on %s noted, %s in all%s\n", body.Kind, build.ID, count(times, "time"), takeBack(rec))
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
		fprintf(t, "%s\t%d\t%d\t%.0f\t%s\t%s\n", one.Kind, len(one.Mistakes), len(one.In), one.Lost.Minutes(), rate, latestPoint(c))
	}
	t.Flush()
}

func latestPoint(c metrics.Chart) string {
	if !c.OK {
		return c.Why
	}
	switch p := c.Points[len(c.Points)-1]; {
	case p.Out && p.PerUnit > p.High:
		return fmt.Sprintf("%.1f: more than chance explains", p.PerUnit)
	case p.Out:
		return fmt.Sprintf("%.1f: fewer than chance explains", p.PerUnit)
	default:
		return fmt.Sprintf("%.1f: as usual", p.PerUnit)
	}
}
