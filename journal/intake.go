// This file lets one process at a time take photos in, whichever command it
// runs, and remembers whether the last one came to its end. The lock is the
// operating system's: it goes with the process that holds it, however that ends.

package journal

import (
	"context"
	"errors"
	"fmt"
	"os"
	"syscall"
	"time"

	"github.com/gofrs/flock"

	"rakelight/journal/disk"
	"rakelight/journal/record"
)

// The files behind Intake and Watching, all in .cache.
const (
	intakeLock  = ".cache/intake.lock"
	watchLock   = ".cache/watch.lock"
	intakeEnded = ".cache/intake-ended" // is there while nothing is being placed, and nothing was left by a crash
)

// intakePatience is how long one process waits for another's batch: a few dozen
// photos, raw ones perhaps, on a slow disk.
const intakePatience = 10 * time.Minute

// ErrWatched says that another process watches the inbox of this journal.
var ErrWatched = errors.New("another rakelight watch runs on this journal; this one stays away")

// Intake is the right to place photos and record them.
type Intake struct {
	j      *Journal
	unlock func()

	// Broken is true when some earlier intake did not come to its end, so that
	// it may have left copies behind. Whoever clears them sets it to false.
	Broken bool
}

// Intake waits until no other process takes photos in, and reads the records
// that came since: what is decided until End is decided on what is so now.
func (j *Journal) Intake(ctx context.Context) (*Intake, error) {
	wait, cancel := context.WithTimeout(ctx, intakePatience)
	defer cancel()
	unlock, err := j.systemLock(intakeLock, func(l *flock.Flock) (bool,
		error) {
		return l.TryLockContext(wait, 20*time.Millisecond)
	})
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case errors.Is(err, errHeld) || errors.Is(err, context.DeadlineExceeded):
		return nil, fmt.Errorf("photos have been taken in elsewhere for %v without an end; close that rakelight (it holds %s)",
			intakePatience, j.Path(intakeLock))
	case err != nil:
		return nil, err
	}
	i := &Intake{j: j, unlock: unlock, Broken: disk.Remove(j.Path(intakeEnded)) != nil}
	if err := errors.Join(record.SyncDir(j.Path(".cache")), j.Refresh()); err != nil {
		i.End()
		return nil, err
	}
	return i, nil
}

// End lets the next process in.
func (i *Intake) End() {
	if !i.Broken {
		// If it cannot be written the next one looks for what a crash left.
		if f, err := disk.OpenFile(i.j.Path(intakeEnded), os.O_CREATE|os.O_WRONLY, 0o644); err == nil {
			_ = f.Close()
		}
	}
	i.unlock()
}

// Watching takes the right to watch the inbox, or returns ErrWatched.
func (j *Journal) Watching() (end func(), err error) {
	end, err = j.systemLock(watchLock, (*flock.Flock).TryLock)
	if errors.Is(err, errHeld) {
		return nil, ErrWatched
	}
	return end, err
}

// errHeld says that another process holds a lock.
var errHeld = errors.New("another process holds it")

// systemLock takes a lock of the operating system. Where the file system has
// none (some network shares) it goes without: the hash of a photo tells it from
// all others, and the fold counts one that was recorded twice once.
func (j *Journal) systemLock(name string, try func(*flock.Flock) (bool, error)) (unlock func(), err error) {
	if err := record.MakeDirs(j.Path(".cache")); err != nil {
		return nil, err
	}
	l := flock.New(j.Path(name))
	got, err := try(l)
	switch {
	case errors.Is(err, syscall.ENOSYS) || errors.Is(err, syscall.ENOTSUP) || errors.Is(err, syscall.ENOLCK):
		return func() {}, nil
	case err != nil:
		return nil, err
	case !got:
		return nil, errHeld
	}
	return func() { _ = l.Unlock() }, nil
}

// Refresh reads the records files that changed and folds what came. Unlike
// Reload it leaves what a person writes by hand as it was read.
func (j *Journal) Refresh() error {
	j.mu.Lock()
	defer j.mu.Unlock()
	changed, err := j.book.Refresh()
	if err == nil && changed {
		err = j.fold()
	}
	return err
}

// IntakeEnded reports whether the last intake of this device came to its end.
func (j *Journal) IntakeEnded() bool {
	_, err := os.Stat(j.Path(intakeEnded))
	return err == nil
}
