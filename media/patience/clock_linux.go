// A thread's time on Linux.

package patience

import (
	"time"

	"golang.org/x/sys/unix"
)

// threadClock is the time the calling thread has had on a processor since. It
// may be asked from any thread: the clock's number is made of the thread's, as
// include/linux/posix-timers.h (MAKE_THREAD_CPUCLOCK, CPUCLOCK_SCHED) lays down
// for pthread_getcpuclockid.
func threadClock() (used func() time.Duration, close func()) {
	const ofThread, scheduled = 4, 2
	clock := int32(^unix.Gettid()<<3 | ofThread | scheduled)
	now := func() (time.Duration, bool) {
		var t unix.Timespec
		err := unix.ClockGettime(clock, &t)
		return time.Duration(t.Nano()), err == nil
	}
	begun, ok := now()
	if !ok {
		return wallClock(), func() {}
	}
	return func() time.Duration {
		t, ok := now()
		if !ok {
			return 0 // the thread is gone: its work has ended, and says so
		}
		return t - begun
	}, func() {}
}
