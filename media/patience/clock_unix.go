// The program's time, where no thread's can be asked for.

//go:build unix && !linux

package patience

import (
	"time"

	"golang.org/x/sys/unix"
)

// threadClock is the time on the wall since, or the whole program's time on all
// processors where that is less: never less than the calling thread's own.
func threadClock() (used func() time.Duration, close func()) {
	wall := wallClock()
	now := func() (time.Duration, bool) {
		var r unix.Rusage
		err := unix.Getrusage(unix.RUSAGE_SELF, &r)
		return time.Duration(r.Utime.Nano() + r.Stime.Nano()), err == nil
	}
	begun, ok := now()
	if !ok {
		return wall, func() {}
	}
	return func() time.Duration {
		if t, ok := now(); ok {
			return min(wall(), t-begun)
		}
		return wall()
	}, func() {}
}
