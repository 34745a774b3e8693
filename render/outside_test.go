// Test that nothing outside the journal's photos is published.

package render

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/media/scene"
)

// A record of another device names a picture elsewhere on this computer, by its
// path or through a link: no size of it is made.
func TestOutsideIsNotPublished(t *testing.T) {
	j := newJournal(t)
	at := time.Date(2024, 5, 4, 19, 0, 0, 0, time.UTC)
	outside := filepath.Join(filepath.Dir(j.Dir), "outside")
	if err := os.MkdirAll(outside, 0o755); err != nil {
		t.Fatal(err)
	}
	var add []journal.Body
	for i, path := range []string{"../outside/0.jpg", "photos/2024/1.jpg"} {
		img := image.NewRGBA(image.Rect(0, 0, 640, 480))
		for k := range img.Pix {
			img.Pix[k] = byte(k*(i+3)) | 3
		}
		file := filepath.Join(outside, fmt.Sprint(i, ".jpg"))
		f, err := os.Create(file)
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(scene.WriteJPEG(f, img, scene.Exif{At: at}), f.Close()); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		add = append(add, journal.PhotoBody{
			Hash: fmt.Sprintf("%x", sha256.Sum256(data)), Path: path, Name: "x.jpg", Size: int64(len(data)), Format: "jpeg",
			Width: 640, Height: 480, Instant: journal.Instant{At: at},
		})
	}
	if err := os.MkdirAll(j.Path("photos"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, j.Path("photos/2024")); err != nil {
		t.Log("this system makes no links: ", err)
	}
	if _, err := j.AppendAll(add); err != nil {
		t.Fatal(err)
	}
	r := write(t, j)
	if r.Photos != 0 || len(j.State.Photos) != 1 {
		t.Errorf("%+v, %d photos; want no size of one photo that cannot be shown", r, len(j.State.Photos))
	}
	pictures, err := filepath.Glob(j.Path("pages/photos/*.jpg"))
	if err != nil && !errors.Is(err, fs.ErrNotExist) || len(pictures) > 0 {
		t.Errorf("published %v, %v", pictures, err)
	}
}
