package record

import (
	"os"
	"syscall"
)

// Changed is when the system last changed anything of a file, its times included,
// in nanoseconds; 0 = it does not tell.
func Changed(info os.FileInfo) int64 {
	if s, ok := info.Sys().(*syscall.Stat_t); ok {
		return s.Ctimespec.Nano()
	}
	return 0
}
