package main

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Whoever interrupts the reading of old pictures is told so first, and no guesses from a
// part of them.
func TestInterruptedPastSaysSo(t *testing.T) {
	t.Parallel()
	d := newDesk(t)
	old := filepath.Join(t.TempDir(), "old phone")
	add := func(name string, size int) {
		if err := os.MkdirAll(filepath.Join(old, "boat"), 0o755); err != nil {
			t.Fatal(err)
		}
		picture := image.NewGray(image.Rect(0, 0, 320, 240))
		for i := range picture.Pix { // each unlike the others
			picture.Pix[i] = byte(i % 320 * size / 40 * 50)
		}
		var b bytes.Buffer
		if err := jpeg.Encode(&b, picture, nil); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(old, "boat", name), b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	add("IMG_20210306_214000.jpg", 32)
	add("IMG_20210306_215000.jpg", 40)
	add("IMG_20210308_214000.jpg", 56)
	add("IMG_20210308_215000.jpg", 64)
	if code, said := d.types(`rakelight take --past "` + old + `"`); code != exitDone || !strings.Contains(said, "likely build") {
		t.Fatalf("exit %d: %s", code, said)
	}
	add("IMG_20210307_215000.jpg", 48)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	var out, errs bytes.Buffer
	code := run(ctx, []string{"--journal", d.dir, "take", "--past", old}, &out, &errs, func() time.Time { return d.now })
	said := out.String()
	if code == exitDone || !strings.HasPrefix(said, "it was interrupted; the same command again goes on\nread so far: ") ||
		strings.Contains(said, "likely build") {
		t.Errorf("exit %d: %s%s", code, said, errs.String())
	}
}

// What cards in old pictures said is told as that.
func TestCardsOfPastAreTold(t *testing.T) {
	t.Parallel()
	d := newDesk(t)
	before, after := d.photo("2026-03-14 19:00", "before", nil), d.photo("2026-03-14 19:30", "finished", nil)
	var out bytes.Buffer
	a := &app{out: &out, err: &out}
	a.tellCardsAs(pastCards, d.j.State, map[string]bool{before.Hash: true, after.Hash: true})
	if want := "bench cards in these pictures said: 2 roles (1 before, 1 finished)\n"; out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
}
