// A second copy on a disk that fails or loses its power: what lies there is good or
// is said to be incomplete, the journal is as it was, and the next run completes it.

package main

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"rakelight/journal/disk"
	"rakelight/journal/disk/mishap"
)

// copying is a journal and the folder of its copy, side by side on one disk.
type copying struct {
	t   *testing.T
	top string
}

func (c copying) bench() heard { return heard{c.t, filepath.Join(c.top, "bench")} }

// say copies with more words, so many minutes after the story.
func (c copying) say(after time.Duration, words string) (int, string) {
	c.t.Helper()
	return c.bench().say(60+after, "copy "+words+" "+filepath.Join(c.top, "copy"))
}

// copied is both again, elsewhere.
func (c copying) copied() copying {
	c.t.Helper()
	return copying{c.t, heard{c.t, c.top}.copied().dir}
}

// files are those of the journal or of its copy by path, without what is made anew
// and the copy's own.
func (c copying) files(of string) map[string]string {
	c.t.Helper()
	dir, all := filepath.Join(c.top, of), map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		rel, relErr := filepath.Rel(dir, path)
		if err != nil || relErr != nil {
			return err
		}
		switch rel = filepath.ToSlash(rel); {
		case d.IsDir() && (rel == ".cache" || rel == "pages" || rel == "inbox/.leaving" || rel == "earlier"):
			return fs.SkipDir
		case d.IsDir() || rel == "copied.jsonl":
			return nil
		}
		data, err := os.ReadFile(path)
		all[rel] = string(data)
		return err
	})
	if err != nil && !os.IsNotExist(err) {
		c.t.Fatal(err)
	}
	return all
}

// copyBenches are a journal with no copy, and one whose copy is of an earlier day:
// records grew since, a plan was edited, and a photo of the copy is damaged.
func copyBenches(t *testing.T) map[string]copying {
	t.Helper()
	h := faultsBench(t)
	for _, said := range story[:3] {
		h.must(said.after, said.args)
	}
	c := copying{t, filepath.Dir(h.dir)}
	if code, told := c.say(-59, ""); code != exitDone {
		t.Fatalf("%d\n%s", code, told)
	}
	h.must(30, "off")
	h.drop()
	h.must(40, "take")
	h.put("inbox/lorry/later.jpg", "not a picture yet")
	none, grown := c.copied(), c.copied()
	if err := os.RemoveAll(filepath.Join(none.top, "copy")); err != nil {
		t.Fatal(err)
	}
	if code, told := grown.say(-10, ""); code != exitDone {
		t.Fatalf("%d\n%s", code, told)
	}
	g := grown.bench()
	g.must(45, "mistake pilot-boat gouge --stage clean --parts A2")
	g.put("builds/lorry/build.md", "---\nrunners: {A: 14}\nstages: [cut, clean, paint]\n---\nMore of it.\n")
	photos, _ := filepath.Glob(filepath.Join(grown.top, "copy", "photos", "2026", "03", "*.jpg"))
	if len(photos) != 4 {
		t.Fatalf("%d photos in the copy", len(photos))
	}
	if err := os.WriteFile(photos[1], []byte("rotten"), 0o644); err != nil {
		t.Fatal(err)
	}
	return map[string]copying{"none": none, "grown": grown}
}

// goesOn holds what must be so after a copy that met a fault: code is what it said.
func (c copying) goesOn(fault string, code int, before, earlier map[string]string) {
	t := c.t
	t.Helper()
	same(t, fault+", the journal", c.files("bench"), before)
	now := c.files("copy")
	for rel, data := range now { // nothing half written has a name
		if data != before[rel] && data != earlier[rel] && !strings.HasSuffix(rel, ".tmp") {
			t.Errorf("after %s: %s in the copy holds %d bytes of nobody's", fault, rel, len(data))
		}
	}
	if code == exitDone {
		same(t, fault+", called done", c.whole(), before)
	}
	if code, told := c.say(1, ""); code != exitDone {
		t.Errorf("after %s, again: %d\n%s", fault, code, told)
	}
	same(t, fault+", again", c.whole(), before)
	code, told := c.say(2, "--verify")
	if code != exitDone || !strings.Contains(told, fmt.Sprintf("%d compared", len(before))) ||
		!strings.Contains(told, " 0 copied now") {
		t.Errorf("after %s, verified: %d\n%s", fault, code, told)
	}
	if code, told := (heard{t, filepath.Join(c.top, "copy")}).say(65, "check"); code != exitDone {
		t.Errorf("after %s, check of the copy: %d\n%s", fault, code, told)
	}
}

// whole are the files of the copy without temporary ones, which nobody reads.
func (c copying) whole() map[string]string {
	all := c.files("copy")
	for rel := range all {
		if strings.HasSuffix(rel, ".tmp") {
			delete(all, rel)
		}
	}
	return all
}

// TestFailingDiskUnderCopy fails the n-th call of a copy, on either side, alone and
// with all that follow, until a run needs no failure.
func TestFailingDiskUnderCopy(t *testing.T) {
	t.Parallel()
	for name, bench := range copyBenches(t) {
		t.Run(name, func(t *testing.T) {
			before, earlier := bench.files("bench"), bench.files("copy")
			faults := 0
			for _, stays := range []bool{false, true} {
				for n := 1; ; n += everyFault(7) {
					c := copying{t, bench.copied().top}
					d := &mishap.Failing{Fail: n, Stays: stays, Err: syscall.EIO}
					if stays {
						d.Err = syscall.ENOSPC
					}
					unmount := disk.Mount(c.top, d)
					code, told := c.say(0, "")
					unmount()
					if d.Failed() == "" {
						break
					}
					faults++
					if fault := strings.ReplaceAll(d.Failed(), c.top, ""); code != exitDone && strings.TrimSpace(told) == "" {
						t.Errorf("after %s: %d, and nothing is told", fault, code)
					} else {
						c.goesOn(fmt.Sprintf("%s (stays: %v)", fault, stays), code, before, earlier)
					}
					if t.Failed() {
						t.Fatalf("call %d; it said %d\n%s", n, code, told)
					}
					_ = os.RemoveAll(c.top)
				}
			}
			t.Logf("%d faults", faults)
			if faults < 20 {
				t.Errorf("only %d calls failed", faults)
			}
		})
	}
}

// TestPowerCutUnderCopy cuts the power after the changes of a copy.
func TestPowerCutUnderCopy(t *testing.T) {
	t.Parallel()
	for name, bench := range copyBenches(t) {
		t.Run(name, func(t *testing.T) {
			before, earlier := bench.files("bench"), bench.files("copy")
			after := copying{t, bench.copied().top}
			d, err := mishap.Trace(after.top)
			if err != nil {
				t.Fatal(err)
			}
			unmount := disk.Mount(after.top, d)
			code, told := after.say(0, "")
			unmount()
			if code != exitDone {
				t.Fatalf("%d\n%s", code, told)
			}
			cuts := 0
			for n := 0; n <= d.Len(); n++ {
				if n%everyFault(7) != 0 && n != d.Len() {
					continue
				}
				rng := rand.New(rand.NewPCG(uint64(n), 9))
				for how, fate := range []func(int) mishap.Fate{
					func(int) mishap.Fate { return mishap.Lost },
					func(int) mishap.Fate { return mishap.Kept },
					func(int) mishap.Fate { return mishap.Blank },
					func(int) mishap.Fate { return mishap.Fate(rng.IntN(3)) },
				} {
					cuts++
					c := copying{t, filepath.Join(t.TempDir(), "disk")}
					if err := d.Cut(after.top, c.top, n, fate); err != nil {
						t.Fatal(err)
					}
					code := exitFailed
					if n == d.Len() {
						code = exitDone
					}
					c.goesOn(fmt.Sprintf("cut %d of %d, way %d", n, d.Len(), how), code, before, earlier)
					if t.Failed() {
						t.FailNow()
					}
					_ = os.RemoveAll(c.top)
				}
			}
			t.Logf("%d cuts", cuts)
		})
	}
}

// everyFault is one of how many faults is tried: all of them with
// RAKELIGHT_FAULTS=all.
func everyFault(sample int) int {
	if os.Getenv("RAKELIGHT_FAULTS") == "all" {
		return 1
	}
	return sample
}
