// This file changes what a person writes by hand, on the person's word: a day's words,
// and the supplies of a build.

package plan

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
	"unicode/utf8"

	"rakelight/journal/disk"
	"rakelight/journal/record"
)

// ErrChanged says that a file was changed by somebody else while it was added to.
var ErrChanged = errors.New("somebody else wrote to it at the same moment: nothing written; say it again")

// rewritePatience is how long to wait for another process that changes what is written
// by hand: it takes milliseconds.
const rewritePatience = 10 * time.Second

// rewrite puts in the place of a text below a folder what change makes of it; a text
// that is not there is empty. The same bytes are not written again. After a crash the
// old file or the new one is there whole. A file that is no text, or was changed
// meanwhile, is left alone with an error.
func rewrite(dir, rel string, change func(old []byte) ([]byte, error)) error {
	unlock, err := record.Lock(filepath.Join(dir, ".cache", "diary.lock"), rewritePatience)
	if err != nil {
		return fmt.Errorf("%s: nothing written: %w", rel, err)
	}
	defer unlock()
	path := filepath.Join(dir, filepath.FromSlash(rel))
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real // the file itself, not the link to it
	}
	old, err := readText(path)
	if err != nil {
		return fmt.Errorf("%s: %w: nothing written", rel, err)
	}
	text, err := change(old)
	if err != nil {
		return fmt.Errorf("%s: %w", rel, err)
	}
	if bytes.Equal(text, old) {
		return nil
	}
	if len(text) > maxProse {
		return fmt.Errorf("%s: it would have %d KB, and a text of more than %d KB is not read: nothing written",
			rel, len(text)>>10, maxProse>>10)
	}
	mode := fs.FileMode(0)
	if info, err := os.Stat(path); err == nil {
		if mode = info.Mode().Perm(); mode&0o200 == 0 {
			return fmt.Errorf("%s: it may be read only: nothing written", rel)
		}
	}
	if err := record.MakeDirs(filepath.Dir(path)); err != nil {
		return fmt.Errorf("%s: nothing written: %w", rel, err)
	}
	err = record.WriteBy(path, text, func(from, to string) error {
		// An editor may have saved since; what it wrote is not ours to write over.
		if now, err := readText(path); err != nil || !bytes.Equal(now, old) {
			return ErrChanged
		}
		if mode != 0 {
			if err := disk.Chmod(from, mode); err != nil {
				return err
			}
		}
		return record.Rename(from, to)
	})
	if err != nil {
		return fmt.Errorf("%s: %w", rel, err)
	}
	return nil
}

// readText reads a text as it is; a file that is not there is empty.
func readText(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, errors.New("it is no ordinary file")
	case info.Size() > maxProse:
		return nil, fmt.Errorf("it has %d KB already, and a text of more than %d KB is not read", info.Size()>>10,
			maxProse>>10)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 {
		return nil, errors.New("it is no text in UTF-8, so nothing can be added to it safely")
	}
	return data, nil
}
