// rakelight forecast: when an open build is done.

package main

import (
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
	"rakelight/journal/wording"
)

var forecastCmd = &command{
	name: "forecast", line: "say how many hours and weeks are left",
	usage: `Usage: rakelight forecast [BUILD] [--remembered] [--json | --csv]

Says how many bench hours are left of an open build (the latest one unless you
name one) and when it may be done: an even chance within the inner range, a 4 in 5
chance within the outer one. It rests on your own measured sessions, the
latest forty of each kind of work, and on your own weeks of the last year; weeks
in which the build was paused do not count. Kits are taken in their order. Work
known from few sessions makes the range wide.

  --remembered  include the sessions you entered from memory too, and say so

Only what has a total is forecast: the parts on the runners through each stage,
and the joins, coats, items and decals whose totals stand in build.md:

  totals: {seam: 14, prime: 3, paint: 9, decal: 32}

Stages without a total, such as weathering, are named; their hours are not included.
Below it stands how such forecasts would have done on finished builds.

A day it must be ready by, such as that of a show, stands in build.md too; the
forecast then says the chance to make it and the hours a week it takes:

  ready-by: 2027-05-08

` + factFields + `
Example:
  rakelight forecast lightship
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("forecast", pflag.ContinueOnError)
		remembered := fs.Bool("remembered", false, "")
		as := formatFlags(fs)
		j, rest, err := a.openWith(fs, args, takes(0, 1, "forecast takes one build"), as.check)
		if err != nil {
			return err
		}
		build, err := openBuild(j.State, rest)
		if err != nil {
			return err
		}
		o := j.State.Outlook(build, a.now(), *remembered)
		if as.table() {
			return as.write(a, forecastFacts(o, j.State.Replays()))
		}
		a.printForecast(j.State, o)
		return nil
	},
}

// openBuild is the build named, or the latest one that is not finished.
func openBuild(s *journal.State, names []string) (*journal.Build, error) {
	if len(names) == 1 {
		b, err := s.ResolveBuild(names[0])
		if err == nil && b.Finished != "" {
			return nil, &journal.AskError{What: b.ID + " is finished since " + b.Finished,
				Hint: "name a build that is open"}
		}
		return b, err
	}
	for i := len(s.Builds) - 1; i >= 0; i-- {
		if _, untold := s.Untold(s.Builds[i]); !untold && s.Builds[i].Finished == "" && s.Gone(s.Builds[i].ID) == nil {
			return s.Builds[i], nil
		}
	}
	if len(s.Builds) == 0 {
		return nil, &journal.AskError{What: "there is no build yet, so there is nothing to forecast",
			Hint: "a build is a folder with a build.md: builds/NAME/build.md; the journal's README.txt shows one"}
	}
	return nil, &journal.AskError{What: "every build is finished",
		Hint: "a build is open while its build.md has no finished date"}
}

func forecastFacts(o journal.Outlook, replays []metrics.Replay) []fact {
	b, f := o.Build, o.Forecast
	spread := func(what, unit string, ok bool, s metrics.Spread, n int, why string) fact {
		return fact{What: what, Build: b.ID, Unit: unit, N: n, From: f.Sessions}.
			value(ok, s.Middle, metrics.Interval{Low: s.Low80, High: s.High80, OK: ok}, why)
	}
	facts := []fact{spread("hours left", "h", f.OK, f.Hours, f.N, f.Why.String()),
		spread("weeks left", "week", f.WeeksOK, f.Weeks, f.NWeeks, f.WhyNot.String())}
	facts = append(facts, readyFacts(o)...)
	for _, t := range f.LeftOut {
		parts := t.Parts
		facts = append(facts, fact{What: "left out", Build: b.ID, Kind: t.Kind, Class: t.Class, Finish: t.Finish,
			Parts: &parts, Why: "no measured session of this kind of work"})
	}
	for _, id := range o.Uncounted {
		facts = append(facts, fact{What: "uncounted", Build: b.ID, Stage: id, Why: "its end has no count in build.md"})
	}
	for _, r := range replays {
		if r.N > 0 {
			facts = append(facts, held(r, 50, r.In50), held(r, 80, r.In80))
		}
	}
	return facts
}

// readyFacts are the chance to be ready by the day that build.md names, and the hours
// a week that takes.
func readyFacts(o journal.Outlook) []fact {
	r := o.Ready
	if r == nil {
		return nil
	}
	day := r.Day.Format(time.DateOnly)
	h := r.PerWeek
	return []fact{
		fact{What: "ready by", Build: o.Build.ID, Unit: "chance", N: o.NWeeks, By: day, From: o.Sessions}.
			value(r.OK, r.Chance, metrics.Interval{}, r.WhyNot.String()),
		fact{What: "hours a week to be ready", Build: o.Build.ID, Unit: "h", N: o.N, By: day, From: o.Sessions}.
			value(r.HoursOK, h.Middle, metrics.Interval{Low: h.Low80, High: h.High80, OK: r.HoursOK},
				map[bool]string{false: r.WhyNot.String()}[r.HoursOK]),
	}
}

// held is the share of replayed builds whose limits held the true hours.
func held(r metrics.Replay, limits, in int) fact {
	share := float64(in) / float64(r.N)
	return fact{What: fmt.Sprintf("held by %d %% at %.0f %% done", limits, 100*r.Share), Value: &share, Unit: "share",
		N: r.N}
}

func (a *app) printForecast(s *journal.State, o journal.Outlook) {
	b, f := o.Build, o.Forecast
	said := wording.Outlook(o, say.English())
	for _, words := range []string{said.Sentence().String(), said.When(s.Zone).String(), said.ReadyWords().String()} {
		if words != "" {
			a.println(words)
		}
	}
	if len(o.Uncounted) > 0 {
		if !f.OK {
			a.printf("Without a total: %s.\n", strings.Join(o.Uncounted, ", "))
		}
		if could := couldCount(b, o.Uncounted); len(could) > 0 {
			a.printf("Totals in build.md would count %s.\n", strings.Join(could, ", "))
		}
	}
	for _, t := range f.LeftOut {
		unit, _ := metrics.CountedKind(t.Kind)
		what := t.Kind
		if t.Class != "" {
			what += " " + t.Class
		}
		a.printf("  left out: %s, %s (no timed session of it)\n", what, count(int(t.Parts), unit))
	}
	for _, c := range f.Thin {
		a.printf("  few sessions, so the range is wide: %s\n", strings.TrimSpace(c.Kind+" "+c.Class))
	}
	if !f.OK {
		return
	}
	a.printf("\n")
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fprintf(t, "\t80 %% from\t50 %% from\tmiddle\t50 %% to\t80 %% to\t\n")
	row := func(label string, s metrics.Spread) {
		fprintf(t, "%s\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t\n", label, s.Low80, s.Low50, s.Middle, s.High50, s.High80)
	}
	row("hours", f.Hours)
	if f.WeeksOK {
		row("weeks", f.Weeks)
	}
	for _, k := range f.Kits {
		label := fmt.Sprintf("to the end of kit %d", k.Kit)
		if k.Kit == 0 {
			label = "to the end of the whole"
		}
		row("hours "+label, k.Hours)
		if f.WeeksOK {
			row("weeks "+label, k.Weeks)
		}
	}
	t.Flush()
	a.printReplay(s)
}

// couldCount are the stages that a total in build.md would let the forecast count.
func couldCount(b *journal.Build, uncounted []string) []string {
	var could []string
	for _, id := range uncounted {
		if unit, ok := metrics.CountedKind(b.Stage(id).Kind); ok {
			could = append(could, fmt.Sprintf("%s (in %ss)", id, unit))
		}
	}
	return could
}

// printReplay says how forecasts would have done on finished builds.
func (a *app) printReplay(s *journal.State) {
	replays := s.Replays()
	words := journal.RecordWords(replays).String()
	if words == "" {
		a.printf("\nNo finished build to try such forecasts on yet.\n")
		return
	}
	a.printf("\n%s\n", words)
	for _, r := range replays {
		if r.N > 0 {
			a.printf("  at %.0f %% done: %d of %s within the 50 %%, %d within the 80 %%\n", 100*r.Share, r.In50,
				count(r.N, "build"), r.In80)
		}
	}
}
