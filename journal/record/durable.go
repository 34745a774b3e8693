// This file writes durably: whole files by rename, records by one append.

package record

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"rakelight/journal/disk"
)

// WriteFile replaces path with data, so that after a crash either the old or
// the new file is there whole. Missing folders are made.
func WriteFile(path string, data []byte) error {
	if err := MakeDirs(filepath.Dir(path)); err != nil {
		return err
	}
	return WriteBy(path, data, Rename)
}

// WriteBy writes a whole file durably; place gives it its name in the end. On an
// error a file that was not there before is not there.
func WriteBy(path string, data []byte, place func(from, to string) error) error {
	return WriteThrough(path, func(tmp disk.File) error {
		_, err := tmp.Write(data)
		return err
	}, place)
}

// WriteThrough is WriteBy for what is too long to be held: write fills a temporary file
// beside, which is gone where it returns an error.
func WriteThrough(path string, write func(tmp disk.File) error, place func(from, to string) error) error {
	dir := filepath.Dir(path)
	// The temporary file lies in the same folder: a rename across file systems
	// is a copy, and not atomic.
	tmp, err := disk.CreateTemp(dir, leftoverPattern)
	if err != nil {
		return err
	}
	defer disk.Remove(tmp.Name()) // gone already when all went well
	if err := write(tmp); err != nil {
		tmp.Close()
		return err
	}
	if err := tmp.Sync(); err != nil {
		tmp.Close()
		return err
	}
	if err := tmp.Close(); err != nil {
		return err
	}
	if err := disk.Chmod(tmp.Name(), 0o644); err != nil {
		return err
	}
	_, statErr := os.Lstat(path)
	if err := place(tmp.Name(), path); err != nil {
		return err
	}
	err = SyncDir(dir)
	if err != nil && errors.Is(statErr, fs.ErrNotExist) {
		// It is called not written, so it is not there: the next try would find it.
		return errors.Join(err, disk.Remove(path))
	}
	return err
}

// Rename is os.Rename that retries for a second: on Windows a virus scanner or a
// sync client may hold the file for a moment.
func Rename(from, to string) error {
	var err error
	for try := range 10 {
		if err = disk.Rename(from, to); err == nil || runtime.GOOS != "windows" || !errors.Is(err, fs.ErrPermission) {
			return err
		}
		time.Sleep(time.Duration(try+1) * 20 * time.Millisecond)
	}
	return err
}

// SyncDir makes a rename in the folder durable. Windows has no such call, and
// does not need it.
func SyncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	return disk.SyncDir(dir)
}

// MakeDirs makes the folder and those above it durably: a photo is not safe
// while the folder it lies in can be forgotten.
func MakeDirs(dir string) error {
	if info, err := os.Stat(dir); err == nil && info.IsDir() {
		return nil
	}
	parent := filepath.Dir(dir)
	if parent != dir {
		if err := MakeDirs(parent); err != nil {
			return err
		}
	}
	if err := disk.Mkdir(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return SyncDir(parent)
}

// RenameNew gives a file its name, but never replaces another. A hard link
// fails on an existing name where a rename would replace it; file systems
// without links (many memory cards) get a look and a rename.
func RenameNew(from, to string) error {
	err := disk.Link(from, to)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, err := os.Lstat(to); err == nil {
		return fs.ErrExist
	}
	return Rename(from, to)
}

// appendLines adds whole lines to a records file in one write and one sync. A
// torn last line left by a crash is closed first, so that it stays alone.
func appendLines(path string, lines []byte) error {
	dir := filepath.Dir(path)
	if err := MakeDirs(dir); err != nil {
		return err
	}
	_, statErr := os.Stat(path)
	f, err := disk.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		return err
	}
	defer f.Close()
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	if size > 0 {
		last := make([]byte, 1)
		if _, err := f.ReadAt(last, size-1); err != nil {
			return err
		}
		if last[0] != '\n' {
			lines = append([]byte("\n"), bytes.Clone(lines)...)
		}
	}
	if _, err := f.Write(lines); err != nil {
		// A full disk may have taken some of the lines: none of them counts as
		// written, so none may be read later.
		return errors.Join(err, f.Truncate(size))
	}
	if err := f.Sync(); err != nil {
		return errors.Join(err, f.Truncate(size))
	}
	if statErr == nil {
		return nil
	}
	// A name that may be lost takes the lines along: they do not count either.
	if err := SyncDir(dir); err != nil {
		return errors.Join(err, f.Truncate(size))
	}
	return nil
}
