// rakelight sanding: the plan by which parts are sanded.

package main

import (
	"io"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/caution"
	"rakelight/journal/entry"
	"rakelight/journal/sanding"
)

var sandingCmd = &command{
	name: "sanding", line: "give parts a sanding plan, or show one",
	usage: `Usage: rakelight sanding BUILD PARTS --remove WHAT [flags]
       rakelight sanding BUILD --sub NAME --remove WHAT [flags]
       rakelight sanding BUILD --instead ID [flags]
       rakelight sanding BUILD [PARTS]
       rakelight sanding --surface S --finish F --remove WHAT

Gives parts the plan by which they are sanded, grit by grit, with the check that
ends each step, and keeps it with them. Without --remove it shows the plans that
parts have; without a build it shows a plan and keeps nothing.

The plans are common practice, not a standard: edit any in journal.toml, or give
steps of your own. A grit bears its scale (P400, CAMI 400, JIS 400, maker 400):
the same number means another grain on each. Grain sizes are shown for P grades
from P240 to P2500 (ISO 6344-3, FEPA 43-2).

  --surface S    flat, curved, small, clear, resin; left out: the class of the
                 parts in build.md
  --finish F     primed, bare-matte, bare-gloss; left out: primed, if the build is
                 painted
  --remove WHAT  nub, line, seam, filler, scratches
  --steps STEPS  your own: "P400 on hard block: no step is felt; P600; P800, wet"
  --sub NAME     for a sub-assembly
  --photo PHOTO  one that shows it
  --text TEXT    anything else
  --kit N        of a build with several kits
  --at TIME      when, if it was not now: 20:10
  --instead ID   corrects that plan: what you leave out stays as it was there

A plan of your own in journal.toml; of the first three, what is left out is any:
  [[sanding]]
  surface = "flat"
  finish = "primed"
  remove = "nub"
  steps = ["P400 on hard block: no step is felt", "P800 on sponge, wet"]

Example:
  rakelight sanding pilot-boat A12 --surface flat --remove nub
`,
	run: func(a *app, args []string) error {
		var said entry.SandingPlan
		fs := pflag.NewFlagSet("sanding", pflag.ContinueOnError)
		at := noteFlags(fs, &said.Parts, &said.Sub, &said.Photo, &said.Instead, &said.Kit)
		fs.StringVar(&said.Surface, "surface", "", "")
		fs.StringVar(&said.Finish, "finish", "", "")
		fs.StringVar(&said.Remove, "remove", "", "")
		fs.StringVar(&said.Steps, "steps", "", "")
		fs.StringVar(&said.Text, "text", "", "")
		j, rest, err := a.openWith(fs, args,
			takes(0, 2, "sanding takes a build and parts: rakelight sanding pilot-boat A12 --remove nub"))
		if err != nil {
			return err
		}
		if len(rest) == 0 && said.Instead == "" {
			return a.showPlan(j.State, said)
		}
		if len(rest) > 0 {
			said.Build = rest[0]
		}
		if len(rest) > 1 {
			said.Parts = rest[1]
		}
		if said.Remove+said.Instead+said.Steps == "" {
			return a.showPlans(j.State, said)
		}
		if said.At, err = a.moment(*at, j.State.Zone); err != nil {
			return err
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		b := done.Add[0].(journal.SandingBody)
		a.printf("sanding plan for %s of %s%s\n", strings.TrimPrefix(onWhat(b.Parts, b.Sub), "on "), b.Build,
			takeBack(done.Records[0]))
		printSteps(a.out, b.Steps)
		printHints(a.out, sanding.For(nil, b.Surface, b.Finish, b.Remove))
		a.told(done.Remarks)
		if len(done.State.Running()) == 0 { // else it was said as the session began
			a.careful(caution.For("clean", b.Surface))
		}
		return nil
	},
}

// showPlan shows a plan and keeps nothing.
func (a *app) showPlan(s *journal.State, said entry.SandingPlan) error {
	p := sanding.For(s.Config.SandingPlans(), said.Surface, said.Finish, said.Remove)
	if len(p.Steps) == 0 {
		return &usageError{"sanding takes a build, or --surface, --finish and --remove: surface is one of " +
			strings.Join(sanding.Surfaces, ", ") + "; finish one of " + strings.Join(sanding.Finishes, ", ") +
			"; remove one of " + strings.Join(sanding.Removes, ", ")}
	}
	source := "common practice, not a standard"
	if p.Own {
		source = "yours, in journal.toml"
	}
	a.printf("%s (%s)\n", strings.Join(nonEmpty(said.Remove, said.Surface, said.Finish), ", "), source)
	printSteps(a.out, p.Steps)
	printHints(a.out, p)
	return nil
}

// showPlans shows the plans that parts of a build have.
func (a *app) showPlans(s *journal.State, said entry.SandingPlan) error {
	b, err := s.ResolveBuild(said.Build)
	if err != nil {
		return err
	}
	refs, _, err := journal.ParseParts(said.Parts, b)
	if err != nil && said.Parts != "" {
		return err
	}
	shown := 0
	for _, p := range s.SandingsOf(b.ID) {
		if said.Sub != "" && p.Sub != said.Sub || len(refs) > 0 && !forAny(s, p, refs) {
			continue
		}
		printSanding(a.out, s, p)
		shown++
	}
	if shown == 0 {
		a.printf("No sanding plan; %s gives one.\n", journal.Typed("rakelight sanding %s PARTS --remove nub", b.ID))
	}
	return nil
}

// forAny reports whether it is the plan by which one of the parts is sanded.
func forAny(s *journal.State, p journal.SandingPlan, refs []journal.PartRef) bool {
	for _, ref := range refs {
		if has, ok := s.SandingOf(p.Build, ref); ok && has.Record == p.Record {
			return true
		}
	}
	return false
}

// printSanding shows a plan with its steps.
func printSanding(w io.Writer, s *journal.State, p journal.SandingPlan) {
	fprintf(w, "%s  %s: %s, %s, %s (%s)\n", p.At.In(s.Zone).Format("2006-01-02"), onWhat(p.Parts, p.Sub), p.Remove,
		p.Surface, p.Finish, p.Record)
	if p.Text != "" {
		fprintf(w, "  %s\n", p.Text)
	}
	printSteps(w, p.Steps)
}

// printSteps shows the steps of a plan, each with the check that ends it.
func printSteps(w io.Writer, steps []sanding.Step) {
	for i, step := range steps {
		how := step.How()
		if um, ok := step.Median(); ok {
			how += " (" + digits(um) + " µm)"
		}
		fprintf(w, "  %d. %s\n", i+1, strings.Join(nonEmpty(how, step.Check), ": "))
	}
}

// printHints shows what to mind all along.
func printHints(w io.Writer, p sanding.Plan) {
	for _, hint := range p.Hints {
		fprintf(w, "  - %s\n", hint)
	}
}
