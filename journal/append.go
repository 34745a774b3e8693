// This file appends records: numbers them, stamps them and writes them under
// the journal's lock.

package journal

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

// Append writes one record durably and folds it into State.
func (j *Journal) Append(kind string, body any) (Record, error) {
	written, err := j.AppendAll([]New{{kind, body}})
	if err != nil {
		return Record{}, err
	}
	return written[0], nil
}

// foldsFresh is how long a state is taken for what is true now: what is running
// depends on the time that passed.
const foldsFresh = time.Minute

// AppendAll writes records durably, all in one write, and folds them into
// State. On an error none of them counts as written.
func (j *Journal) AppendAll(add []New) ([]Record, error) {
	if len(add) == 0 {
		return nil, nil
	}
	return j.AppendFrom(func(Look) ([]New, error) { return add, nil })
}

// AppendFrom asks decide what to append, and appends that durably, all in one
// write. decide sees the journal as it stands while no other process of this
// computer can write, and its error comes back as it is. It must not call the
// journal. Nothing to append is no error.
func (j *Journal) AppendFrom(decide func(Look) ([]New, error)) ([]Record, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	unlock, err := lock(j.Path(".cache/lock"))
	if err != nil {
		return nil, fmt.Errorf("the record was not written: %w", err)
	}
	defer unlock()
	if err := j.device(); err != nil {
		return nil, fmt.Errorf("the record was not written: %w", err)
	}
	// Another process on this device may have written since: its records are
	// read first, so that numbers stay unique and times go forward.
	records, problems, err := readRecords(j.Dir, &j.files)
	if err != nil {
		return nil, fmt.Errorf("the record was not written: %w", err)
	}
	if len(records) != len(j.records) || j.Now().Sub(j.folded) > foldsFresh {
		j.records, j.torn = records, problems
		j.fold()
	}
	now := j.look()
	now.Now = j.Now()
	add, err := decide(now)
	if err != nil || len(add) == 0 {
		return nil, err
	}
	written, lines, err := j.number(add, records)
	if err != nil {
		return nil, err
	}
	rel := "records/" + j.dev + "/" + written[0].At.Format("2006-01") + ".jsonl"
	if err := appendLines(j.Path(rel), lines); err != nil {
		return nil, fmt.Errorf("%s: the record was not written: %w", rel, err)
	}
	j.files.appended(j.Path(rel), rel, written, lines)
	j.records, j.torn = append(records, written...), problems
	j.fold()
	return written, nil
}

// number turns what is added into records and their lines. The number follows
// the highest of this device; the instant is now, but always after the
// device's last, because the order of the records is the order of their
// instants and a clock may be set back.
func (j *Journal) number(add []New, records []Record) ([]Record, []byte, error) {
	var seq int64
	var last time.Time
	for _, r := range records {
		if r.Dev != j.dev {
			continue
		}
		seq = max(seq, r.Seq)
		if r.At.After(last) {
			last = r.At
		}
	}
	at := j.Now().UTC().Truncate(time.Millisecond)
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
		line, err := EncodeLine(Record{At: at, Dev: j.dev, Seq: seq, Kind: n.Kind, Body: body})
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
func (j *Journal) device() error {
	if j.dev != "" {
		return nil
	}
	path := j.Path(".cache/device")
	if data, err := os.ReadFile(path); err == nil {
		if name := strings.TrimSpace(string(data)); isDevice(name) {
			j.dev = name
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
		if _, err := os.Lstat(filepath.Join(j.Dir, "records", name)); err != nil {
			j.dev = name
			return WriteFile(path, []byte(name+"\n"))
		}
	}
}

// isDevice reports whether the name can be a folder on every system.
func isDevice(name string) bool {
	return name != "" && len(name) <= 64 && !strings.HasPrefix(name, ".") && strings.Trim(name,
		"abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.") == "" && !strings.HasSuffix(name, ".")
}

// suppose is a record as it would be appended by a device of its own, after
// all others.
func suppose(kind string, body any, records []Record) (Record, error) {
	data, err := json.Marshal(body)
	if err != nil {
		return Record{}, err
	}
	const dev = "supposed"
	at, seq := time.Unix(0, 0).UTC(), int64(1)
	for _, r := range records {
		if !r.At.Before(at) {
			at = r.At.Add(time.Millisecond)
		}
		if r.Dev == dev {
			seq = r.Seq + 1
		}
	}
	return Record{At: at, Dev: dev, Seq: seq, Kind: kind, Body: data}, nil
}
