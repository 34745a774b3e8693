// This file lets one process at a time append to a journal.

package record

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/gofrs/flock"
)

// lockPatience is how long to wait for a lock that another process holds:
// appending takes milliseconds, on a slow network perhaps seconds.
const lockPatience = 30 * time.Second

// lockPause is how long to wait between two tries.
const lockPause = 5 * time.Millisecond

// olderStale is when the lock file of an older version counts as left behind by
// a crash. Those versions wrote and removed that file with each append, and
// went by its age themselves.
const olderStale = 10 * time.Second

// ErrHeld says that another process holds a lock.
var ErrHeld = errors.New("another process holds the lock")

// Lock takes the lock of the operating system on a file, which it makes, and
// waits for it as long as patience. Such a lock ends with the process that
// holds it, however that ends, and never before; the file stays. ErrHeld when
// another process, or another caller in this one, still holds it.
//
// Some network shares know no such locks. There a second file beside, made by
// one process alone, stands for the lock; it is never taken over, because
// nobody can tell from its age whether its holder lives, and the error says
// which file to delete after a crash.
func Lock(path string, patience time.Duration) (unlock func(), err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, err
	}
	return lockBy(path, patience, systemLock)
}

// lockBy is Lock by a given way of asking the operating system once: unlock is
// nil while another holds the lock.
func lockBy(path string, patience time.Duration, try func(path string) (unlock func(), err error)) (func(), error) {
	for began := time.Now(); ; time.Sleep(lockPause) {
		unlock, err := try(path)
		if err != nil && withoutLocks(err) {
			return lockByFile(path+"ed-by", patience)
		}
		if unlock != nil || err != nil {
			return unlock, err
		}
		if time.Since(began) >= patience {
			return nil, fmt.Errorf("%s: %w; close it, or try again when it is done", path, ErrHeld)
		}
	}
}

func systemLock(path string) (unlock func(), err error) {
	l := flock.New(path)
	held, err := l.TryLock()
	if err != nil {
		return nil, err
	}
	if !held {
		return nil, l.Close()
	}
	return func() { l.Close() }, nil
}

// lockByFile makes a file that stands for a lock.
func lockByFile(path string, patience time.Duration) (unlock func(), err error) {
	host, _ := os.Hostname()
	owner := fmt.Sprintf("process %d on %s since %s", os.Getpid(), host, time.Now().UTC().Format(time.RFC3339))
	for began := time.Now(); ; time.Sleep(lockPause) {
		err := createLock(path, owner)
		if err == nil {
			return func() { os.Remove(path) }, nil
		}
		// Windows says "permission" for a file that is just being deleted.
		if !errors.Is(err, fs.ErrExist) && !(runtime.GOOS == "windows" && errors.Is(err, fs.ErrPermission)) {
			return nil, err
		}
		if time.Since(began) >= patience {
			held, _ := os.ReadFile(path)
			return nil,
				fmt.Errorf("%s: %w (%s); this folder lies where the system knows no locks, so nobody can tell whether that process still runs: if it does not, delete that file",
					path, ErrHeld, strings.TrimSpace(string(held)))
		}
	}
}

func createLock(path, owner string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	_, err = f.WriteString(owner + "\n")
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		os.Remove(path)
	}
	return err
}

// waitForOlder waits until no process of an older version appends. It is called
// with the lock held, so that what it removes was left behind.
func waitForOlder(path string) error {
	for began := time.Now(); ; time.Sleep(lockPause) {
		info, err := os.Stat(path)
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		if time.Since(info.ModTime()) > olderStale {
			return os.Remove(path)
		}
		if time.Since(began) > lockPatience { // its holder makes it anew, or its date lies ahead
			return fmt.Errorf("%s: %w, of an older version; close it, or delete that file if there is none", path,
				ErrHeld)
		}
	}
}
