// This file holds the records of one journal folder: reads those of all
// devices, numbers new ones, stamps them and writes them under a lock.

package record

import (
	"bytes"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rakelight/journal/disk"
)

// New is a record to be appended.
type New struct {
	Kind string
	Body any
	Once string // id of what was said, "" = none (CheckOnce)
	Of   int    // so many that are added with it are one entry: all of them count or none (CutOff); 0 = it stands alone
}

// Book is the records of a journal folder, as they were last read. Only one
// goroutine may use it at a time; other processes may append meanwhile.
type Book struct {
	Dir      string    // the journal folder
	Records  []Record  // of all devices, in no order
	Problems []Problem // what was wrong in the files

	// Outside is a folder of the person's, outside all journals, for a second
	// mark of how far this device has come; "" = none.
	Outside string

	files   fileCache
	holes   []hole
	dev     string // of this computer, "" = not known yet
	cleared bool   // leftovers of crashes

	brief *Brief // Records are those that came since; nil = they are all
	doubt bool   // files of the brief are not what they were
}

// Read reads all files of all devices again.
func (b *Book) Read() error {
	b.files, b.brief, b.doubt = nil, nil, false // the person may have changed anything
	return b.readFiles()
}

// Refresh reads the files that changed since they were read, and reports whether
// any did.
func (b *Book) Refresh() (changed bool, err error) {
	before := b.files
	if err := b.readFiles(); err != nil {
		return false, err
	}
	return !sameFiles(before, b.files), nil
}

// Append writes records durably, all in one write, numbered and stamped by the
// given clock, and returns them. On an error none of them counts as written.
func (b *Book) Append(now func() time.Time, add []New) ([]Record, error) {
	if len(add) == 0 {
		return nil, nil
	}
	return b.AppendFrom(now, func() ([]New, error) { return add, nil })
}

// AppendFrom asks decide what to append and appends that. While it decides, no
// other process of this computer can write, and Records are as they stand; its
// error comes back as it is. Nothing to append is no error.
func (b *Book) AppendFrom(now func() time.Time, decide func() ([]New, error)) ([]Record, error) {
	unlock, err := b.begin()
	if err != nil {
		return nil, unwritten(err)
	}
	defer unlock()
	add, err := decide()
	if err != nil || len(add) == 0 {
		return nil, err
	}
	written, err := b.write(now(), add)
	if err != nil {
		return nil, unwritten(err)
	}
	return written, nil
}

func unwritten(err error) error { return fmt.Errorf("the record was not written: %w", err) }

// begin takes the lock and reads what other processes wrote since, so that
// numbers stay unique and the order goes forward.
func (b *Book) begin() (unlock func(), err error) {
	unlock, err = Lock(b.path(".cache/append.lock"), lockPatience)
	if err != nil {
		return nil, err
	}
	if err = waitForOlder(b.path(".cache/lock")); err == nil {
		b.clear()
		err = b.readFiles()
	}
	if err != nil {
		unlock()
		return nil, err
	}
	return unlock, nil
}

func (b *Book) write(now time.Time, add []New) ([]Record, error) {
	marks, top, err := b.next()
	if err != nil {
		return nil, err
	}
	written, lines, err := b.number(now, top, add)
	if err != nil {
		return nil, err
	}
	rel := "records/" + b.dev + "/" + written[0].At.Format("2006-01") + ".jsonl"
	if err := appendLines(b.path(rel), lines); err != nil {
		return nil, fmt.Errorf("%s: %w", rel, err)
	}
	b.files.appended(b.path(rel), rel, written, lines)
	b.Records = append(b.Records, written...)
	b.mark(marks)
	return written, nil
}

// Leftovers are files that a crash left behind, by their names below the journal
// folder. The pages and the photos have their own owners, who know when nobody
// writes there.
func (b *Book) Leftovers() []string {
	places := []string{marksDir, "builds", ".cache"}
	places = append(places, b.folders()...)
	top, err := filepath.Glob(b.path(leftoverPattern))
	for _, path := range top {
		if err == nil {
			places = append(places, filepath.Base(path))
		}
	}
	var names []string
	for _, place := range places {
		left, _ := Leftovers(b.path(place)) // what cannot be read keeps them
		for _, path := range left {
			if rel, err := filepath.Rel(b.Dir, path); err == nil {
				names = append(names, filepath.ToSlash(rel))
			}
		}
	}
	slices.Sort(names)
	return names
}

// clear removes what a crash left behind, once.
func (b *Book) clear() {
	if b.cleared {
		return
	}
	b.cleared = true
	for _, rel := range b.Leftovers() {
		disk.Remove(b.path(rel)) // what cannot be removed is told again
	}
}

func (b *Book) path(slash string) string { return filepath.Join(b.Dir, filepath.FromSlash(slash)) }

// next knows this computer's device and the highest number it has given out:
// that of a record, of a mark, or of a line that cannot be read any more.
func (b *Book) next() (marks map[string]Mark, top int64, err error) {
	for {
		if err := b.device(); err != nil {
			return nil, 0, err
		}
		marks = b.marks()
		if top = b.top(b.dev, marks[b.dev]); top < maxCount-1<<32 {
			return marks, top, nil
		}
		// Somebody's record has used up the numbers: go on by another name.
		b.dev = ""
		if err := disk.Remove(b.path(deviceFile)); err != nil {
			return nil, 0, err
		}
	}
}

// clockStep is by how much the clock may be set back before a record says so:
// until then it is dated right after the one before it.
const clockStep = time.Minute

// number turns what is added into records and their lines. The instant is now;
// a record stands behind all that this device has seen, by a tick where the
// instant alone would put it before one of them.
func (b *Book) number(now time.Time, seq int64, add []New) ([]Record, []byte, error) {
	last, own := b.last(), b.clock(b.dev)
	now = now.UTC().Truncate(time.Millisecond)
	var lines bytes.Buffer
	written := make([]Record, 0, len(add))
	for i, n := range add {
		at := now
		if behind := own.Sub(now); !own.IsZero() && behind >= 0 && behind < clockStep {
			at = own.Add(time.Millisecond).Truncate(time.Millisecond)
		}
		own, seq = at, seq+1
		body, err := json.Marshal(n.Body)
		if err != nil {
			return nil, nil, err
		}
		extra, err := members(n, i+1)
		if err != nil {
			return nil, nil, err
		}
		r := Record{At: at, Dev: b.dev, Seq: seq, Kind: n.Kind, Body: body, Extra: extra}
		line, err := EncodeLine(r.Behind(last))
		if err != nil {
			return nil, nil, err
		}
		// Read back what was written, so that State never depends on which
		// process looks.
		if r, err = DecodeLine(line); err != nil {
			return nil, nil, err
		}
		lines.Write(line)
		lines.WriteByte('\n')
		last = r
		written = append(written, r)
	}
	return written, lines.Bytes(), nil
}

// deviceFile holds the name of this computer in the journal.
const deviceFile = ".cache/device"

// known reads the name this computer has in this journal, if it has one.
func (b *Book) known() bool {
	if b.dev != "" {
		return true
	}
	data, err := os.ReadFile(b.path(deviceFile))
	if name := strings.TrimSpace(string(data)); err == nil && isDevice(name) {
		b.dev = name
	}
	return b.dev != ""
}

// device gives this computer a name in this journal. Each computer writes its
// own files, so that a sync program never has to merge.
func (b *Book) device() error {
	if b.known() {
		return nil
	}
	marks := b.marks()
	random := make([]byte, 4) // so that no two journals of a person have one in common
	for {
		if _, err := rand.Read(random); err != nil {
			return err
		}
		name := "bench-" + hex.EncodeToString(random)
		// A folder of that name is another computer's.
		if _, err := os.Lstat(filepath.Join(b.Dir, "records", name)); err != nil && marks[name].Seq == 0 {
			b.dev = name
			return WriteFile(b.path(deviceFile), []byte(name+"\n"))
		}
	}
}

// isDevice reports whether the name can be a folder on every system.
func isDevice(name string) bool {
	return name != "" && len(name) <= 64 && !strings.HasPrefix(name, ".") && strings.Trim(name,
		"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.") == "" && !strings.HasSuffix(name, ".")
}
