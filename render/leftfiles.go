// The files of the inbox as the pages tell of them: how many, and never by
// name. Nothing in them is read.

package render

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rakelight/journal"
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
	top := j.InboxDir()
	aside := filepath.Join(top, journal.AsideDir)
	_ = filepath.WalkDir(top, func(path string, d fs.DirEntry, err error) error {
		switch {
		case path == top && err == nil:
		case err != nil || d.IsDir() && (strings.EqualFold(path, aside) || passing(d.Name())):
			return fs.SkipDir
		case d.Type().IsRegular() && !passing(d.Name()):
			left.lying++
		}
		return nil
	})
	return left
}

// passing reports names that no person dropped: hidden files, what programs
// write to before they rename, what an XMP file says of the photo beside it.
func passing(name string) bool {
	if strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~") {
		return true
	}
	switch low := strings.ToLower(name); filepath.Ext(low) {
	case ".tmp", ".part", ".crdownload", ".partial", ".xmp":
		return true
	default:
		return low == "thumbs.db" || low == "desktop.ini"
	}
}
