// rakelight start: the pages, without a terminal.

package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"sync"

	"github.com/spf13/pflag"
	"golang.org/x/term"

	"rakelight/journal"
	"rakelight/render/bench"
	"rakelight/render/guard"
	"rakelight/render/start"
)

var startCmd = &command{
	name: "start", line: "open the pages in the browser, and watch",
	usage: `Usage: rakelight start [--choose] [--addr HOST:PORT] [--no-browser]

Opens the page beside the mat in the browser, for the journal here or in a folder
above, else for the one used last, and watches its inbox as rakelight watch does.
Where there is none yet, a page offers to make one, to open one, or to look at the
demo, and then to plan a build by tapping. Where this runs already, only the
browser is opened. The page has a button that stops it; so does Ctrl-C.

The program starts like this, too, when it is opened without a terminal: by a
double-click, or from the menu of the desktop. In a terminal, rakelight alone
prints its help.

The journal used last is remembered in your folder for settings (by new, watch and
start; RAKELIGHT_SETTINGS names another folder). Pages are served to this computer
alone; rakelight watch --lan lets a phone in.

  --choose           show what there is to choose, whatever was used last
  --addr HOST:PORT   where to serve (default 127.0.0.1:8765; a free port if taken)
  --no-browser       print the address and open nothing

Example:
  rakelight start
`,
	run: func(a *app, args []string) error {
		var o startOptions
		fs := pflag.NewFlagSet("start", pflag.ContinueOnError)
		fs.BoolVar(&o.choose, "choose", false, "")
		fs.StringVar(&o.addr, "addr", defaultAddr, "")
		fs.BoolVar(&o.quiet, "no-browser", false, "")
		rest, err := parse(fs, args)
		if err == nil {
			err = takes(0, 0, "start takes no folder; rakelight --journal DIR start names one")(rest)
		}
		if err != nil {
			return err
		}
		return a.start(o)
	},
}

type startOptions struct {
	choose, quiet bool
	addr          string
}

// typed reports whether there is a terminal that a person reads or types in.
func typed() bool {
	for _, f := range []*os.File{os.Stdin, os.Stdout, os.Stderr} {
		if term.IsTerminal(int(f.Fd())) {
			return true
		}
	}
	return false
}

// starter is a start that runs: one server, and the journals that are opened on it
// one after the other.
type starter struct {
	*app
	server *guard.Server
	site   *start.Site
	next   chan opening

	mu    sync.Mutex
	leave context.CancelFunc // ends the watch of the journal that is open
}

// opening is a journal to go over to, and whether its pages are served.
type opening struct {
	dir  string
	done chan error
}

// start serves until it is stopped.
func (a *app) start(o startOptions) error {
	end, at, err := onlyStart()
	if err != nil {
		return err
	}
	if end == nil {
		return a.another(at, o.quiet)
	}
	defer end()
	dir, why := a.startWith(o.choose)
	if at := servedElsewhere(dir); at != "" {
		return a.another(at, o.quiet)
	}
	ctx, stop := context.WithCancel(a.ctx)
	defer stop()
	one := *a
	one.ctx = ctx
	s := &starter{app: &one, next: make(chan opening), leave: func() {}}
	s.site = start.New(s.doing(stop))
	s.site.Closed(why)
	if s.server, err = guard.Serve(ctx, o.addr, start.Policy, "no-store", s.site.Handler()); err != nil {
		return err
	}
	defer func() { _ = s.server.Finish() }()
	noteStart(s.server.URL)
	page := s.server.URL + start.Root[1:]
	a.printf("Rakelight is at %s\n", page)
	if dir != "" {
		page = s.server.URL + bench.Root[1:]
	}
	show := func() { a.showPage(page, o.quiet) }
	if dir == "" {
		show()
	}
	return s.loop(dir, show)
}

// another opens the pages of the start or the watch that runs already.
func (a *app) another(at string, quiet bool) error {
	if at == "" {
		return &journal.AskError{What: "Rakelight runs already, and serves no pages",
			Hint: "stop it, or open the pages folder of the journal"}
	}
	a.printf("Rakelight runs already, at %s\n", at)
	a.showPage(at+bench.Root[1:], quiet)
	return nil
}

// showPage opens a page in the browser, where there is a screen.
func (a *app) showPage(page string, quiet bool) {
	if quiet || !hasDisplay() {
		return
	}
	if err := openPage(page); err != nil {
		a.say(fmt.Errorf("no browser was opened: %w", err), "open "+page+" in one")
	}
}

// startWith is the journal to begin with; "" is none, and why says what became of
// the one that was remembered.
func (a *app) startWith(choose bool) (dir, why string) {
	if choose {
		return "", ""
	}
	if found, err := journal.Find(cmp.Or(a.dir, ".")); err == nil {
		return found, ""
	}
	if a.dir != "" {
		return "", a.dir + " holds no journal."
	}
	last, err := readSetting(lastUsed)
	if err != nil || last == "" {
		return "", ""
	}
	if _, err := os.Stat(filepath.Join(last, "journal.toml")); err != nil {
		return "", "The journal used last, " + last + ", is not there any more. Open it where it lies now, or make another."
	}
	return last, ""
}

// servedElsewhere is where a watch serves the journal in dir, "" = nowhere.
func servedElsewhere(dir string) string {
	if dir == "" {
		return ""
	}
	j := journal.Journal{Dir: dir}
	at, err := j.ServedAt()
	if err != nil {
		return "" // opening the journal says why
	}
	return at
}

// doing is what the pages of the start have done here.
func (s *starter) doing(stop func()) start.Doing {
	home, _ := os.UserHomeDir() // "" where there is none
	return start.Doing{
		Open: s.open, Demo: s.demo, Stop: stop, Now: s.now, Home: home, Zone: systemZone(),
		OpenBench: func(dir string) (*journal.Journal, error) { return s.benchOf(dir, false) },
	}
}

// open goes over to the journal in dir, once it is known that it can be opened.
func (s *starter) open(dir string) error {
	if _, err := journal.OpenBench(dir, s.now); err != nil {
		return err
	}
	s.mu.Lock()
	s.leave()
	s.mu.Unlock()
	o := opening{dir, make(chan error, 1)}
	select {
	case s.next <- o:
	case <-s.ctx.Done():
		return s.ctx.Err()
	}
	select {
	case err := <-o.done:
		return err
	case <-s.ctx.Done():
		return s.ctx.Err()
	}
}

// loop watches one journal after the other; dir is the first, "" = none yet.
func (s *starter) loop(dir string, show func()) error {
	o := opening{dir, make(chan error, 1)}
	for {
		if o.dir == "" {
			select {
			case <-s.ctx.Done():
				s.println("Stopped.")
				return nil
			case o = <-s.next:
			}
		}
		err := s.watchOne(o, show)
		show = func() {} // once
		if s.ctx.Err() != nil {
			return nil
		}
		why := ""
		if err != nil {
			why = err.Error()
			s.say(err, diskHint(err))
		}
		s.site.Closed(why)
		s.server.Turn(start.Policy, "no-store", s.site.Handler())
		o = opening{}
	}
}

// watchOne watches a journal until another is opened, or all ends.
func (s *starter) watchOne(o opening, show func()) error {
	ctx, leave := context.WithCancel(s.ctx)
	defer leave()
	s.mu.Lock()
	s.leave = leave
	s.mu.Unlock()
	defer show() // where the journal cannot be opened, the page says so
	one := *s.app
	one.ctx, one.dir = ctx, o.dir
	j, err := one.open()
	if err != nil {
		o.done <- err
		return err
	}
	begun := func() {
		s.site.Opened(j.Dir, j.State.Config.Name)
		o.done <- nil
		show()
		show = func() {}
	}
	err = one.watch(j, serving{on: true, by: s.server, also: s.site, begun: begun})
	select {
	case o.done <- err:
	default: // it began
	}
	return err
}

// demo makes the demo with what this computer may throw away, or finds the one that
// is there.
func (s *starter) demo(progress func(done, total int, what string)) (string, error) {
	cache, err := os.UserCacheDir()
	if err != nil {
		return "", err
	}
	for n := 1; ; n++ {
		dir := filepath.Join(cache, "rakelight-demo")
		if n > 1 {
			dir += "-" + strconv.Itoa(n) // one that was interrupted stays as it is
		}
		if isDemo(dir) {
			return dir, nil
		}
		var ask *journal.AskError
		if err := journal.CheckVacant(dir); errors.As(err, &ask) && n < 10 {
			continue
		} else if err != nil {
			return "", err
		}
		_, _, err := s.makeDemo(dir, progress)
		return dir, err
	}
}
