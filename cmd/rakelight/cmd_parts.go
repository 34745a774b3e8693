// rakelight parts: what became of each part.

package main

import (
	"fmt"
	"io"
	"regexp"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
)

var partsCmd = &command{
	name: "parts", line: "show which parts are done, or one part's story",
	usage: `Usage: rakelight parts [BUILD] [RUNNER|PART]

Without more, lists the runners of a build with what is left of each stage. With
a runner's letter it shows the runner as a grid, with a part's reference the
whole story of that part: when it was cut, cleaned, opened again, and in which
session; its notes, mistakes and photos; what the runner check found, which pegs
were cut, where it is stored, and what its sub-assembly was waiting for. BUILD may be
left out while a session runs, or where only one build is open.

In the grid: x done, . not done, o opened again, ? missing or damaged with no
replacement yet, - not for use. A runner of the second kit is written 2/A.

Parts that were counted by number are in no grid: nothing says which they were.

Example:
  rakelight parts
  rakelight parts pilot-boat A
  rakelight parts pilot-boat A12
`,
	run: func(a *app, args []string) error {
		j, rest, err := a.openWith(pflag.NewFlagSet("parts", pflag.ContinueOnError), args,
			takes(0, 2, "parts takes a build, and a runner or a part"))
		if err != nil {
			return err
		}
		build, which, err := partsOf(j.State, rest)
		if err != nil {
			return err
		}
		runners := j.State.Ledger(build)
		if len(runners) == 0 {
			return &journal.AskError{What: build.ID + " lists no runners, and no part of it was named yet",
				Hint: "list its runners in builds/" + build.ID + "/build.md; README.txt in the journal shows how"}
		}
		if which == "" {
			printRunners(a.out, j.State, build, runners)
			return nil
		}
		if m := runnerName.FindStringSubmatch(which); m != nil {
			found := keepRunners(runners, m[1], strings.ToUpper(m[2]))
			if len(found) == 0 {
				return &journal.AskError{What: fmt.Sprintf("%s has no runner %s", build.ID, strings.ToUpper(which)),
					Hint: "its runners are " + runnerNames(runners)}
			}
			for i, r := range found {
				if i > 0 {
					a.printf("\n")
				}
				printGrid(a.out, build, r)
			}
			return nil
		}
		refs, bare, err := journal.ParseParts(which, build)
		if err != nil {
			return err
		}
		if bare > 0 {
			return &usageError{fmt.Sprintf("%q is not a part; write the runner's letter and the number: A12", which)}
		}
		for _, ref := range refs {
			for _, r := range runners {
				if p := r.Part(ref.Number); p != nil && r.Kit == ref.Kit && r.Letter == ref.Runner {
					printStory(a.out, j.State, build, *p)
				}
			}
		}
		return nil
	},
}

var runnerName = regexp.MustCompile(`^(?:(\d+)/)?([A-Za-z]{1,3})$`)

// partsOf finds the build a person asks about, and what of it. A word that is
// no build is a runner or a part of the one build that can be meant.
func partsOf(s *journal.State, rest []string) (*journal.Build, string, error) {
	if len(rest) == 2 {
		b, err := s.ResolveBuild(rest[0])
		return b, rest[1], err
	}
	which := ""
	if len(rest) == 1 {
		b, err := s.ResolveBuild(rest[0])
		if err == nil {
			return b, "", nil
		}
		if !journal.LooksLikePart(rest[0]) {
			return nil, "", err
		}
		which = rest[0]
	}
	if running := s.Running(); len(running) == 1 {
		if b := s.Build(running[0].Build); b != nil {
			return b, which, nil
		}
	}
	open := s.OpenBuilds()
	var ids []string
	for _, b := range open {
		ids = append(ids, b.ID)
	}
	switch len(open) {
	case 1:
		return open[0], which, nil
	case 0:
		return nil, "", &journal.AskError{What: "no build is open", Hint: "name one: rakelight parts BUILD"}
	}
	return nil, "", &journal.AskError{What: fmt.Sprintf("%d builds are open", len(open)),
		Hint: "name the one you mean: " + strings.Join(ids, ", ")}
}

func keepRunners(all []journal.RunnerLedger, kit, letter string) []journal.RunnerLedger {
	var out []journal.RunnerLedger
	for _, r := range all {
		if r.Letter == letter && (kit == "" || fmt.Sprint(r.Kit) == kit || kit == "1" && r.Kit == 0) {
			out = append(out, r)
		}
	}
	return out
}

func runnerNames(all []journal.RunnerLedger) string {
	var names []string
	for _, r := range all {
		names = append(names, r.Name())
	}
	return strings.Join(names, ", ")
}

// printRunners lists the runners with what is left of each stage.
func printRunners(w io.Writer, s *journal.State, b *journal.Build, runners []journal.RunnerLedger) {
	fprintf(w, "%s: parts left, of those for use\n", b.ID)
	head := []string{"runner"}
	for _, st := range runners[0].Stages {
		head = append(head, st.ID)
	}
	rows := [][]string{head}
	for _, r := range runners {
		row := []string{r.Name()}
		for _, st := range r.Stages {
			left, all := r.Left(st.ID)
			row = append(row, fmt.Sprintf("%d of %d", left, all))
		}
		rows = append(rows, row)
	}
	printColumns(w, rows)
	bare := 0
	for _, one := range s.SessionsOf(b.ID) {
		bare += one.Bare
	}
	if bare > 0 {
		fprintf(w, "besides, %s counted by number; nothing says which they were\n", count(bare, "part"))
	}
}

// printColumns prints rows as columns, the first to the left, the rest to the right.
func printColumns(w io.Writer, rows [][]string) {
	width := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			width[i] = max(width[i], len(cell))
		}
	}
	for _, row := range rows {
		for i, cell := range row {
			if i == 0 {
				fprintf(w, "%-*s", width[i], cell)
				continue
			}
			fprintf(w, "  %*s", width[i], cell)
		}
		fprintf(w, "\n")
	}
}

// gridColumns is how many parts stand side by side: a narrow terminal holds them.
const gridColumns = 15

// printGrid shows a runner: a row for each stage, a column for each part.
func printGrid(w io.Writer, b *journal.Build, r journal.RunnerLedger) {
	_, all := r.Left("")
	fprintf(w, "%s, runner %s: %s for use", b.ID, r.Name(), count(all, "part"))
	if r.Class != "" {
		fprintf(w, ", %s", r.Class)
	}
	fprintf(w, "\n")
	head := len("part")
	for _, st := range r.Stages {
		head = max(head, len(st.ID))
	}
	for from := 0; from < len(r.Parts); from += gridColumns {
		if from > 0 {
			fprintf(w, "\n")
		}
		some := r.Parts[from:min(from+gridColumns, len(r.Parts))]
		fprintf(w, "%-*s", head, "part")
		for _, p := range some {
			fprintf(w, " %3s", p.Ref.Number)
		}
		fprintf(w, "\n")
		for _, st := range r.Stages {
			fprintf(w, "%-*s", head, st.ID)
			for _, p := range some {
				fprintf(w, " %3s", gridSign(p, st.ID))
			}
			fprintf(w, "\n")
		}
	}
}

// gridSign is how a part stands in a stage, in one character.
func gridSign(p journal.PartLedger, stage string) string {
	switch {
	case p.Use == journal.NotUsed:
		return "-"
	case p.Stands[stage] == journal.PartDone:
		return "x"
	case p.Stands[stage] == journal.PartOpened:
		return "o"
	case p.Use == journal.Missing:
		return "?"
	}
	return "."
}

// printStory tells what happened to a part.
func printStory(w io.Writer, s *journal.State, b *journal.Build, p journal.PartLedger) {
	fprintf(w, "%s of %s", p.Ref, b.ID)
	if p.Class != "" {
		fprintf(w, ", %s", p.Class)
	}
	switch p.Use {
	case journal.NotUsed:
		fprintf(w, ", not for use")
	case journal.Missing:
		fprintf(w, ", %s", p.LackWords())
	case journal.Unknown:
		fprintf(w, ", not on its runner in build.md")
	}
	fprintf(w, "\n")
	events := s.PartStory(b.ID, p.Ref)
	if len(events) == 0 {
		fprintf(w, "  nothing done yet\n")
	}
	for _, e := range events {
		fprintf(w, "  %s\n", s.TellStory(e))
	}
}
