// This file notes where a watch serves the pages of a journal.

package journal

import (
	"errors"
	"io/fs"
	"os"
	"strings"

	"rakelight/journal/disk"
	"rakelight/journal/record"
)

// servedAt holds the address at which the watch that runs serves.
const servedAt = ".cache/served-at"

// NoteServed notes the address at which this process serves, for whoever holds the
// watch (Watching), until end is called.
func (j *Journal) NoteServed(address string) (end func(), err error) {
	if err := record.WriteFile(j.Path(servedAt), []byte(address+"\n")); err != nil {
		return nil, err
	}
	return func() { _ = disk.Remove(j.Path(servedAt)) }, nil
}

// ServedAt is the address at which a watch serves the journal now; "" where none
// watches, or one that serves nothing.
func (j *Journal) ServedAt() (string, error) {
	end, err := j.Watching()
	if err == nil {
		end() // what a watch that was killed noted is nobody's
		return "", nil
	}
	if !errors.Is(err, ErrWatched) {
		return "", err
	}
	address, err := os.ReadFile(j.Path(servedAt))
	if errors.Is(err, fs.ErrNotExist) {
		return "", nil
	}
	return strings.TrimSpace(string(address)), err
}
