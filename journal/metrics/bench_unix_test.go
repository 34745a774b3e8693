// How much time on the core a benchmark took, where the system tells.

//go:build unix

package metrics

import (
	"syscall"
	"time"
)

func cpuTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
