//go:build unix

package main

import (
	"syscall"

	"github.com/rogpeppe/go-internal/testscript"
)

// pipeCommand makes a named pipe: pipe PATH.
func pipeCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: pipe PATH")
	}
	ts.Check(syscall.Mkfifo(ts.MkAbs(args[0]), 0o644))
}
