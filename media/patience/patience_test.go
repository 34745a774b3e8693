// Work that never ends, waits, ends late, ends in a panic.

package patience

import (
	"errors"
	"sync/atomic"
	"testing"
	"time"
)

// ample is a budget no test uses up.
var ample = Budget{Work: time.Hour, Wait: time.Hour}

// burn keeps a processor busy until it is let go.
func burn(release *atomic.Bool) func(*Meter) (int, error) {
	return func(*Meter) (int, error) {
		for !release.Load() {
		}
		return 1, nil
	}
}

// TestGivenUp: one that does not end is given up; others of its name go on
// beside it, until Most of them are given up.
func TestGivenUp(t *testing.T) {
	var g Guard
	var release atomic.Bool
	for i := range Most {
		if n, err := Do(&g, "a", ample, func(*Meter) (int, error) { return 3, nil }); n != 3 || err != nil {
			t.Errorf("beside %d that were given up: %d, %v", i, n, err)
		}
		_, err := Do(&g, "a", Budget{Work: time.Millisecond, Wait: time.Hour}, burn(&release))
		if !errors.Is(err, ErrGaveUp) || g.Stuck("a") != i+1 {
			t.Fatalf("%v, %d stuck", err, g.Stuck("a"))
		}
	}
	begun := false
	if _, err := Do(&g, "a", ample, func(*Meter) (int, error) { begun = true; return 2, nil }); !errors.Is(err, ErrBusy) || begun {
		t.Errorf("%v, begun %v", err, begun)
	}
	if n, err := Do(&g, "b", ample, func(*Meter) (int, error) { return 3, nil }); n != 3 || err != nil {
		t.Errorf("another name: %d, %v", n, err)
	}
	release.Store(true)
	for g.Stuck("a") > 0 { // it is noted just after the end
		time.Sleep(time.Millisecond)
	}
	if n, err := Do(&g, "a", ample, func(*Meter) (int, error) { return 4, nil }); n != 4 || err != nil {
		t.Errorf("after the end: %d, %v", n, err)
	}
}

// TestWaitingForATurnCostsNothing: work that gets no processor is not given up,
// however long it takes on the wall.
func TestWaitingForATurnCostsNothing(t *testing.T) {
	var asked atomic.Int32
	enough := make(chan struct{})
	g := Guard{clock: func() func() time.Duration {
		return func() time.Duration {
			if asked.Add(1) == 5 { // each time another whole budget has passed on the wall
				close(enough)
			}
			return 0
		}
	}}
	n, err := Do(&g, "a", Budget{Work: time.Millisecond, Wait: time.Hour}, func(*Meter) (int, error) { <-enough; return 7, nil })
	if n != 7 || err != nil {
		t.Errorf("%d, %v", n, err)
	}
}

// TestThreadClock: the clock stands while its thread waits, and goes while it
// works; other threads' work is not counted where the system tells them apart.
func TestThreadClock(t *testing.T) {
	var g Guard
	var release atomic.Bool
	go burn(&release)(nil) // keeps a processor busy beside
	defer release.Store(true)
	_, err := Do(&g, "a", ample, func(*Meter) (int, error) {
		used, close := threadClock()
		defer close()
		before := used()
		for used() < before+2*time.Millisecond {
		}
		return 0, nil // it went on: else this would not end
	})
	if err != nil {
		t.Error(err)
	}
}

// TestNoAnswer: a disk that does not answer ends the waiting as well, and is
// told from work that takes long.
func TestNoAnswer(t *testing.T) {
	var g Guard
	release := make(chan struct{})
	defer close(release)
	_, err := Do(&g, "a", Budget{Work: time.Hour, Wait: time.Millisecond}, func(m *Meter) (int, error) {
		m.Ask()() // this one was answered
		defer m.Ask()()
		<-release
		return 1, nil
	})
	if !errors.Is(err, ErrNoAnswer) || g.Stuck("a") != 1 {
		t.Errorf("%v, %d stuck", err, g.Stuck("a"))
	}
}

func TestPanicIsTheCallers(t *testing.T) {
	var g Guard
	defer func() {
		if p := recover(); p != "damage" {
			t.Errorf("recovered %v", p)
		}
	}()
	_, err := Do(&g, "a", ample, func(*Meter) (int, error) { panic("damage") })
	t.Errorf("came back with %v", err)
}

func TestErrorsPass(t *testing.T) {
	var g Guard
	own := errors.New("own")
	if _, err := Do(&g, "a", ample, func(*Meter) (int, error) { return 0, own }); err != own {
		t.Error(err)
	}
}
