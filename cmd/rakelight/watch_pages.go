// The pages of a watch, written beside the intake: it never waits for them.

package main

import (
	"context"
	"fmt"
	"sync"
	"time"

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
	shown   seen // the last it was given

	lock sync.Mutex
	said *setAsideError // what lies in the way of pages
	err  error          // of the last writing
	told bool           // there is something to tell
	mute bool           // that error was told: it is once, until a writing goes well
}

// seen is a state, with how many files lay in the inbox then, and how many old pictures
// waited to be sorted.
type seen struct {
	state *journal.State
	inbox int
	old   int
}

// What could not be written is tried again after the first of these, then after twice
// as long, and so on up to the second.
const (
	firstRetry = 5 * time.Second
	lastRetry  = 10 * time.Minute
)

// keepPages begins to write pages until ctx ends; retry is firstRetry.
func keepPages(ctx context.Context, w *render.Writer, changed func(), retry time.Duration) *pageKeeper {
	k := &pageKeeper{writer: w, changed: changed, next: make(chan seen, 1), ended: make(chan struct{})}
	go func() {
		defer close(k.ended)
		var now seen
		var again <-chan time.Time
		wait := retry
		for {
			select {
			case <-ctx.Done():
				return
			case now = <-k.next:
				wait = retry
			case <-again:
			}
			if again = nil; !k.write(ctx, now) {
				again, wait = time.After(wait), min(2*wait, lastRetry)
			}
		}
	}()
	return k
}

// show has the pages of a state written, unless they are those it was given last. One
// goroutine may call it.
func (k *pageKeeper) show(now seen) {
	if now == k.shown {
		return
	}
	k.shown = now
	select {
	case <-k.next: // nobody has come to it yet
	default:
	}
	k.next <- now
}

// write is false where not all could be written.
func (k *pageKeeper) write(ctx context.Context, now seen) bool {
	newer := func() bool { return len(k.next) > 0 }
	report, err := k.writer.Write(ctx, now.state, render.Options{Frame: frameTaker(), InInbox: now.inbox, Old: now.old,
		Stop: newer})
	if ctx.Err() != nil {
		return true
	}
	k.lock.Lock()
	if k.err = err; !report.Stopped {
		k.said = foreign(report)
	}
	k.mute = k.mute && err != nil
	k.told = true
	k.lock.Unlock()
	k.changed()
	return err == nil
}

// tell says what the writer could not do, on the goroutine that prints.
func (k *pageKeeper) tell(a *app) {
	k.lock.Lock()
	defer k.lock.Unlock()
	if !k.told {
		return
	}
	k.told = false
	if k.err != nil && !k.mute {
		a.sayUnwritten(k.err)
		k.mute = true
	}
	a.sayInTheWay(k.said)
}

func (a *app) sayUnwritten(err error) {
	a.say(fmt.Errorf("the pages were not all written: %w", err), diskHint(err))
}
