// This file knows the folders of a journal.

package plan

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// subfolders are those of a new journal.
var subfolders = []string{"inbox", "builds", "photos", "records"}

// kept are the folders of a journal in which nothing lies but what belongs there.
var kept = []string{"photos", "records", "builds", "inbox", "marks", ".cache"}

// KeptFolder is the folder of a journal that dir is or lies in, "" = of none:
// of any journal above it, and of those given, whose folders may be links to
// places elsewhere. Folders are compared as the system does, whatever the case
// of their names and whatever links lead there. A dir that is not there yet will
// lie in what is.
func KeptFolder(dir string, journals ...string) (string, error) {
	return folderOf(dir, kept, journals)
}

// PagesFolder is KeptFolder with the folders of pages among them: no other pages are
// published into those.
func PagesFolder(dir string, journals ...string) (string, error) {
	return folderOf(dir, append([]string{"pages"}, kept...), journals)
}

// folderOf is the folder of a journal, of some names, that dir is or lies in.
func folderOf(dir string, names, journals []string) (string, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	for {
		real, err := filepath.EvalSymlinks(dir)
		if err == nil {
			dir = real
			break
		}
		if !errors.Is(err, fs.ErrNotExist) || filepath.Dir(dir) == dir {
			return "", err
		}
		dir = filepath.Dir(dir)
	}
	for ; filepath.Dir(dir) != dir; dir = filepath.Dir(dir) {
		here, err := os.Stat(dir)
		if err != nil {
			return "", err
		}
		above := filepath.Dir(dir)
		around := journals
		if _, err := os.Stat(filepath.Join(above, "journal.toml")); err == nil {
			around = append([]string{above}, journals...)
		}
		for _, j := range around {
			for _, name := range names {
				if there, err := os.Stat(filepath.Join(j, name)); err == nil && os.SameFile(here, there) {
					return name, nil
				}
			}
		}
	}
	return "", nil
}

// Folders are those that every journal has.
func Folders() []string { return slices.Clone(subfolders) }
