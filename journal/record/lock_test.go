// Tests of the lock.

package record

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// A lock is held as long as its holder lives, however old it is, and by one
// alone; a process that is killed leaves none.
func TestLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "sub", "lock")
	unlock, err := Lock(path, 0)
	if err != nil {
		t.Fatal(err)
	}
	old := time.Now().Add(-time.Hour)
	if err := os.Chtimes(path, old, old); err != nil {
		t.Fatal(err)
	}
	if _, err := Lock(path, 30*time.Millisecond); !errors.Is(err, ErrHeld) {
		t.Fatalf("two hold a lock that is an hour old: %v", err)
	}
	unlock()
	unlock, err = Lock(path, 0)
	if err != nil {
		t.Fatalf("the lock that was given back: %v", err)
	}
	unlock()
}

// A waiting process gets the lock when its holder is done.
func TestLockWaits(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	unlock, err := Lock(path, 0)
	if err != nil {
		t.Fatal(err)
	}
	got := make(chan error)
	go func() {
		second, err := Lock(path, time.Minute)
		if err == nil {
			second()
		}
		got <- err
	}()
	unlock()
	if err := <-got; err != nil {
		t.Error(err)
	}
}

// The lock of a process that was killed is free at once.
func TestLockOfTheDead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	if os.Getenv("RAKELIGHT_TEST_LOCK") != "" {
		if _, err := Lock(os.Getenv("RAKELIGHT_TEST_LOCK"), 0); err != nil {
			t.Fatal(err)
		}
		os.Stdout.WriteString("held\n")
		time.Sleep(time.Minute) // until it is killed
		return
	}
	child := exec.Command(os.Args[0], "-test.run=^TestLockOfTheDead$")
	child.Env = append(os.Environ(), "RAKELIGHT_TEST_LOCK="+path)
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	if _, err := out.Read(make([]byte, 5)); err != nil {
		t.Fatal(err)
	}
	if _, err := Lock(path, 0); !errors.Is(err, ErrHeld) {
		t.Errorf("the lock of a living process was given away: %v", err)
	}
	if err := child.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	child.Wait() // its error is the kill
	unlock, err := Lock(path, time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	unlock()
}

// Where the system knows no locks, a file stands for one, and is not taken over
// by its age.
func TestWithoutLocks(t *testing.T) {
	none := func(string) (func(), error) { return nil, syscall.ENOLCK }
	if !withoutLocks(syscall.ENOLCK) {
		none = func(string) (func(), error) { return nil, syscall.Errno(50) } // as Windows says it
	}
	path := filepath.Join(t.TempDir(), "lock")
	unlock, err := lockBy(path, 0, none)
	if err != nil {
		t.Fatal(err)
	}
	old := time.Now().Add(-time.Hour)
	if err := os.Chtimes(path+"ed-by", old, old); err != nil {
		t.Fatal(err)
	}
	if _, err := lockBy(path, 0, none); !errors.Is(err, ErrHeld) || !strings.Contains(err.Error(), "delete that file") {
		t.Errorf("a second holder: %v", err)
	}
	unlock()
	if unlock, err = lockBy(path, 0, none); err != nil {
		t.Fatal(err)
	}
	unlock()
	broken := errors.New("the disk is on fire")
	if _, err := lockBy(path, 0, func(string) (func(), error) { return nil, broken }); !errors.Is(err, broken) {
		t.Errorf("another failure was taken for a folder without locks: %v", err)
	}
}

// The lock file that an older version left is removed when it is too old to
// belong to anybody; a fresh one is waited for.
func TestLockOfOlderVersions(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	if err := waitForOlder(path); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte("1 long ago\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	old := time.Now().Add(-2 * olderStale)
	if err := os.Chtimes(path, old, old); err != nil {
		t.Fatal(err)
	}
	if err := waitForOlder(path); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(path); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("it is still there: %v", err)
	}
	if err := os.WriteFile(path, []byte("1 now\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	done := make(chan error)
	go func() { done <- waitForOlder(path) }()
	select {
	case <-done:
		t.Fatal("a fresh lock was passed by")
	case <-time.After(30 * time.Millisecond):
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := <-done; err != nil {
		t.Error(err)
	}
}
