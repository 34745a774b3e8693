// Package disk holds the calls that change the files of a journal, and those
// that read its originals and records, so that a test can put a disk of its own
// under a folder (Mount): one that fails, is full, or loses its power. Start with
// the functions; each is the one of package os by that name. Nothing here is
// safer than os: what makes a file durable stands in journal/record.
//
// Not here are looks (Stat, ReadDir), since what they find is taken as a hint
// only, locks, and files in which nothing is lost that cannot be made again by
// the next start.
package disk

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// Disk does the calls. Errors are those of package os, so that errors.Is tells
// fs.ErrExist and the numbers of the system.
type Disk interface {
	Open(path string) (File, error) // to read
	OpenFile(path string, flag int, perm fs.FileMode) (File, error)
	CreateTemp(dir, pattern string) (File, error)
	Mkdir(path string, perm fs.FileMode) error
	MkdirAll(path string, perm fs.FileMode) error
	Rename(from, to string) error
	Link(from, to string) error
	Remove(path string) error
	Chmod(path string, mode fs.FileMode) error
	Chtimes(path string, read, changed time.Time) error
	SyncDir(dir string) error // makes the names in a folder durable
}

// File is an open file.
type File interface {
	io.ReadWriteSeeker
	io.ReaderAt
	io.StringWriter
	io.Closer
	Name() string
	Stat() (fs.FileInfo, error)
	Sync() error
	Truncate(size int64) error
	Chmod(mode fs.FileMode) error
}

// System is the disk of the operating system.
type System struct{}

func (System) Open(path string) (File, error) { return file(os.Open(path)) }

func (System) OpenFile(path string, flag int, perm fs.FileMode) (File, error) {
	return file(os.OpenFile(path, flag, perm))
}

func (System) CreateTemp(dir, pattern string) (File, error) { return file(os.CreateTemp(dir, pattern)) }
func (System) Mkdir(path string, perm fs.FileMode) error    { return os.Mkdir(path, perm) }
func (System) MkdirAll(path string, perm fs.FileMode) error { return os.MkdirAll(path, perm) }
func (System) Rename(from, to string) error                 { return os.Rename(from, to) }
func (System) Link(from, to string) error                   { return os.Link(from, to) }
func (System) Remove(path string) error                     { return os.Remove(path) }
func (System) Chmod(path string, mode fs.FileMode) error    { return os.Chmod(path, mode) }
func (System) Chtimes(path string, read, changed time.Time) error {
	return os.Chtimes(path, read, changed)
}

func (System) SyncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// file keeps a nil *os.File from becoming a File that is not nil.
func file(f *os.File, err error) (File, error) {
	if err != nil {
		return nil, err
	}
	return f, nil
}

// mounts are the disks that lie under folders, the latest last.
var (
	mountsLock sync.RWMutex
	mounts     []*mount
)

type mount struct {
	dir  string
	disk Disk
}

// Mount puts a disk under a folder and all below it until unmount is called. A
// path belongs to it as it is written: links are not followed. It is for tests.
func Mount(dir string, d Disk) (unmount func()) {
	m := &mount{filepath.Clean(dir), d}
	mountsLock.Lock()
	defer mountsLock.Unlock()
	mounts = append(mounts, m)
	return func() {
		mountsLock.Lock()
		defer mountsLock.Unlock()
		for i, one := range mounts {
			if one == m {
				mounts = append(mounts[:i:i], mounts[i+1:]...)
				return
			}
		}
	}
}

// at is the disk that a path lies on.
func at(path string) Disk {
	mountsLock.RLock()
	defer mountsLock.RUnlock()
	for i := len(mounts) - 1; i >= 0; i-- {
		below, ok := strings.CutPrefix(filepath.Clean(path), mounts[i].dir)
		if ok && (below == "" || os.IsPathSeparator(below[0])) {
			return mounts[i].disk
		}
	}
	return System{}
}

func Open(path string) (File, error) { return at(path).Open(path) }

func OpenFile(path string, flag int, perm fs.FileMode) (File, error) {
	return at(path).OpenFile(path, flag, perm)
}

func CreateTemp(dir, pattern string) (File, error) { return at(dir).CreateTemp(dir, pattern) }
func Mkdir(path string, perm fs.FileMode) error    { return at(path).Mkdir(path, perm) }
func MkdirAll(path string, perm fs.FileMode) error { return at(path).MkdirAll(path, perm) }
func Rename(from, to string) error                 { return at(to).Rename(from, to) }
func Link(from, to string) error                   { return at(to).Link(from, to) }
func Remove(path string) error                     { return at(path).Remove(path) }
func Chmod(path string, mode fs.FileMode) error    { return at(path).Chmod(path, mode) }
func Chtimes(path string, read, changed time.Time) error {
	return at(path).Chtimes(path, read, changed)
}
func SyncDir(dir string) error { return at(dir).SyncDir(dir) }

// ReadFile reads a whole file.
func ReadFile(path string) ([]byte, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}
