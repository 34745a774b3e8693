// rakelight series: photos that a camera took at a steady interval.

package main

import (
	"fmt"
	"text/tabwriter"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/wording"
)

var seriesCmd = &command{
	name: "series", line: "list series of photos at a steady interval",
	usage: `Usage: rakelight series [BUILD]

Lists the series: photos that one camera took at a steady interval, as it does on
a stand over the bench. Nothing has to be said for it: they are found by their
times, twelve photos at least, one every 2 seconds to 10 minutes, over 2 minutes
or, of intervals under 15 seconds, over 4. A series is shown as one thing, with a
page to flick through, is tagged as one (rakelight tag PHOTO BUILD STAGE --series),
and is never among photos that are compared.

Where no timer, card or word of yours covers its time, it counts as time at the
bench while its pictures change: measured if something speaks for the camera's
clock, else estimated. A camera sees the bench and not who sits there, so none of
it enters a comparison of pace. rakelight worked tells the time yourself; what you
say stands above it.

Example:
  rakelight series pilot-boat
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("series", pflag.ContinueOnError)
		j, rest, err := a.openWith(fs, args, takes(0, 1, "series takes one build at most"))
		if err != nil {
			return err
		}
		build := ""
		if len(rest) == 1 {
			b, err := j.State.ResolveBuild(rest[0])
			if err != nil {
				return err
			}
			build = b.ID
		}
		a.listSeries(j.State, build)
		return nil
	},
}

func (a *app) listSeries(s *journal.State, build string) {
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	n := 0
	for _, one := range s.Series {
		if build != "" && one.Build != build {
			continue
		}
		n++
		place := "to sort: " + journal.Typed("rakelight tag %s BUILD STAGE", one.ID[:8]) + " --series"
		if one.Build != "" {
			place = one.Build + " " + one.Stage
		}
		fprintf(t, "%s\t%s to %s\t%s, one every %s\t%s\t%s\n", one.ID[:8], one.First.Format("2006-01-02 15:04"),
			one.Last.Format("15:04"), count(one.Frames, "photo"), journal.SpellShort(one.Step), place,
			seriesTime(s, one))
	}
	_ = t.Flush()
	if n == 0 {
		a.println("no photos at a steady interval")
	}
}

// seriesTime is what time at the bench a series makes, and why not more.
func seriesTime(s *journal.State, series journal.Series) string {
	for _, one := range s.Sessions {
		if one.Series != series.ID {
			continue
		}
		why := wording.How(one.How)
		if one.Known == journal.Measured {
			why = wording.Trust(series.Trust).English()
		}
		return fmt.Sprintf("%s at the bench, %s: %s", journal.Spell(s.SeriesNet(series.ID)), one.Known, why)
	}
	return "no time taken from it"
}
