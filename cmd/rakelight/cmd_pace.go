// rakelight pace: parts per hour, and this build beside the earlier ones.

package main

import (
	"text/tabwriter"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/wording"
)

var paceCmd = &command{
	name: "pace", line: "say how fast you work, and against your earlier builds",
	usage: `Usage: rakelight pace [BUILD] [--against BUILD] [--rework] [--json | --csv]
       rakelight pace [BUILD] --by kind|class|tool|build|week [--json | --csv]

Says the pace of each kind of work of a build (the latest one unless you name
one), then compares it with each earlier build, or with the one you name: raw,
and like for like, which compares only the same kind of work on the same class
of part. Every number comes with its range (95 %) and its number of sessions.
For each kind of work it says how small a change these evenings could have shown,
four times in five, and how many more would show one of 20 %.

Hours of repairs are charged to the stage that caused them, where that is known:
the pace with rework stands beside the pace without. Parts opened again are no
longer done, and count in neither. With --rework the comparisons too have the hours
of repairs in the work that caused them, say how many, and claim nothing.

With --by it says the pace of each kind of work by part class, tool, build or
week, of one build or of all. A session with two tools stands under both.

A build is called faster or slower, and learning is told, only of the latest build
and where all that the journal compares, taken together, allows it; the rest are
figures with their range, and the smallest change that so few evenings could have
shown. Evenings of counted work on which nothing was counted are named beside the pace.

Time you remembered or estimated is shown apart and stays out of comparisons.
Where there is enough of it, it says by how much each doubling of the parts done
cuts the time per part, and how the build stands against all earlier ones together
and along the chain from the first one.

` + factFields + `
Example:
  rakelight pace pilot-boat --against lorry
  rakelight pace --by tool
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("pace", pflag.ContinueOnError)
		against := fs.String("against", "", "")
		by := fs.String("by", "", "")
		rework := fs.Bool("rework", false, "")
		as := formatFlags(fs)
		j, rest, err := a.openWith(fs, args, takes(0, 1, "pace takes one build; --against names the other"), as.check)
		if err != nil {
			return err
		}
		if *by != "" {
			if *against != "" || *rework {
				return &usageError{"--by stands without --against and --rework"}
			}
			return a.paceBy(j.State, rest, *by, as)
		}
		build, err := paceBuild(j.State, rest)
		if err != nil {
			return err
		}
		var earlier []*journal.Build
		if *against != "" {
			one, err := j.State.ResolveBuild(*against)
			if err != nil {
				return err
			}
			if one.ID == build.ID {
				return &usageError{"a build is not compared with itself"}
			}
			earlier = append(earlier, one)
		} else {
			earlier = j.State.Earlier(build)
		}
		if *rework {
			return a.paceWithRework(j.State, build, earlier, as)
		}
		if as.table() {
			return as.write(a, paceFacts(j.State, build, earlier))
		}
		a.printPace(j.State, build)
		for _, e := range earlier {
			a.printComparison(j.State, e, build)
		}
		a.printSights(j.State, build, earlier)
		if len(earlier) > 1 {
			a.printYears(j.State, build, earlier)
		}
		return nil
	},
}

// paceWithRework compares a build with earlier ones, the hours of repairs being in the
// work that caused them.
func (a *app) paceWithRework(s *journal.State, b *journal.Build, earlier []*journal.Build, as format) error {
	var facts []fact
	for _, e := range earlier {
		c := s.SpeedWithRework(e, b)
		if as.table() {
			facts = append(facts, speedFacts(b.ID, e.ID, c)...)
			continue
		}
		a.printOneComparison(c, e.Title, b.Title, e.ID, b.ID)
	}
	if as.table() {
		return as.write(a, facts)
	}
	if len(earlier) == 0 {
		a.println("there is no earlier build to compare with")
	}
	return nil
}

// paceBuild is the build named, or the latest one with bench time.
func paceBuild(s *journal.State, names []string) (*journal.Build, error) {
	if len(names) == 1 {
		return s.ResolveBuild(names[0])
	}
	if b := s.LatestWorked(); b != nil {
		return b, nil
	}
	return nil, &journal.AskError{What: "there is no bench time in this journal yet",
		Hint: "rakelight on BUILD STAGE begins a session"}
}

// printPace prints a sentence and a row for each kind of work of the build.
func (a *app) printPace(s *journal.State, b *journal.Build) {
	work := s.Work(b.ID)
	byKind := map[string][]metrics.Work{}
	for _, w := range work {
		byKind[w.Kind] = append(byKind[w.Kind], w)
	}
	a.printf("%s\n", b.Title)
	for _, kind := range journal.Kinds {
		unit, ok := metrics.CountedKind(kind)
		for _, known := range []string{metrics.Measured, metrics.Estimated, metrics.Remembered} {
			p := metrics.PaceOf(metrics.KnownAs(byKind[kind], known))
			if !ok || p.N+p.Untimed == 0 {
				continue
			}
			label := wording.KindName(kind)
			if known != metrics.Measured {
				label += ", " + known
			}
			a.printf("  %s\n", p.Sentence(label, unit).String())
			if said := metrics.ReworkOf(metrics.KnownAs(work, known), kind).Sentence(label, unit).String(); said != "" {
				a.printf("  %s\n", said)
			}
		}
	}
	if m := metrics.MendingOf(work); m.Uncharged > 0 {
		a.printf("  Repair: %s of %s h in %s charged to no stage; rakelight correct SESSION --for STAGE says which caused it.\n",
			metrics.Tenths(m.Hours-m.Charged), metrics.Tenths(m.Hours), count(m.N, "session"))
	}
	a.printLearning(s, b)
	a.printf("\n")
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fprintf(t, "stage\tsessions\tall hours\tmeasured\testimated\tremembered\tpace from\thours\tdone\tan hour\t95 %% low\thigh\trework h\twith it\t\n")
	sums := metrics.Hours(work, func(w metrics.Work) string { return w.Kind })
	bySum := map[string]metrics.Sum{}
	for _, sum := range sums {
		bySum[sum.Key] = sum
	}
	for _, kind := range journal.Kinds {
		sum, ok := bySum[kind]
		if !ok {
			continue
		}
		fprintf(t, "%s\t%d\t%s\t%s\t%s\t%s\t", kind, sum.N, metrics.Tenths(sum.Hours), metrics.Tenths(sum.Measured),
			metrics.Tenths(sum.Estimated), metrics.Tenths(sum.Remembered))
		p := metrics.PaceOf(metrics.KnownAs(byKind[kind], metrics.Measured))
		_, countable := metrics.CountedKind(kind)
		switch {
		case !countable || !p.OK:
			fprintf(t, "–\t–\t–\t–\t–\t–\t")
		case !p.Interval.OK:
			fprintf(t, "%d\t%s\t%.0f\t%.1f\t–\t–\t", p.Timed, metrics.Tenths(p.Hours), p.Parts, p.PerHour)
		default:
			fprintf(t, "%d\t%s\t%.0f\t%.1f\t%.1f\t%.1f\t", p.Timed, metrics.Tenths(p.Hours), p.Parts, p.PerHour,
				p.Interval.Low, p.Interval.High)
		}
		r := metrics.ReworkOf(metrics.KnownAs(work, metrics.Measured), kind)
		if r.Repairs == 0 || !r.Charged.OK || !countable {
			fprintf(t, "–\t–\t\n")
			continue
		}
		fprintf(t, "%s\t%.1f\t\n", metrics.Tenths(r.Hours), r.Charged.PerHour)
	}
	t.Flush()
}

// printComparison prints the sentence, then the cells it rests on.
func (a *app) printComparison(s *journal.State, earlier, later *journal.Build) {
	a.printOneComparison(s.Speed(earlier, later), earlier.Title, later.Title, earlier.ID, later.ID)
}

// printSights says how small a change each kind of work could have shown.
func (a *app) printSights(s *journal.State, b *journal.Build, earlier []*journal.Build) {
	sights := s.Sights(b, earlier)
	if len(sights) == 0 {
		return
	}
	against := "all earlier builds together"
	if len(earlier) == 1 {
		against = earlier[0].Title
	}
	a.printf("\nHow much can be seen, against %s:\n", against)
	for _, one := range sights {
		a.printf("  %s (%d and %s): %s\n", wording.KindName(one.Kind), one.Earlier.N, count(one.Later.N, "evening"),
			one.Sentence().String())
	}
}

func (a *app) printOneComparison(c metrics.Comparison, earlier, later, earlierID, laterID string) {
	a.printf("\n%s\n", c.Sentence(earlier, later).String())
	if !c.OK {
		return
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fprintf(t, "stage\tclass\t%s an hour\tsessions\t%s an hour\tsessions\tspeed\t\n", earlierID, laterID)
	for _, row := range c.Cells {
		fprintf(t, "%s\t%s\t%.1f\t%d\t%.1f\t%d\t%.2f\t\n", row.Kind, orDash(row.Class), row.Earlier.PerHour,
			row.Earlier.N, row.Later.PerHour, row.Later.N, row.Speed)
	}
	t.Flush()
	if c.Rework {
		a.printf("  rework in these hours: %s h of %s, %s h of %s\n", metrics.Tenths(c.ReworkEarlier), earlier,
			metrics.Tenths(c.ReworkLater), later)
	}
	for _, row := range c.LeftOut {
		a.printf("  left out: %s %s (%s)\n", row.Kind, row.Class, row.Why.String())
	}
	for _, side := range []struct {
		title string
		out   metrics.Unused
	}{{earlier, c.LeftOutEarlier}, {later, c.LeftOutLater}} {
		if n := side.out.Estimated + side.out.Remembered + side.out.Unsaid; n > 0 {
			a.printf("  left out of %s: %s that no timer measured, %s h\n", side.title, count(n, "session"),
				metrics.Tenths(side.out.Hours))
		}
	}
	a.printf("  raw, all work together: %.1f against %.1f an hour; the mix of parts differs, so this says little\n",
		c.RawLater.PerHour, c.RawEarlier.PerHour)
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}
