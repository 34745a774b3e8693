// This file writes what a person asks for by name: a sheet of cards, a pack. It
// decides, for every command, where such a file may go and what it may replace.

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
	"path/filepath"

	"rakelight/journal/disk"
	"rakelight/journal/plan"
	"rakelight/journal/record"
)

// CanHandOut returns an AskError when HandOut would write nothing: something is
// there, the folder is not (unless it is the journal's pages folder), or it is one
// of a journal's own.
func (j *Journal) CanHandOut(path string) error {
	if err := j.mayHold(filepath.Dir(path)); err != nil {
		return err
	}
	there, err := lies(path)
	if there {
		return &AskError{What: path + " is there already: nothing written", Hint: another}
	}
	return err
}

// HandOut writes a file where a person said, and replaces none; see CanHandOut.
func (j *Journal) HandOut(path string, data []byte) error {
	if err := j.CanHandOut(path); err != nil {
		return err
	}
	return handOut(path, data, record.RenameNew)
}

// HandOutThrough is HandOut for what is too long to be held: write fills a temporary
// file beside it, by itself or by its name, and its errors come back as they are.
func (j *Journal) HandOutThrough(path string, write func(tmp disk.File) error) error {
	if err := j.CanHandOut(path); err != nil {
		return err
	}
	var failed error
	err := record.WriteThrough(path, func(tmp disk.File) error {
		failed = write(tmp)
		return failed
	}, record.RenameNew)
	if failed != nil {
		return failed
	}
	return handedTo(path, err)
}

// HandOutPage is HandOut for a page of HTML, which it seals. A page that is there
// is replaced if it was written by HandOutPage and nobody touched it since, or if
// it has no seal and begins with older, which is how such pages began before
// there were seals; "" is none.
func (j *Journal) HandOutPage(path string, page []byte, older string) error {
	if err := j.mayHold(filepath.Dir(path)); err != nil {
		return err
	}
	there, err := lies(path)
	if err != nil {
		return err
	}
	if !there {
		return handOut(path, seal(page), record.RenameNew)
	}
	old, err := readPage(path)
	if err != nil {
		return fmt.Errorf("%s is there already and cannot be read: nothing written: %w", path, err)
	}
	before := older != "" && len(old) <= maxPage && bytes.HasPrefix(old, []byte(older)) &&
		!bytes.Contains(old, []byte(sealBegins))
	if !sealed(old) && !before {
		return &AskError{What: path + " is there already, and is not as Rakelight wrote it: nothing written",
			Hint: another + ", or move that one away"}
	}
	return handOut(path, seal(page), record.Rename)
}

const another = "name another file"

// maxPage is more than any page that is handed out has; what is larger is
// somebody else's, whatever it says.
const maxPage = 16 << 20

func readPage(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, maxPage+1)) // a seal that is cut off does not fit
}

// lies reports whether an ordinary file lies there; what is no ordinary file is
// an AskError.
func lies(path string) (bool, error) {
	switch info, err := os.Lstat(path); {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, fmt.Errorf("nothing written: %w", err)
	case info.IsDir():
		return false, &AskError{What: path + " is a folder: nothing written", Hint: "name a file in it"}
	case info.Mode()&fs.ModeSymlink != 0:
		return false, &AskError{What: path + " is a link to something else: nothing written", Hint: another}
	case !info.Mode().IsRegular():
		return false, &AskError{What: path + " is no ordinary file: nothing written", Hint: another}
	}
	return true, nil
}

// handOut writes the file; a name taken meanwhile is taken.
func handOut(path string, data []byte, place func(from, to string) error) error {
	return handedTo(path, record.WriteBy(path, data, place))
}

// handedTo says what became of a file that was to be written.
func handedTo(path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrExist):
		return &AskError{What: path + " is there already: nothing written", Hint: another}
	case err != nil:
		return fmt.Errorf("%s was not written: %w", path, err)
	}
	return nil
}

// mayHold returns an AskError when nothing may be handed out into the folder.
func (j *Journal) mayHold(dir string) error {
	if dir == j.Path("pages") {
		if err := record.MakeDirs(dir); err != nil {
			return fmt.Errorf("nothing written: %w", err)
		}
	}
	switch info, err := os.Stat(dir); {
	case errors.Is(err, fs.ErrNotExist):
		return &AskError{What: fmt.Sprintf("there is no folder %s: nothing written", dir),
			Hint: "make the folder first, or name another"}
	case err != nil:
		return fmt.Errorf("nothing written: %w", err)
	case !info.IsDir():
		return &AskError{What: dir + " is not a folder: nothing written", Hint: "name a file in a folder"}
	}
	name, err := plan.KeptFolder(dir, j.Dir)
	if err != nil {
		return fmt.Errorf("nothing written: %w", err)
	}
	if name != "" {
		return &AskError{What: fmt.Sprintf("%s lies in the folder %s of a journal, which holds nothing but its own: nothing written",
			dir, name), Hint: "name a file outside of it"}
	}
	return nil
}

// A seal is the last line of a page: the SHA-256 of all before it. Whoever
// changes anything breaks it, so that the page is theirs from then on.
const (
	sealBegins = "<!-- written by Rakelight, sha256 "
	sealEnds   = " -->\n"
)

func seal(page []byte) []byte {
	sum := sha256.Sum256(page)
	return append(bytes.Clone(page), sealBegins+hex.EncodeToString(sum[:])+sealEnds...)
}

func sealed(page []byte) bool {
	at := len(page) - len(sealBegins) - 2*sha256.Size - len(sealEnds)
	return at >= 0 && bytes.Equal(page, seal(page[:at]))
}
