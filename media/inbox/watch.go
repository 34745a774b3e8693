// Watching the inbox.
//
// A notification only says that it is worth a look. What lies in the inbox is
// what a look finds: network folders send no events, queues overflow, a folder
// moved in sends one event for all its files, and a file is announced long
// before its last byte is there. So every event, and a timer in any case, leads
// to the same look at the whole inbox.
//
// A file is taken when its size and time stood still between two looks at least
// the settle time apart, by our own clock: copies keep old times, and shares
// have clocks of their own. One that then still ends too soon is given ten
// minutes more, because copies pause. The worst delay is one poll and two
// settle times.

package inbox

import (
	"context"
	"os"
	"path/filepath"
	"time"

	"github.com/fsnotify/fsnotify"
)

// patience is how long a file that ends too soon may stand still before it is
// called damaged.
const patience = 10 * time.Minute

// sight is a file as one look saw it.
type sight struct {
	size  int64
	mtime time.Time
	since time.Time // our clock, when it was first seen so
	told  bool      // its outcome was reported, and it stayed as it is
}

// Watch takes photos in as they come, until ctx ends, and returns ctx's error.
// on is told each outcome, once for each state of a file.
func (in *Inbox) Watch(ctx context.Context, on func(Outcome)) error {
	seen := map[string]sight{}
	events := in.events()
	if events != nil {
		defer events.Close()
	}
	var names <-chan fsnotify.Event
	var errs <-chan error
	if events != nil {
		names, errs = events.Events, events.Errors
	}
	timer := time.NewTimer(0)
	defer timer.Stop()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-names:
			timer.Reset(200 * time.Millisecond) // a copy sends many events
		case <-errs:
			timer.Reset(200 * time.Millisecond) // an overflow: names are lost, looking is not
		case <-timer.C:
			waiting := in.look(ctx, seen, time.Now(), on)
			in.follow(events)
			if in.opts.After != nil {
				in.opts.After()
			}
			next := in.opts.Poll
			if waiting {
				next = min(next, in.opts.Settle/2+time.Millisecond)
			}
			timer.Reset(next)
		}
	}
}

// look takes in every file that has settled, and reports whether others are
// still to settle.
func (in *Inbox) look(ctx context.Context, seen map[string]sight, now time.Time, on func(Outcome)) (waiting bool) {
	files, err := list(in.j.InboxDir())
	if err != nil {
		return false // an unmounted share looks like this; it may come back
	}
	here := map[string]bool{}
	for _, path := range files {
		here[path] = true
		info, err := os.Stat(path)
		if err != nil || ctx.Err() != nil {
			continue
		}
		s, known := seen[path]
		if !known || s.size != info.Size() || !s.mtime.Equal(info.ModTime()) {
			seen[path] = sight{size: info.Size(), mtime: info.ModTime(), since: now}
			waiting = true
			continue
		}
		if s.told {
			continue
		}
		if now.Sub(s.since) < in.opts.Settle {
			waiting = true
			continue
		}
		o := in.TakeIn(path)
		if o.cut && now.Sub(s.since) < patience {
			continue
		}
		s.told = true
		seen[path] = s
		on(o)
	}
	for path := range seen {
		if !here[path] {
			delete(seen, path)
		}
	}
	return waiting
}

// events asks the system for notifications; nil when it has none to give.
func (in *Inbox) events() *fsnotify.Watcher {
	if in.opts.NoEvents {
		return nil
	}
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return nil // too many watches, or none on this system: the timer looks
	}
	in.follow(w)
	return w
}

// follow adds a watch to every folder of the inbox. Adding one twice is free,
// and a folder that was deleted and made again needs it.
func (in *Inbox) follow(w *fsnotify.Watcher) {
	if w == nil {
		return
	}
	_ = filepath.WalkDir(in.j.InboxDir(), func(path string, d os.DirEntry, err error) error {
		if err == nil && d.IsDir() {
			_ = w.Add(path) // a folder without events is still looked at
		}
		return nil
	})
}
