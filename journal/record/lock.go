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
)

// staleLock is when a lock is taken for left behind by a crash: appending
// takes milliseconds.
const staleLock = 10 * time.Second

// lockPatience is how long to wait for a lock: longer than it takes for one
// that was left behind to count as stale, then somebody should be told.
const lockPatience = 3 * staleLock

// lock makes the lock file, or waits until the process that holds it is done.
// A lock left behind by a crash is taken over when it is stale. The file holds
// who made it, so that nobody removes a lock that is not theirs.
func lock(path string) (unlock func(), err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, err
	}
	owner := fmt.Sprintf("%d %s\n", os.Getpid(), time.Now().UTC().Format(time.RFC3339Nano))
	for began := time.Now(); ; time.Sleep(5 * time.Millisecond) {
		err := createLock(path, owner)
		if err == nil {
			return func() {
				if held, err := os.ReadFile(path); err == nil && string(held) == owner {
					os.Remove(path)
				}
			}, nil
		}
		// Windows says "permission" for a file that is just being deleted.
		if !errors.Is(err, fs.ErrExist) && !(runtime.GOOS == "windows" && errors.Is(err, fs.ErrPermission)) {
			return nil, err
		}
		if info, err := os.Stat(path); err == nil && time.Since(info.ModTime()) > staleLock {
			takeOver(path)
		}
		if time.Since(began) > lockPatience {
			held, _ := os.ReadFile(path)
			return nil, fmt.Errorf("%s is held by another process (%s); close it, or delete that file if there is none", path, strings.TrimSpace(string(held)))
		}
	}
}

func createLock(path, owner string) error {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	_, err = f.WriteString(owner)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		os.Remove(path)
	}
	return err
}

// takeOver removes a stale lock. It is moved aside first, and looked at again:
// of two processes that find it stale, one may already have made a fresh lock,
// which then goes back.
func takeOver(path string) {
	aside := fmt.Sprintf("%s-stale-%d", path, os.Getpid())
	if os.Rename(path, aside) != nil {
		return
	}
	if info, err := os.Stat(aside); err == nil && time.Since(info.ModTime()) <= staleLock {
		if os.Link(aside, path) != nil {
			os.Rename(aside, path)
		}
	}
	os.Remove(aside)
}
