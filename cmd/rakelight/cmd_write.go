// rakelight write: makes the pages.

package main

import (
	"flag"
	"path/filepath"

	"rakelight/render"
)

var writeCmd = &command{
	name: "write", line: "write the pages",
	usage: `Usage: rakelight write

Writes the diary as plain pages into the journal's pages/ folder: it opens from
disk without a server, and can be copied to any web host as it is. Only what
changed is written again. The pages carry no location and no serial number.

Example:
  rakelight write
`,
	run: func(a *app, args []string) error {
		j, _, err := a.openWith(flag.NewFlagSet("write", flag.ContinueOnError), args, takes(0, 0, "write takes no arguments; the pages go into the journal's pages/ folder"))
		if err != nil {
			return err
		}
		a.askForgotten(j)
		bar := newProgress(a.err)
		report, err := render.Write(a.ctx, j, render.Options{Progress: bar.at})
		bar.end()
		if err != nil {
			return err
		}
		a.printf("%s, %d changed; open %s\n", count(report.Pages, "page"), report.Changed, filepath.Join(j.Dir, "pages", "index.html"))
		return nil
	},
}
