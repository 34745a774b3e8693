// rakelight tool: which tools the sessions used.

package main

import (
	"flag"
	"fmt"
	"strings"
	"text/tabwriter"

	"rakelight/journal"
)

var toolCmd = &command{
	name: "tool", line: "note the tool you use, or list the tools",
	usage: `Usage: rakelight tool NAME
       rakelight tool

Notes in the running session that you use a tool, by a name of your own; capitals
and spaces do not matter when it is compared. A session may have several. Without
arguments it lists the tools with their sessions and hours. What was noted by
mistake is put right with rakelight correct SESSION --tool.

rakelight pace --by tool says how fast the work goes with each.

Example:
  rakelight tool "flush cutter"
`,
	run: func(a *app, args []string) error {
		j, rest, err := a.openWith(flag.NewFlagSet("tool", flag.ContinueOnError), args)
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			return a.printTools(j.State)
		}
		name := j.State.ToolName(strings.Join(rest, " "))
		if name == "" {
			return &usageError{"say the name of the tool"}
		}
		running := j.State.Running()
		if len(running) != 1 {
			return &journal.AskError{What: fmt.Sprintf("%s; a tool is noted in the one that runs", count(len(running), "running session")),
				Hint: "rakelight correct SESSION --tool NAME notes it in another"}
		}
		s := running[0]
		if s.Used(name) {
			a.printf("%s is noted in %s on %s already\n", name, s.Stage, s.Build)
			return nil
		}
		rec, err := j.Append("correct", journal.CorrectBody{Session: s.ID, AddTool: []string{name}})
		if err != nil {
			return err
		}
		a.printf("%s noted in %s on %s%s\n", name, s.Stage, s.Build, takeBack(rec))
		return nil
	},
}

// printTools lists the tools.
func (a *app) printTools(s *journal.State) error {
	tools := s.Tools()
	if len(tools) == 0 {
		a.println("No session names a tool.")
		return nil
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	fprintf(t, "tool\tsessions\thours\tlast\n")
	for _, name := range tools {
		n, hours, last := 0, 0.0, ""
		for _, one := range s.Sessions {
			if one.Used(name) {
				n, last = n+1, max(last, one.Date)
				if one.Doubt == "" {
					hours += one.Hours()
				}
			}
		}
		fprintf(t, "%s\t%d\t%.1f\t%s\n", s.ToolName(name), n, hours, last)
	}
	return t.Flush()
}

// toolFlag is --tool, given once for each tool. An empty name says that no tool
// was used: a list of none, which is not the same as no list.
func toolFlag(fs *flag.FlagSet) *[]string {
	var tools []string
	fs.Func("tool", "", func(name string) error {
		if tools == nil {
			tools = []string{}
		}
		if strings.TrimSpace(name) != "" {
			tools = append(tools, name)
		}
		return nil
	})
	return &tools
}

// mended is the stage, or the record of the mistake, that a person means a
// repair to mend.
func mended(s *journal.State, b *journal.Build, kind, said string) (string, error) {
	switch {
	case said == "":
		return "", nil
	case kind != "repair":
		return "", &usageError{"--for belongs to a repair: it says which stage caused it"}
	}
	for _, m := range s.Mistakes {
		if m.Record != said {
			continue
		}
		if m.Build != b.ID {
			return "", fmt.Errorf("the mistake %s is of %s, not of %s: nothing written", said, m.Build, b.ID)
		}
		return said, nil
	}
	stage, err := s.ResolveStage(b, said)
	if err != nil {
		return "", err
	}
	if stage.Kind == "repair" || stage.Kind == "wait" {
		return "", &usageError{fmt.Sprintf("--for %s: a repair is charged to the stage that caused it", said)}
	}
	return stage.ID, nil
}
