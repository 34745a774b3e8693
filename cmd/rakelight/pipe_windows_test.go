package main

import "github.com/rogpeppe/go-internal/testscript"

// pipeCommand is for scripts that do not run here.
func pipeCommand(ts *testscript.TestScript, _ bool, _ []string) {
	ts.Fatalf("there are no named pipes in folders here")
}
