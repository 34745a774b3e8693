// Package patience gives up waiting for decoders that do not come back.
//
// Start with Do. Go code cannot be stopped from outside, and a sandboxed decoder
// that can be takes four times as long on every good picture. So the waiting is
// what ends: the work is left to itself, and only so much other work of its name
// is begun beside it, so that a folder full of hostile files costs a core or two
// and the memory of as many pictures, not all of them.
//
// What counts is the work's own time on a processor, not the time on the wall: on
// a busy computer a good picture takes long, too. It is the time of its thread on
// Linux and Windows. Elsewhere no thread's time can be asked for without cgo;
// there it is that of the whole program, or the wall's where that is less: never
// less than the work's own.
package patience

import (
	"errors"
	"runtime"
	"sync"
	"sync/atomic"
	"time"
)

// Errors of Do.
var (
	ErrGaveUp   = errors.New("it took too much of the processor's time and was given up")
	ErrNoAnswer = errors.New("the disk or the share it lies on does not answer")
	ErrBusy     = errors.New("earlier ones have not come to their end")
)

// Budget is what a piece of work may take.
type Budget struct {
	Work time.Duration // of a processor's time
	Wait time.Duration // on the wall, for one answer of a disk or share
}

// Most is how many pieces of work of one name may run on after they were given
// up, before no other is begun: one slow picture does not speak for its kind.
const Most = 2

// Guard knows what was given up and still runs. The zero value is ready.
type Guard struct {
	mu    sync.Mutex
	stuck map[string]int
	clock func() func() time.Duration // of the tests; nil = threadClock
}

// Meter is told by the work when it waits for a disk.
type Meter struct {
	asked atomic.Int64 // when, in nanoseconds since begun; 0 = it does not wait
	begun time.Time
}

// Ask notes that an answer is waited for, until answered is called.
func (m *Meter) Ask() (answered func()) {
	m.asked.Store(max(1, int64(time.Since(m.begun))))
	return func() { m.asked.Store(0) }
}

// waits is how long the answer that is waited for did not come.
func (m *Meter) waits() time.Duration {
	asked := m.asked.Load()
	if asked == 0 {
		return 0
	}
	return time.Since(m.begun) - time.Duration(asked)
}

// Do does the work, on a thread of its own, and waits for it. It returns
// ErrGaveUp when the budget's work is used up, ErrNoAnswer when the disk does not
// answer, and ErrBusy at once, without beginning, while Most of the same name
// that were given up still run. A panic of the work becomes the caller's; one
// that comes after giving up is dropped with the work's result.
func Do[T any](g *Guard, name string, b Budget, work func(*Meter) (T, error)) (T, error) {
	var none T
	if g.Busy(name) {
		return none, ErrBusy
	}
	type result struct {
		value T
		err   error
		panic any
	}
	done := make(chan result, 1)
	clock := make(chan func() time.Duration, 1)
	meter := &Meter{begun: time.Now()}
	var once sync.Once // who comes first: the end of the work, or giving up
	gaveUp := false
	go func() {
		runtime.LockOSThread() // so that the thread's time is the work's
		defer runtime.UnlockOSThread()
		used, close := g.clockHere()
		defer close()
		clock <- used
		var r result
		defer func() {
			r.panic = recover()
			once.Do(func() { done <- r })
			if gaveUp { // settled: once.Do waits for the other side
				g.add(name, -1)
			}
		}()
		r.value, r.err = work(meter)
	}()
	used := <-clock
	timer := time.NewTimer(min(b.Work, b.Wait))
	defer timer.Stop()
	var why error
	for why == nil {
		select {
		case r := <-done:
			return r.value, rethrow(r.panic, r.err)
		case <-timer.C:
		}
		left, patient := b.Work-used(), b.Wait-meter.waits()
		switch {
		case left <= 0:
			why = ErrGaveUp
		case patient <= 0:
			why = ErrNoAnswer
		}
		// No processor's time passes quicker than the wall's.
		timer.Reset(max(time.Millisecond, min(left, patient)))
	}
	once.Do(func() {
		gaveUp = true
		g.add(name, 1)
	})
	if gaveUp {
		return none, why
	}
	r := <-done // it ended just now
	return r.value, rethrow(r.panic, r.err)
}

func rethrow(p any, err error) error {
	if p != nil {
		panic(p)
	}
	return err
}

// clockHere is the clock of the calling thread, which any thread may read until
// close is called.
func (g *Guard) clockHere() (used func() time.Duration, close func()) {
	if g.clock != nil {
		return g.clock(), func() {}
	}
	return threadClock()
}

// Busy reports whether Most of the name were given up and still run.
func (g *Guard) Busy(name string) bool { return g.Stuck(name) >= Most }

// Stuck is how many of the name were given up and still run.
func (g *Guard) Stuck(name string) int {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.stuck[name]
}

func (g *Guard) add(name string, n int) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.stuck == nil {
		g.stuck = make(map[string]int)
	}
	g.stuck[name] += n
}
