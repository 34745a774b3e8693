// Tests of the room for pictures being decoded.

package media

import (
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"
	"time"
)

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
