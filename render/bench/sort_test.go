package bench

import (
	"testing"
	"time"

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

// What was begun for pictures of the years before is not what one begins with today.
func TestLongPastIsNotOffered(t *testing.T) {
	now := time.Date(2026, 3, 14, 20, 0, 0, 0, time.UTC)
	stages := []journal.Stage{{ID: "inspect", Kind: "inspect"}}
	of := func(build string, days int) *journal.Photo {
		return &journal.Photo{Hash: build, Tags: journal.Tags{Build: build}, Instant: journal.Instant{At: now.AddDate(0, 0, -days), Source: "DateTimeOriginal"}}
	}
	s := &journal.State{Zone: time.UTC,
		Builds: []*journal.Build{{ID: "mail-seaplane", Stages: stages}, {ID: "lorry", Stages: stages}, {ID: "pilot-boat", Stages: stages},
			{ID: "lightship", Stages: stages}},
		Photos:   []*journal.Photo{of("mail-seaplane", 61), of("lorry", 400), of("pilot-boat", 59)},
		Sessions: []*journal.Session{{Build: "lorry", Stage: "inspect", Kind: "inspect", Start: now.AddDate(0, 0, -400), End: now.AddDate(0, 0, -400)}},
	}
	page, err := mat(&asking{Look: journal.Look{State: s, Now: now}})
	if err != nil {
		t.Fatal(err)
	}
	offered := map[string]bool{}
	for _, o := range page.(matPage).Offers {
		offered[o.Build] = true
	}
	if offered["mail-seaplane"] || !offered["lorry"] || !offered["pilot-boat"] || !offered["lightship"] || !page.(matPage).More {
		t.Errorf("offered: %v", offered)
	}
}
