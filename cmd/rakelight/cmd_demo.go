// rakelight demo: five invented builds, made, taken in, written and served.

package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/pflag"

	"rakelight/cmd/rakelight/demo"
	"rakelight/journal"
	"rakelight/media/inbox"
)

var demoCmd = &command{
	name: "demo", line: "make and show an invented journal to look around in",
	usage: `Usage: rakelight demo [DIR] [--once] [--addr HOST:PORT]

Draws the photos of five invented builds over four years, drops them into the
inbox of a new journal, takes them in like any photo, writes the pages and
serves them on this computer. DIR is rakelight-demo unless you name one; a
demo that is there already is shown again, anything else is left alone.

  --once             write the pages and end
  --addr HOST:PORT   where to serve (default 127.0.0.1:8765; a free port if taken)

With --years or --photos, DIR becomes a large journal to measure with: the same
stories over and over, with few drawn pictures. Nothing is written or served then.

  --years N          so many years, up to the demo's today (default 20)
  --builds N         so many builds, one after the other (default 60)
  --photos N         so many photos (default 600)

Example:
  rakelight demo
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("demo", pflag.ContinueOnError)
		once := fs.Bool("once", false, "")
		addr := fs.String("addr", defaultAddr, "")
		var size demo.Size
		fs.IntVar(&size.Years, "years", 20, "")
		fs.IntVar(&size.Builds, "builds", 60, "")
		fs.IntVar(&size.Photos, "photos", 600, "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		dir := "rakelight-demo"
		switch len(rest) {
		case 0:
		case 1:
			dir = rest[0]
		default:
			return &usageError{"demo takes one folder at most"}
		}
		if fs.Changed("years") || fs.Changed("builds") || fs.Changed("photos") {
			return a.demoYears(dir, size)
		}
		j, err := a.demoJournal(dir)
		if err != nil {
			return err
		}
		if *once {
			if err := a.write(j); err != nil {
				return err
			}
			a.printf("The pages are written: open %s\n", filepath.Join(dir, "pages", "index.html"))
			return nil
		}
		a.println("Writing the pages …")
		return a.watch(j, serving{addr: *addr, on: true})
	},
}

// demoDone marks a demo that was made to its end, so that an interrupted one
// is not taken for whole.
const demoDone = ".demo"

// demoJournal makes the demo in dir, or opens the one that is there.
func (a *app) demoJournal(dir string) (*journal.Journal, error) {
	if isDemo(dir) {
		a.printf("Showing the demo in %s (remove the folder to have it made anew)\n", dir)
		return journal.Open(dir)
	}
	if _, err := os.Stat(filepath.Join(dir, "journal.toml")); err == nil {
		return nil, &journal.AskError{
			What: fmt.Sprintf("%s holds a journal that is no finished demo; it was left alone", dir),
			Hint: "name another folder, or remove it if it is a demo that was interrupted",
		}
	}
	if err := journal.CheckVacant(dir); err != nil {
		return nil, err
	}
	a.printf("Drawing the photos of five invented builds into %s …\n", dir)
	bar := newProgress(a.err)
	last := ""
	j, sum, err := a.makeDemo(dir, func(done, total int, what string) {
		if what != last {
			if last != "" {
				bar.end()
				a.printf("Taking the photos in …\n")
			}
			last = what
		}
		bar.at(done, total, what)
	})
	bar.end()
	if err != nil {
		return nil, err
	}
	a.tell(sum)
	return j, nil
}

// makeDemo makes the demo in dir and marks it as whole.
func (a *app) makeDemo(dir string, progress demo.Report) (*journal.Journal, inbox.Summary, error) {
	j, sum, err := demo.Make(a.ctx, dir, progress)
	if err != nil {
		return nil, sum, err
	}
	if len(sum.Left) > 0 {
		return nil, sum, errors.New("the demo's own photos should all have been taken in")
	}
	return j, sum, journal.WriteFile(filepath.Join(dir, demoDone),
		[]byte("This folder is Rakelight's demo. All of it is invented.\n"))
}

// isDemo tells a demo that was made to its end.
func isDemo(dir string) bool {
	_, err := os.Stat(filepath.Join(dir, demoDone))
	return err == nil
}

// demoYears makes a large journal to measure with.
func (a *app) demoYears(dir string, size demo.Size) error {
	if size.Years < 1 || size.Builds < 1 || size.Photos < 0 {
		return &usageError{"demo makes years and builds from 1, and photos from 0"}
	}
	if err := journal.CheckVacant(dir); err != nil {
		return err
	}
	bar := newProgress(a.err)
	err := demo.Years(a.ctx, dir, size, bar.at)
	bar.end()
	if err != nil {
		return err
	}
	a.printf("%s and %s over %s in %s\n", count(size.Builds, "build"), count(size.Photos, "photo"),
		count(size.Years, "year"), dir)
	return nil
}
