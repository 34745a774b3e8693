// Package backup makes a second copy of a journal, verified file by file, and puts
// a journal right from such a copy. Start with Copy and Repair.
//
// What a copy holds:
//
//   - All of the journal folder but what is made anew or is on its way out: pages,
//     .cache, inbox/.leaving, inbox/.coming, temporary files, and names at the top that
//     begin with a dot. Links are followed to files, never to folders, but for the folders at the
//     top, which may lie on another disk.
//   - Photos first, records behind them, journal.toml last: a copy that was broken off
//     never names what it does not hold, and opens as a journal once it is whole.
//   - Of the records, what was written when the copy began; they may grow meanwhile.
//   - What the copy held before and differs is moved to its folder earlier, under the
//     moment of the run. Nothing is deleted there. A records file that only grew and a
//     mark that only went on are written anew, since the new bytes hold the old.
//   - An original whose bytes are not those of its record is never laid over a good
//     one: it goes to the folder damaged if the copy has none.
package backup

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"golang.org/x/text/unicode/norm"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/plan"
	"rakelight/journal/record"
)

// The names a copy has beside those of the journal.
const (
	listFile   = "copied.jsonl" // what was copied, see list.go
	earlierDir = "earlier"      // what was there before and differs
	damagedDir = "damaged"      // originals that are damaged in the journal
)

// lockPatience is how long to wait for another process that appends a record.
const lockPatience = 30 * time.Second

// Left is a file that something is to be told of.
type Left struct{ File, Why string }

// Copied is what came of a copy.
type Copied struct {
	At       time.Time
	Files    int   // of the journal, that are in the copy, verified now or before
	Bytes    int64 // of those
	Written  int   // copied now and read back
	Compared int   // were there, and were read on both sides now
	Known    int   // were verified before, and have the size and the time they had then
	Kept     []string
	Left     []Left // not in the copy as they should be
	Remarks  []Left // in the copy, with something to tell
}

// Options say how to copy.
type Options struct {
	Verify bool                  // read all files again, also those that were verified before
	Report func(done, total int) // of files; may be nil
}

// Copy makes or goes on with the copy of a journal in dest. A *journal.AskError says
// why it cannot be made there. On another error the copy is not finished, and the next
// run goes on with it; nothing half written bears a file's name.
func Copy(ctx context.Context, j *journal.Journal, dest string, o Options) (*Copied, error) {
	dest, err := filepath.Abs(dest)
	if err != nil {
		return nil, err
	}
	if err := mayCopyTo(j, dest); err != nil {
		return nil, err
	}
	if err := record.MakeDirs(dest); err != nil {
		return nil, err
	}
	unlock, err := record.Lock(filepath.Join(dest, ".cache", "copy.lock"), 0)
	if errors.Is(err, record.ErrHeld) {
		return nil, fmt.Errorf("%s is being copied to by another process; this one stays away", dest)
	} else if err != nil {
		return nil, err
	}
	defer unlock()
	record.ClearLeftovers(dest)
	c := &copying{j: j, dest: dest, verify: o.Verify, out: &Copied{At: j.Now()}, names: map[string]string{}}
	if c.list, err = openList(filepath.Join(dest, listFile)); err != nil {
		return nil, err
	}
	defer c.list.close()
	files, err := c.files()
	if err != nil {
		return nil, err
	}
	for _, folder := range plan.Folders() { // the copy is a journal, also of what holds nothing yet
		if err := record.MakeDirs(c.there(folder)); err != nil {
			return nil, err
		}
	}
	for i, f := range files {
		if err := ctx.Err(); err != nil {
			return c.out, err
		}
		if o.Report != nil {
			o.Report(i, len(files))
		}
		if err := c.take(f); err != nil {
			return c.out, err
		}
	}
	if err := c.list.end(c.out); err != nil {
		return c.out, err
	}
	return c.out, note(j, filepath.Base(dest), c.out)
}

// copying is a copy in the making.
type copying struct {
	j      *journal.Journal
	dest   string
	verify bool
	list   *list
	names  map[string]string // files met so far, by their names without case, letters composed
	out    *Copied
}

// file is one of the journal's.
type file struct {
	rel  string // below the journal folder, slashes
	from string // where it lies
	size int64
	at   time.Time // when it was changed
	hash string    // that its record tells, "" = no record does
	kind kind
}

type kind int

const (
	plain kind = iota
	recordsFile
	marksFile
)

// take copies one file and looks whether it is there. What is wrong with the file
// alone is told in the outcome; an error ends the copy.
func (c *copying) take(f file) error {
	if _, err := os.Stat(c.list.path); err != nil { // a stick that was pulled is not made anew as a folder
		return fmt.Errorf("the folder of the copy is not there any more: %w", err)
	}
	key := strings.ToLower(norm.NFC.String(f.rel))
	if other, met := c.names[key]; met && sameFile(c.there(other), c.there(f.rel)) {
		c.left(f.rel, fmt.Sprintf("the disk of the copy takes its name and %s for one", other))
		return nil
	}
	c.names[key] = f.rel
	if info, err := os.Lstat(c.there(f.rel)); err == nil && !info.Mode().IsRegular() {
		c.left(f.rel, "something that is no ordinary file lies in its place in the copy; move it away")
		return nil
	}
	var err error
	switch {
	case !c.verify && c.list.knows(f, c.there(f.rel)):
		c.out.Known++
		c.held(f)
		return nil
	case f.kind == recordsFile:
		err = c.takeRecords(f)
	case f.kind == marksFile:
		err = c.takeMarks(f)
	default:
		err = c.takePlain(f)
	}
	var here *hereError
	if errors.As(err, &here) {
		if _, gone := os.Stat(c.j.Path("journal.toml")); gone != nil {
			return fmt.Errorf("the journal is not there any more: %w", gone)
		}
		c.left(f.rel, here.Error())
		return nil
	}
	if err == nil {
		return nil
	}
	// Does the copy's disk take anything at all?
	if probed := c.probe(f.size); probed != nil {
		return probed
	}
	c.left(f.rel, err.Error())
	return nil
}

// probe writes as much as a file that failed, and removes it.
func (c *copying) probe(size int64) (err error) {
	tmp, err := disk.CreateTemp(c.dest, ".rakelight-*.tmp")
	if err != nil {
		return err
	}
	defer disk.Remove(tmp.Name())
	block := make([]byte, 64<<10)
	for left := size + int64(len(block)); left > 0 && err == nil; left -= int64(len(block)) {
		_, err = tmp.Write(block)
	}
	return errors.Join(err, tmp.Sync(), tmp.Close())
}

// hereError is a failure on the journal's side.
type hereError struct{ error }

func (e *hereError) Unwrap() error { return e.error }

func (c *copying) there(rel string) string { return filepath.Join(c.dest, filepath.FromSlash(rel)) }

func (c *copying) held(f file) { c.out.Files, c.out.Bytes = c.out.Files+1, c.out.Bytes+f.size }

func (c *copying) left(file, why string) { c.out.Left = append(c.out.Left, Left{file, why}) }

func (c *copying) remark(file, why string) { c.out.Remarks = append(c.out.Remarks, Left{file, why}) }

// putAside moves what the copy holds under a name to its folder of earlier files.
func (c *copying) putAside(rel string) error {
	to := earlierDir + "/" + c.out.At.UTC().Format("20060102-150405") + "/" + rel
	if err := record.MakeDirs(filepath.Dir(c.there(to))); err != nil {
		return err
	}
	if _, err := os.Lstat(c.there(to)); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s lies there already", c.there(to))
	}
	if err := record.Rename(c.there(rel), c.there(to)); err != nil {
		return err
	}
	c.out.Kept = append(c.out.Kept, to)
	return record.SyncDir(filepath.Dir(c.there(to)))
}

func sameFile(a, b string) bool {
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}
