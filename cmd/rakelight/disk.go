// What to do when the disk, or the right to use it, is the trouble: one hint for
// each kind, whatever the command.

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
)

// trouble is a kind of failure of a disk, and what to do about it.
type trouble struct {
	codes []syscall.Errno // as this system says it
	hint  string          // %s is the file or folder
}

// diskHint is what to do about an error that comes from the disk, "" when it does
// not.
func diskHint(err error) string {
	where := troubled(err)
	for _, one := range troubles {
		if slices.ContainsFunc(one.codes, func(code syscall.Errno) bool { return errors.Is(err, code) }) {
			return fmt.Sprintf(one.hint, where)
		}
	}
	if errors.Is(err, fs.ErrPermission) {
		return fmt.Sprintf("give yourself the right to it: look at the permissions of %s and of the folder it lies in",
			where)
	}
	return ""
}

// Hints for the kinds that systems have codes of their own for; see disk_unix.go
// and disk_windows.go.
const (
	hintFull     = "the disk is full: make room where %s lies, then type the same again"
	hintQuota    = "you may not use more of this disk: make room where %s lies, or have your share raised, then type the same again"
	hintReadOnly = "the disk of %s is set to reading only: look for a lock switch on the card or stick, or whether it was ejected halfway; then type the same again"
	hintBroken   = "the disk of %s may be failing: copy the journal to another one before anything else, then rakelight check there"
	hintBusy     = "another program holds %s: close it, or wait until the scanner or sync program is done, then type the same again"
)

// troubled is the file or folder an error is about. A temporary file is ours and
// gone: its folder is meant.
func troubled(err error) string {
	var path *fs.PathError
	var link *os.LinkError
	name := ""
	switch {
	case errors.As(err, &path):
		name = path.Path
	case errors.As(err, &link):
		name = link.New
	}
	if strings.HasPrefix(filepath.Base(name), ".rakelight-") {
		name = filepath.Dir(name)
	}
	if name == "" {
		return "the journal"
	}
	if full, err := filepath.Abs(name); err == nil && name == "." {
		return full
	}
	return name
}
