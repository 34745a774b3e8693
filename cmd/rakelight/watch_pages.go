// The pages of a watch, written beside the intake: it never waits for them.

package main

import (
	"context"
	"fmt"
	"sync"

	"rakelight/journal"
	"rakelight/render"
)

// pageKeeper writes the pages of the latest state it was given, on a goroutine of
// its own. A state that comes while it writes makes it begin anew with that one:
// what was made stays, and the photos that came are shown first.
type pageKeeper struct {
	writer  *render.Writer
	changed func() // called when pages may have changed
	next    chan seen
	ended   chan struct{}

	lock sync.Mutex
	said *setAsideError // what lies in the way of pages
	err  error          // of the last writing
	told bool           // there is something to tell
}

// seen is a state, and how many files lay in the inbox then.
type seen struct {
	state *journal.State
	inbox int
}

// keepPages begins to write pages until ctx ends.
func keepPages(ctx context.Context, w *render.Writer, changed func()) *pageKeeper {
	k := &pageKeeper{writer: w, changed: changed, next: make(chan seen, 1), ended: make(chan struct{})}
	go func() {
		defer close(k.ended)
		for {
			select {
			case <-ctx.Done():
				return
			case now := <-k.next:
				k.write(ctx, now)
			}
		}
	}()
	return k
}

// show has the pages of a state written. One goroutine may call it.
func (k *pageKeeper) show(now seen) {
	select {
	case <-k.next: // nobody has come to it yet
	default:
	}
	k.next <- now
}

func (k *pageKeeper) write(ctx context.Context, now seen) {
	newer := func() bool { return len(k.next) > 0 }
	report, err := k.writer.Write(ctx, now.state, render.Options{InInbox: now.inbox, Stop: newer})
	if ctx.Err() != nil {
		return
	}
	k.lock.Lock()
	if k.err = err; !report.Stopped {
		k.said = foreign(report)
	}
	k.told = true
	k.lock.Unlock()
	k.changed()
}

// tell says what the writer could not do, on the goroutine that prints.
func (k *pageKeeper) tell(a *app) {
	k.lock.Lock()
	defer k.lock.Unlock()
	if !k.told {
		return
	}
	k.told = false
	if k.err != nil {
		a.sayUnwritten(k.err)
	}
	a.sayInTheWay(k.said)
}

func (a *app) sayUnwritten(err error) {
	a.say(fmt.Errorf("the pages were not all written: %w", err), diskHint(err))
}
