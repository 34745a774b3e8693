// This file places originals durably, by exclusive creation. Bytes first,
// record second: the caller keeps that order.

package journal

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"

	"rakelight/journal/disk"
	"rakelight/journal/record"
)

// WriteFile replaces path with data, so that after a crash either the old or
// the new file is there whole. Missing folders are made.
func WriteFile(path string, data []byte) error { return record.WriteFile(path, data) }

// Place copies the file src durably into photos/ under a name made of the
// instant and the hash, and returns that name below the journal folder, with
// slashes. It never writes over a file: the same bytes there already are fine
// and are used, other bytes are an error. src is left as it is. The bytes are
// hashed again on the way, so that a file changed since it was read is refused.
func (j *Journal) Place(src, hash string, at time.Time, ext string) (string, error) {
	if len(hash) != 2*sha256.Size {
		return "", fmt.Errorf("%s: %q is not a SHA-256; nothing was copied", src, hash)
	}
	rel := fmt.Sprintf("photos/%s/%s-%s%s", at.Format("2006/01"), at.Format("20060102-150405"), hash[:8], ext)
	return j.placeAt(src, hash, rel)
}

// PlaceAs is Place under the name of a kept file, with an ending of its own:
// the files of one shot stay side by side in every listing. Other bytes under
// that name already are an error.
func (j *Journal) PlaceAs(src, hash, kept, ext string) (string, error) {
	if len(hash) != 2*sha256.Size {
		return "", fmt.Errorf("%s: %q is not a SHA-256; nothing was copied", src, hash)
	}
	return j.placeAt(src, hash, strings.TrimSuffix(kept, path.Ext(kept))+ext)
}

// PlaceBeside copies a small file that belongs to a photo durably beside it,
// under the photo's name below the journal folder with ".xmp" behind. Bytes
// that lie there already are never replaced.
func (j *Journal) PlaceBeside(src, photo string) (string, error) {
	hash, err := HashFile(src)
	if err != nil {
		return "", err
	}
	return j.placeAt(src, hash, photo+".xmp")
}

// placeAt copies a file to where nothing or the same bytes are.
func (j *Journal) placeAt(src, hash, rel string) (string, error) {
	path, err := j.Original(rel)
	if err != nil {
		return "", fmt.Errorf("%s: %w", src, err)
	}
	if got, err := HashFile(path); err == nil {
		if got == hash {
			// Perhaps a run placed it that ended before it was durable.
			return rel, syncPlaced(path)
		}
		return "", fmt.Errorf("%s exists with other bytes; it was left untouched", rel)
	}
	dir := filepath.Dir(path)
	if err := record.MakeDirs(dir); err != nil {
		return "", err
	}
	in, err := disk.Open(src)
	if err != nil {
		return "", err
	}
	defer in.Close()
	tmp, err := disk.CreateTemp(dir, ".rakelight-*.tmp")
	if err != nil {
		return "", err
	}
	defer func() { // gone already when all went well
		if disk.Remove(tmp.Name()) == nil {
			_ = record.SyncDir(dir)
		}
	}()
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
	if err := disk.Chmod(tmp.Name(), 0o644); err != nil {
		return "", err
	}
	if err := record.RenameNew(tmp.Name(), path); err != nil {
		// Another process may have placed the same photo at the same time.
		if got, hashErr := HashFile(path); hashErr != nil || got != hash {
			return "", fmt.Errorf("%s: %w; it was left untouched", rel, err)
		}
		return rel, syncPlaced(path)
	}
	// Its first name goes before the sync: it would be there again after a power cut,
	// and nobody looks for one once the intake has ended.
	_ = disk.Remove(tmp.Name())
	return rel, record.SyncDir(dir)
}

// syncPlaced makes a file that lies in its place already durable, with its name.
func syncPlaced(path string) error {
	// Windows syncs only what may be written.
	f, err := disk.OpenFile(path, os.O_RDWR, 0)
	if errors.Is(err, fs.ErrPermission) {
		f, err = disk.Open(path)
	}
	if err != nil {
		return err
	}
	defer f.Close()
	if err := f.Sync(); err != nil && !errors.Is(err, fs.ErrPermission) {
		return err
	}
	return record.SyncDir(filepath.Dir(path))
}

// HashFile is the SHA-256 of a file's bytes, as 64 hexadecimal digits.
func HashFile(path string) (string, error) {
	f, err := disk.Open(path)
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
