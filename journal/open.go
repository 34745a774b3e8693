// This file opens a journal folder and reads it again.

package journal

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"rakelight/journal/plan"
	"rakelight/journal/record"

	_ "time/tzdata" // zones must mean the same on a computer without a zone database
)

// ErrNoJournal is the error where no journal is.
var ErrNoJournal = errors.New("there is no journal here or in a folder above")

// Journal is an open journal folder. Its methods may be called from several
// goroutines; State is replaced, never changed.
type Journal struct {
	Dir   string
	State *State           // as of the last Reload or Append
	Now   func() time.Time // the clock records are stamped by

	mu     sync.Mutex
	plan   Plan
	book   record.Book
	bodies photoCache
	folded time.Time // the moment State is as of
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
func Open(dir string) (*Journal, error) { return OpenAt(dir, time.Now) }

// OpenAt is Open by another clock.
func OpenAt(dir string, now func() time.Time) (*Journal, error) {
	root, err := Find(dir)
	if err != nil {
		return nil, err
	}
	j := &Journal{Dir: root, Now: now, book: record.Book{Dir: root}}
	return j, j.Reload()
}

// MarkIn names a folder outside all journals in which each append also notes how
// far this computer has come, so that Check notices when the whole journal is
// replaced by an older copy; "" = none.
func (j *Journal) MarkIn(dir string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.book.Outside = dir
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
	j.bodies = photoCache{} // the person may have changed anything
	written, err := plan.Read(j.Dir)
	if err != nil {
		return err
	}
	if err := j.book.Read(); err != nil {
		return err
	}
	j.plan = written
	j.fold()
	return nil
}

func (j *Journal) fold() {
	j.folded = j.Now()
	if j.bodies == nil || len(j.bodies) > 2*len(j.book.Records) {
		j.bodies = photoCache{} // most of it is of files read again since
	}
	l := j.look()
	l.plan.Now = l.Now
	j.State = foldWith(l.plan, l.records, l.bodies)
}
