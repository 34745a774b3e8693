// Tests of the lock.

package record

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// A lock that a crash left behind is taken over; a fresh one is respected, and
// nobody removes a lock that is not theirs.
func TestLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "sub", "lock")
	unlock, err := lock(path)
	if err != nil {
		t.Fatal(err)
	}
	got := make(chan struct{})
	go func() {
		defer close(got)
		second, err := lock(path)
		if err != nil {
			t.Error(err)
			return
		}
		second()
	}()
	select {
	case <-got:
		t.Fatal("two hold the lock")
	case <-time.After(30 * time.Millisecond):
	}
	unlock()
	<-got
	if _, err := os.Stat(path); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the lock is still there: %v", err)
	}

	if err := os.WriteFile(path, []byte("1 long ago\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	old := time.Now().Add(-2 * staleLock)
	if err := os.Chtimes(path, old, old); err != nil {
		t.Fatal(err)
	}
	unlock, err = lock(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte("another's\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	unlock()
	if data, err := os.ReadFile(path); err != nil || string(data) != "another's\n" {
		t.Errorf("another's lock was removed: %q, %v", data, err)
	}
}

// takeOver leaves a fresh lock alone.
func TestTakeOverFresh(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	if err := os.WriteFile(path, []byte("fresh\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	takeOver(path)
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 || left[0].Name() != "lock" {
		t.Errorf("%v, %v; want the lock alone", left, err)
	}
}
