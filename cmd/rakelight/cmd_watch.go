// rakelight watch: takes photos in as they are dropped, keeps the pages
// current and serves them, on this computer and to devices that are let in.

package main

import (
	"cmp"
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
	"rakelight/render/bench"
	"rakelight/render/guard"
	"rakelight/render/past"
	"rakelight/render/preview"
	"rakelight/render/start"
)

var watchCmd = &command{
	name: "watch", line: "take photos in as they come, and show the pages",
	usage: `Usage: rakelight watch [--lan] [--addr HOST:PORT] [--no-serve]

Watches the inbox until interrupted: each photo is taken in once it has stopped
growing, the pages that show it are written, and an open browser reloads them.
What could not be kept just now (a full disk, a busy file) is tried again. One
watch runs on a journal; a second one says so and ends. Edits of a build.md, of
the diary and of the settings show too. The pages are served on this computer
only, unless you say --lan.

With --lan a phone or tablet in the same network can be let in: open the address
that is shown and type the code, or photograph the square. A code holds for five
minutes and for one device; the page asks for another. rakelight devices lists
who is let in and takes them out again. What goes over the network is not
encrypted, so that others in it may read along: use --lan only where you know
who is there.

  --lan              also serve to devices of the network that you let in
  --addr HOST:PORT   where to serve (default 127.0.0.1:8765, with --lan
                     0.0.0.0:8765, which is all of this computer; a free port if
                     taken)
  --no-serve         write the pages, serve nothing

Example:
  rakelight watch
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("watch", pflag.ContinueOnError)
		addr := fs.String("addr", "", "")
		lan := fs.Bool("lan", false, "")
		quiet := fs.Bool("no-serve", false, "")
		j, _, err := a.openWith(fs, args, takes(0, 0, "watch takes no folder; it watches the journal's own inbox"))
		if err != nil {
			return err
		}
		if *quiet && *lan {
			return &usageError{"--lan serves the pages, and --no-serve does not"}
		}
		return a.watch(j, serving{addr: *addr, on: !*quiet, lan: *lan})
	},
}

// defaultAddr is this computer alone: the journal is nobody else's business until
// it is published, or somebody is let in at lanAddr.
const (
	defaultAddr = "127.0.0.1:8765"
	lanAddr     = "0.0.0.0:8765"
)

// serving is how a watch serves the pages.
type serving struct {
	addr string // "" = the usual one
	on   bool
	lan  bool // to devices that are let in, too

	by    *guard.Server // serves until then, and goes on; nil = none
	also  *start.Site   // pages to serve beside; nil = none
	begun func()        // called when the pages are served; nil = nobody asks
}

// watch serves the pages and takes photos in until interrupted. Taking in and
// reading edits go one after another on one goroutine; the pages of each state
// that comes of it are written beside it.
func (a *app) watch(j *journal.Journal, how serving) error {
	end, err := j.Watching()
	if err != nil {
		return err
	}
	defer end()
	render.ClearLeftovers(j)
	changed := func() {}
	var letIn *guard.Pairing // nil = nobody else
	if how.on {
		old := a.contactSheet(j.Dir)
		server, pairing, err := a.serve(j, how, old)
		if err != nil {
			return err
		}
		defer func() { server.Close(); old.End() }()
		changed, letIn = server.Changed, pairing
		noted, err := j.NoteServed(server.URL)
		if err != nil {
			return err
		}
		defer noted()
	}
	remember(j.Dir)
	if how.begun != nil {
		how.begun()
	}
	a.printf("Watching %s; drop photos there. Ctrl-C stops.\n", j.InboxDir())
	a.askForgotten(j.State)

	ctx, stop := context.WithCancel(a.ctx)
	defer stop()
	writer := render.NewWriter(j)
	pages := keepPages(ctx, writer, changed, firstRetry)
	defer func() { stop(); <-pages.ended }()
	show := func() { pages.show(seen{j.State, inInbox(j), oldPictures(j)}) }
	show()
	byHand, records, told := stamp(j.Dir, "journal.toml", "builds"), stamp(j.Dir, "records"), false
	after := func() {
		pages.tell(a)
		a.tellPairing(letIn)
		hand, said := stamp(j.Dir, "journal.toml", "builds"), stamp(j.Dir, "records")
		if hand == byHand && said == records && !told {
			return
		}
		if err := j.CatchUp(); err != nil {
			a.sayUnwritten(err)
		} else {
			show()
		}
		byHand, records, told = hand, said, false // what changed while it was read is read again
	}
	// A look each second, events or not: it is also what notices edits.
	opts := inbox.Options{Poll: time.Second, Rescan: time.Second, AfterLook: after}
	opts.SizePath, opts.Widths = writer.IntakeSizes()
	err = inbox.New(j, opts).Watch(a.ctx, func(o inbox.Outcome) {
		a.tellOne(j, o)
		if told = true; o.Status == inbox.Taken {
			show() // more may wait to be taken in
		}
	})
	if errors.Is(err, context.Canceled) {
		a.println("Stopped.")
		return nil
	}
	return err
}

// serve begins to serve the pages and says where.
func (a *app) serve(j *journal.Journal, how serving, contact *past.Pages) (*preview.Server, *guard.Pairing, error) {
	addr, letIn := cmp.Or(how.addr, defaultAddr), (*guard.Pairing)(nil)
	if how.lan {
		addr, letIn = cmp.Or(how.addr, lanAddr), guard.NewPairing(guard.DevicesOf(j.Dir))
	}
	also := how.also
	if also == nil {
		also = start.New(start.Doing{Now: a.now,
			OpenBench: func(dir string) (*journal.Journal, error) { return a.benchOf(dir, false) }})
		also.Opened(j.Dir, j.State.Config.Name)
	}
	beside := preview.Mount{Path: start.Root, Handler: also.Handler(), Policy: start.Policy}
	old := preview.Mount{Path: past.Root, Handler: contact.Handler(), Policy: past.Policy}
	if how.by != nil {
		server, err := preview.TakeOver(a.ctx, how.by, j.Path("pages"), a.mat(j.Dir), beside, old)
		return server, nil, err
	}
	server, err := preview.Serve(a.ctx, addr, j.Path("pages"), letIn, a.mat(j.Dir), beside, old)
	if err != nil {
		return nil, nil, err
	}
	a.printf("The pages are at %s\n", server.URL)
	for _, at := range server.Elsewhere {
		a.printf("Devices that are let in reach them at %s\n", at)
	}
	if oldPictures(j) > 0 {
		a.printf("Old pictures that wait to be sorted are at %s\n", strings.TrimSuffix(server.URL, "/")+past.Root)
	}
	a.tellPairing(letIn)
	return server, letIn, nil
}

// mat is the page beside the mat of the journal in dir. It opens the journal anew
// for each request, as a command does.
func (a *app) mat(dir string) preview.Mount {
	open := func(photos bool) (*journal.Journal, error) { return a.benchOf(dir, photos) }
	thumb := func(p *journal.Photo) string { return "/" + render.SmallPicture(p) }
	come := inbox.NewComing(filepath.Join(dir, "inbox"))
	return preview.Mount{Path: bench.Root, Handler: bench.New(open, a.now, thumb, come).Handler(), Policy: bench.Policy}
}

// benchOf opens the journal in dir as it is now, with its photos or for the bench.
func (a *app) benchOf(dir string, photos bool) (*journal.Journal, error) {
	opened := journal.OpenBench
	if photos {
		opened = journal.OpenAt
	}
	j, err := opened(dir, a.now)
	if err == nil {
		j.MarkIn(os.Getenv(marksEnv))
	}
	return j, err
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
	a.tellPhoto(o.Photo, filepath.Base(o.Path))
	if o.Status == inbox.Taken {
		a.tellCardsOf(j.State, o.Photo)
	}
}

// stamp changes whenever one of the files or what lies in one of the folders does:
// their names, sizes and times.
func stamp(dir string, tops ...string) string {
	var b strings.Builder
	for _, top := range tops {
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
	report, err := render.Write(a.ctx, j, render.Options{Frame: frameTaker(), Progress: bar.at,
		InInbox: inInbox(j), Old: oldPictures(j)})
	bar.end()
	a.sayInTheWay(foreign(report))
	return err
}

// sayInTheWay tells what lies in the way of pages, while a watch runs once.
func (a *app) sayInTheWay(left *setAsideError) {
	if left != nil && left.text != a.inTheWay {
		a.inTheWay = left.text
		a.say(left, left.hint)
	}
}
