// The pages folder: what is written, what stays, what goes.

package render

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/record"
	"rakelight/journal/say"
)

// listName is the file that lists what we wrote into the pages folder. Only
// what stands in it is ever written over or removed. It is written before the
// files (holding old and new names) and after them (new names alone), so that a
// crash in between forgets none. A file that is there and not on the list is
// somebody else's, and never gets onto it.
const listName = ".written"

// ClearLeftovers removes what a crash left half written among the pages, when
// nobody has written to it for an hour. A command that writes pages calls it once.
func ClearLeftovers(j *journal.Journal) { record.ClearLeftovers(j.Path("pages")) }

// output writes into the pages folder, or into another for readers.
type output struct {
	dir      string
	manifest string                                   // the file with what is known of the pages, below the journal folder
	ready    func(p *journal.Photo, name string) bool // puts a picture there without making it; nil = none can be
	copied   atomic.Int64                             // pictures that were put there so
	progress func(done, total int, what string)
	stop     func() bool // nil = never
	coming   *coming     // sizes of photos that are being taken in, nil = none
	known    knownList
}

// knownList is the list as it was read last.
type knownList struct {
	looks made
	names []string
	on    map[string]bool
}

func (o *output) tell(done, total int, what string) {
	if o.progress != nil {
		o.progress(done, total, what)
	}
}

// write makes the folder hold the pages and, of the photo sizes, those named.
func (o *output) write(ctx context.Context, j *journal.Journal, v *view, pages []making, sizes []string,
	r *Report) error {
	names := make([]string, 0, len(pages)+len(sizes))
	for _, m := range pages {
		names = append(names, m.path)
	}
	names = append(names, sizes...)
	if o.coming != nil {
		o.coming.came(sizes)
	}
	old := o.list()
	foreign := o.foreign(names)
	if err := o.enlist(without(names, foreign)); err != nil {
		return err
	}
	known := readManifest(j, o.manifest)
	w := pageWriter{output: o, v: v, known: known, foreign: foreign, report: r, total: len(pages),
		unsaid: map[say.Key]string{},
		now:    manifest{Program: known.Program, Pages: make(map[string]made, len(pages))}}
	err := w.all(ctx, pages)
	if keep := w.now.write(j, o.manifest, known); err == nil {
		err = keep
	}
	if err != nil || r.Stopped {
		return err
	}
	r.Pages = len(pages)
	return o.clear(old, without(names, foreign), r)
}

// clear removes the files of the old list that are not wanted any more, and
// leaves the list with the others. What was put on it meanwhile, or is coming,
// stays.
func (o *output) clear(old, names []string, r *Report) error {
	wanted := make(map[string]bool, len(names))
	for _, name := range names {
		wanted[name] = true
	}
	if !slices.ContainsFunc(old, func(name string) bool { return !wanted[name] }) {
		return nil // all that is wanted was enlisted before
	}
	was := make(map[string]bool, len(old))
	for _, name := range old {
		was[name] = true
		if wanted[name] {
			continue
		}
		if o.coming != nil && o.coming.has(name) {
			names = append(names, name)
			continue
		}
		if err := disk.Remove(o.path(name)); err == nil {
			r.Removed++
		} else if !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("pages/%s is no longer needed but could not be removed: %w", name, err)
		}
		o.clearFolders(name)
	}
	listLock.Lock()
	defer listLock.Unlock()
	for _, name := range o.list() {
		if !was[name] && !wanted[name] {
			names = append(names, name)
		}
	}
	return o.keepList(names)
}

// clearFolders removes the folders above a removed file that are empty by now: the name
// of one may be that of a private build. That of the photos stays, since some may come
// meanwhile.
func (o *output) clearFolders(name string) {
	for dir := path.Dir(name); dir != "." && dir != "photos"; dir = path.Dir(dir) {
		info, err := os.Lstat(o.path(dir))
		if err != nil || !info.IsDir() || disk.Remove(o.path(dir)) != nil {
			return // it holds something, or is not a folder of ours
		}
	}
}

func (o *output) path(name string) string { return filepath.Join(o.dir, filepath.FromSlash(name)) }

// holds reports whether the folder holds the file with these bytes.
func (o *output) holds(f file) bool {
	path := o.path(f.path)
	if info, err := os.Stat(path); err != nil || info.Size() != int64(len(f.data)) {
		return false
	}
	have, err := os.ReadFile(path)
	return err == nil && bytes.Equal(have, f.data)
}

// foreign are those of the names under which something lies that we did not
// write, or of which the list was lost.
func (o *output) foreign(names []string) map[string]bool {
	o.list()
	found := map[string]bool{}
	for _, name := range names {
		if o.known.on[name] || name == listName {
			continue
		}
		if _, err := os.Lstat(o.path(name)); !errors.Is(err, fs.ErrNotExist) {
			found[name] = true
		}
	}
	return found
}

// writeChanged writes a file unless it has these bytes already.
func (o *output) writeChanged(f file) (bool, error) {
	path := o.path(f.path)
	if o.holds(f) {
		return false, nil
	}
	if err := disk.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return false, err
	}
	// Not journal.WriteFile: pages can be made again, and waiting for the disk
	// at each of them would take most of the time. The rename still keeps a
	// reader from seeing half a page.
	tmp, err := disk.CreateTemp(filepath.Dir(path), ".rakelight-*.tmp")
	if err != nil {
		return false, err
	}
	defer disk.Remove(tmp.Name()) // gone already when all went well
	_, err = tmp.Write(f.data)
	if err := errors.Join(err, tmp.Chmod(0o644), tmp.Close()); err != nil {
		return false, err
	}
	return true, disk.Rename(tmp.Name(), path)
}

// list reads what earlier writings put into the folder. A name that leads out
// of it is somebody's mistake or mischief and is left out, and so are the zeros
// that a power cut leaves where the disk had not written yet. A list that looks as it
// did is not read again; nobody may change what comes back.
func (o *output) list() []string {
	path := filepath.Join(o.dir, listName)
	is, there := looks(path) // before it is read, since it may grow meanwhile
	if there && o.known.on != nil && is.sameFile(o.known.looks) {
		return o.known.names
	}
	o.known = knownList{looks: is, on: map[string]bool{}}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil
	}
	for name := range strings.SplitSeq(string(data), "\n") {
		if name != "" && name != listName && filepath.IsLocal(filepath.FromSlash(name)) &&
			!strings.Contains(name, "\x00") && !o.known.on[name] {
			o.known.names = append(o.known.names, name)
			o.known.on[name] = true
		}
	}
	return o.known.names
}

func without(names []string, foreign map[string]bool) []string {
	if len(foreign) == 0 {
		return names
	}
	return slices.DeleteFunc(slices.Clone(names), func(name string) bool { return foreign[name] })
}

// listLock keeps what one goroutine puts on a list from being lost when another
// writes the list.
var listLock sync.Mutex

// enlist puts names on the list beside those that stand on it.
func (o *output) enlist(names []string) error {
	listLock.Lock()
	defer listLock.Unlock()
	old := o.list()
	if !slices.ContainsFunc(names, func(name string) bool { return !o.known.on[name] }) {
		return nil
	}
	return o.keepList(append(slices.Clone(names), old...))
}

// keepList writes the list anew.
func (o *output) keepList(names []string) error {
	names = slices.Clone(names)
	slices.Sort(names)
	data := []byte(strings.Join(slices.Compact(names), "\n") + "\n")
	o.known = knownList{}
	if o.holds(file{path: listName, data: data}) {
		return nil
	}
	// Durably, unlike the pages: were the list lost and a page were not, the page
	// would be somebody else's from then on.
	if err := record.WriteFile(o.path(listName), data); err != nil {
		return fmt.Errorf("pages/%s: %w", listName, err)
	}
	return nil
}

// sizeFiles are the web sizes of all photos that can be shown, and of those
// laid over each other.
func (v *view) sizeFiles() []string {
	names := originals{v.Photos, v.stem}.sizeFiles(v.unshown)
	for _, l := range v.lays() {
		names = append(names, l.files()...)
	}
	for _, f := range v.flicks() {
		names = append(names, f.files()...)
	}
	return append(names, v.clipFiles()...)
}
