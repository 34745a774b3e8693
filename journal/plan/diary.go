// This file adds to the words of a day, which a person writes by hand.

package plan

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode/utf8"

	"rakelight/journal/disk"
	"rakelight/journal/record"
)

// ErrChanged says that a file was changed by somebody else while it was added to.
var ErrChanged = errors.New("somebody else wrote to it at the same moment: nothing written; say it again")

// diaryPatience is how long to wait for another process that adds to the diary: it
// takes milliseconds.
const diaryPatience = 10 * time.Second

// AddToDiary adds a paragraph to the words of a day of a build of the journal in a
// folder, and returns the file it stands in, below that folder. All that stands there stays byte
// for byte as it is; line ends are those the file has. After a crash the old file
// or the new one is there whole. A file that is no text, or was changed meanwhile,
// is left alone with an error.
func AddToDiary(dir, build, date, text string) (string, error) {
	rel := "builds/" + build + "/diary/" + date + ".md"
	unlock, err := record.Lock(filepath.Join(dir, ".cache", "diary.lock"), diaryPatience)
	if err != nil {
		return "", fmt.Errorf("%s: nothing written: %w", rel, err)
	}
	defer unlock()
	path := filepath.Join(dir, filepath.FromSlash(rel))
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real // the file itself, not the link to it
	}
	old, err := readDay(path)
	if err != nil {
		return "", fmt.Errorf("%s: %w: nothing written", rel, err)
	}
	words := withParagraph(old, text)
	if len(words) > maxProse {
		return "", fmt.Errorf("%s: it would have %d KB, and a text of more than %d KB is not read: nothing written",
			rel, len(words)>>10, maxProse>>10)
	}
	mode := fs.FileMode(0)
	if info, err := os.Stat(path); err == nil {
		if mode = info.Mode().Perm(); mode&0o200 == 0 {
			return "", fmt.Errorf("%s: it may be read only: nothing written", rel)
		}
	}
	if err := record.MakeDirs(filepath.Dir(path)); err != nil {
		return "", fmt.Errorf("%s: nothing written: %w", rel, err)
	}
	err = record.WriteBy(path, words, func(from, to string) error {
		// An editor may have saved since; what it wrote is not ours to write over.
		if now, err := readDay(path); err != nil || !bytes.Equal(now, old) {
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
		return "", fmt.Errorf("%s: %w", rel, err)
	}
	return rel, nil
}

// readDay reads a day's words as they are; a file that is not there is empty.
func readDay(path string) ([]byte, error) {
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

// withParagraph is a text with one paragraph more, in the line ends it has.
func withParagraph(old []byte, text string) []byte {
	end := "\n"
	if bytes.Contains(old, []byte("\r\n")) {
		end = "\r\n"
	}
	var lines []string
	for _, line := range strings.Split(strings.ReplaceAll(text, "\r\n", "\n"), "\n") {
		lines = append(lines, strings.TrimRight(line, " \t\r"))
	}
	out := bytes.Clone(old)
	if words := bytes.TrimSpace(bytes.TrimPrefix(old, []byte("\ufeff"))); len(words) > 0 {
		if !bytes.HasSuffix(out, []byte("\n")) {
			out = append(out, end...)
		}
		if !bytes.HasSuffix(out, []byte("\n"+end)) && !bytes.HasSuffix(out, []byte("\n\n")) {
			out = append(out, end...)
		}
	}
	return append(append(out, strings.Join(lines, end)...), end...)
}
