// What lies in a folder: the one look at the files that all others are made
// of.

package inbox

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// maxDepth is deeper than build/kit/stage/role/view/light and keeps a folder
// mounted into itself from being walked for ever.
const maxDepth = 8

// found is a file as it was seen.
type found struct {
	path   string
	folder string // below the folder walked, "" = top
	size   int64
	mtime  time.Time
}

// passing reports names of files that come and go: hidden ones, and those that
// programs write to before they rename.
func passing(name string) bool {
	if strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~") {
		return true
	}
	low := strings.ToLower(name)
	for _, end := range []string{".tmp", ".part", ".crdownload", ".partial"} {
		if strings.HasSuffix(low, end) {
			return true
		}
	}
	return low == "thumbs.db" || low == "desktop.ini"
}

// isAside reports whether the folder is inbox/aside. It is walked only when a
// person names it.
func (in *Inbox) isAside(dir string) bool {
	full, err := filepath.Abs(dir)
	if err != nil {
		return false
	}
	rel, err := filepath.Rel(in.j.InboxDir(), full)
	return err == nil && strings.EqualFold(rel, journal.AsideDir)
}

// walk lists the files of a folder and those below, by path. Each folder is
// told to enter before it is listed: what is watched first and listed then
// loses no file in between. Links to folders are skipped, files that vanish
// are too.
func (in *Inbox) walk(top string, enter func(dir string)) ([]found, error) {
	var list []found
	var visit func(dir, folder string, depth int) error
	visit = func(dir, folder string, depth int) error {
		if enter != nil {
			enter(dir)
		}
		entries, err := os.ReadDir(dir)
		if err != nil {
			return err
		}
		for _, e := range entries {
			path := filepath.Join(dir, e.Name())
			if passing(e.Name()) {
				continue
			}
			info, err := os.Stat(path)
			if err != nil {
				continue
			}
			switch {
			case info.IsDir() && e.Type()&os.ModeSymlink == 0:
				if depth < maxDepth && !in.isAside(path) {
					// A folder that goes or is closed to us hides its own
					// files only.
					_ = visit(path, filepath.Join(folder, e.Name()), depth+1)
				}
			case info.Mode().IsRegular():
				list = append(list, found{path: path, folder: folder, size: info.Size(), mtime: info.ModTime()})
			}
		}
		return nil
	}
	if err := visit(top, "", 0); err != nil {
		return nil, err
	}
	// An XMP file goes the way of the picture it stands beside.
	beside := make(map[string]bool)
	if slices.ContainsFunc(list, func(f found) bool { return isXMP(f.path) }) {
		for _, f := range list {
			if s := media.Sidecar(f.path); s != "" {
				beside[s] = true
			}
		}
	}
	list = slices.DeleteFunc(list, func(f found) bool { return beside[f.path] })
	slices.SortStableFunc(list, func(a, b found) int { return strings.Compare(turn(a.path), turn(b.path)) })
	return list, nil
}

// turn is what files are ordered by: their path, but a raw picture comes after
// the one of its shot that is shown, so that it always finds its photo.
func turn(file string) string {
	ext := filepath.Ext(file)
	if media.IsRaw(strings.ToLower(strings.TrimPrefix(ext, "."))) {
		return strings.TrimSuffix(file, ext) + "\xff" + ext
	}
	return file
}
