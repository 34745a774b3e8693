// rakelight write: makes the pages.

package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/media/inbox"
	"rakelight/render"
)

var writeCmd = &command{
	name: "write", line: "write the pages",
	usage: `Usage: rakelight write

Writes the diary as plain pages into the journal's pages/ folder: it opens from
disk without a server. These are your own pages, with all there is to type and to
do; rakelight publish writes those for others. Only what changed is written
again. The pages carry no location and no serial number.
What lies in pages/ and was not written by Rakelight is left alone, also where
a page would have its name; the exit code is then 3.

Example:
  rakelight write
`,
	run: func(a *app, args []string) error {
		j, _, err := a.openWith(pflag.NewFlagSet("write", pflag.ContinueOnError), args,
			takes(0, 0, "write takes no arguments; the pages go into the journal's pages/ folder"))
		if err != nil {
			return err
		}
		a.askForgotten(j.State)
		render.ClearLeftovers(j)
		bar := newProgress(a.err)
		report, err := render.Write(a.ctx, j,
			render.Options{Frame: frameTaker(), Progress: bar.at, InInbox: inInbox(j), Old: oldPictures(j)})
		bar.end()
		if err != nil {
			return err
		}
		a.printf("%s, %d changed; open %s\n", count(report.Pages, "page"), report.Changed,
			filepath.Join(j.Dir, "pages", "index.html"))
		if left := foreign(report); left != nil {
			return left
		}
		return nil
	},
}

// inInbox is how many files lie in the inbox and are not taken in. What cannot
// be looked at is not told of on the pages.
func inInbox(j *journal.Journal) int {
	n, err := inbox.New(j, inbox.Options{}).Count()
	if err != nil {
		return 0
	}
	return n
}

// foreign says which pages were left out for what lies in their place, nil = none.
func foreign(report render.Report) *setAsideError {
	n := len(report.Foreign)
	if n == 0 {
		return nil
	}
	return &setAsideError{
		text: fmt.Sprintf("%s not written, because what lies there is not Rakelight's: %s; left untouched",
			count(n, "page"), firstFew(report.Foreign)),
		hint: "move it out of pages/; if it is Rakelight's and only the list pages/.written was lost, remove the folder pages, which can be made again",
	}
}

// firstFew names the first three, and says how many more there are.
func firstFew(names []string) string {
	if n := len(names); n > 3 {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:3], ", "), n-3)
	}
	return strings.Join(names, ", ")
}
