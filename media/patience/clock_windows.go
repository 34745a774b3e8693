// A thread's time on Windows.

package patience

import (
	"sync"
	"time"
	"unsafe"

	"golang.org/x/sys/windows"
)

var getThreadTimes = windows.NewLazySystemDLL("kernel32.dll").NewProc("GetThreadTimes")

// threadClock is the time the calling thread has had on a processor since. Any
// thread may ask until close is called.
func threadClock() (used func() time.Duration, close func()) {
	self := windows.CurrentProcess()
	var thread windows.Handle
	err := windows.DuplicateHandle(self, windows.CurrentThread(), self, &thread, 0, false,
		windows.DUPLICATE_SAME_ACCESS)
	if err != nil || getThreadTimes.Find() != nil {
		return wallClock(), func() {}
	}
	var lock sync.Mutex // the handle is not asked once it is closed
	open := true
	now := func() time.Duration {
		lock.Lock()
		defer lock.Unlock()
		var created, ended, kernel, user windows.Filetime
		if !open {
			return 0
		}
		ok, _, _ := getThreadTimes.Call(uintptr(thread), uintptr(unsafe.Pointer(&created)),
			uintptr(unsafe.Pointer(&ended)),
			uintptr(unsafe.Pointer(&kernel)), uintptr(unsafe.Pointer(&user)))
		if ok == 0 {
			return 0
		}
		return hundreds(kernel) + hundreds(user)
	}
	begun := now()
	return func() time.Duration { return now() - begun }, func() {
		lock.Lock()
		defer lock.Unlock()
		open = false
		_ = windows.CloseHandle(thread) // ours alone; nothing is lost if it stays
	}
}

// hundreds is a stretch of time as Windows counts it, in steps of 100 ns.
func hundreds(t windows.Filetime) time.Duration {
	return time.Duration(int64(t.HighDateTime)<<32|int64(t.LowDateTime)) * 100
}
