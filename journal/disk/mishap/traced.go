package mishap

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"rakelight/journal/disk"
)

// Traced is a disk that remembers what was done below a folder since Trace, so
// that Cut can tell what would be there had the power gone off: what was synced
// is there, and of all else any part may be, in any order. This is the model of
// Pillai and others, "All file systems are not created equal" (OSDI 2014), at its
// weakest: a file's sync makes its bytes durable and not its name, a folder's
// sync the names in it, and a rename is there whole or not at all.
//
// What is changed past package disk is not seen.
type Traced struct {
	lock   sync.Mutex
	system disk.System
	before map[string]*inode // by path, as it was when the trace began
	now    map[string]*inode
	did    []deed
}

// inode is a file, whatever its names, or a folder.
type inode struct {
	folder bool
	data   []byte // as it was when the trace began
	mtime  time.Time
}

// deed is one change. Those with a file change or sync its bytes, the others
// change or sync names.
type deed struct {
	what what
	file *inode
	path string // the name that changes; of syncDir the folder
	from string // of rename
	at   int64  // where the bytes go, or the size a file is cut to
	data []byte
}

type what int

const (
	names what = iota // path is file from now on
	renames
	forgets // path is nothing from now on
	writes
	cuts
	syncsFile
	syncsDir
)

// Trace begins a trace of what is done below a folder. All that is there now
// counts as durable.
func Trace(dir string) (*Traced, error) {
	d := &Traced{before: map[string]*inode{}, now: map[string]*inode{}}
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := e.Info()
		if err != nil {
			return err
		}
		n := &inode{folder: e.IsDir(), mtime: info.ModTime()}
		if !n.folder {
			n.data, err = os.ReadFile(path)
		}
		d.before[path], d.now[path] = n, n
		return err
	})
	return d, err
}

// Len is how many changes there were: the power may go off after each of them,
// and before the first.
func (d *Traced) Len() int {
	d.lock.Lock()
	defer d.lock.Unlock()
	return len(d.did)
}

// Fate is what became of a change that nothing had made durable.
type Fate int

const (
	Lost  Fate = iota
	Kept       // there after all
	Blank      // of bytes: the file is so long, but zeros stand in it
	Begun      // of bytes: their first line is there, and half of the next
)

// Cut makes a folder what is there after the power went off behind n changes.
// fate is asked for each change
// that nothing made durable; dir is the folder that was traced.
func (d *Traced) Cut(dir, into string, n int, fate func(i int) Fate) error {
	d.lock.Lock()
	defer d.lock.Unlock()
	tree := map[string]*inode{}
	for path, n := range d.before {
		tree[path] = n
	}
	bytes := map[*inode][]byte{}
	for i, one := range d.did[:n] {
		data := one.data
		if !d.durable(i, n) {
			switch fate(i) {
			case Lost:
				continue
			case Blank:
				data = make([]byte, len(data))
			case Begun:
				line := slices.Index(data, '\n') + 1
				data = data[:line+(len(data)-line)/2]
			}
		}
		switch one.what {
		case names:
			tree[one.path] = one.file
		case renames:
			if tree[one.from] == one.file {
				delete(tree, one.from)
			}
			tree[one.path] = one.file
		case forgets:
			if tree[one.path] == one.file {
				delete(tree, one.path)
			}
		case writes:
			have := contents(bytes, one.file)
			if gap := one.at - int64(len(have)); gap > 0 {
				have = slices.Concat(have, make([]byte, gap))
			}
			end := min(int64(len(have)), one.at+int64(len(data)))
			bytes[one.file] = slices.Concat(have[:one.at], data, have[end:])
		case cuts:
			have := contents(bytes, one.file)
			bytes[one.file] = slices.Clone(have[:min(int64(len(have)), one.at)])
		}
	}
	return lay(tree, bytes, dir, into)
}

func contents(bytes map[*inode][]byte, n *inode) []byte {
	if data, changed := bytes[n]; changed {
		return data
	}
	return n.data
}

// lay writes the tree. A name whose folder is not there is lost with it.
func lay(tree map[string]*inode, bytes map[*inode][]byte, dir, into string) error {
	paths := make([]string, 0, len(tree))
	for path := range tree {
		paths = append(paths, path)
	}
	slices.Sort(paths)
	for _, path := range paths {
		below, ok := strings.CutPrefix(path, dir)
		if !ok {
			continue
		}
		to, n := into+below, tree[path]
		if n.folder {
			err := os.Mkdir(to, 0o755)
			if err != nil && !errors.Is(err, fs.ErrExist) && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
			continue
		}
		err := os.WriteFile(to, contents(bytes, n), 0o644)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err == nil && !n.mtime.IsZero() {
			err = os.Chtimes(to, n.mtime, n.mtime)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// durable reports whether a change is surely there when the power goes off
// behind n changes.
func (d *Traced) durable(i, n int) bool {
	one := d.did[i]
	for _, later := range d.did[i+1 : n] {
		switch {
		case one.what == writes || one.what == cuts:
			if later.what == syncsFile && later.file == one.file {
				return true
			}
		case later.what == syncsDir && later.path == filepath.Dir(one.path):
			return true
		}
	}
	return false
}

func (d *Traced) note(one deed) { d.did = append(d.did, one) }

// named notes a new name.
func (d *Traced) named(path string, n *inode) {
	d.now[path] = n
	d.note(deed{what: names, file: n, path: path})
}

func (d *Traced) Open(path string) (disk.File, error) { return d.system.Open(path) }

func (d *Traced) OpenFile(path string, flag int, perm fs.FileMode) (disk.File, error) {
	d.lock.Lock()
	defer d.lock.Unlock()
	f, err := d.system.OpenFile(path, flag, perm)
	if err != nil {
		return nil, err
	}
	n := d.now[path]
	if n == nil {
		n = &inode{}
		d.named(path, n)
	} else if flag&os.O_TRUNC != 0 {
		d.note(deed{what: cuts, file: n})
	}
	return &tracedFile{f, d, n, flag&os.O_APPEND != 0}, nil
}

func (d *Traced) CreateTemp(dir, pattern string) (disk.File, error) {
	d.lock.Lock()
	defer d.lock.Unlock()
	f, err := d.system.CreateTemp(dir, pattern)
	if err != nil {
		return nil, err
	}
	n := &inode{}
	d.named(f.Name(), n)
	return &tracedFile{f, d, n, false}, nil
}

func (d *Traced) Mkdir(path string, perm fs.FileMode) error {
	d.lock.Lock()
	defer d.lock.Unlock()
	err := d.system.Mkdir(path, perm)
	if err == nil {
		d.named(path, &inode{folder: true})
	}
	return err
}

func (d *Traced) MkdirAll(path string, perm fs.FileMode) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return nil
	}
	if parent := filepath.Dir(path); parent != path {
		if err := d.MkdirAll(parent, perm); err != nil {
			return err
		}
	}
	// Somebody else may have made it meanwhile.
	err := d.Mkdir(path, perm)
	if info, statErr := os.Stat(path); err != nil && statErr == nil && info.IsDir() {
		return nil
	}
	return err
}

func (d *Traced) Rename(from, to string) error {
	d.lock.Lock()
	defer d.lock.Unlock()
	if err := d.system.Rename(from, to); err != nil {
		return err
	}
	n := d.now[from]
	if n == nil {
		return errors.New("mishap: " + from + " was renamed and not traced")
	}
	delete(d.now, from)
	d.now[to] = n
	d.note(deed{what: renames, file: n, path: to, from: from})
	return nil
}

func (d *Traced) Link(from, to string) error {
	d.lock.Lock()
	defer d.lock.Unlock()
	if err := d.system.Link(from, to); err != nil {
		return err
	}
	d.named(to, d.now[from])
	return nil
}

func (d *Traced) Remove(path string) error {
	d.lock.Lock()
	defer d.lock.Unlock()
	if err := d.system.Remove(path); err != nil {
		return err
	}
	d.note(deed{what: forgets, file: d.now[path], path: path})
	delete(d.now, path)
	return nil
}

func (d *Traced) Chmod(path string, mode fs.FileMode) error { return d.system.Chmod(path, mode) }

// Chtimes sets a time that is there after every cut, which is the worse case: a file
// whose bytes were lost looks as if they were there.
func (d *Traced) Chtimes(path string, read, changed time.Time) error {
	d.lock.Lock()
	defer d.lock.Unlock()
	err := d.system.Chtimes(path, read, changed)
	if n := d.now[path]; err == nil && n != nil {
		n.mtime = changed
	}
	return err
}

func (d *Traced) SyncDir(dir string) error {
	d.lock.Lock()
	defer d.lock.Unlock()
	err := d.system.SyncDir(dir)
	if err == nil {
		d.note(deed{what: syncsDir, path: filepath.Clean(dir)})
	}
	return err
}

type tracedFile struct {
	disk.File
	d       *Traced
	n       *inode
	appends bool
}

func (f *tracedFile) Write(p []byte) (int, error) {
	f.d.lock.Lock()
	defer f.d.lock.Unlock()
	at, err := f.Seek(0, 1)
	if f.appends {
		var info fs.FileInfo
		if info, err = f.Stat(); err == nil {
			at = info.Size()
		}
	}
	if err != nil {
		return 0, err
	}
	n, err := f.File.Write(p)
	f.d.note(deed{what: writes, file: f.n, at: at, data: slices.Clone(p[:n])})
	return n, err
}

func (f *tracedFile) WriteString(s string) (int, error) { return f.Write([]byte(s)) }

func (f *tracedFile) Truncate(size int64) error {
	f.d.lock.Lock()
	defer f.d.lock.Unlock()
	err := f.File.Truncate(size)
	if err == nil {
		f.d.note(deed{what: cuts, file: f.n, at: size})
	}
	return err
}

func (f *tracedFile) Sync() error {
	f.d.lock.Lock()
	defer f.d.lock.Unlock()
	err := f.File.Sync()
	if err == nil {
		f.d.note(deed{what: syncsFile, file: f.n})
	}
	return err
}
