// rakelight build, builds and finish: a build is begun, listed and closed.

package main

import (
	"cmp"
	"fmt"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/metrics"
	"rakelight/journal/phrase"
	"rakelight/journal/plan"
)

var buildCmd = &command{
	name: "build", line: "begin a build: write its build.md",
	usage: `Usage: rakelight build NAME [--title TEXT] [--scale SCALE] [--finish painted|bare] [--kit TITLE]…
                       [--runner LETTER:PARTS:CLASS]… [--not-used LETTER:PARTS]…
                       [--stages STAGE,… | --order painted|unpainted|resin|diorama]

Writes builds/NAME/build.md, the plan of a build, for you to continue. A plan
that is there already is never touched. NAME is what you type and what records and
cards call it: small letters, digits and hyphens. rakelight help build.md tells
every word the file may hold.

  --title TEXT    what the pages call it (default: made from NAME)
  --scale SCALE   such as 1/48
  --finish WHAT   the final surface: painted or bare
  --kit TITLE     a kit, once for each, if there are several
  --runner R      a runner, once for each: its letter, how many parts or which,
                  and their class: A:24:flat, "B:1-12, 30:small", C. In the
                  second of several kits: 2/A:8
  --not-used P    parts marked not for use, once for each runner: A:25-26
  --stages LIST   the order of work: cut,clean,paint (default: the journal's)
  --order WHAT    instead a usual order of work: of a painted build, an unpainted
                  one, of resin, or a diorama

Example:
  rakelight build pilot-boat --scale 1/48 --runner A:24:flat --runner B:12:small --stages cut,clean,paint
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("build", pflag.ContinueOnError)
		var d journal.Draft
		fs.StringVar(&d.Title, "title", "", "")
		fs.StringVar(&d.Scale, "scale", "", "")
		fs.StringVar(&d.Finish, "finish", "", "")
		fs.StringArrayVar(&d.Kits, "kit", nil, "")
		fs.StringArrayVar(&d.Runners, "runner", nil, "")
		fs.StringArrayVar(&d.NotUsed, "not-used", nil, "")
		stages := fs.String("stages", "", "")
		order := fs.String("order", "", "")
		j, rest, err := a.openWith(fs, args, takes(1, 1, "build takes the name of a new build"))
		if err != nil {
			return err
		}
		d.ID = rest[0]
		for _, id := range strings.Split(*stages, ",") {
			if id = strings.TrimSpace(id); id != "" {
				d.Stages = append(d.Stages, id)
			}
		}
		if *order != "" {
			usual, known := plan.OrderOf(*order)
			if !known || *stages != "" {
				return &usageError{"--order is painted, unpainted, resin or diorama, and stands in place of --stages"}
			}
			d.Stages, d.Finish = usual.Stages, cmp.Or(d.Finish, usual.Finish)
		}
		file, err := j.WriteDraft(d)
		if err != nil {
			return err
		}
		a.printf("wrote %s; edit it as you like, rakelight help build.md tells every word\n", file)
		return nil
	},
}

var buildsCmd = &command{
	name: "builds", line: "list the builds, their hours and what is left",
	usage: `Usage: rakelight builds

Lists all builds: whether they run, rest, are paused or finished, their hours at
the bench, what is left of each stage that can be counted, and what comes next.
Of a build of which nothing was kept but photos, "at least" is what groups of them
tell.

Example:
  rakelight builds
`,
	run: func(a *app, args []string) error {
		j, _, err := a.openWith(pflag.NewFlagSet("builds", pflag.ContinueOnError), args,
			takes(0, 0, "builds takes no arguments"))
		if err != nil {
			return err
		}
		if len(j.State.Builds) == 0 {
			a.println("there is no build yet; rakelight build NAME begins one")
			return nil
		}
		t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
		fprintf(t, "build\tstate\thours\tleft\tnext\n")
		for _, b := range j.State.Builds {
			left, next := leftOf(j.State, b)
			fprintf(t, "%s\t%s\t%s\t%s\t%s\n", b.ID, standing(j.State, b), hoursTold(j.State, b), left, next)
		}
		if err := t.Flush(); err != nil {
			return err
		}
		a.askFinished(j.State)
		return nil
	},
}

// exactDay is the day that a person names.
func exactDay(text string, now time.Time) (time.Time, error) {
	day, err := phrase.ParseDay(text, now)
	switch {
	case err != nil:
		return time.Time{}, notUnderstood(err)
	case !day.Exact():
		return time.Time{}, &usageError{fmt.Sprintf("%s is no single day; say it as 2026-05-30", day.Said)}
	}
	return day.First, nil
}

// standing is how a build stands, in a word or two.
func standing(s *journal.State, b *journal.Build) string {
	sessions := s.SessionsOf(b.ID)
	p := s.Paused(b.ID)
	switch {
	case b.Finished != "":
		return "finished " + b.Finished
	case anyRuns(sessions):
		return "running"
	case p != nil && p.Ended():
		return p.Why + " on " + p.From.In(s.Zone).Format(time.DateOnly)
	case p != nil:
		return "paused since " + p.From.In(s.Zone).Format(time.DateOnly)
	case len(sessions) == 0 && s.LastDay(b) == "":
		return "not started"
	}
	if last, untold := s.Untold(b); untold {
		if last.Date == "" {
			return "not said what became of it"
		}
		return "last photo " + last.String() + ", not said what became of it"
	}
	return "resting since " + s.LastDay(b)
}

// hoursTold are the hours of a build, or what photos tell of it where nothing else does.
func hoursTold(s *journal.State, b *journal.Build) string {
	hours := hoursOf(s, b)
	if g := s.Glimpse(b.ID); hours == 0 && g.Alone && g.Photos > 0 {
		if g.Least == 0 {
			return "not known"
		}
		return "at least " + string(metrics.Tenths(g.Least.Hours()))
	}
	return string(metrics.Tenths(hours))
}

// hoursOf are the hours of a build that count.
func hoursOf(s *journal.State, b *journal.Build) float64 {
	hours := 0.0
	for _, one := range s.SessionsOf(b.ID) {
		if !one.Doubt.Any() && one.Kind != "wait" {
			hours += one.Hours()
		}
	}
	return hours
}

// leftOf is what is left of a build, and its next step.
func leftOf(s *journal.State, b *journal.Build) (left, next string) {
	if b.Finished != "" {
		return "-", "-"
	}
	r := s.Remains(b)
	if next = r.Next; next == "" {
		next = "-"
	}
	if p := s.Paused(b.ID); p != nil && p.Next != "" {
		next = p.Next
	}
	if left = stagesLeft(r); left == "" {
		left = "nothing that is counted"
	}
	return left, next
}

// stagesLeft tells what is left of each stage, "" = nothing that is counted.
func stagesLeft(r journal.Remains) string {
	var all []string
	for _, st := range r.Stages {
		all = append(all, st.Stage+" "+metrics.Count(st.Left, st.Unit))
	}
	return strings.Join(all, ", ")
}

var finishCmd = &command{
	name: "finish", line: "say that a build is finished",
	usage: `Usage: rakelight finish BUILD [DATE]

Says that a build was finished, today or on the day named: 2026-05-30, yesterday.
Where nothing was done on it and no photo was taken for more than 14 days, it wants
the day. rakelight resume BUILD takes it up again. Work after that day is refused
until then; work before it can still be entered.

Example:
  rakelight finish pilot-boat yesterday
`,
	run: func(a *app, args []string) error {
		j, rest, err := a.openWith(pflag.NewFlagSet("finish", pflag.ContinueOnError), args,
			takes(1, many, "finish takes a build, and the day if it was not today"))
		if err != nil {
			return err
		}
		said := entry.Finish{Build: rest[0]}
		if len(rest) > 1 {
			day, err := exactDay(strings.Join(rest[1:], " "), a.now().In(j.State.Zone))
			if err != nil {
				return err
			}
			said.Date = day.Format(time.DateOnly)
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		body := done.Add[0].(journal.FinishBody)
		a.printf("%s is finished, on %s%s\n", body.Build, body.Date, takeBack(done.Records[0]))
		a.told(done.Remarks)
		if left := stagesLeft(done.State.Remains(done.State.Build(body.Build))); left != "" {
			a.remark("its plan counts what was not done: " + left + "; " +
				journal.Typed("rakelight parts %s", body.Build) + " names the parts")
		}
		return nil
	},
}
