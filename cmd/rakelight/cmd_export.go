// rakelight export: what is so in the journal, as JSON and CSV.

package main

import (
	"github.com/spf13/pflag"

	"rakelight/journal/export"
)

var exportCmd = &command{
	name: "export", line: "write all that is known as JSON and CSV",
	usage: `Usage: rakelight export DIR

Writes what the journal says, after all corrections, as tables into DIR, which is new
or empty: builds with their plans, photos, sessions, parts, marks and so on, each as
NAME.json and NAME.csv, all or none of them. The pictures are not copied: rakelight
copy does that.

` + export.Help() + `
Example:
  rakelight export ../bench-tables
`,
	run: func(a *app, args []string) error {
		j, rest, err := a.openWith(pflag.NewFlagSet("export", pflag.ContinueOnError), args,
			takes(1, 1, "export wants one folder to write to"))
		if err != nil {
			return err
		}
		rows, err := export.Write(j.State, rest[0])
		if err != nil {
			return err
		}
		all := 0
		for _, n := range rows {
			all += n
		}
		a.printf("%s in %s (%s, %s, %s and more) in %s\n", count(all, "row"), count(len(rows), "table"),
			count(rows["photos"], "photo"), count(rows["sessions"], "session"), count(rows["marks"], "mark"), rest[0])
		a.println("it holds everything, also serial numbers, notes and names of judges: for you, not for publishing")
		return nil
	},
}
