// Files that lie elsewhere: listed as a walk of the inbox would, and taken in by
// name, each with the folder it is to have lain in.

package inbox

import (
	"context"
	"fmt"
	"path/filepath"
	"time"
)

// File is a file of a folder, as a walk found it.
type File struct {
	Path   string // as the folder was named
	Folder string // below that folder, slashes, "" = at its top
	Size   int64
	Time   time.Time // of its last change
}

// Files lists the pictures of a folder and of those below, by path, as a run over them
// would take them: with what it would pass over and why. XMP files go the way of the
// pictures they stand beside, and are none. Nothing is read.
func (in *Inbox) Files(top string) ([]File, []Outcome, error) {
	l, err := in.walk(top, nil)
	if err != nil {
		return nil, nil, fmt.Errorf("%s cannot be read: %w", top, cause(err))
	}
	var files []File
	for _, f := range l.files {
		if !isXMP(f.path) {
			files = append(files, File{f.path, filepath.ToSlash(f.folder), f.size, f.mtime})
		}
	}
	return files, l.passed.outcomes(top, nil), nil
}

// Refused is what becomes of a file elsewhere that could not be read, and whether
// another try may go better though the file stays as it is.
func Refused(path string, err error) (o Outcome, again bool) {
	o = *Dropped{Path: path, Shown: path}.refused(err)
	return o, o.retry != never || o.Denied
}

// TakeFiles takes in files from elsewhere that a person chose one by one: also what
// looks like a copy of a kept photo. They are copied and stay untouched.
func (in *Inbox) TakeFiles(ctx context.Context, files []File,
	report func(done, total int, o Outcome)) (Summary, error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	var list []Dropped
	for _, f := range files {
		d := in.drop(f.Path, f.Folder)
		d.Meant = true
		list = append(list, d)
	}
	return in.take(ctx, list, nil, report)
}
