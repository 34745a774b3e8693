// The files of the inbox as the pages tell of them: how many, and never by
// name. Nothing in them is read.

package render

import (
	"errors"
	"io/fs"
	"os"

	"rakelight/journal"
	"rakelight/media/inbox"
)

// leftFiles is what lies in the inbox.
type leftFiles struct {
	lying int             // files that are no photos of the journal, those set aside left out
	gone  map[string]bool // paths that were set aside and are no longer there
}

// lookAtInbox looks what lies there. What cannot be looked at is not told of.
func lookAtInbox(j *journal.Journal) leftFiles {
	left := leftFiles{gone: map[string]bool{}}
	for _, a := range j.State.Asides {
		if _, err := os.Lstat(j.Path(a.Path)); errors.Is(err, fs.ErrNotExist) {
			left.gone[a.Path] = true
		}
	}
	if n, err := inbox.New(j, inbox.Options{}).Count(); err == nil {
		left.lying = n
	}
	return left
}
