//go:build !windows

package main

import "syscall"

// troubles by the names of POSIX (IEEE Std 1003.1, errno.h).
var troubles = []trouble{
	{[]syscall.Errno{syscall.ENOSPC}, hintFull},
	{[]syscall.Errno{syscall.EDQUOT}, hintQuota},
	{[]syscall.Errno{syscall.EROFS}, hintReadOnly},
	{[]syscall.Errno{syscall.EIO}, hintBroken},
	{[]syscall.Errno{syscall.EBUSY, syscall.ETXTBSY}, hintBusy},
}
