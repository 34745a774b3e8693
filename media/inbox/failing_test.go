// A watch on a disk that fails.

package inbox

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"rakelight/journal/disk"
	"rakelight/journal/disk/mishap"
)

// TestFailingDiskUnderWatch fails the n-th call of a watch that takes photos in,
// alone and with all that follow, until a watch needs no failure: each eleventh
// call, with RAKELIGHT_FAULTS=all each. The watch tries again by itself; what it
// could not do before it ended, the next start does.
func TestFailingDiskUnderWatch(t *testing.T) {
	t.Parallel()
	step := 11
	if os.Getenv("RAKELIGHT_FAULTS") == "all" {
		step = 1
	}
	faults, again := 0, 0
	for _, stays := range []bool{false, true} {
		for n := 1; ; n += step {
			j := bench(t)
			drops := harmDrops(t, j, 2, 100)
			d := &mishap.Failing{Fail: n, Stays: stays, Err: syscall.EIO}
			unmount := disk.Mount(j.Dir, d)
			ctx, stop := context.WithTimeout(t.Context(), time.Second)
			told := map[string]bool{}
			opts := Options{Settle: 5 * time.Millisecond, Poll: 2 * time.Millisecond, Leave: 10 * time.Millisecond, NoEvents: true}
			_ = New(j, opts).Watch(ctx, func(o Outcome) {
				told[o.Path] = true
				if len(told) == len(drops) {
					time.AfterFunc(40*time.Millisecond, stop) // it may let go of them
				}
			})
			stop()
			unmount()
			if d.Failed() == "" {
				break
			}
			faults++
			j = opened(t, j)
			if harmed(t, j, drops) == len(drops) {
				again++
			}
			torn := 0
			if stays { // a line half written could not be taken back
				torn = finished(t, j, drops, "torn line")
			} else {
				finished(t, j, drops)
			}
			if n := photoRecords(t, opened(t, j)); n < len(drops) || n > len(drops)+torn {
				t.Errorf("%d records of %d photos", n, len(drops))
			}
			if t.Failed() {
				t.Fatalf("call %d, %s, and all after it: %v", n, d.Failed(), stays)
			}
		}
	}
	t.Logf("%d faults, after %d of them the watch kept all by itself", faults, again)
	if faults < 8 || again == 0 {
		t.Errorf("%d faults, after %d of them all was kept", faults, again)
	}
}

// noSidecars is a disk on which the folder of a placed XMP file cannot be synced.
type noSidecars struct {
	disk.System
	linked bool // the last name given was such a file's
}

func (d *noSidecars) Link(from, to string) error {
	d.linked = strings.HasSuffix(to, ".xmp")
	return d.System.Link(from, to)
}

func (d *noSidecars) SyncDir(dir string) error {
	if d.linked && strings.Contains(filepath.ToSlash(dir), "/photos/") {
		return syscall.EIO
	}
	return d.System.SyncDir(dir)
}

// An XMP file whose copy is perhaps not durable, and not recorded, stays in the
// inbox, and is kept by the next take.
func TestSidecarStaysUntilRecorded(t *testing.T) {
	j := bench(t)
	data := xmpText("2026-03-14T21:30:00+00:00", "hull")
	drop(t, j, "pilot-boat/a.jpg", shot(t, 1))
	left := drop(t, j, "pilot-boat/a.jpg.xmp", data)
	unmount := disk.Mount(j.Dir, &noSidecars{})
	sum, err := New(j, Options{}).TakeAll(t.Context(), nil)
	unmount()
	if err != nil || sum.Taken != 1 {
		t.Fatalf("%+v, %v", sum, err)
	}
	if _, err := os.Stat(left); err != nil {
		t.Errorf("it left: %v", err)
	}
	j = opened(t, j)
	if _, err := New(j, Options{}).TakeAll(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	if _, _, ok := opened(t, j).State.Kept(hashOf(data)); !ok {
		t.Error("it is not recorded")
	}
}
