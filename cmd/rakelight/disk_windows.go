package main

import "syscall"

// troubles by the numbers of Windows (System Error Codes, winerror.h), which
// package syscall mostly has no names for.
var troubles = []trouble{
	{[]syscall.Errno{39, 112}, hintFull}, // ERROR_HANDLE_DISK_FULL, ERROR_DISK_FULL
	{[]syscall.Errno{1295}, hintQuota},   // ERROR_DISK_QUOTA_EXCEEDED
	{[]syscall.Errno{19}, hintReadOnly},  // ERROR_WRITE_PROTECT
	{[]syscall.Errno{23, 27, 483, 1117}, hintBroken},
	// ERROR_CRC, ERROR_SECTOR_NOT_FOUND, ERROR_DEVICE_HARDWARE_ERROR, ERROR_IO_DEVICE
	{[]syscall.Errno{32, 33}, hintBusy}, // ERROR_SHARING_VIOLATION, ERROR_LOCK_VIOLATION
}
