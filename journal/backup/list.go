// This file keeps, beside the copy, the list of what was copied: copied.jsonl, one JSON
// object a line. The first line tells what it is; each file has its hash and how it lay
// on both sides when it was verified; the latest line of a file counts. A run that was
// broken off has its lines there, so that the next goes on. Without the list nothing is
// lost but time: all files are read again.

package backup

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/record"
)

// entry is a line of the list.
type entry struct {
	Format int       `json:"format,omitempty"` // of the first line alone
	About  string    `json:"about,omitempty"`
	Ended  time.Time `json:"ended,omitzero"` // of the last line alone: when the copy was whole
	Files  int       `json:"files,omitempty"`
	Left   int       `json:"left,omitempty"`

	File  string `json:"file,omitempty"`
	Hash  string `json:"hash,omitempty"` // SHA-256 of the bytes, on both sides
	Size  int64  `json:"size,omitempty"`
	Here  int64  `json:"here,omitempty"`  // when the journal's file was changed, nanoseconds since 1970
	There int64  `json:"there,omitempty"` // when the copy's was
}

type list struct {
	path  string
	files map[string]entry
	f     disk.File
}

var listHead = entry{Format: 1, About: "the second copy of a journal, made by rakelight copy; what was copied and verified"}

// openList reads the list, and makes it if it is not there.
func openList(path string) (*list, error) {
	l := &list{path: path, files: map[string]entry{}}
	data, err := disk.ReadFile(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for line := range bytes.SplitSeq(data, []byte("\n")) {
		var e entry
		if json.Unmarshal(line, &e) == nil && e.File != "" { // a torn line only costs a look at its file
			l.files[e.File] = e
		}
	}
	if l.f, err = disk.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o644); err != nil {
		return nil, err
	}
	if len(data) == 0 {
		err = l.add(listHead)
	} else if data[len(data)-1] != '\n' {
		_, err = l.f.WriteString("\n")
	}
	if err != nil {
		l.close()
		return nil, err
	}
	return l, nil
}

func (l *list) close() { _ = l.f.Close() }

func (l *list) add(e entry) error {
	line, err := json.Marshal(e)
	if err != nil {
		return err
	}
	_, err = l.f.Write(append(line, '\n'))
	return err
}

// verified notes that a file lies in the copy, byte for byte.
func (l *list) verified(f file, hash, there string) error {
	info, err := os.Stat(there)
	if err != nil {
		return err
	}
	e := entry{File: f.rel, Hash: hash, Size: f.size, Here: f.at.UnixNano(), There: info.ModTime().UnixNano()}
	l.files[f.rel] = e
	return l.add(e)
}

// knows reports whether a file was verified and nobody has written to it since, on
// either side, as far as size and time tell.
func (l *list) knows(f file, there string) bool {
	e, ok := l.files[f.rel]
	if !ok || e.Size != f.size || e.Here != f.at.UnixNano() || f.hash != "" && e.Hash != f.hash {
		return false
	}
	info, err := os.Stat(there)
	return err == nil && info.Size() == e.Size && info.ModTime().UnixNano() == e.There
}

// end writes the list anew, each file once, and that the copy is whole.
func (l *list) end(c *Copied) error {
	if err := l.f.Close(); err != nil {
		return err
	}
	var all bytes.Buffer
	enc := json.NewEncoder(&all)
	if err := enc.Encode(listHead); err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(l.files)) {
		if err := enc.Encode(l.files[name]); err != nil {
			return err
		}
	}
	if err := enc.Encode(entry{Ended: c.At.UTC(), Files: c.Files, Left: len(c.Left)}); err != nil {
		return err
	}
	return record.WriteFile(l.path, all.Bytes())
}

// lastFile is where this computer notes the last copy it made.
const lastFile = ".cache/copied.json"

// Last is the last copy that this computer made, as far as .cache tells.
type Last struct {
	At    time.Time `json:"at"`
	To    string    `json:"to"` // the name of the folder, without where it lies
	Files int       `json:"files"`
	Left  int       `json:"left,omitempty"`
}

func note(j *journal.Journal, to string, c *Copied) error {
	data, err := json.Marshal(Last{c.At.UTC(), to, c.Files, len(c.Left)})
	if err != nil {
		return err
	}
	return record.WriteFile(filepath.Join(j.Dir, filepath.FromSlash(lastFile)), append(data, '\n'))
}

// LastOf is the last copy that this computer made of a journal; ok is false when none
// is known.
func LastOf(j *journal.Journal) (last Last, ok bool) {
	data, err := os.ReadFile(j.Path(lastFile))
	return last, err == nil && json.Unmarshal(data, &last) == nil && !last.At.IsZero()
}
