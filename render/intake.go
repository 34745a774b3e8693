// The names of the web sizes, for who takes photos in: a picture that is
// decoded already is made smaller at once, under the names the pages use.

package render

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/record"
	"rakelight/media"
)

// IntakeSizes returns what the intake of a journal needs to write the web
// sizes of new photos (inbox.Options.SizePath and Widths), so that Write finds
// them and decodes nothing twice. Each name is put on the list of our files
// before it is given out: of a file that is not kept in the end, the next Write
// takes the sizes away again. The function is safe for concurrent use.
func IntakeSizes(j *journal.Journal) (path func(f media.Facts, width int) string, sizes []int) {
	return NewWriter(j).IntakeSizes()
}

// IntakeSizes is the function of that name for an intake that goes on while w
// writes: the sizes of a photo that no state of w has shown yet are left alone. Of
// a file that is not kept in the end, the next Writer takes them away.
func (w *Writer) IntakeSizes() (path func(f media.Facts, width int) string, sizes []int) {
	j, o := w.j, output{dir: w.j.Path("pages")}
	var lock sync.Mutex
	owner := map[string]string{} // short name → hash
	for _, p := range j.State.Photos {
		owner[p.Short()] = p.Hash
	}
	listed := map[string]bool{}
	return func(f media.Facts, width int) string {
		lock.Lock()
		defer lock.Unlock()
		p := journal.Photo{Hash: f.Hash}
		// The sizes of another photo are never written over.
		taken := owner[p.Short()]
		if taken == "" {
			owner[p.Short()] = f.Hash
		}
		stem := stemOf(&p, taken != "" && taken != f.Hash)
		// A small photo has fewer sizes: the widest of them comes out the same
		// for every width above it.
		fit := fileWidths(f.Width)
		if !listed[stem] { // all sizes at once: a sync of the list takes as long as one of a size
			names := make([]string, len(fit))
			for i, one := range fit {
				names[i] = sizeName(stem, one)
				w.coming.add(names[i])
			}
			listed[stem] = o.addToList(names...) == nil
		}
		return o.path(sizeName(stem, min(width, fit[len(fit)-1])))
	}, slices.Clone(widths)
}

// coming are sizes of photos that are being taken in. It is safe for concurrent
// use; the zero value is empty.
type coming struct {
	lock  sync.Mutex
	names map[string]bool
}

func (c *coming) add(name string) {
	c.lock.Lock()
	defer c.lock.Unlock()
	if c.names == nil {
		c.names = map[string]bool{}
	}
	c.names[name] = true
}

// came takes those off that a state shows.
func (c *coming) came(names []string) {
	c.lock.Lock()
	defer c.lock.Unlock()
	for _, name := range names {
		delete(c.names, name)
	}
}

func (c *coming) has(name string) bool {
	c.lock.Lock()
	defer c.lock.Unlock()
	return c.names[name]
}

// addToList puts names on the list of our files without reading it. The line
// before them ends in any case, even if a crash left it half written. It is durable
// before a file is there: were it lost alone, the file would be somebody else's. A
// list that cannot be written means a folder that cannot: then the size beside it fails
// as well, and is made by the next Write.
func (o *output) addToList(names ...string) error {
	listLock.Lock()
	defer listLock.Unlock()
	if err := disk.MkdirAll(o.dir, 0o755); err != nil {
		return err
	}
	list := filepath.Join(o.dir, listName)
	if info, err := os.Lstat(list); err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("pages/%s is no ordinary file", listName) // a link leads to somebody else's
	}
	_, statErr := os.Stat(list)
	f, err := disk.OpenFile(list, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	if _, err := f.WriteString("\n" + strings.Join(names, "\n") + "\n"); err != nil {
		f.Close()
		return err
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil || statErr == nil {
		return err
	}
	return record.SyncDir(o.dir)
}
