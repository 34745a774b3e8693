// This file writes durably: whole files by rename, originals by exclusive
// creation, records by one append. Bytes first, record second: the caller
// keeps that order, these helpers make each step last.

package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// WriteFile replaces path with data, so that after a crash either the old or
// the new file is there whole. Missing folders are made.
func WriteFile(path string, data []byte) error {
	if err := makeDirs(filepath.Dir(path)); err != nil {
		return err
	}
	return writeBy(path, data, rename)
}

// writeBy writes a whole file durably; place gives it its name in the end.
func writeBy(path string, data []byte, place func(from, to string) error) error {
	dir := filepath.Dir(path)
	// The temporary file lies in the same folder: a rename across file systems
	// is a copy, and not atomic.
	tmp, err := os.CreateTemp(dir, ".rakelight-*.tmp")
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name()) // gone already when all went well
	if _, err := tmp.Write(data); err != nil {
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
	if err := os.Chmod(tmp.Name(), 0o644); err != nil {
		return err
	}
	if err := place(tmp.Name(), path); err != nil {
		return err
	}
	return syncDir(dir)
}

// rename retries for a second: on Windows a virus scanner or a sync client
// may hold the file for a moment.
func rename(from, to string) error {
	var err error
	for try := range 10 {
		if err = os.Rename(from, to); err == nil || runtime.GOOS != "windows" || !errors.Is(err, fs.ErrPermission) {
			return err
		}
		time.Sleep(time.Duration(try+1) * 20 * time.Millisecond)
	}
	return err
}

// syncDir makes a rename in the folder durable. Windows has no such call, and
// does not need it.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}

// makeDirs makes the folder and those above it durably: a photo is not safe
// while the folder it lies in can be forgotten.
func makeDirs(dir string) error {
	if info, err := os.Stat(dir); err == nil && info.IsDir() {
		return nil
	}
	parent := filepath.Dir(dir)
	if parent != dir {
		if err := makeDirs(parent); err != nil {
			return err
		}
	}
	if err := os.Mkdir(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return syncDir(parent)
}

// Place copies the file src durably into photos/ under a name made of the
// instant and the hash, and returns that name below the journal folder, with
// slashes. It never writes over a file: the same bytes there already are fine
// and are used, other bytes are an error. src is left as it is. The bytes are
// hashed again on the way, so that a file changed since it was read is refused.
func (j *Journal) Place(src, hash string, at time.Time, ext string) (string, error) {
	if len(hash) != 2*sha256.Size {
		return "", fmt.Errorf("%s: %q is no SHA-256; nothing was copied", src, hash)
	}
	rel := fmt.Sprintf("photos/%s/%s-%s%s", at.Format("2006/01"), at.Format("20060102-150405"), hash[:8], ext)
	return j.placeAt(src, hash, rel)
}

// PlaceAs is Place under the name of a kept file, with an ending of its own:
// the files of one shot stay side by side in every listing. Other bytes under
// that name already are an error.
func (j *Journal) PlaceAs(src, hash, kept, ext string) (string, error) {
	if len(hash) != 2*sha256.Size {
		return "", fmt.Errorf("%s: %q is no SHA-256; nothing was copied", src, hash)
	}
	return j.placeAt(src, hash, strings.TrimSuffix(kept, path.Ext(kept))+ext)
}

// PlaceBeside copies a small file that belongs to a photo durably beside it,
// under the photo's name below the journal folder with ".xmp" behind. Bytes
// that lie there already are never replaced.
func (j *Journal) PlaceBeside(src, photo string) (string, error) {
	hash, err := hashFile(src)
	if err != nil {
		return "", err
	}
	return j.placeAt(src, hash, photo+".xmp")
}

// placeAt copies a file to where nothing or the same bytes are.
func (j *Journal) placeAt(src, hash, rel string) (string, error) {
	path := j.Path(rel)
	if got, err := hashFile(path); err == nil {
		if got == hash {
			// Perhaps a run placed it that ended before it was durable.
			return rel, syncPlaced(path)
		}
		return "", fmt.Errorf("%s exists with other bytes; it was left untouched", rel)
	}
	dir := filepath.Dir(path)
	if err := makeDirs(dir); err != nil {
		return "", err
	}
	in, err := os.Open(src)
	if err != nil {
		return "", err
	}
	defer in.Close()
	tmp, err := os.CreateTemp(dir, ".rakelight-*.tmp")
	if err != nil {
		return "", err
	}
	defer os.Remove(tmp.Name())
	sum := sha256.New()
	if _, err := io.Copy(io.MultiWriter(tmp, sum), in); err != nil {
		tmp.Close()
		return "", err
	}
	if hex.EncodeToString(sum.Sum(nil)) != hash {
		tmp.Close()
		return "", fmt.Errorf("%s changed while it was read; it was left untouched", src)
	}
	if err := tmp.Sync(); err != nil {
		tmp.Close()
		return "", err
	}
	if err := tmp.Close(); err != nil {
		return "", err
	}
	if err := os.Chmod(tmp.Name(), 0o644); err != nil {
		return "", err
	}
	if err := renameNew(tmp.Name(), path); err != nil {
		// Another process may have placed the same photo at the same time.
		if got, hashErr := hashFile(path); hashErr != nil || got != hash {
			return "", fmt.Errorf("%s: %w; it was left untouched", rel, err)
		}
		return rel, syncPlaced(path)
	}
	return rel, syncDir(dir)
}

// syncPlaced makes a file that lies in its place already durable, with its name.
func syncPlaced(path string) error {
	// Windows syncs only what may be written.
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if errors.Is(err, fs.ErrPermission) {
		f, err = os.Open(path)
	}
	if err != nil {
		return err
	}
	defer f.Close()
	if err := syncFile(f); err != nil && !errors.Is(err, fs.ErrPermission) {
		return err
	}
	return syncDir(filepath.Dir(path))
}

// syncFile is what makes a file durable. Tests count its calls.
var syncFile = (*os.File).Sync

// renameNew gives a file its name, but never replaces another. A hard link
// fails on an existing name where a rename would replace it; file systems
// without links (many memory cards) get a look and a rename.
func renameNew(from, to string) error {
	err := os.Link(from, to)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, err := os.Lstat(to); err == nil {
		return fs.ErrExist
	}
	return rename(from, to)
}

func hashFile(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// appendLines adds whole lines to a records file in one write and one sync. A
// torn last line left by a crash is closed first, so that it stays alone.
func appendLines(path string, lines []byte) error {
	dir := filepath.Dir(path)
	if err := makeDirs(dir); err != nil {
		return err
	}
	_, statErr := os.Stat(path)
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
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
	if statErr != nil {
		return syncDir(dir)
	}
	return nil
}
