package scratch

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"syscall"
)

const (
	room   = 3 << 30 // the largest package holds a tenth of it at once, and two run side by side
	noExec = 8       // ST_NOEXEC of statvfs(3): the tests start programs that they put there
)

// place is the folder of memory, "" = there is none with enough room.
func place() string {
	const shm = "/dev/shm"
	var s syscall.Statfs_t
	if err := syscall.Statfs(shm, &s); err != nil || s.Flags&noExec != 0 {
		return ""
	}
	if s.Bavail*uint64(s.Bsize) < room || available() < 2*room {
		return ""
	}
	return shm
}

// available is how much memory can be had, in bytes (proc_meminfo(5)); 0 = not known.
func available() (bytes uint64) {
	text, err := os.ReadFile("/proc/meminfo")
	if err != nil {
		return 0
	}
	for line := range strings.Lines(string(text)) {
		if _, err := fmt.Sscanf(line, "MemAvailable: %d kB", &bytes); err == nil {
			return bytes << 10
		}
	}
	return 0
}

// runs reports whether there is a process of a number.
func runs(pid int) bool { return !errors.Is(syscall.Kill(pid, 0), syscall.ESRCH) }
