// Real camera files through the real inbox, each instant checked against the
// time published in the file's own name.
// Source: the samples of github.com/rwcarlsen/goexif (BSD-2), named
// YYYY-MM-DD-hh-mm-ss-sep-NAME after the DateTimeOriginal they hold.

package inbox

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// samples copies the library's sample photos into the inbox of a new journal.
func samples(t *testing.T) (*journal.Journal, []string) {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/rwcarlsen/goexif").Output()
	if err != nil {
		t.Fatalf("where the sample photos are: %v", err)
	}
	dir := filepath.Join(t.TempDir(), "j")
	if err := journal.Create(dir, "Real", "UTC", time.Now()); err != nil {
		t.Fatal(err)
	}
	j, err := journal.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	found, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(out)), "exif", "samples", "*.jpg"))
	if err != nil || len(found) < 50 {
		t.Fatalf("%d sample photos, %v", len(found), err)
	}
	var names []string
	for _, path := range found {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(path)
		data = whole(t, data)
		// The name must not give the date away to the reader under test.
		if err := os.WriteFile(filepath.Join(j.InboxDir(), "sample-"+strings.Repeat("x", len(names)+1)+".jpg"), data, 0o644); err != nil {
			t.Fatal(err)
		}
		names = append(names, name)
	}
	return j, names
}

// whole puts a small picture behind the metadata of a sample: the library ships
// the samples' segments and leaves their picture data out.
func whole(t *testing.T, data []byte) []byte {
	t.Helper()
	var picture bytes.Buffer
	img := image.NewGray(image.Rect(0, 0, 16, 12))
	copy(img.Pix, data[len(data)/2:])
	if err := jpeg.Encode(&picture, img, nil); err != nil {
		t.Fatal(err)
	}
	end := 2
	for end+4 <= len(data) && data[end] == 0xff && data[end+1] >= 0xe0 && data[end+1] <= 0xef {
		next := end + 2 + int(data[end+2])<<8 + int(data[end+3])
		if next > len(data) {
			break
		}
		end = next
	}
	return append(bytes.Clone(data[:end]), picture.Bytes()[2:]...)
}

func TestRealCameraFiles(t *testing.T) {
	j, names := samples(t)
	sum, err := New(j, Options{}).TakeAll(context.Background(), func(int, int, Outcome) {})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range sum.Left {
		t.Logf("left: %s", o)
	}
	agreed, dated, undated := 0, 0, 0
	for i, name := range names {
		found := j.State.FindPhoto("sample-" + strings.Repeat("x", i+1) + ".jpg")
		if strings.HasPrefix(name, "FailedHash-NoDate") {
			if len(found) != 1 || found[0].Instant.Source != "file time" || found[0].Instant.Doubt != "file time, uncertain" {
				t.Errorf("%s: %+v; want file time, uncertain", name, found)
			}
			undated++
			continue
		}
		want, err := time.Parse("2006-01-02-15-04-05", name[:min(19, len(name))])
		if err != nil {
			continue // the samples that are named otherwise
		}
		dated++
		if len(found) != 1 {
			t.Errorf("%s: not taken in", name)
			continue
		}
		in := found[0].Instant
		if got := in.At.Format("2006-01-02-15-04-05"); got != want.Format("2006-01-02-15-04-05") {
			t.Errorf("%s: %s from %s", name, got, in.Source)
			continue
		}
		agreed++
	}
	t.Logf("%d of %d instants agree with the published name", agreed, dated)
	if dated < 40 || undated != 1 {
		t.Errorf("%d dated and %d undated samples; the test looked at too little", dated, undated)
	}
}
