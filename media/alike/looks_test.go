// Shapes as they are kept.

package alike

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/media/scene"
)

// drawn is a small journal folder with a photo in it.
func drawn(t *testing.T) (*journal.Journal, *journal.Photo) {
	t.Helper()
	j := &journal.Journal{Dir: t.TempDir(), State: &journal.State{Zone: time.UTC}}
	p := &journal.Photo{Hash: strings.Repeat("a7", 32), Path: "photos/2026/03/a.jpg", Turn: 1}
	file := filepath.Join(j.Dir, "photos", "2026", "03", "a.jpg")
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := scene.WriteJPEG(f, scene.Draw(scene.Shot{Kind: "paint", View: "left", Width: 320, Height: 240, Seed: 3}), scene.Exif{}); err != nil {
		t.Fatal(err)
	}
	return j, p
}

// A picture is looked at once: what is kept is the same, whatever becomes of the picture,
// and what is kept and broken is made again.
func TestLooksAreKept(t *testing.T) {
	j, p := drawn(t)
	looks := OpenLooks(j, nil)
	first, ok := looks.Of(p)
	if !ok || looks.Save() != nil {
		t.Fatal("there is no shape, or it is not kept")
	}
	again := OpenLooks(j, nil)
	if !again.Known(p) {
		t.Error("it is not kept")
	}
	if second, ok := again.Of(p); !ok || second != first {
		t.Error("another shape is kept")
	}
	kept := j.Path(folder + "/a7")
	data, err := os.ReadFile(kept)
	if err == nil {
		err = os.WriteFile(kept, data[:len(data)/2], 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	if third, ok := OpenLooks(j, nil).Of(p); !ok || third != first {
		t.Error("cut in half, it is not made again")
	}
	if err := os.RemoveAll(j.Path("photos")); err != nil {
		t.Fatal(err)
	}
	gone := OpenLooks(j, nil)
	if _, ok := gone.Of(p); ok || gone.Known(p) {
		t.Error("a picture that is not there was looked at for good")
	}
}

// Crop, light and size change a shape less than another view does.
func TestShapesTellViews(t *testing.T) {
	shape := func(view, light string, seed uint64, width int) Shape {
		cells, aspect := media.Cells(scene.Draw(scene.Shot{Model: "lorry", Kind: "paint", View: view, Light: light, Seed: seed, Width: width, Height: width * 3 / 4, Step: 1}), 1, grid)
		s, ok := shapeOf(cells, aspect)
		if !ok {
			t.Fatal("nothing stands out")
		}
		return s
	}
	left, again := shape("left", "diffuse", 1, 320), shape("left", "diffuse", 2, 480)
	front, raking := shape("front", "diffuse", 1, 320), shape("left", "raking", 1, 320)
	alike, otherView, otherLight := left.gap(&again), left.gap(&front), left.gap(&raking)
	if 3*(alike.near+alike.whole) > otherView.near+otherView.whole || 3*alike.shares > otherLight.shares {
		t.Errorf("alike %.4f, another view %.4f, another light %.4f", alike, otherView, otherLight)
	}
	if alike.byView() < otherView.byView() || alike.byLight() < otherLight.byLight() {
		t.Error("another view or light is held for nearer")
	}
	// The right of a model is nearer to its left in the mirror.
	right, turned := shape("right", "diffuse", 1, 320), left.mirrored()
	if turned.nearGap(&right) >= left.nearGap(&right) || turned.mirrored() != left {
		t.Errorf("mirrored %.4f, as it is %.4f", turned.nearGap(&right), left.nearGap(&right))
	}
	if _, ok := shapeOf(make([]uint8, grid*grid), 1); ok {
		t.Error("an even picture has a shape")
	}
}
