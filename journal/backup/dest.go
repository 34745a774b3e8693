// This file decides where a copy may be made, and whether a folder holds files of the
// same journal.

package backup

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"rakelight/journal"
	"rakelight/journal/plan"
)

// mayCopyTo returns an AskError when no copy of the journal can be made in dest, and
// changes nothing.
func mayCopyTo(j *journal.Journal, dest string) error {
	refuse := func(hint, format string, args ...any) error {
		return &journal.AskError{What: fmt.Sprintf(format, args...) + "; nothing was copied", Hint: hint}
	}
	const another = "name a folder of its own, best on another disk"
	within, err := inside(dest, j.Dir)
	if err != nil {
		return err
	}
	around, err := inside(j.Dir, dest)
	if err != nil {
		return err
	}
	switch info, err := os.Stat(dest); {
	case within:
		return refuse(another, "%s is the journal itself or lies in it", dest)
	case around:
		return refuse(another, "the journal lies in %s", dest)
	case err == nil && !info.IsDir():
		return refuse(another, "%s is a file", dest)
	case errors.Is(err, fs.ErrNotExist):
		if _, err := os.Stat(filepath.Dir(dest)); err != nil {
			return refuse("is the disk or the stick there? else make the folder first", "there is no folder %s",
				filepath.Dir(dest))
		}
	case err != nil:
		return err
	}
	if name, err := plan.KeptFolder(dest, j.Dir); err != nil {
		return err
	} else if name != "" {
		return refuse(another, "%s lies in the folder %s of a journal", dest, name)
	}
	if above, err := journal.Find(filepath.Dir(dest)); err == nil {
		return refuse(another, "%s lies in the journal %s", dest, above)
	}
	entries, err := os.ReadDir(dest)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	begun := func(e fs.DirEntry) bool { return e.Name() == ".cache" || ours(e.Name()) }
	if !slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return !begun(e) }) {
		return nil // a copy that was broken off before its list was there
	}
	if _, err := os.Stat(filepath.Join(dest, listFile)); err != nil {
		if _, err := os.Stat(filepath.Join(dest, "journal.toml")); err == nil {
			return refuse(another, "%s is a journal that rakelight copy did not write", dest)
		}
		return refuse("name a new folder in it: "+journal.Typed("rakelight copy %s", filepath.Join(dest,
			filepath.Base(j.Dir))), "%s is not empty and holds no copy", dest)
	}
	if same, err := sameJournal(j, dest); err != nil {
		return err
	} else if !same {
		return refuse(another, "%s is the copy of another journal", dest)
	}
	return nil
}

// inside reports whether a folder is another or lies below it, by whatever names and
// links. A folder that is not there yet will lie in what is.
func inside(dir, outer string) (bool, error) {
	around, err := os.Stat(outer)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	} else if err != nil {
		return false, err
	}
	for {
		real, err := filepath.EvalSymlinks(dir)
		if err == nil {
			dir = real
			break
		}
		if !errors.Is(err, fs.ErrNotExist) || filepath.Dir(dir) == dir {
			return false, err
		}
		dir = filepath.Dir(dir)
	}
	for {
		here, err := os.Stat(dir)
		if err != nil {
			return false, err
		}
		if os.SameFile(here, around) {
			return true, nil
		}
		if filepath.Dir(dir) == dir {
			return false, nil
		}
		dir = filepath.Dir(dir)
	}
}

// sameJournal reports whether a folder holds files of this journal: records of a
// device that this journal knows, or an original that a record here names, or no record
// at all. Where this journal has lost its records, an original of the same name tells.
func sameJournal(j *journal.Journal, dir string) (bool, error) {
	theirs, err := devices(dir)
	if err != nil || len(theirs) == 0 {
		return err == nil, err
	}
	own, err := devices(j.Dir)
	if err != nil {
		return false, err
	}
	for name := range own {
		if theirs[name] {
			return true, nil
		}
	}
	shared := false
	_ = filepath.WalkDir(j.Path("photos"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || ours(d.Name()) {
			return nil // what cannot be read says nothing
		}
		rel, err := filepath.Rel(j.Dir, path)
		if err != nil {
			return nil
		}
		if there, err := os.Stat(filepath.Join(dir, rel)); err == nil {
			here, err := d.Info()
			shared = err == nil && here.Size() == there.Size()
		}
		if shared {
			return fs.SkipAll
		}
		return nil
	})
	return shared, nil
}

// devices are those that have a folder of records, or a file of marks.
func devices(dir string) (map[string]bool, error) {
	names := map[string]bool{}
	for _, folder := range []string{"records", "marks"} {
		entries, err := os.ReadDir(filepath.Join(dir, folder))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		for _, e := range entries {
			if name := e.Name(); folder == "records" && e.IsDir() {
				names[name] = true
			} else if filepath.Ext(name) == ".json" {
				names[name[:len(name)-len(".json")]] = true
			}
		}
	}
	return names, nil
}
