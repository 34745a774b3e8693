// Package mishap has disks for tests: Failing fails at a chosen call, Traced
// remembers what was done, and what of it a power cut may leave. Put one under a
// journal by disk.Mount.
package mishap

import (
	"io/fs"
	"sync"
	"time"

	"rakelight/journal/disk"
)

// Failing is a disk whose call number Fail, counted from 1, fails with Err; if
// Stays is set, all after it as well. A write that fails has written half. It may
// be used by several goroutines.
type Failing struct {
	Fail  int
	Stays bool
	Err   error

	lock   sync.Mutex
	system disk.System
	calls  int
	what   string // the first call that failed
}

// Failed is the first call that failed, with its path; "" = none did.
func (d *Failing) Failed() string {
	d.lock.Lock()
	defer d.lock.Unlock()
	return d.what
}

// Calls is how many there were.
func (d *Failing) Calls() int {
	d.lock.Lock()
	defer d.lock.Unlock()
	return d.calls
}

// call counts one, and is its error if it is to fail.
func (d *Failing) call(op, path string) error {
	d.lock.Lock()
	defer d.lock.Unlock()
	d.calls++
	if d.calls != d.Fail && !(d.Stays && d.calls > d.Fail) {
		return nil
	}
	if d.what == "" {
		d.what = op + " " + path
	}
	return &fs.PathError{Op: op, Path: path, Err: d.Err}
}

func (d *Failing) opened(f disk.File, err error) (disk.File, error) {
	if err != nil {
		return nil, err
	}
	return &failingFile{f, d}, nil
}

func (d *Failing) Open(path string) (disk.File, error) {
	if err := d.call("open", path); err != nil {
		return nil, err
	}
	return d.opened(d.system.Open(path))
}

func (d *Failing) OpenFile(path string, flag int, perm fs.FileMode) (disk.File, error) {
	if err := d.call("open", path); err != nil {
		return nil, err
	}
	return d.opened(d.system.OpenFile(path, flag, perm))
}

func (d *Failing) CreateTemp(dir, pattern string) (disk.File, error) {
	if err := d.call("create", dir); err != nil {
		return nil, err
	}
	return d.opened(d.system.CreateTemp(dir, pattern))
}

func (d *Failing) Mkdir(path string, perm fs.FileMode) error {
	if err := d.call("mkdir", path); err != nil {
		return err
	}
	return d.system.Mkdir(path, perm)
}

func (d *Failing) MkdirAll(path string, perm fs.FileMode) error {
	if err := d.call("mkdir", path); err != nil {
		return err
	}
	return d.system.MkdirAll(path, perm)
}

func (d *Failing) Rename(from, to string) error {
	if err := d.call("rename", to); err != nil {
		return err
	}
	return d.system.Rename(from, to)
}

func (d *Failing) Link(from, to string) error {
	if err := d.call("link", to); err != nil {
		return err
	}
	return d.system.Link(from, to)
}

func (d *Failing) Remove(path string) error {
	if err := d.call("remove", path); err != nil {
		return err
	}
	return d.system.Remove(path)
}

func (d *Failing) Chmod(path string, mode fs.FileMode) error {
	if err := d.call("chmod", path); err != nil {
		return err
	}
	return d.system.Chmod(path, mode)
}

func (d *Failing) Chtimes(path string, read, changed time.Time) error {
	if err := d.call("chtimes", path); err != nil {
		return err
	}
	return d.system.Chtimes(path, read, changed)
}

func (d *Failing) SyncDir(dir string) error {
	if err := d.call("sync", dir); err != nil {
		return err
	}
	return d.system.SyncDir(dir)
}

type failingFile struct {
	disk.File
	d *Failing
}

func (f *failingFile) Read(p []byte) (int, error) {
	if err := f.d.call("read", f.Name()); err != nil {
		return 0, err
	}
	return f.File.Read(p)
}

func (f *failingFile) ReadAt(p []byte, off int64) (int, error) {
	if err := f.d.call("read", f.Name()); err != nil {
		return 0, err
	}
	return f.File.ReadAt(p, off)
}

func (f *failingFile) Write(p []byte) (int, error) {
	if err := f.d.call("write", f.Name()); err != nil {
		n, _ := f.File.Write(p[:len(p)/2])
		return n, err
	}
	return f.File.Write(p)
}

func (f *failingFile) WriteString(s string) (int, error) { return f.Write([]byte(s)) }

func (f *failingFile) Truncate(size int64) error {
	if err := f.d.call("truncate", f.Name()); err != nil {
		return err
	}
	return f.File.Truncate(size)
}

func (f *failingFile) Sync() error {
	if err := f.d.call("sync", f.Name()); err != nil {
		return err
	}
	return f.File.Sync()
}

func (f *failingFile) Chmod(mode fs.FileMode) error {
	if err := f.d.call("chmod", f.Name()); err != nil {
		return err
	}
	return f.File.Chmod(mode)
}

// Close closes in any case: the number of the file is gone, whatever is said.
func (f *failingFile) Close() error {
	failed := f.d.call("close", f.Name())
	if err := f.File.Close(); failed == nil {
		return err
	}
	return failed
}
