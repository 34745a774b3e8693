// This file knows how Windows says that a folder has no locks.

package record

import (
	"errors"
	"syscall"
)

// withoutLocks tells "there are no locks here" from other failures:
// ERROR_INVALID_FUNCTION (1) and ERROR_NOT_SUPPORTED (50), which network
// redirectors give (System Error Codes of the Windows documentation).
func withoutLocks(err error) bool {
	return errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.Errno(1)) ||
		errors.Is(err, syscall.Errno(50))
}
