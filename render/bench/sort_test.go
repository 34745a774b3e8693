package bench

import (
	"testing"

	"rakelight/journal"
)

// A clip is called so, and a series of which one frame stands for all.
func TestWhatThereIsToSort(t *testing.T) {
	s := &journal.State{Series: []journal.Series{{ID: "s", Frames: 40}}}
	photo, clip, frame := &journal.Photo{}, &journal.Photo{Format: "mp4"}, &journal.Photo{Series: "s"}
	for want, photos := range map[string][]*journal.Photo{
		"1 clip": {clip}, "a series of 40": {frame}, "2 photos": {photo, photo},
		"1 photo and 2 clips":                 {clip, photo, clip},
		"2 photos, 1 clip and a series of 40": {photo, clip, frame, photo},
	} {
		if got := whatAre(s, photos); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
