// Whether the program was double-clicked.

package main

import (
	"unsafe"

	"golang.org/x/sys/windows"
)

// clicked reports whether nobody typed the command: a console that holds this
// process alone was opened for it. A console that somebody types in holds the shell,
// too. Source: GetConsoleProcessList in Microsoft's console documentation.
func clicked() bool {
	var ids [2]uint32
	n, _, _ := windows.NewLazySystemDLL("kernel32.dll").NewProc("GetConsoleProcessList").
		Call(uintptr(unsafe.Pointer(&ids[0])), uintptr(len(ids)))
	return n == 1 || n == 0 && !typed() // 0 = there is no console
}
