// This file opens a journal folder and reads it again.

package journal

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
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
	bench  bool // photos are read when they are asked for
	plan   Plan
	stamps map[string]plan.Stamp // of plan; nil = they could not be told
	book   record.Book
	bodies photoCache
	folded time.Time // the moment State is as of
	stood  standing  // State, with what has to be known to go on from it
	gone   int       // so many of the book's records State was folded from
	index  index
	all    *record.Book // with all records, while book is brief
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
func OpenAt(dir string, now func() time.Time) (*Journal, error) { return open(dir, now, false) }

// OpenBench is OpenAt for what is said at the bench, of sessions and not of photos:
// the list of photos may be nil, while all that State answers is answered.
func OpenBench(dir string, now func() time.Time) (*Journal, error) { return open(dir, now, true) }

func open(dir string, now func() time.Time, bench bool) (*Journal, error) {
	root, err := Find(dir)
	if err != nil {
		return nil, err
	}
	j := &Journal{Dir: root, Now: now, bench: bench, book: record.Book{Dir: root}}
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

// CatchUp reads what changed since the journal was read. Where nothing that is written
// by hand did, State goes on from where it stands, and what nobody touched stays the
// same value.
func (j *Journal) CatchUp() error {
	j.mu.Lock()
	byHand := j.stamps == nil || !plan.Unchanged(j.Dir, j.stamps)
	j.mu.Unlock()
	if !byHand {
		if _, err := j.AppendFrom(func(Look) ([]Body, error) { return nil, nil }); err == nil {
			return nil
		}
	}
	return j.Reload() // also where nothing can be locked
}

func (j *Journal) reload() error {
	j.bodies = photoCache{} // the person may have changed anything
	brief, planned, ok := j.index.read(j.Dir, j.Now(), j.bench)
	if !ok {
		j.index.forget()
	}
	if ok && j.book.Resume(brief) {
		j.plan, j.stamps, j.stood, j.gone = j.index.plan, j.index.stamps, j.index.stood, 0
		j.State, j.folded = j.stood.state, j.Now()
		if j.bench {
			parts := index{dir: j.index.dir, parts: j.index.parts}
			j.State.later.near = parts.photos
			j.State.later.read = func() []*Photo { return j.photosLater(&parts) }
		}
		if !planned {
			return j.replan()
		}
		if j.goOn() {
			return nil
		}
	}
	return j.readAll()
}

// replan reads what is written by hand, where that changed. The words of days and of
// builds change nothing but themselves; all else is folded anew.
func (j *Journal) replan() error {
	written, stamps, err := j.readPlan()
	if err != nil {
		return err
	}
	same := func(p Plan) Plan {
		p.Diary, p.Builds = nil, withoutWords(p.Builds)
		return p
	}
	if !j.book.IsBrief() || !reflect.DeepEqual(same(written), same(j.plan)) {
		return j.readAll()
	}
	next := *j.stood.state
	next.reckoned = &reckoned{}
	next.Diary, next.Builds = sortedDiary(written.Diary), withWordsOf(next.Builds, written.Builds)
	next.sortBuilds()
	j.plan, j.stamps, j.stood.state, j.State = written, stamps, &next, &next
	if err := j.fold(); err != nil {
		return err
	}
	j.keepIndex()
	return nil
}

// withoutWords are builds without what stands below their front matter.
func withoutWords(builds []*Build) []*Build {
	out := make([]*Build, len(builds))
	for i, b := range builds {
		one := *b
		one.Body, one.Checklist = "", nil
		out[i] = &one
	}
	return out
}

// withWordsOf are builds with the words that those of the same ids have.
func withWordsOf(builds, written []*Build) []*Build {
	words := map[string]*Build{}
	for _, b := range written {
		words[b.ID] = b
	}
	out := slices.Clone(builds)
	for i, b := range builds {
		if w := words[b.ID]; w != nil && (w.Body != b.Body || !slices.Equal(w.Checklist, b.Checklist)) {
			one := *b
			one.Body, one.Checklist = w.Body, w.Checklist
			out[i] = &one
		}
	}
	return out
}

// readPlan reads what is written by hand. The stamps are nil when somebody writes
// there now.
func (j *Journal) readPlan() (Plan, map[string]plan.Stamp, error) {
	stamps, told := plan.Stamps(j.Dir, time.Now())
	written, err := plan.Read(j.Dir)
	if err != nil || !told || !plan.Unchanged(j.Dir, stamps) {
		stamps = nil
	}
	return written, stamps, err
}

// photosLater are the photos of a state that was read without them; where they are
// not in the index any more, those that the records tell.
func (j *Journal) photosLater(parts *index) []*Photo {
	if all, ok := parts.photos(""); ok {
		return all
	}
	written, err := plan.Read(j.Dir)
	book := record.Book{Dir: j.Dir}
	if err != nil || book.Read() != nil {
		return nil // reading the journal the next time says why
	}
	written.Now = j.folded
	return Fold(written, book.Records).Photos
}

// readAll reads all files, and folds all records.
func (j *Journal) readAll() error {
	written, stamps, err := j.readPlan()
	if err != nil {
		return err
	}
	if err := j.book.Read(); err != nil {
		return err
	}
	j.plan, j.stamps = written, stamps
	j.foldAll()
	return nil
}

// stale reports whether State may be another one by now than it was.
func (j *Journal) stale() bool {
	return j.book.Doubtful() || len(j.book.Records) != j.gone || !j.stood.ground.holdsAt(j.Now())
}

// fold brings State up to the records: from where it stands if that can be, else
// from all of them. On an error the state stays as it was.
func (j *Journal) fold() error {
	if j.book.IsBrief() {
		if j.goOn() {
			return nil
		}
		if err := j.book.Read(); err != nil {
			return err
		}
	}
	j.foldAll()
	return nil
}

// goOn goes on from the state with the records that came since, and is false where
// all have to be folded.
func (j *Journal) goOn() bool {
	if j.book.Doubtful() {
		return false
	}
	last := j.stood.ground.Last
	var add []Record
	for _, r := range j.book.Records {
		if last.Seq == 0 || record.Compare(last, r) < 0 {
			add = append(add, r)
		}
	}
	if len(add) != len(j.book.Records)-j.gone {
		return false // one came late, and stands before others
	}
	slices.SortFunc(add, record.Compare)
	now := j.plan
	now.Now = j.Now()
	before := j.State
	j.stood.records = j.records
	next, ok := j.stood.advance(now, add)
	if !ok {
		return false
	}
	j.stood, j.State, j.folded, j.gone = next, next.state, j.Now(), len(j.book.Records)
	if j.State != before {
		j.keepIndex()
	}
	return true
}

// foldAll folds all records.
func (j *Journal) foldAll() {
	j.folded, j.gone = j.Now(), len(j.book.Records)
	if j.bodies == nil || len(j.bodies) > 2*len(j.book.Records) {
		j.bodies = photoCache{} // most of it is of files read again since
	}
	l := j.look()
	l.plan.Now = j.folded
	f := foldAll(passes, l.plan, j.book.Records, j.bodies)
	j.stood, j.State = standing{f.state, f.ground, nil}, f.state
	j.index.at = time.Time{} // what comes next goes on from here, and folds nothing again
	j.keepIndex()
}

// indexEvery is how often a process that lives on writes the index, at most: who
// takes a thousand photos in need not write it a thousand times, and what came
// since is read from the records.
const indexEvery = 5 * time.Second

// keepIndex writes the index, and lets go of the records it stands for.
func (j *Journal) keepIndex() {
	now := time.Now() // files have the system's time
	if j.stamps == nil || j.gone != len(j.book.Records) ||
		!j.index.at.IsZero() && now.Sub(j.index.at).Abs() < indexEvery {
		return
	}
	brief, ok := j.book.Brief(now)
	if ok && j.index.write(j.plan, j.stood, j.stamps, brief, now) {
		j.book.Rest(brief)
		j.gone, j.bodies = 0, photoCache{}
	}
}

// whole is the book with all its records.
func (j *Journal) whole() (*record.Book, error) {
	if !j.book.IsBrief() {
		return &j.book, nil
	}
	if j.all == nil {
		j.all = &record.Book{Dir: j.Dir}
	}
	j.all.Outside = j.book.Outside
	_, err := j.all.Refresh()
	return j.all, err
}

// records are all records. Those that cannot be read any more are none: who reads
// the journal next is told why.
func (j *Journal) records() []Record {
	book, err := j.whole()
	if err != nil {
		return nil
	}
	return book.Records
}
