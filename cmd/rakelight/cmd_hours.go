// rakelight hours: net bench hours, summed by build, kit, stage kind or week.

package main

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

var hoursCmd = &command{
	name: "hours", line: "add up the hours at the bench",
	usage: `Usage: rakelight hours [BUILD] [--by build|kit|kind|week]

Adds up net hours at the bench, breaks and waiting left out, of one build or of
all: by build unless you say otherwise. Measured, estimated and remembered time
stand apart.

Of evenings without a timer or a card, photos tell a lower bound: of each evening
the time between photos that follow each other within 15 minutes, by cameras whose
clock is known. It is told below the table and is in none of its sums, nor in any
pace, forecast or comparison.

Example:
  rakelight hours pilot-boat --by week
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("hours", pflag.ContinueOnError)
		by := fs.String("by", "build", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		key := hoursKeys[*by]
		if len(rest) > 1 || key == nil {
			return &usageError{"hours takes one build at most, and --by build, kit, kind or week"}
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		id := ""
		if len(rest) == 1 {
			build, err := j.State.ResolveBuild(rest[0])
			if err != nil {
				return err
			}
			id = build.ID
		}
		t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', tabwriter.AlignRight)
		fprintf(t, "%s\tsessions\thours\tmeasured\testimated\tremembered\t\n", *by)
		for _, s := range metrics.Hours(j.State.Work(id), key) {
			fprintf(t, "%s\t%d\t%s\t%s\t%s\t%s\t\n", s.Key, s.N, metrics.Tenths(s.Hours),
				metrics.Tenths(s.Measured), metrics.Tenths(s.Estimated), metrics.Tenths(s.Remembered))
		}
		if err := t.Flush(); err != nil {
			return err
		}
		a.tellGlimpses(j.State, id)
		return nil
	},
}

// tellGlimpses tells what photos say of evenings of which nothing else does, of one build
// or of all.
func (a *app) tellGlimpses(s *journal.State, build string) {
	for _, b := range s.Builds {
		if build != "" && b.ID != build {
			continue
		}
		if g := s.Glimpse(b.ID); g.Least > 0 {
			a.printf("not in the sums: %s, at least %s h on %s without a timer, by groups of %s\n", b.ID,
				metrics.Tenths(g.Least.Hours()), count(g.Evenings, "evening"), count(g.Photos, "photo"))
		}
	}
}

// hoursKeys are what hours are added up by.
var hoursKeys = map[string]func(metrics.Work) string{
	"build": func(w metrics.Work) string { return w.Build },
	"kind":  func(w metrics.Work) string { return w.Kind },
	"kit":   func(w metrics.Work) string { return fmt.Sprintf("%s, kit %d", w.Build, max(1, w.Kit)) },
	"week": func(w metrics.Work) string {
		if w.Week == "" {
			return "week not known"
		}
		return w.Week
	},
}
