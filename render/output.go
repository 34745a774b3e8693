// The pages folder: what is written, what stays, what goes.

package render

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/record"
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

// output writes into the pages folder.
type output struct {
	dir      string
	progress func(done, total int, what string)
}

func (o *output) tell(done, total int, what string) {
	if o.progress != nil {
		o.progress(done, total, what)
	}
}

// write makes the folder hold the files and, of the photo sizes, those named.
func (o *output) write(ctx context.Context, files []file, sizes []string, r *Report) error {
	names := make([]string, 0, len(files)+len(sizes))
	for _, f := range files {
		names = append(names, f.path)
	}
	names = append(names, sizes...)
	old, foreign := o.list(), o.foreign(names)
	for _, f := range files {
		if foreign[f.path] && o.holds(f) {
			delete(foreign, f.path) // ours, by its bytes
		}
	}
	names = without(names, foreign)
	if err := o.keepList(append(slices.Clone(names), old...)); err != nil {
		return err
	}
	for i, f := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		if foreign[f.path] {
			r.Foreign = append(r.Foreign, "pages/"+f.path)
			continue
		}
		changed, err := o.writeChanged(f)
		if err != nil {
			return fmt.Errorf("pages/%s: %w", f.path, err)
		}
		if changed {
			r.Changed++
		}
		o.tell(i+1, len(files), "pages")
	}
	r.Pages = len(files)
	slices.Sort(names)
	for _, name := range old {
		if _, found := slices.BinarySearch(names, name); found {
			continue
		}
		if err := os.Remove(o.path(name)); err == nil {
			r.Removed++
		} else if !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("pages/%s is no longer needed but could not be removed: %w", name, err)
		}
	}
	return o.keepList(names)
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
	found, listed := map[string]bool{}, map[string]bool{listName: true}
	for _, name := range o.list() {
		listed[name] = true
	}
	for _, name := range names {
		if listed[name] {
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
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return false, err
	}
	// Not journal.WriteFile: pages can be made again, and waiting for the disk
	// at each of them would take most of the time. The rename still keeps a
	// reader from seeing half a page.
	tmp, err := os.CreateTemp(filepath.Dir(path), ".rakelight-*.tmp")
	if err != nil {
		return false, err
	}
	defer os.Remove(tmp.Name()) // gone already when all went well
	_, err = tmp.Write(f.data)
	if err := errors.Join(err, tmp.Chmod(0o644), tmp.Close()); err != nil {
		return false, err
	}
	return true, os.Rename(tmp.Name(), path)
}

// list reads what earlier writings put into the folder. A name that leads out
// of it is somebody's mistake or mischief and is left out.
func (o *output) list() []string {
	data, err := os.ReadFile(filepath.Join(o.dir, listName))
	if err != nil {
		return nil
	}
	var names []string
	for _, name := range strings.Split(string(data), "\n") {
		if name != "" && filepath.IsLocal(filepath.FromSlash(name)) && name != listName {
			names = append(names, name)
		}
	}
	return names
}

func without(names []string, foreign map[string]bool) []string {
	return slices.DeleteFunc(slices.Clone(names), func(name string) bool { return foreign[name] })
}

func (o *output) keepList(names []string) error {
	names = slices.Clone(names)
	slices.Sort(names)
	data := []byte(strings.Join(slices.Compact(names), "\n") + "\n")
	_, err := o.writeChanged(file{listName, data})
	if err != nil {
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
	return names
}
