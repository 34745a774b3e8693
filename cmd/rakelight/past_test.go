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
	add := func(name string, size int) { addOld(t, old, name, size) }
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

// addOld writes a picture into a folder of old ones, unlike those of other sizes.
func addOld(t *testing.T, old, name string, size int) {
	t.Helper()
	if err := os.MkdirAll(filepath.Join(old, "boat"), 0o755); err != nil {
		t.Fatal(err)
	}
	picture := image.NewGray(image.Rect(0, 0, 320, 240))
	for i := range picture.Pix {
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

// An evening is meant by its id alone, the answer names what was hit, and what is said
// of pictures that are left out is refused for that reason.
func TestAnEveningIsMeantAlone(t *testing.T) {
	t.Parallel()
	d := newDesk(t)
	old := filepath.Join(t.TempDir(), "old phone")
	addOld(t, old, "IMG_20240918_090000.jpg", 32)
	addOld(t, old, "IMG_20240918_091000.jpg", 40)
	addOld(t, old, "IMG_20240918_210000.jpg", 56)
	for _, step := range []struct {
		line string
		code int
		want string
	}{
		{`rakelight take --past "` + old + `"`, exitDone, "2 evenings"},
		{"rakelight past 2024-09-18 --out", exitDone, "2 pictures: not of the bench; evening 2024-09-18 ("},
		{"rakelight past 2024-09-18 --role after", exitFailed, "are left out: nothing written"},
		{"rakelight past 2024-09-18 --role after", exitFailed, "--not-out"},
		{"rakelight past 2024-09-18-2 --role after", exitDone, "1 picture: after; evening 2024-09-18-2 ("},
		{"rakelight past 2024-09-18..2024-09-18 --not-out", exitDone,
			"3 pictures: of the bench; 2 evenings, 2024-09-18 to 2024-09-18-2 ("},
	} {
		if code, said := d.types(step.line); code != step.code || !strings.Contains(said, step.want) {
			t.Errorf("%s: exit %d, %q, want %q", step.line, code, said, step.want)
		}
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
