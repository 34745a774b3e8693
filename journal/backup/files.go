// This file lists the files of a journal, in the order in which they are copied.

package backup

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"rakelight/journal"
)

// files are those to be copied. The records come as they are now, and what they name
// is looked up after that: bytes are there before the record that names them.
func (c *copying) files() ([]file, error) {
	var photos, rest, records, last []file
	entries, err := os.ReadDir(c.j.Dir)
	if err != nil {
		return nil, err
	}
	// Records first, so that no photo is missed that one of them names.
	isRecords := func(e fs.DirEntry) bool { return strings.Contains(strings.ToLower(e.Name()), "records") }
	slices.SortStableFunc(entries, func(a, b fs.DirEntry) int {
		switch {
		case isRecords(a) == isRecords(b):
			return strings.Compare(a.Name(), b.Name())
		case isRecords(a):
			return -1
		}
		return 1
	})
	for _, e := range entries {
		name := e.Name()
		switch {
		case isRecords(e) || name == "marks":
			records = append(records, c.below(name)...)
		case name == "photos":
			photos = c.below(name)
		case name == "journal.toml":
			last = c.below(name)
		case strings.HasPrefix(name, ".") || slices.Contains([]string{"pages", listFile, earlierDir, damagedDir}, name):
		default:
			rest = append(rest, c.below(name)...)
		}
	}
	if err := c.j.Refresh(); err != nil {
		return nil, err
	}
	hashes := recorded(c.j.State)
	for i, f := range photos {
		photos[i].hash = hashes[f.rel]
	}
	for i, f := range records {
		if records[i].kind = recordsFile; strings.HasPrefix(f.rel, "marks/") {
			records[i].kind = marksFile
		}
	}
	for _, rel := range missing(c.j, photos) {
		c.left(rel, "it is missing in the journal; rakelight check tells more")
	}
	return slices.Concat(photos, rest, records, last), nil
}

// recorded are the hashes of originals as records tell them, by name.
func recorded(s *journal.State) map[string]string {
	hashes := map[string]string{}
	for _, p := range s.Photos {
		hashes[p.Path] = p.Hash
		for _, o := range p.Beside {
			hashes[o.Path] = o.Hash
		}
	}
	return hashes
}

// missing are the originals that records name and that are not there.
func missing(j *journal.Journal, photos []file) (names []string) {
	there := map[string]bool{}
	for _, f := range photos {
		there[f.rel] = true
	}
	for _, p := range j.State.Photos {
		if !there[p.Path] {
			names = append(names, p.Path)
		}
		for _, o := range p.Beside {
			if !there[o.Path] {
				names = append(names, o.Path)
			}
		}
	}
	return names
}

// below lists a file, or all files of a folder, by name. What cannot be copied is
// told.
func (c *copying) below(top string) (files []file) {
	root := c.j.Path(top)
	if real, err := filepath.EvalSymlinks(root); err == nil {
		root = real // the folders at the top may lie on another disk
	}
	err := filepath.WalkDir(root, func(at string, d fs.DirEntry, err error) error {
		below, relErr := filepath.Rel(root, at)
		rel := path.Join(top, filepath.ToSlash(below))
		switch {
		case errors.Is(err, fs.ErrNotExist) && rel != top:
			return nil // it went meanwhile
		case err != nil:
			c.left(rel, err.Error())
			return nil
		case relErr != nil:
			return relErr
		case d.IsDir() && (rel == "inbox/.leaving" || rel == "inbox/.coming"):
			return fs.SkipDir
		case d.IsDir() || ours(d.Name()):
			return nil
		}
		info, err := os.Stat(at) // of what a link leads to
		switch {
		case errors.Is(err, fs.ErrNotExist) && d.Type().IsRegular():
		case err != nil:
			c.left(rel, err.Error())
		case !info.Mode().IsRegular():
			c.left(rel, "it is no ordinary file, or a link to a folder")
		default:
			files = append(files, file{rel: rel, from: at, size: info.Size(), at: info.ModTime()})
		}
		return nil
	})
	if err != nil {
		c.left(top, err.Error())
	}
	return files
}

// ours reports whether a file is a temporary one of this program.
func ours(name string) bool {
	return strings.HasPrefix(name, ".rakelight-") && strings.HasSuffix(name, ".tmp")
}
