// This file hands out several files into a folder a person names: a second time only
// those that were handed out before, and that nobody touched since, are replaced.

package journal

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rakelight/journal/disk"
	"rakelight/journal/plan"
	"rakelight/journal/record"
)

// handedOut is the list of what lies in such a folder by us: a line for each file, its
// SHA-256 and its name.
const handedOut = ".handed-out"

// Folder is a folder into which several files are handed out.
type Folder struct {
	dir      string
	was, now map[string]bool // lines of the list: of earlier times, and of this one
}

// HandOutFolder makes the folder where it is not there yet. It returns an AskError where
// nothing may be handed out there; see CanHandOut.
func (j *Journal) HandOutFolder(dir string) (*Folder, error) {
	name, err := plan.KeptFolder(dir, j.Dir)
	if err != nil {
		return nil, fmt.Errorf("nothing written: %w", err)
	}
	if name == "" {
		if err := record.MakeDirs(dir); err != nil {
			return nil, fmt.Errorf("nothing written: %w", err)
		}
	}
	if err := j.mayHold(dir); err != nil {
		return nil, err
	}
	f := &Folder{dir: dir, was: map[string]bool{}, now: map[string]bool{}}
	data, err := os.ReadFile(filepath.Join(dir, handedOut))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("nothing written: %w", err)
	}
	for line := range strings.Lines(string(data)) {
		if name := nameIn(line); name != "" && filepath.IsLocal(name) && filepath.Base(name) == name {
			f.was[strings.TrimSpace(line)] = true
		}
	}
	return f, nil
}

// lineOf is a file as the list has it, and nameIn the name in such a line.
func lineOf(name string, data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:]) + "  " + name
}

func nameIn(line string) string {
	_, name, _ := strings.Cut(strings.TrimSpace(line), "  ")
	return name
}

// Write writes a file of the folder. It returns an AskError where something lies there
// that this did not write, or that was changed since.
func (f *Folder) Write(name string, data []byte) error {
	path := filepath.Join(f.dir, name)
	there, err := lies(path)
	if err != nil {
		return err
	}
	place := record.RenameNew
	if there {
		old, err := os.ReadFile(path)
		if err != nil {
			return fmt.Errorf("%s is there already and cannot be read: not written: %w", path, err)
		}
		if line := lineOf(name, old); !f.was[line] && !f.now[line] {
			return &AskError{What: path + " is there already, and is not as Rakelight wrote it: not written",
				Hint: "name another folder, or move that file away"}
		}
		place = record.Rename
	}
	f.now[lineOf(name, data)] = true
	// The list first, so that a crash makes no stranger of what we wrote.
	if err := f.keep(f.was, f.now); err != nil {
		return err
	}
	return handOut(path, data, place)
}

// Close removes the files of an earlier time that were not written again, as far as
// nobody touched them, and leaves the list with the others.
func (f *Folder) Close() error {
	written := map[string]bool{}
	for line := range f.now {
		written[nameIn(line)] = true
	}
	for line := range f.was {
		name := nameIn(line)
		path := filepath.Join(f.dir, name)
		data, err := os.ReadFile(path)
		if written[name] || err != nil || lineOf(name, data) != line {
			continue
		}
		if err := disk.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s is of an earlier time and was not removed: %w", path, err)
		}
	}
	return f.keep(f.now)
}

// keep writes the list.
func (f *Folder) keep(lists ...map[string]bool) error {
	var lines []string
	for _, list := range lists {
		for line := range list {
			lines = append(lines, line+"\n")
		}
	}
	slices.Sort(lines)
	return record.WriteFile(filepath.Join(f.dir, handedOut), []byte(strings.Join(slices.Compact(lines), "")))
}
