// Watching the inbox. How it decides:
//
// Events are hints that say "look soon"; one look at the folder is the truth.
// It comes at start, 200 ms after events, after an overflow or an error of the
// watcher, every 30 s in any case, and every 5 s where there are no events
// (network mounts often give none, and no error either: a small hidden file
// written and removed at start proves them).
//
// A file is finished when two looks at least 2 s apart see the same size and
// time of change, by our own clock between the looks: copies keep old times,
// and shares have clocks of their own. A finished file is taken in. If it ends
// too early it may still be coming: that is told, it is looked at again when it
// changes, and set aside after 10 minutes without a change. What is set aside is
// told once for each size and time of change. Where the disk was full, a file
// busy or closed, or an XMP file without its photo, it is told once and tried
// again after 5 s, 10 s, and so on up to every 10 minutes.
//
// What is kept leaves (see leave.go) and is looked at again every half minute:
// unchanged after 5 minutes it goes for good; changed, it is taken in as the
// whole file once it stayed the same for 5 minutes.
//
// A new folder is watched first and listed then. When the inbox vanishes, or a
// share is unmounted, the looks go on until it is back; an empty or missing
// inbox never means that anything is to be removed.

package inbox

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// Watch takes photos in as they come, and tells on of each, until ctx is done;
// it returns ctx's error. on is called from one goroutine.
func (in *Inbox) Watch(ctx context.Context, on func(Outcome)) error {
	w := &watching{
		in: in, on: on,
		settler: newSettler(in.opts.Settle, in.opts.GiveUp, in.opts.Retry),
		leaving: newSettler(max(in.opts.Leave, in.opts.Settle), in.opts.GiveUp, in.opts.Retry),
	}
	w.open()
	defer w.close()
	for {
		if err := w.look(ctx); err != nil {
			return err
		}
		in.opts.AfterLook()
		if err := w.wait(ctx); err != nil {
			return err
		}
	}
}

// watching is one run of Watch.
type watching struct {
	in      *Inbox
	on      func(Outcome)
	settler *settler
	leaving *settler          // of what changed after it left
	again   time.Time         // what is leaving is looked at then
	over    passed            // what was passed over and told
	events  *fsnotify.Watcher // nil: there are no events
	proof   time.Time         // until then the probe's event may come; zero = settled
	gone    bool              // the inbox was missing at the last look
	hold    time.Time         // nothing is taken in before: the journal could not be written
	told    string            // that error, so that it is told once
}

// probeName is the pattern of a name that is hidden, so that no look takes it for
// a photo, and new each time: a file or a link of that name may be somebody's.
const probeName = ".rakelight-probe-*.tmp"

// open begins to watch, if the system lets us, and proves it.
func (w *watching) open() {
	if w.in.opts.NoEvents {
		return
	}
	events, err := fsnotify.NewWatcher()
	if err != nil {
		w.poll("this computer gives no notice of new files (" + err.Error() + ")")
		return
	}
	w.events = events
	if err := events.Add(w.in.j.InboxDir()); err != nil {
		return // perhaps the inbox is not there yet: each look adds it again
	}
	probe, err := os.CreateTemp(w.in.j.InboxDir(), probeName)
	if err != nil {
		return // a folder we may not write to gives its events all the same, or the timer looks
	}
	_ = probe.Close()
	_ = os.Remove(probe.Name()) // a probe left behind is hidden and empty
	w.proof = time.Now().Add(time.Second)
}

func (w *watching) close() {
	if w.events != nil {
		w.events.Close()
		w.events = nil
	}
}

// poll gives up on events and says so.
func (w *watching) poll(why string) {
	w.close()
	w.proof = time.Time{}
	w.on(Outcome{Path: "inbox", Status: Waiting, Why: why + "; looking every " + w.in.opts.Poll.String() + " instead"})
}

// look lists the inbox and takes in what is finished.
func (w *watching) look(ctx context.Context) error {
	list, err := w.in.walk(w.in.j.InboxDir(), func(dir string) {
		if w.events != nil {
			// Adding again costs nothing, and finds a folder that was removed
			// and made anew under the same name. Without it the timer looks.
			_ = w.events.Add(dir)
		}
	})
	if err != nil {
		if !w.gone {
			w.on(Outcome{Path: "inbox", Status: Waiting, Why: "the folder cannot be read; waiting until it is back"})
		}
		w.gone = true
		return ctx.Err()
	}
	w.gone = false
	w.passOver(list.passed)
	now := w.in.opts.Now()
	ready := w.settler.look(list.files, now)
	if now.Before(w.hold) {
		return ctx.Err()
	}
	w.in.mu.Lock()
	defer w.in.mu.Unlock()
	if len(ready) > 0 {
		w.reload()
		err = w.take(ctx, w.dropped(ready), w.settler, ready)
	}
	if err == nil && ctx.Err() == nil {
		err = w.lookAgain(ctx, now)
	}
	// What a crash left behind comes after the files it may be a copy of.
	if err == nil && ctx.Err() == nil && !w.settler.waiting() {
		err = w.clearLeft(ctx)
	}
	w.held(ctx, err)
	return ctx.Err()
}

// passOver tells of what is passed over, each line once as long as it is true.
func (w *watching) passOver(p passed) {
	for _, o := range p.outcomes("inbox", w.over) {
		w.on(o)
	}
	w.over = p
}

// reload reads what another command or a person changed: sessions and builds
// tell where the photos belong. If that cannot be read now, what was read before
// does.
func (w *watching) reload() {
	if err := w.in.j.CatchUp(); err != nil {
		w.on(Outcome{Path: "inbox", Status: Waiting,
			Why: "the journal cannot be read again (" + err.Error() + "); going on with what was read"})
	}
}

func (w *watching) dropped(files []found) []Dropped {
	var drops []Dropped
	for _, f := range files {
		drops = append(drops, w.in.drop(f.path, ""))
	}
	return drops
}

// take takes files in and notes with the settler what became of each; files are
// the same ones as it knows them.
func (w *watching) take(ctx context.Context, drops []Dropped, s *settler, files []found) error {
	_, err := w.in.run(ctx, drops, func(done, _ int, o Outcome) {
		if tell := s.ended(files[done-1], o, w.in.opts.Now()); tell != nil {
			w.on(*tell)
		}
	})
	return err
}

// lookAgain looks at what is leaving, twice a minute at most.
func (w *watching) lookAgain(ctx context.Context, now time.Time) error {
	if now.Before(w.again) {
		return nil
	}
	w.again = now.Add(min(w.in.opts.Leave/4, 30*time.Second))
	drops := w.in.lookAgain(now, func(changed []found) []found { return w.leaving.look(changed, now) })
	if len(drops) == 0 {
		return nil
	}
	w.reload()
	var files []found
	for _, d := range drops {
		files = append(files, found{path: d.Path})
	}
	return w.take(ctx, drops, w.leaving, files)
}

// clearLeft clears what an earlier run left behind and takes in what is found
// nowhere else.
func (w *watching) clearLeft(ctx context.Context) error {
	lost, err := w.in.clearLeft(ctx)
	if err != nil || len(lost) == 0 {
		return err
	}
	_, err = w.in.run(ctx, lost, func(_, _ int, o Outcome) { w.on(o) })
	return err
}

// held notes how a look ended. When the disk is full, or the folder closed to us,
// the files stay in the inbox, and a later look tries again.
func (w *watching) held(ctx context.Context, err error) {
	switch {
	case err == nil:
		w.told = ""
	case ctx.Err() == nil:
		w.hold = w.in.opts.Now().Add(w.in.opts.Rescan)
		if w.told != err.Error() {
			w.told = err.Error()
			w.on(Outcome{Path: "inbox", Status: Waiting, Why: w.told + "; trying again"})
		}
	}
}

// wait returns when it is time for the next look.
func (w *watching) wait(ctx context.Context) error {
	pause := w.in.opts.Rescan
	if w.events == nil || w.gone {
		pause = w.in.opts.Poll
	}
	if w.settler.waiting() {
		pause = min(pause, w.in.opts.Settle)
	}
	timer := time.NewTimer(pause)
	defer timer.Stop()
	var soon <-chan time.Time
	for {
		var events chan fsnotify.Event
		var errs chan error
		var unproved <-chan time.Time
		if w.events != nil {
			events, errs = w.events.Events, w.events.Errors
			if !w.proof.IsZero() {
				unproved = time.After(time.Until(w.proof))
			}
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-timer.C:
			return nil
		case <-soon:
			return nil
		case <-unproved:
			w.poll("this folder gives no notice of new files")
			return nil
		case e, ok := <-events:
			if !ok {
				w.poll("the notice of new files ended")
				return nil
			}
			w.proof = time.Time{}
			if soon == nil && !strings.HasPrefix(filepath.Base(e.Name), ".") {
				soon = time.After(w.in.opts.Coalesce)
			}
		case _, ok := <-errs:
			if !ok {
				w.poll("the notice of new files ended")
			}
			return nil // names were lost: look now
		}
	}
}
