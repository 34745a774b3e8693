// This file opens a journal folder, makes a new one, and appends records.

package journal

import (
	"bytes"
	"crypto/rand"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	_ "time/tzdata" // zones must mean the same on a computer without a zone database
)

// Format is the version of the folder's layout that this program writes.
const Format = 1

// Errors callers tell apart.
var (
	ErrNoJournal   = errors.New("there is no journal here or in a folder above")
	ErrNewerFormat = errors.New("the journal was made by a newer rakelight; nothing was changed")
)

// Journal is an open journal folder. Its methods may be called from several
// goroutines; State is replaced, never changed.
type Journal struct {
	Dir   string
	State *State           // as of the last Reload or Append
	Now   func() time.Time // the clock records are stamped by

	mu      sync.Mutex
	plan    Plan
	records []Record
	torn    []Problem
	dev     string
}

// Find returns the journal folder that dir lies in: dir itself or the nearest
// folder above it that has a journal.toml.
func Find(dir string) (string, error) {
	full, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	for at := full; ; at = filepath.Dir(at) {
		if _, err := os.Stat(filepath.Join(at, "journal.toml")); err == nil {
			return at, nil
		}
		if at == filepath.Dir(at) {
			return "", fmt.Errorf("%s: %w", dir, ErrNoJournal)
		}
	}
}

// Open reads the journal that dir lies in. What cannot be read there comes
// back in State.Problems; an error means that nothing could be read at all.
func Open(dir string) (*Journal, error) {
	root, err := Find(dir)
	if err != nil {
		return nil, err
	}
	j := &Journal{Dir: root, Now: time.Now}
	return j, j.Reload()
}

// Path turns a name below the journal folder, with slashes, into a file path.
func (j *Journal) Path(slash string) string { return filepath.Join(j.Dir, filepath.FromSlash(slash)) }

// InboxDir is the folder photos are dropped into.
func (j *Journal) InboxDir() string { return filepath.Join(j.Dir, "inbox") }

// Reload reads everything again.
func (j *Journal) Reload() error {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.reload()
}

func (j *Journal) reload() error {
	plan, err := readPlan(j.Dir)
	if err != nil {
		return err
	}
	records, problems, err := readRecords(j.Dir)
	if err != nil {
		return err
	}
	j.plan, j.records, j.torn = plan, records, problems
	j.fold()
	return nil
}

func (j *Journal) fold() {
	plan := j.plan
	plan.Problems = append(slices.Clone(plan.Problems), j.torn...)
	j.State = Fold(plan, j.records)
}

// HasRecord reports whether a record of that id is in the journal.
func (j *Journal) HasRecord(id string) bool {
	j.mu.Lock()
	defer j.mu.Unlock()
	return slices.ContainsFunc(j.records, func(r Record) bool { return r.ID() == id })
}

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

// AppendAll writes records durably, all in one write, and folds them into
// State. On an error none of them counts as written.
func (j *Journal) AppendAll(add []New) ([]Record, error) {
	if len(add) == 0 {
		return nil, nil
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	unlock, err := lock(filepath.Join(j.Dir, ".cache", "lock"))
	if err != nil {
		return nil, err
	}
	defer unlock()
	if err := j.device(); err != nil {
		return nil, err
	}
	// Another process on this device may have written since: its records are
	// read first, so that numbers stay unique and times go forward.
	records, problems, err := readRecords(j.Dir)
	if err != nil {
		return nil, err
	}
	var seq int64
	at := j.Now().UTC().Truncate(time.Millisecond)
	for _, r := range records {
		if r.Dev == j.dev {
			seq = max(seq, r.Seq)
		}
	}
	var lines bytes.Buffer
	written := make([]Record, 0, len(add))
	for _, n := range add {
		body, err := json.Marshal(n.Body)
		if err != nil {
			return nil, err
		}
		seq++
		r := Record{At: at, Dev: j.dev, Seq: seq, Kind: n.Kind, Body: body}
		line, err := EncodeLine(r)
		if err != nil {
			return nil, err
		}
		lines.Write(line)
		lines.WriteByte('\n')
		written = append(written, r)
	}
	path := filepath.Join(j.Dir, "records", j.dev, at.Format("2006-01")+".jsonl")
	if err := appendLines(path, lines.Bytes()); err != nil {
		return nil, fmt.Errorf("the record was not written: %w", err)
	}
	j.records, j.torn = append(records, written...), problems
	j.fold()
	return written, nil
}

// device gives this computer a name in this journal. Each computer writes its
// own files, so that a sync client never has to merge.
func (j *Journal) device() error {
	if j.dev != "" {
		return nil
	}
	path := filepath.Join(j.Dir, ".cache", "device")
	if data, err := os.ReadFile(path); err == nil {
		if name := strings.TrimSpace(string(data)); name != "" && name == filepath.Base(name) && !strings.HasPrefix(name, ".") {
			j.dev = name
			return nil
		}
	}
	random := make([]byte, 2)
	if _, err := rand.Read(random); err != nil {
		return err
	}
	j.dev = "bench-" + hex.EncodeToString(random)
	return WriteFile(path, []byte(j.dev+"\n"))
}

// staleLock is when a lock is taken for left behind by a crash: appending
// takes milliseconds.
const staleLock = 10 * time.Second

// lock lets one process at a time append. It waits up to the time after which
// a lock counts as left behind.
func lock(path string) (unlock func(), err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, err
	}
	for {
		f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
		if err == nil {
			fmt.Fprintf(f, "%d\n", os.Getpid())
			f.Close()
			return func() { os.Remove(path) }, nil
		}
		if !errors.Is(err, fs.ErrExist) && !errors.Is(err, fs.ErrPermission) {
			return nil, err
		}
		if info, err := os.Stat(path); err == nil && time.Since(info.ModTime()) > staleLock {
			os.Remove(path)
			continue
		}
		time.Sleep(5 * time.Millisecond)
	}
}

// readRecords reads every records file of every device. Lines that cannot be
// read come back as problems; so do conflict copies, whose lines count too.
func readRecords(dir string) ([]Record, []Problem, error) {
	var records []Record
	var problems []Problem
	root := filepath.Join(dir, "records")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(d.Name(), ".jsonl") {
			if errors.Is(err, fs.ErrNotExist) {
				return nil
			}
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if _, err := time.Parse("2006-01.jsonl", d.Name()); err != nil {
			problems = append(problems, Problem{File: rel, What: "a copy made by a sync client: its records are counted, each once; keep it or merge it by hand"})
		}
		found, bad := DecodeFile(rel, data)
		records = append(records, found...)
		problems = append(problems, bad...)
		return nil
	})
	return records, problems, err
}

// DecodeFile reads the lines of one records file. A line that is torn or was
// changed is a Problem; the lines around it are read.
func DecodeFile(name string, data []byte) (records []Record, problems []Problem) {
	for i, line := range bytes.Split(data, []byte("\n")) {
		line = bytes.TrimSuffix(line, []byte("\r"))
		if len(line) == 0 {
			continue
		}
		r, err := DecodeLine(line)
		if err != nil {
			problems = append(problems, Problem{File: name, Line: i + 1, What: err.Error(), Text: string(line[:min(200, len(line))])})
			continue
		}
		records = append(records, r)
	}
	return records, problems
}
