// Work that never ends, ends late, ends in a panic.

package patience

import (
	"errors"
	"testing"
	"time"
)

func TestGivenUp(t *testing.T) {
	var g Guard
	release, ended := make(chan struct{}), make(chan struct{})
	_, err := Do(&g, "a", time.Millisecond, func() (int, error) {
		defer close(ended)
		<-release
		return 1, nil
	})
	if !errors.Is(err, ErrGaveUp) || !g.Busy("a") {
		t.Fatalf("%v, busy %v", err, g.Busy("a"))
	}
	begun := false
	if _, err := Do(&g, "a", time.Hour, func() (int, error) { begun = true; return 2, nil }); !errors.Is(err, ErrBusy) || begun {
		t.Errorf("%v, begun %v", err, begun)
	}
	if n, err := Do(&g, "b", time.Hour, func() (int, error) { return 3, nil }); n != 3 || err != nil {
		t.Errorf("another name: %d, %v", n, err)
	}
	close(release)
	<-ended
	for g.Busy("a") { // it is noted just after the end
		time.Sleep(time.Millisecond)
	}
	if n, err := Do(&g, "a", time.Hour, func() (int, error) { return 4, nil }); n != 4 || err != nil {
		t.Errorf("after the end: %d, %v", n, err)
	}
}

func TestPanicIsTheCallers(t *testing.T) {
	var g Guard
	defer func() {
		if p := recover(); p != "damage" {
			t.Errorf("recovered %v", p)
		}
	}()
	_, err := Do(&g, "a", time.Hour, func() (int, error) { panic("damage") })
	t.Errorf("came back with %v", err)
}

func TestErrorsPass(t *testing.T) {
	var g Guard
	own := errors.New("own")
	if _, err := Do(&g, "a", time.Hour, func() (int, error) { return 0, own }); err != own {
		t.Error(err)
	}
}
