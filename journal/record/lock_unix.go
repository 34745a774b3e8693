// This file knows how systems like Linux and macOS say that a folder has no
// locks.

//go:build !windows

package record

import (
	"errors"
	"syscall"
)

// withoutLocks tells "there are no locks here" from other failures: ENOSYS and
// ENOTSUP (errors.ErrUnsupported), and ENOLCK, which NFS without its lock
// service gives (flock(2) of the Linux manual, open-group errno.h).
func withoutLocks(err error) bool {
	return errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.ENOLCK)
}
