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
	"strings"
	"time"
)

// New is a record to be appended.
type New struct {
	Kind string
	Body any
}

// Book is the records of a journal folder, as they were last read. Only one
// goroutine may use it at a time; other processes may append meanwhile.
type Book struct {
	Dir      string    // the journal folder
	Records  []Record  // of all devices, in no order
	Problems []Problem // what was wrong in the files

	files fileCache
	dev   string
}

// Read reads all files of all devices again.
func (b *Book) Read() error {
	b.files = nil // the person may have changed anything
	return b.look()
}

// look reads what changed since it was read.
func (b *Book) look() error {
	records, problems, err := readRecords(b.Dir, &b.files)
	if err != nil {
		return err
	}
	b.Records, b.Problems = records, problems
	return nil
}

// Append writes records durably, all in one write, numbered and stamped by the
// given clock, and returns them. On an error none of them counts as written.
func (b *Book) Append(now func() time.Time, add []New) ([]Record, error) {
	if len(add) == 0 {
		return nil, nil
	}
	unlock, err := lock(b.path(".cache/lock"))
	if err != nil {
		return nil, fmt.Errorf("the record was not written: %w", err)
	}
	defer unlock()
	if err := b.device(); err != nil {
		return nil, fmt.Errorf("the record was not written: %w", err)
	}
	// Another process on this device may have written since: its records are
	// read first, so that numbers stay unique and times go forward.
	if err := b.look(); err != nil {
		return nil, fmt.Errorf("the record was not written: %w", err)
	}
	written, lines, err := b.number(now(), add)
	if err != nil {
		return nil, err
	}
	rel := "records/" + b.dev + "/" + written[0].At.Format("2006-01") + ".jsonl"
	if err := appendLines(b.path(rel), lines); err != nil {
		return nil, fmt.Errorf("%s: the record was not written: %w", rel, err)
	}
	b.files.appended(b.path(rel), rel, written, lines)
	b.Records = append(b.Records, written...)
	return written, nil
}

func (b *Book) path(slash string) string { return filepath.Join(b.Dir, filepath.FromSlash(slash)) }

// number turns what is added into records and their lines. The number follows
// the highest of this device; the instant is now, but always after the
// device's last, because the order of the records is the order of their
// instants and a clock may be set back.
func (b *Book) number(now time.Time, add []New) ([]Record, []byte, error) {
	var seq int64
	var last time.Time
	for _, r := range b.Records {
		if r.Dev != b.dev {
			continue
		}
		seq = max(seq, r.Seq)
		if r.At.After(last) {
			last = r.At
		}
	}
	at := now.UTC().Truncate(time.Millisecond)
	var lines bytes.Buffer
	written := make([]Record, 0, len(add))
	for _, n := range add {
		if next := last.Add(time.Millisecond); !last.IsZero() && at.Before(next) {
			at = next.Truncate(time.Millisecond)
		}
		seq, last = seq+1, at
		body, err := json.Marshal(n.Body)
		if err != nil {
			return nil, nil, err
		}
		line, err := EncodeLine(Record{At: at, Dev: b.dev, Seq: seq, Kind: n.Kind, Body: body})
		if err != nil {
			return nil, nil, err
		}
		// Read back what was written, so that State never depends on which
		// process looks.
		r, err := DecodeLine(line)
		if err != nil {
			return nil, nil, err
		}
		lines.Write(line)
		lines.WriteByte('\n')
		written = append(written, r)
	}
	return written, lines.Bytes(), nil
}

// device gives this computer a name in this journal. Each computer writes its
// own files, so that a sync client never has to merge.
func (b *Book) device() error {
	if b.dev != "" {
		return nil
	}
	path := b.path(".cache/device")
	if data, err := os.ReadFile(path); err == nil {
		if name := strings.TrimSpace(string(data)); isDevice(name) {
			b.dev = name
			return nil
		}
	}
	random := make([]byte, 2)
	for {
		if _, err := rand.Read(random); err != nil {
			return err
		}
		name := "bench-" + hex.EncodeToString(random)
		// A folder of that name is another computer's.
		if _, err := os.Lstat(filepath.Join(b.Dir, "records", name)); err != nil {
			b.dev = name
			return WriteFile(path, []byte(name+"\n"))
		}
	}
}

// isDevice reports whether the name can be a folder on every system.
func isDevice(name string) bool {
	return name != "" && len(name) <= 64 && !strings.HasPrefix(name, ".") && strings.Trim(name,
		"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.") == "" && !strings.HasSuffix(name, ".")
}
