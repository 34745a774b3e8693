// Taking photos in makes their web sizes too: writing the pages afterwards
// decodes none again.

package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/scene"
	"rakelight/render"
)

func TestTakeMakesTheSizes(t *testing.T) {
	t.Chdir(t.TempDir())
	evening := time.Date(2026, 3, 14, 19, 32, 5, 0, time.UTC)
	call := func(args ...string) {
		t.Helper()
		var out, errs strings.Builder
		if code := run(context.Background(), args, &out, &errs, func() time.Time { return evening }); code != exitDone {
			t.Fatalf("%v ended with %d: %s%s", args, code, out.String(), errs.String())
		}
	}
	call("new", "bench", "--zone", "Europe/Lisbon")
	t.Chdir("bench")
	f, err := os.Create(filepath.Join("inbox", "a.jpg"))
	if err != nil {
		t.Fatal(err)
	}
	img := scene.Draw(scene.Shot{Model: "seaplane", Kind: "clean", View: "left", Light: "raking", Width: 1100, Height: 800})
	if err := scene.WriteJPEG(f, img, scene.Exif{Make: "Tarrow", Model: "T-24", At: evening}); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	call("take")
	j, err := journal.Open(".")
	if err != nil {
		t.Fatal(err)
	}
	report, err := render.Write(t.Context(), j, render.Options{})
	if err != nil || len(j.State.Photos) != 1 {
		t.Fatalf("%d photos, %v", len(j.State.Photos), err)
	}
	sizes, err := filepath.Glob("pages/photos/*.jpg")
	if report.Photos != 0 || report.Removed != 0 || len(sizes) != 3 || err != nil {
		t.Errorf("%d sizes were made again, %d files removed, %d are there (%v)", report.Photos, report.Removed, len(sizes), err)
	}
}
