// rakelight watch: takes photos in as they are dropped and keeps the pages
// current.

package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/media/inbox"
	"rakelight/render"
)

var watchCmd = &command{
	name: "watch", line: "take photos in as they come, and keep the pages current",
	usage: `Usage: rakelight watch

Watches the inbox until interrupted: each photo is taken in once it has stopped
growing, and the pages that show it are written. Edits of a build.md, of the
diary and of the settings show too.

Example:
  rakelight watch
`,
	run: func(a *app, args []string) error {
		rest, err := parse(flag.NewFlagSet("watch", flag.ContinueOnError), args)
		if err != nil {
			return err
		}
		if len(rest) > 0 {
			return &usageError{"watch takes no folder; it watches the journal's own inbox"}
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		return a.watch(j)
	},
}

// watch writes the pages and takes photos in until interrupted. Taking in,
// reading edits and writing pages go one after another, so that no page is
// made of half a state.
func (a *app) watch(j *journal.Journal) error {
	if _, err := render.Write(a.ctx, j, render.Options{}); err != nil && a.ctx.Err() == nil {
		a.say(err, "")
	}
	fmt.Fprintf(a.out, "The pages: %s\nWatching %s; drop photos there. Ctrl-C stops.\n", j.Path("pages/index.html"), j.InboxDir())
	a.askForgotten(j)
	seen, taken := stamp(j.Dir), false
	after := func() {
		now := stamp(j.Dir)
		if now == seen && !taken {
			return
		}
		err := j.Reload()
		if err == nil {
			_, err = render.Write(a.ctx, j, render.Options{})
		}
		if err != nil && a.ctx.Err() == nil {
			a.say(err, "")
		}
		seen, taken = stamp(j.Dir), false
	}
	err := inbox.New(j, inbox.Options{Poll: time.Second, After: after}).Watch(a.ctx, func(o inbox.Outcome) {
		a.tellOne(o)
		taken = taken || o.Photo != nil
	})
	if errors.Is(err, context.Canceled) {
		fmt.Fprintln(a.out, "Stopped.")
		return nil
	}
	return err
}

// tellOne prints what became of one dropped file.
func (a *app) tellOne(o inbox.Outcome) {
	if o.Photo == nil {
		fmt.Fprintf(a.err, "rakelight: %s: %s\n", o.Path, o.Why)
		return
	}
	where := "to sort"
	if t := o.Photo.Tags; t.Build != "" {
		where = strings.TrimSuffix(t.Build+" / "+t.Stage, " / ")
	}
	fmt.Fprintf(a.out, "%s  %s  %s  %s\n", o.Photo.Short(), o.Photo.Instant.At.Format("2006-01-02 15:04"), where, filepath.Base(o.Path))
}

// stamp changes whenever a hand-edited file or a record does: the names, sizes
// and times of everything in builds/ and records/, and of journal.toml.
func stamp(dir string) string {
	var b strings.Builder
	for _, top := range []string{"journal.toml", "builds", "records"} {
		// What vanishes meanwhile only makes the stamp differ; the next look
		// settles it.
		_ = filepath.WalkDir(filepath.Join(dir, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return nil
			}
			if info, err := os.Stat(path); err == nil {
				fmt.Fprintf(&b, "%s %d %d\n", path, info.Size(), info.ModTime().UnixNano())
			}
			return nil
		})
	}
	return b.String()
}
