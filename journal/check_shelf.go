// This file looks what lies below photos/, each folder once, and whether records name
// all of it.

package journal

import (
	"errors"
	"io/fs"
	"path/filepath"
	"strings"
)

// shelf is what lies below photos/, but for what lies behind links.
type shelf struct {
	names []string // below the journal folder, slashes, in order
	files map[string]fs.DirEntry
	err   error // why something was not looked at
}

// readShelf looks what lies below photos/.
func (j *Journal) readShelf() *shelf {
	on := &shelf{files: map[string]fs.DirEntry{}}
	on.err = filepath.WalkDir(j.Path("photos"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(j.Dir, path)
		if err == nil {
			slash := filepath.ToSlash(rel)
			on.names, on.files[slash] = append(on.names, slash), d
		}
		return nil
	})
	return on
}

// holds reports whether an ordinary file of that name and size lies there. Where it is
// false, links may lead to one.
func (on *shelf) holds(name string, size int64) bool {
	d, ok := on.files[name]
	if !ok || !d.Type().IsRegular() || confinedPhoto(name) != nil {
		return false
	}
	info, err := d.Info()
	return err == nil && info.Size() == size
}

// mayHold reports whether something of that name may lie there.
func (on *shelf) mayHold(name string) bool {
	_, ok := on.files[name]
	return ok || on.err != nil || on.files["photos"] != nil // a link
}

// checkNames looks that every file below photos/ is named by a record. vanished
// says that records are missing.
func (j *Journal) checkNames(on *shelf, vanished bool) (found []Finding) {
	shown, named := j.State.keptFiles(), map[string]bool(nil)
	isNamed := func(file string) bool {
		if shown[file] {
			return true
		}
		if named == nil { // of two records of a photo both name a file
			named = j.namedFiles(false)
		}
		return named[file]
	}
	for _, slash := range on.names {
		name := on.files[slash].Name()
		switch {
		case strings.HasPrefix(name, ".rakelight-"):
			found = append(found, Finding{LeftOver, slash, 0,
				"left by a copy that broke off; the next rakelight take clears it if it is only a part of a picture",
				false})
		case strings.HasPrefix(name, "."), isNamed(slash),
			strings.HasSuffix(slash, ".xmp") && isNamed(strings.TrimSuffix(slash, ".xmp")):
		default:
			f := Finding{UnnamedPhoto, slash, 0, j.unnamed(slash, vanished), false}
			if _, err := j.Original(slash); errors.Is(err, ErrOutside) {
				f = Finding{OtherRemark, slash, 0, err.Error(), false}
			}
			found = append(found, f)
		}
	}
	if on.err != nil && !errors.Is(on.err, fs.ErrNotExist) {
		found = append(found, Finding{OtherRemark, "photos", 0, on.err.Error(), true})
	}
	return found
}

// keptFiles are the files of the photos that the state shows, and of those beside.
func (s *State) keptFiles() map[string]bool {
	kept := make(map[string]bool, len(s.photos()))
	for _, p := range s.photos() {
		kept[p.Path] = true
		for _, o := range p.Beside {
			kept[o.Path] = true
		}
	}
	return kept
}

// namedFiles are the files that some record of a photo or of a file beside one
// names. A record taken back names nothing, unless ever is asked for; of two
// devices that took in the same photo both files count.
func (j *Journal) namedFiles(ever bool) map[string]bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	named := map[string]bool{}
	records := j.records()
	gone := retracted(records)
	for _, r := range records {
		if !is[PhotoBody](r) && !is[BesideBody](r) || gone.has(r) && !ever {
			continue
		}
		if b, err := read[struct{ Path string }](r); err == nil {
			named[b.Path] = true
		}
	}
	return named
}
