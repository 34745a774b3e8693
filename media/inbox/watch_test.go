// Watching: scripted looks for what decides, a real folder for the rest.

package inbox

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
)

func TestSettler(t *testing.T) {
	start := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	old := start.AddDate(-3, 0, 0) // a copy that keeps an old time of change
	s := newSettler(2*time.Second, 10*time.Minute, 5*time.Second)
	cutEnd := Outcome{Status: SetAside, cut: true}
	for i, step := range []struct {
		after time.Duration
		size  int64
		mtime time.Time
		ready bool
		end   *Outcome // what taking it in said
		told  bool
	}{
		{0, 10, old, false, nil, false},
		{time.Second, 20, old, false, nil, false},                                        // it grows
		{2500 * time.Millisecond, 20, old, false, nil, false},                            // 1.5 s the same
		{3 * time.Second, 20, old, true, &cutEnd, true},                                  // finished, but ends early: told
		{60 * time.Second, 20, old, false, nil, false},                                   // not read again meanwhile
		{61 * time.Second, 30, old, false, nil, false},                                   // it goes on
		{63 * time.Second, 30, old, true, &cutEnd, true},                                 // still short: another file, told
		{661 * time.Second, 30, old, true, &cutEnd, true},                                // ten minutes: set aside, told
		{700 * time.Second, 30, old, false, nil, false},                                  // told once
		{800 * time.Second, 30, start, false, nil, false},                                // changed: from the start
		{802 * time.Second, 30, start, true, &Outcome{Status: SetAside}, true},           // whole, but no picture
		{900 * time.Second, 30, start, false, nil, false},                                // told once
		{1000 * time.Second, 0, start, false, nil, false},                                // emptied
		{1010 * time.Second, 0, start, true, &Outcome{Status: Waiting, cut: true}, true}, // empty: told, and waits
		{1600 * time.Second, 0, start, true, &Outcome{Status: Waiting, cut: true}, true}, // and are told of in the end
	} {
		now := start.Add(step.after)
		ready := s.look([]found{{path: "a.jpg", size: step.size, mtime: step.mtime}}, now)
		if (len(ready) == 1) != step.ready {
			t.Fatalf("step %d: ready %v", i, ready)
		}
		if step.ready {
			if told := s.ended(ready[0], *step.end, now); (told != nil) != step.told {
				t.Errorf("step %d: told %v", i, told)
			}
		}
	}
	if s.look(nil, start); len(s.files) != 0 {
		t.Error("a file that went is remembered")
	}
}

// watch runs Watch and returns its outcomes, and how to stop it.
func watch(t *testing.T, j *journal.Journal, opts Options) <-chan Outcome {
	t.Helper()
	opts.Settle, opts.Coalesce = 20*time.Millisecond, 5*time.Millisecond
	ctx, stop := context.WithCancel(context.Background())
	outcomes, ended := make(chan Outcome, 100), make(chan error, 1)
	go func() { ended <- New(j, opts).Watch(ctx, func(o Outcome) { outcomes <- o }) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != context.Canceled {
			t.Errorf("watch ended with %v", err)
		}
	})
	return outcomes
}

// next waits for the outcome of a file; others may come before.
func next(t *testing.T, from <-chan Outcome, part string) Outcome {
	t.Helper()
	late := time.After(30 * time.Second)
	for {
		select {
		case o := <-from:
			if strings.Contains(o.Path, part) {
				return o
			}
		case <-late:
			t.Fatalf("nothing was told of %s", part)
		}
	}
}

func testWatch(t *testing.T, opts Options) {
	j := bench(t)
	drop(t, j, "before.jpg", shot(t, 1))
	outcomes := watch(t, j, opts)
	if o := next(t, outcomes, "before.jpg"); o.Status != Taken {
		t.Errorf("%+v", o)
	}
	drop(t, j, "new.jpg", shot(t, 2))
	o := next(t, outcomes, "new.jpg")
	for o.Status == Waiting { // looked at before its bytes were there
		o = next(t, outcomes, "new.jpg")
	}
	if o.Status != Taken {
		t.Errorf("%+v", o)
	}
	// A folder made elsewhere, filled, and moved in whole: one event at most.
	from := filepath.Join(t.TempDir(), "pilot-boat")
	deep := filepath.Join(from, "clean", "after")
	if err := os.MkdirAll(deep, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(deep, "moved.jpg"), shot(t, 3), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(from, filepath.Join(j.InboxDir(), "pilot-boat")); err != nil {
		t.Fatal(err)
	}
	if o := next(t, outcomes, "moved.jpg"); o.Status != Taken || o.Photo.Tags.Stage != "clean" || o.Photo.Tags.Role != "after" {
		t.Errorf("%+v", o)
	}
	// Within the folder known by now.
	drop(t, j, "pilot-boat/clean/second.jpg", shot(t, 4))
	if o := next(t, outcomes, "second.jpg"); o.Status != Taken {
		t.Errorf("%+v", o)
	}
	// A temporary name, then the real one.
	part := drop(t, j, "slow.jpg.part", shot(t, 5))
	if err := os.Rename(part, strings.TrimSuffix(part, ".part")); err != nil {
		t.Fatal(err)
	}
	if o := next(t, outcomes, "slow.jpg"); o.Status != Taken || strings.HasSuffix(o.Path, ".part") {
		t.Errorf("%+v", o)
	}
	// The inbox goes and comes back.
	if err := os.RemoveAll(j.InboxDir()); err != nil {
		t.Fatal(err)
	}
	drop(t, j, "back.jpg", shot(t, 6))
	if o := next(t, outcomes, "back.jpg"); o.Status != Taken {
		t.Errorf("%+v", o)
	}
	// A file that ends early is completed later: told of once, as taken.
	whole := shot(t, 7)
	drop(t, j, "copy.jpg", whole[:100])
	drop(t, j, "marker.txt", []byte("no picture"))
	next(t, outcomes, "marker.txt") // by now the short one was read as well
	drop(t, j, "copy.jpg", whole)
	if o := next(t, outcomes, "copy.jpg"); o.Status != Taken {
		t.Errorf("%+v", o)
	}
	// An XMP file of a photo taken in long ago; one without a photo waits for it.
	drop(t, j, "back.jpg.xmp", xmpText("2026-03-14T21:30:00+00:00", "pilot-boat"))
	if o := next(t, outcomes, "back.jpg.xmp"); o.Status != Beside || o.Photo.Tags.Build != "pilot-boat" {
		t.Errorf("%+v", o)
	}
	drop(t, j, "early.xmp", xmpText("2026-03-14T21:30:00+00:00", "pilot-boat"))
	next(t, outcomes, "early.xmp")
	drop(t, j, "early.jpg", shot(t, 8))
	if o := next(t, outcomes, "early.jpg"); o.Status != Taken || o.Photo.Tags.Build != "pilot-boat" {
		t.Errorf("%+v", o)
	}
	if len(j.State.Photos) != 8 {
		t.Errorf("%d photos", len(j.State.Photos))
	}
}

func TestWatchEvents(t *testing.T) { testWatch(t, Options{Rescan: 500 * time.Millisecond}) }
func TestWatchPolling(t *testing.T) {
	testWatch(t, Options{NoEvents: true, Poll: 20 * time.Millisecond})
}

// TestLinks: a link to a folder may lead anywhere, even up: it is not followed.
func TestLinks(t *testing.T) {
	j := bench(t)
	if err := os.Symlink(j.InboxDir(), filepath.Join(j.InboxDir(), "loop")); err != nil {
		t.Skipf("no links here: %v", err)
	}
	drop(t, j, "a/a.jpg", shot(t, 1))
	drop(t, j, "1/2/3/4/5/6/7/8/in.jpg", shot(t, 1))
	drop(t, j, "1/2/3/4/5/6/7/8/9/out.jpg", shot(t, 1))
	var entered int
	list, err := New(j, Options{}).walk(j.InboxDir(), func(string) { entered++ })
	if err != nil || len(list.files) != 2 || entered != 10 {
		t.Errorf("%+v, %d folders, %v", list, entered, err)
	}
}

// What came between passes: the disk was full, a folder closed. The photos are
// told of once, tried again, and taken in without a restart.
func TestWatchTriesAgain(t *testing.T) {
	j := bench(t)
	if err := os.Remove(j.Path("photos")); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(j.Path("photos"), nil, 0o644); err != nil { // nothing can be placed
		t.Fatal(err)
	}
	outcomes := watch(t, j, Options{Retry: 20 * time.Millisecond, NoEvents: true, Poll: 20 * time.Millisecond})
	drop(t, j, "a.jpg", shot(t, 1))
	if o := next(t, outcomes, "a.jpg"); o.Status != SetAside || !strings.HasSuffix(o.Why, "it is tried again") {
		t.Errorf("%+v", o)
	}
	if err := os.Remove(j.Path("photos")); err != nil {
		t.Fatal(err)
	}
	if o := next(t, outcomes, "a.jpg"); o.Status != Taken {
		t.Errorf("%+v", o)
	}
	// An XMP file that comes before its photo, in another folder's time.
	drop(t, j, "b.jpg.xmp", xmpText("2026-03-14T21:30:00+00:00", "pilot-boat"))
	next(t, outcomes, "b.jpg.xmp")
	data := shot(t, 2)
	in := New(opened(t, j), Options{})
	elsewhere := filepath.Join(t.TempDir(), "b.jpg")
	if err := os.WriteFile(elsewhere, data, 0o644); err != nil {
		t.Fatal(err)
	}
	if o := in.TakeIn(elsewhere); o.Status != Taken {
		t.Fatalf("%+v", o)
	}
	if o := next(t, outcomes, "b.jpg.xmp"); o.Status != Beside {
		t.Errorf("%+v", o)
	}
}

// The pause between two tries grows, and ends with what changes.
func TestSettlerRetries(t *testing.T) {
	now := time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)
	s := newSettler(2*time.Second, 10*time.Minute, 5*time.Second)
	file := found{path: "a.jpg", size: 10, mtime: now}
	s.look([]found{file}, now)
	var tries []time.Duration
	told := 0
	for at := 2 * time.Second; at < time.Hour; at += time.Second {
		for _, f := range s.look([]found{file}, now.Add(at)) {
			tries = append(tries, at)
			if s.ended(f, Outcome{Status: SetAside, retry: later}, now.Add(at)) != nil {
				told++
			}
		}
	}
	// 5 s, 10 s, … doubled up to ten minutes.
	want := []time.Duration{2, 7, 17, 37, 77, 157, 317, 637, 1237, 1837, 2437, 3037}
	if len(tries) != len(want) || told != 1 {
		t.Fatalf("tried at %v, told %d times", tries, told)
	}
	for i := range want {
		if tries[i] != want[i]*time.Second {
			t.Errorf("try %d came after %v, want %v", i, tries[i], want[i]*time.Second)
		}
	}
	file.size++
	s.look([]found{file}, now.Add(time.Hour))
	if ready := s.look([]found{file}, now.Add(time.Hour+2*time.Second)); len(ready) != 1 {
		t.Error("a file that changed waits for the pause of what it was")
	}
}
