// rakelight tool: which tools the sessions used.

package main

import (
	"strings"
	"text/tabwriter"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/metrics"
)

var toolCmd = &command{
	name: "tool", line: "note the tool you use, or list the tools",
	bench: true,
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
		j, rest, err := a.openWith(pflag.NewFlagSet("tool", pflag.ContinueOnError), args)
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			return a.printTools(j.State)
		}
		said, err := entry.Do(j, entry.Tool{Name: strings.Join(rest, " ")})
		if err != nil {
			return err
		}
		for i, s := range said.Sessions() {
			name := said.Add[i].(journal.CorrectBody).AddTool[0]
			a.printf("%s noted in %s on %s%s\n", name, s.Stage, s.Build, takeBack(said.Records[i]))
		}
		a.told(said.Remarks)
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
				if !one.Doubt.Any() {
					hours += one.Hours()
				}
			}
		}
		fprintf(t, "%s\t%d\t%s\t%s\n", s.ToolName(name), n, metrics.Tenths(hours), last)
	}
	return t.Flush()
}

// toolFlag is --tool, given once for each tool. An empty name says that no tool
// was used: a list of none, which is not the same as no list.
func toolFlag(fs *pflag.FlagSet) *[]string {
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
