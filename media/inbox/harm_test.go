// Harm from outside while photos are kept: a disk that is full, a folder that may
// not be written or is gone, and clocks that are wrong.

package inbox

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// harmed fails unless each picture is kept once or lies in the inbox, byte for
// byte, and what is recorded is there.
func harmed(t *testing.T, j *journal.Journal, drops map[string][]byte) (kept int) {
	t.Helper()
	for name, data := range drops {
		p, file, ok := j.State.Kept(hashOf(data))
		inInbox, err := os.ReadFile(filepath.Join(j.InboxDir(), filepath.FromSlash(name)))
		switch {
		case ok:
			kept++
			if got, err := os.ReadFile(j.Path(file.Path)); err != nil || !bytes.Equal(got, data) {
				t.Errorf("%s (%s) is recorded and not there: %v", name, p.Path, err)
			}
		case err != nil || !bytes.Equal(inInbox, data):
			t.Errorf("%s is neither kept nor whole in the inbox: %v", name, err)
		}
	}
	return kept
}

// finished fails unless the next take, with nothing in its way, keeps all, and
// nothing is damaged but what is of the kinds that may be. It returns how much is.
func finished(t *testing.T, j *journal.Journal, drops map[string][]byte, may ...string) (damages int) {
	t.Helper()
	c := &clock{time.Now()}
	j = opened(t, j)
	c.take(t, j)
	c.now = c.now.Add(time.Hour)
	c.take(t, j)
	if kept := harmed(t, j, drops); kept != len(drops) {
		t.Errorf("%d of %d are kept", kept, len(drops))
	}
	if n := originals(t, j); n != len(drops) {
		t.Errorf("%d files are kept of %d", n, len(drops))
	}
	for _, f := range j.Check(true) {
		if f.Error {
			damages++
		}
		if f.Error && !slices.Contains(may, f.Kind) {
			t.Errorf("%+v", f)
		}
	}
	return damages
}

func harmDrops(t *testing.T, j *journal.Journal, n, size int) map[string][]byte {
	t.Helper()
	drops := map[string][]byte{}
	for i := range n {
		name := fmt.Sprintf("pilot-boat/h%02d.jpg", i)
		drops[name] = append(shot(t, i), film(size+i)...)
		drop(t, j, name, drops[name])
	}
	return drops
}

// smallDisk is a journal on a file system of some hundred kilobytes. It runs where
// one can be mounted (Linux, root), and says so where not.
func smallDisk(t *testing.T, j *journal.Journal, kilobytes int) (grow func()) {
	t.Helper()
	remount, err := mountSmall(j.Path("photos"), kilobytes)
	if err != nil {
		t.Skipf("not run: no small file system can be mounted here (%v)", err)
	}
	t.Cleanup(func() { unmountSmall(j.Path("photos")) })
	return func() {
		if err := remount(64 << 10); err != nil {
			t.Fatal(err)
		}
	}
}

// The disk fills up while photos are kept: what found room is kept, the others lie
// in the inbox, and are kept once there is room.
func TestFullDisk(t *testing.T) {
	j := bench(t)
	grow := smallDisk(t, j, 2000)
	drops := harmDrops(t, j, 8, 80_000)
	sum, err := New(j, Options{}).TakeAll(t.Context(), nil)
	if err != nil || sum.Taken == 0 || len(sum.Left) == 0 {
		t.Fatalf("%+v, %v: the disk was to fill up on the way", sum, err)
	}
	kept := harmed(t, opened(t, j), drops)
	t.Logf("%d of %d found room", kept, len(drops))
	grow()
	finished(t, j, drops)
}

// A folder of the journal may not be written for a time.
func TestReadOnlyFolders(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("folders there are not read only")
	}
	if os.Getuid() == 0 {
		t.Skip("not run: root may write everywhere; TestReadOnlyDisk holds it there")
	}
	for _, dir := range []string{"photos", "records", ".cache", "inbox/pilot-boat"} {
		j := bench(t)
		drops := harmDrops(t, j, 3, 100)
		if err := errors.Join(os.MkdirAll(j.Path(dir), 0o755), os.Chmod(j.Path(dir), 0o555)); err != nil {
			t.Fatal(err)
		}
		_, takeErr := New(j, Options{}).TakeAll(t.Context(), nil)
		if err := os.Chmod(j.Path(dir), 0o755); err != nil {
			t.Fatal(err)
		}
		harmed(t, opened(t, j), drops)
		t.Logf("%s: %v", dir, takeErr)
		finished(t, j, drops)
	}
}

// The file system of the photos becomes read only, as one does that found a
// fault, and then writable again.
func TestReadOnlyDisk(t *testing.T) {
	j := bench(t)
	grow := smallDisk(t, j, 4000)
	drops := harmDrops(t, j, 3, 100)
	if err := readOnlySmall(j.Path("photos")); err != nil {
		t.Skipf("not run: %v", err)
	}
	sum, err := New(j, Options{}).TakeAll(t.Context(), nil)
	if err != nil || sum.Taken != 0 || len(sum.Left) != 3 {
		t.Errorf("%+v, %v", sum, err)
	}
	harmed(t, opened(t, j), drops)
	grow()
	finished(t, j, drops)
}

// Folders vanish between two takes, as when a share goes away, and come back.
func TestFolderVanishes(t *testing.T) {
	for _, dir := range []string{"photos", "inbox", "records", ".cache", "builds"} {
		t.Run(dir, func(t *testing.T) {
			j := bench(t)
			drops := harmDrops(t, j, 3, 100)
			if _, err := New(j, Options{}).TakeAll(t.Context(), nil); err != nil {
				t.Fatal(err)
			}
			later := append(shot(t, 70), film(50)...)
			drops["pilot-boat/later.jpg"] = later
			if dir != "inbox" {
				drop(t, j, "pilot-boat/later.jpg", later)
			}
			away := filepath.Join(t.TempDir(), "away")
			if err := os.Rename(j.Path(dir), away); err != nil {
				t.Fatal(err)
			}
			gone, openErr := journal.Open(j.Dir)
			if openErr == nil {
				_, openErr = New(gone, Options{}).TakeAll(t.Context(), nil)
			}
			t.Logf("without it: %v", openErr)
			// What comes back is set beside what was made anew meanwhile, as a sync
			// program does it, never onto a file that is there.
			merge(t, away, j.Path(dir))
			if dir == "inbox" {
				drop(t, j, "pilot-boat/later.jpg", later)
			}
			finished(t, j, drops)
		})
	}
}

// merge moves a folder's files back, as far as their names are free; records come
// under a name beside.
func merge(t *testing.T, from, to string) {
	t.Helper()
	err := filepath.WalkDir(from, func(path string, d os.DirEntry, err error) error {
		rel, relErr := filepath.Rel(from, path)
		if err != nil || relErr != nil {
			return errors.Join(err, relErr)
		}
		if d.IsDir() {
			return os.MkdirAll(filepath.Join(to, rel), 0o755)
		}
		if _, err := os.Lstat(filepath.Join(to, rel)); err == nil {
			if !strings.HasSuffix(rel, ".jsonl") {
				return nil
			}
			rel = strings.TrimSuffix(rel, ".jsonl") + " (come back).jsonl"
		}
		return os.Rename(path, filepath.Join(to, rel))
	})
	if err != nil {
		t.Fatal(err)
	}
}

// The clock jumps by years while photos are taken in and leave: each is kept once,
// whatever it showed.
func TestClockJumps(t *testing.T) {
	for _, jumps := range [][]time.Duration{
		{-20 * 365 * 24 * time.Hour, 0, time.Hour},
		{20 * 365 * 24 * time.Hour, 0, time.Hour},
		{0, -time.Hour, -2 * time.Hour, -26 * time.Hour},
		{0, 30 * 24 * time.Hour, -30 * 24 * time.Hour},
	} {
		j := bench(t)
		drops := map[string][]byte{}
		c := &clock{time.Now()}
		start := c.now
		for i, jump := range jumps {
			name := fmt.Sprintf("pilot-boat/j%d.jpg", i)
			drops[name] = append(shot(t, i), film(100+i)...)
			drop(t, j, name, drops[name])
			c.now = start.Add(jump)
			j = opened(t, j)
			j.Now = func() time.Time { return c.now }
			c.take(t, j)
			if kept := harmed(t, j, drops); kept != i+1 {
				t.Errorf("%v: %d kept of %d", jumps, kept, i+1)
			}
		}
		c.now = start.Add(50 * 365 * 24 * time.Hour)
		c.take(t, j)
		if left := leaving(t, j); len(left) != 0 {
			t.Errorf("%v: %v is leaving for ever", jumps, left)
		}
		finished(t, j, drops)
	}
}
