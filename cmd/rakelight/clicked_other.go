//go:build !windows

// Whether the program was double-clicked.

package main

import (
	"os"
	"runtime"
	"strings"
)

// clicked reports whether nobody typed the command, as far as that can be told:
// there is a screen and no terminal. On macOS only an application bundle counts: a
// program that is double-clicked by itself gets a terminal there.
func clicked() bool {
	if typed() || !hasDisplay() {
		return false
	}
	if runtime.GOOS == "darwin" {
		program, err := os.Executable()
		return err == nil && strings.Contains(program, ".app/Contents/MacOS/")
	}
	return true
}
