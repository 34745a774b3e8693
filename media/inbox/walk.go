// What lies in a folder: the one look at the files that all others are made
// of.

package inbox

import (
	"errors"
	"io/fs"
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

// listing is what a walk found.
type listing struct {
	files  []found
	passed passed
}

// walk lists the files of a folder and those below, by path, and what it passed
// over. Each folder is told to enter before it is listed: what is watched first
// and listed then loses no file in between. Files that vanish are skipped.
func (in *Inbox) walk(top string, enter func(dir string)) (*listing, error) {
	l := &listing{}
	if err := in.visit(l, top, "", 0, enter); err != nil {
		return nil, err
	}
	l.dropSidecars()
	slices.SortStableFunc(l.files, func(a, b found) int { return strings.Compare(turn(a.path), turn(b.path)) })
	return l, nil
}

func (in *Inbox) visit(l *listing, dir, folder string, depth int, enter func(dir string)) error {
	if enter != nil {
		enter(dir)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		file, rel := filepath.Join(dir, e.Name()), filepath.Join(folder, e.Name())
		if reason := passing(e.Name()); reason != "" {
			l.passed.add(reason, rel)
			continue
		}
		info, err := os.Stat(file)
		switch {
		case errors.Is(err, fs.ErrPermission):
			l.passed.add(closed, rel)
		case err != nil: // it vanished, or is a link that leads nowhere
		case info.IsDir() && in.isAside(file):
		case info.IsDir() && e.Type()&os.ModeSymlink != 0:
			l.passed.add(odd, rel)
		case info.IsDir() && depth == maxDepth:
			l.passed.add(deep, rel)
		case info.IsDir():
			if err := in.visit(l, file, rel, depth+1, enter); errors.Is(err, fs.ErrPermission) {
				l.passed.add(closed, rel)
			} // one that goes hides its own files only
		case info.Mode().IsRegular():
			l.files = append(l.files, found{path: file, folder: folder, size: info.Size(), mtime: info.ModTime()})
		default:
			l.passed.add(odd, rel)
		}
	}
	return nil
}

// dropSidecars leaves out XMP files that go the way of the picture they stand
// beside.
func (l *listing) dropSidecars() {
	beside := make(map[string]bool)
	if slices.ContainsFunc(l.files, func(f found) bool { return isXMP(f.path) }) {
		for _, f := range l.files {
			if s := media.Sidecar(f.path); s != "" {
				beside[s] = true
			}
		}
	}
	l.files = slices.DeleteFunc(l.files, func(f found) bool { return beside[f.path] })
}

// turn is what files are ordered by: their path, but a raw picture comes after
// the one of its shot that is shown, so that it always finds its photo, and clips
// after all photos of their folder, which tell what their times mean.
func turn(file string) string {
	ext := filepath.Ext(file)
	switch strings.ToLower(ext) {
	case ".mp4", ".m4v", ".mov":
		return filepath.Join(filepath.Dir(file), "\xff"+filepath.Base(file))
	}
	if media.IsRaw(strings.ToLower(strings.TrimPrefix(ext, "."))) {
		return strings.TrimSuffix(file, ext) + "\xff" + ext
	}
	return file
}
