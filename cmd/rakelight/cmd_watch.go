// rakelight watch: takes photos in as they are dropped, keeps the pages
// current and serves them on this computer.

package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/media/inbox"
	"rakelight/render"
	"rakelight/render/preview"
)

var watchCmd = &command{
	name: "watch", line: "take photos in as they come, and show the pages",
	usage: `Usage: rakelight watch [--addr HOST:PORT] [--no-serve]

Watches the inbox until interrupted: each photo is taken in once it has stopped
growing, the pages that show it are written, and an open browser reloads them.
What could not be kept just now (a full disk, a busy file) is tried again. One
watch runs on a journal; a second one says so and ends. Edits of a build.md, of
the diary and of the settings show too. The pages are served on this computer
only.

  --addr HOST:PORT   where to serve (default 127.0.0.1:8765; a free port if taken)
  --no-serve         write the pages, serve nothing

Example:
  rakelight watch
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("watch", pflag.ContinueOnError)
		addr := fs.String("addr", defaultAddr, "")
		quiet := fs.Bool("no-serve", false, "")
		j, _, err := a.openWith(fs, args, takes(0, 0, "watch takes no folder; it watches the journal's own inbox"))
		if err != nil {
			return err
		}
		return a.watch(j, *addr, !*quiet)
	},
}

// defaultAddr is on the loopback: the journal is nobody else's business until
// it is published.
const defaultAddr = "127.0.0.1:8765"

// watch writes the pages, serves them, and takes photos in until interrupted.
// Taking in, reading edits and writing pages go one after another on one
// goroutine, so that no page is made of half a state.
func (a *app) watch(j *journal.Journal, addr string, serve bool) error {
	end, err := j.Watching()
	if err != nil {
		return err
	}
	defer end()
	render.ClearLeftovers(j)
	if err := a.write(j); err != nil {
		return err
	}
	changed := func() {}
	if serve {
		server, err := preview.Serve(a.ctx, addr, j.Path("pages"))
		if err != nil {
			return err
		}
		defer server.Close()
		changed = server.Changed
		a.printf("The pages are at %s\n", server.URL)
	}
	a.printf("Watching %s; drop photos there. Ctrl-C stops.\n", j.InboxDir())
	a.askForgotten(j.State)

	seen, told := stamp(j.Dir), false
	after := func() {
		if now := stamp(j.Dir); now == seen && !told {
			return
		}
		err := j.Reload()
		if err == nil {
			err = a.write(j)
		}
		if err != nil && a.ctx.Err() == nil {
			a.say(fmt.Errorf("the pages were not all written: %w", err), diskHint(err))
		}
		changed()
		seen, told = stamp(j.Dir), false
	}
	// A look each second, events or not: it is also what notices edits.
	opts := inbox.Options{Poll: time.Second, Rescan: time.Second, AfterLook: after}
	opts.SizePath, opts.Widths = render.IntakeSizes(j)
	err = inbox.New(j, opts).Watch(a.ctx, func(o inbox.Outcome) {
		a.tellOne(j, o)
		told = true
	})
	if errors.Is(err, context.Canceled) {
		a.println("Stopped.")
		return nil
	}
	return err
}

// tellOne prints what became of one dropped file, and what its bench cards said.
func (a *app) tellOne(j *journal.Journal, o inbox.Outcome) {
	if o.Status == inbox.Gone {
		return // whoever took it in, or away, knows
	}
	if o.Photo == nil || o.Notice || o.Stuck != "" {
		a.say(fmt.Errorf("%s: %s", o.Path, o.Why), diskHint(o.Err))
	}
	if o.Photo == nil {
		return
	}
	where := "to sort"
	if t := o.Photo.Tags; t.Build != "" {
		where = strings.TrimSuffix(t.Build+" / "+t.Stage, " / ")
	}
	a.printf("%s  %s  %s  %s\n", o.Photo.Short(), o.Photo.Instant.Told("2006-01-02 15:04"), where,
		filepath.Base(o.Path))
	if o.Status == inbox.Taken {
		a.tellCardsOf(j.State, o.Photo)
	}
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

// write makes the pages, with progress.
func (a *app) write(j *journal.Journal) error {
	bar := newProgress(a.err)
	report, err := render.Write(a.ctx, j, render.Options{Progress: bar.at, InInbox: inInbox(j)})
	bar.end()
	// While the watch runs, what is in the way is said once.
	if left := foreign(report); left != nil && left.text != a.inTheWay {
		a.inTheWay = left.text
		a.say(left, left.hint)
	}
	return err
}
