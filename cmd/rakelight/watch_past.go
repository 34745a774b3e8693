// The pages of the years before, beside those of a watch.

package main

import (
	"os"

	"rakelight/journal"
	"rakelight/media/inbox"
	"rakelight/render"
	"rakelight/render/past"
)

// contactSheet is the pages of old pictures for the journal in dir.
func (a *app) contactSheet(dir string) *past.Pages {
	home, _ := os.UserHomeDir() // "" where there is none
	return past.New(a.ctx, past.Options{
		Dir: dir, Home: home, Now: a.now,
		Open: func() (*journal.Journal, error) { return a.benchOf(dir, true) },
		Intake: func(j *journal.Journal) inbox.Options {
			opts := inbox.Options{Now: a.now}
			opts.SizePath, opts.Widths = render.IntakeSizes(j)
			return opts
		},
		Page: func(j *journal.Journal, build string) string { return "/" + render.BuildPath(j.State, build) },
	})
}
