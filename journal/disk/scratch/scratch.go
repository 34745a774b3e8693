// Package scratch keeps the temporary folders of tests in memory, where Linux has room
// for them. To make a file on a disk with a journal takes the processor a hundred times
// as long as in memory, and the tests make hundreds of thousands. What a disk may lose
// or refuse is tried with those of package mishap, in either place.
//
// Start with Run, in the TestMain of a package whose tests make many files.
package scratch

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// prefix begins the names of the folders, before the number of the process.
const prefix = "rakelight-tests-"

// Run runs the tests of a package with their temporary folders in memory.
func Run(tests interface{ Run() int }) (code int) {
	defer Use()()
	return tests.Run()
}

// Use has os.TempDir name a folder in memory until remove is called. All stays as it is
// where TMPDIR is set already, and where there is no such memory or little of it.
func Use() (remove func()) {
	memory := place()
	if os.Getenv("TMPDIR") != "" || memory == "" {
		return func() {}
	}
	sweep(memory)
	dir, err := os.MkdirTemp(memory, fmt.Sprintf("%s%d-", prefix, os.Getpid()))
	if err != nil {
		return func() {}
	}
	_ = os.Setenv("TMPDIR", dir)
	return func() {
		_ = os.Unsetenv("TMPDIR")
		_ = os.RemoveAll(dir)
	}
}

// sweep removes the folders of processes that ended without doing so, as one does that
// runs into its time limit.
func sweep(memory string) {
	left, _ := filepath.Glob(filepath.Join(memory, prefix+"*"))
	for _, dir := range left {
		number, _, _ := strings.Cut(strings.TrimPrefix(filepath.Base(dir), prefix), "-")
		if pid, err := strconv.Atoi(number); err == nil && !runs(pid) {
			_ = os.RemoveAll(dir)
		}
	}
}
