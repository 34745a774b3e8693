// Tests that what became private goes first, whatever keeps the rest from being done.

package render

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

// What became private is gone however early the publishing is interrupted: before the
// first picture is made, or before the first page is written.
func TestInterruptedPublishingLeavesNothingPrivate(t *testing.T) {
	t.Parallel()
	k := keptJournal(t, true, false)
	write(t, k.j)
	dir := filepath.Join(t.TempDir(), "out")
	k.published(dir)
	k.flags = true
	k.say(journal.PrivateBody{Build: "zqleakbuild", At: time.Now()})
	for _, hash := range k.hidden {
		k.say(journal.PrivateBody{Photo: hash, At: time.Now()})
	}
	k.say(journal.PrivateBody{Build: "pilot-boat", Date: "2026-02-25", At: time.Now()})
	k.say(journal.PrivateBody{Date: "2026-02-26", At: time.Now()})
	k.ok(k.j.Reload())

	sizes, err := filepath.Glob(filepath.Join(dir, "photos", "*-480.jpg"))
	k.ok(err)
	for _, name := range sizes { // there are pictures to be made again
		k.ok(os.Remove(name))
	}
	ctx, stop := context.WithCancel(t.Context())
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
	never := keptJournal(t, false, false)
	same(t, k.published(dir), never.published(filepath.Join(t.TempDir(), "out")))
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
