// This file moves files of the inbox aside. They stay in the inbox folder, out
// of the way of the next run, and are never deleted.

package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"

	"rakelight/journal/disk"
	"rakelight/journal/record"
)

// AsideDir is the folder in the inbox that is not looked through.
const AsideDir = "aside"

// AsidePath is where a file of the inbox would be moved to: under inbox/aside,
// in the folders it lies in now, under a name no file has. Both are below the
// journal folder, with slashes.
func (j *Journal) AsidePath(file string) (string, error) {
	rel, ok := strings.CutPrefix(file, "inbox/")
	if !ok || strings.HasPrefix(rel, AsideDir+"/") {
		return "", fmt.Errorf("%s does not lie in the inbox", file)
	}
	to := "inbox/" + AsideDir + "/" + rel
	ext := path.Ext(to)
	for n := 2; ; n++ {
		if _, err := os.Lstat(j.Path(to)); errors.Is(err, fs.ErrNotExist) {
			return to, nil
		} else if err != nil {
			return "", err
		}
		to = fmt.Sprintf("%s (%d)%s", strings.TrimSuffix("inbox/"+AsideDir+"/"+rel, ext), n, ext)
	}
}

// MoveAside moves a file of the inbox to the place AsidePath gave. It never
// overwrites one.
func (j *Journal) MoveAside(file, to string) error {
	if err := record.MakeDirs(filepath.Dir(j.Path(to))); err != nil {
		return err
	}
	if err := record.RenameNew(j.Path(file), j.Path(to)); err != nil {
		return err
	}
	// Where names are links, the old one is still there.
	if err := disk.Remove(j.Path(file)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
