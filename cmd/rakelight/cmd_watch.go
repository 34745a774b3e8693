// rakelight watch: takes photos in as they are dropped, keeps the pages
// current and serves them on this computer.

package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

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
The pages are served on this computer only.

  --addr HOST:PORT   where to serve (default 127.0.0.1:8765; a free port if taken)
  --no-serve         write the pages, serve nothing

Example:
  rakelight watch
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("watch", flag.ContinueOnError)
		addr := fs.String("addr", "127.0.0.1:8765", "")
		quiet := fs.Bool("no-serve", false, "")
		rest, err := parse(fs, args)
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
		return a.watch(j, *addr, !*quiet)
	},
}

// watch writes the pages, serves them, and takes photos in until interrupted.
func (a *app) watch(j *journal.Journal, addr string, serve bool) error {
	ctx, stop := context.WithCancel(a.ctx)
	defer stop()
	if err := a.write(j); err != nil {
		return err
	}
	var server *preview.Server
	if serve {
		var err error
		if server, err = preview.Serve(ctx, addr, j.Path("pages")); err != nil {
			return err
		}
		defer server.Close()
		fmt.Fprintf(a.out, "The pages are at %s\n", server.URL)
	}
	fmt.Fprintf(a.out, "Watching %s; drop photos there. Ctrl-C stops.\n", j.InboxDir())
	a.askForgotten(j)

	// Photos and edits of the prose come at any moment, pages are written one
	// at a time: a mark says that something changed since the last writing.
	changed := make(chan struct{}, 1)
	mark := func() {
		select {
		case changed <- struct{}{}:
		default:
		}
	}
	in := inbox.New(j, inbox.Options{})
	watching := make(chan error, 1)
	var writing sync.Mutex // the inbox reloads the state too
	go func() {
		watching <- in.Watch(ctx, func(o inbox.Outcome) {
			writing.Lock()
			defer writing.Unlock()
			a.tellOne(o)
			if o.Photo != nil {
				mark()
			}
		})
	}()
	seen := proseStamp(j.Dir)
	look := time.NewTicker(time.Second)
	defer look.Stop()
	for {
		select {
		case err := <-watching:
			if errors.Is(err, context.Canceled) || ctx.Err() != nil {
				fmt.Fprintln(a.out, "Stopped.")
				return nil
			}
			return err
		case <-look.C:
			if now := proseStamp(j.Dir); now != seen {
				seen = now
				mark()
			}
		case <-changed:
			writing.Lock()
			err := j.Reload()
			if err == nil {
				err = a.write(j)
			}
			writing.Unlock()
			if err != nil && ctx.Err() == nil {
				a.say(fmt.Errorf("the pages were not written: %w", err), "")
			}
			if server != nil {
				server.Changed()
			}
			seen = proseStamp(j.Dir)
		}
	}
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

// askForgotten says which timers seem to have been forgotten.
func (a *app) askForgotten(j *journal.Journal) {
	now := a.now()
	for _, s := range j.State.Running() {
		if s.Overdue(now, j.State.Config.LongestTimer()) {
			a.say(fmt.Errorf("%s on %s has been running for %s; was the timer forgotten? it is not counted", s.Stage, s.Build, journal.Spell(now.Sub(s.Start))),
				`rakelight off --worked "1h20" says how long it really was`)
		}
	}
	for _, s := range j.State.Sessions {
		if s.Doubt != "" && !s.Open {
			a.say(fmt.Errorf("%s on %s, %s: %s; it is not counted", s.Stage, s.Build, s.Start.In(j.State.Zone).Format("2006-01-02"), s.Doubt),
				fmt.Sprintf(`rakelight correct %s --worked "1h20" says how long it really was`, s.ID))
		}
	}
}

// proseStamp changes whenever a hand-edited file or a record does: the names,
// sizes and times of everything in builds/ and records/, and of journal.toml.
func proseStamp(dir string) string {
	var b strings.Builder
	note := func(path string, info os.FileInfo) {
		fmt.Fprintf(&b, "%s %d %d\n", path, info.Size(), info.ModTime().UnixNano())
	}
	if info, err := os.Stat(filepath.Join(dir, "journal.toml")); err == nil {
		note("journal.toml", info)
	}
	for _, top := range []string{"builds", "records"} {
		// A folder that vanishes mid-walk only makes the stamp differ, and
		// the next look settles it.
		_ = filepath.Walk(filepath.Join(dir, top), func(path string, info os.FileInfo, err error) error {
			if err == nil && !info.IsDir() {
				note(path, info)
			}
			return nil
		})
	}
	return b.String()
}

// write makes the pages, with progress, and says what changed.
func (a *app) write(j *journal.Journal) error {
	bar := newProgress(a.err)
	_, err := render.Write(a.ctx, j, render.Options{Progress: func(done, total int, what string) { bar.at(done, total, what) }})
	bar.end()
	return err
}
