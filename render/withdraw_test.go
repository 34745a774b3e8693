// Tests that what became private goes first, whatever keeps the rest from being done.

package render

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// interrupted publishes what became private, and is stopped before a picture is made,
// and before a page is written: nothing of it is there any more.
func (k *kept) interrupted(t *testing.T, dir string) {
	t.Helper()
	sizes, err := filepath.Glob(filepath.Join(dir, "photos", "*-480.jpg"))
	k.ok(err)
	for _, name := range sizes { // there are pictures to be made again
		k.ok(os.Remove(name))
	}
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	if _, err := Publish(ctx, k.j, dir, Options{Progress: func(int, int, string) { stop() }}); err == nil {
		t.Fatal("it was not interrupted")
	}
	if n := k.leaks(t, k.filesIn(dir)); n > 0 {
		t.Errorf("%d leaks where a picture was being made", n)
	}
	r, err := Publish(t.Context(), k.j, dir, Options{Stop: func() bool { return true }})
	k.ok(err)
	if n := k.leaks(t, k.filesIn(dir)); n > 0 || !r.Stopped {
		t.Errorf("%d leaks where no page was written", n)
	}
}

// A page stays where it is while nothing is more private than it was.
func TestPagesStayWhileNothingBecomesPrivate(t *testing.T) {
	k := newClipBench(t)
	dir := filepath.Join(t.TempDir(), "out")
	_, err := Publish(t.Context(), k.j, dir, Options{})
	k.ok(err)
	before := len(k.filesIn(dir))
	k.photo(2, "lorry", "seam", "after", "b.jpg", clipDay.Add(5*time.Hour))
	k.ok(k.j.Reload())
	_, err = Publish(t.Context(), k.j, dir, Options{Stop: func() bool { return true }})
	k.ok(err)
	if n := len(k.filesIn(dir)); n < before {
		t.Errorf("%d of %d files are there", n, before)
	}
}

// A copy of a clip by other rules is removed before anything else, and made anew.
func TestClipCopiesOfOtherRulesGo(t *testing.T) {
	k := newClipBench(t)
	dir := filepath.Join(t.TempDir(), "out")
	_, err := Publish(t.Context(), k.j, dir, Options{})
	k.ok(err)
	now := filepath.Join(dir, "photos", k.plays[:8]+"-clip2.mp4")
	older := strings.Replace(now, "-clip2", "", 1)
	k.ok(os.Rename(now, older))
	list := k.page(filepath.Join(dir, listName))
	k.ok(os.WriteFile(filepath.Join(dir, listName), []byte(strings.Replace(list, k.plays[:8]+"-clip2", k.plays[:8], 1)), 0o644))
	_, err = Publish(t.Context(), k.j, dir, Options{})
	k.ok(err)
	if _, err := os.Stat(older); err == nil {
		t.Error("the copy by older rules is still there")
	}
	if _, err := os.Stat(now); err != nil {
		t.Error(err)
	}
}
