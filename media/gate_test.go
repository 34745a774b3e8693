// Tests of the room for pictures being decoded.

package media

import (
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestGate(t *testing.T) {
	g := newGate(10)
	one, err := g.enter(6)
	if err != nil {
		t.Fatal(err)
	}
	entered := make(chan *place)
	go func() {
		p, _ := g.enter(100)
		entered <- p
	}()
	select {
	case <-entered:
		t.Fatal("a picture larger than the gate went in beside another")
	default:
	}
	one.leave()
	(<-entered).leave()
	if g.free != 10 {
		t.Errorf("free %d", g.free)
	}
}

// What a reader holds that was given up stays taken until it ends: small pictures
// go on beside it, a large one is told that there is no room, and does not wait.
func TestGateOfGivenUpReaders(t *testing.T) {
	g := newGate(10)
	slow, _ := g.enter(6)
	slow.join() // the reader beside its caller
	waits := make(chan error)
	go func() {
		_, err := g.enter(8)
		waits <- err
	}()
	slow.giveUp()
	slow.leave()
	var busy *BusyError
	if err := <-waits; !errors.As(err, &busy) || busy.Want != Room {
		t.Fatalf("%v", err)
	}
	small, err := g.enter(4)
	if err != nil {
		t.Fatal(err)
	}
	small.leave()
	slow.leave() // it ended
	if p, err := g.enter(8); err != nil {
		t.Error(err)
	} else if p.leave(); g.free != 10 || g.lost != 0 {
		t.Errorf("free %d, lost %d", g.free, g.lost)
	}
}

// Two pictures that each fill the room go one after the other, sizes and all.
func TestRoomIsEnteredOnce(t *testing.T) {
	defer func(old *gate) { room = old }(room)
	room = newGate(10)
	dir := t.TempDir()
	done := make(chan error, 2)
	for i := range 2 {
		path := filepath.Join(dir, fmt.Sprintf("%d.jpg", i))
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := jpeg.Encode(f, image.NewGray(image.Rect(0, 0, 64, 48)), nil); err != nil {
			t.Fatal(err)
		}
		f.Close()
		go func() {
			_, sizes, err := ReadSizes(path, func(_ Facts, w int) string { return fmt.Sprintf("%s-%d.jpg", path, w) }, []int{32, 16})
			if err == nil && len(sizes) != 2 {
				err = fmt.Errorf("%d sizes", len(sizes))
			}
			done <- err
		}()
	}
	for range 2 {
		select {
		case err := <-done:
			if err != nil {
				t.Error(err)
			}
		case <-time.After(time.Minute): // many times what it takes: they wait for each other
			t.Fatal("two pictures wait for each other's room")
		}
	}
	if room.free != room.all {
		t.Errorf("%d of %d bytes of room given back", room.free, room.all)
	}
}
