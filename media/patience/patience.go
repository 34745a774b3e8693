// Package patience gives up waiting for decoders that do not come back.
//
// Start with Do. Go code cannot be stopped from outside, and a sandboxed decoder
// that can be takes four times as long on every good picture. So the waiting is
// what ends: the work is left to itself, and as long as it runs no other work of
// its name is begun, so that a folder full of hostile files costs one core and
// one picture's memory, not all of them.
package patience

import (
	"errors"
	"sync"
	"time"
)

// Errors of Do.
var (
	ErrGaveUp = errors.New("it took too long and was given up")
	ErrBusy   = errors.New("an earlier one does not come to its end")
)

// Guard knows what was given up and still runs. The zero value is ready.
type Guard struct {
	mu    sync.Mutex
	stuck map[string]int
}

// Do does the work and waits for it as long as budget. It returns ErrGaveUp
// when the time is over, and ErrBusy at once while work of the same name that
// was given up still runs. A panic of the work becomes the caller's; one that
// comes after giving up is dropped with the work's result.
func Do[T any](g *Guard, name string, budget time.Duration, work func() (T, error)) (T, error) {
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
	var once sync.Once // who comes first: the end of the work, or giving up
	gaveUp := false
	go func() {
		var r result
		defer func() {
			r.panic = recover()
			once.Do(func() { done <- r })
			if gaveUp { // settled: once.Do waits for the other side
				g.add(name, -1)
			}
		}()
		r.value, r.err = work()
	}()
	timer := time.NewTimer(budget)
	defer timer.Stop()
	select {
	case r := <-done:
		return r.value, rethrow(r.panic, r.err)
	case <-timer.C:
	}
	once.Do(func() {
		gaveUp = true
		g.add(name, 1)
	})
	if gaveUp {
		return none, ErrGaveUp
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

// Busy reports whether work of the name was given up and still runs.
func (g *Guard) Busy(name string) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.stuck[name] > 0
}

func (g *Guard) add(name string, n int) {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.stuck == nil {
		g.stuck = make(map[string]int)
	}
	g.stuck[name] += n
}
