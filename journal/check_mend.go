// This file mends what can be mended without loss: what is left behind, doubled or can
// be made again from what is there. Everything else wants a good copy, or a person.

package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"

	"rakelight/journal/disk"
	"rakelight/journal/plan"
	"rakelight/journal/record"
)

// MendPlain mends what costs nothing, and says what it did, one finding a deed:
//
//   - temporary files of writes that were cut off an hour ago or more, in records,
//     marks, builds and .cache, are deleted: what they were to become is there whole,
//     as it was before or after;
//   - a copy of a file of records, as sync programs make them, is deleted where every
//     line of it stands, byte for byte, in the months' own files;
//   - this computer's file in marks, missing or behind, is written from its records,
//     as long as none of those is missing;
//   - a missing folder of the journal is made.
//
// What it could not do comes back as the error, after all the rest was done.
func (j *Journal) MendPlain() (done []Finding, err error) {
	unlock, err := record.Lock(j.Path(".cache/append.lock"), mendPatience)
	if err != nil {
		return nil, err
	}
	defer unlock()
	book := record.Book{Dir: j.Dir}
	if err := book.Read(); err != nil {
		return nil, err
	}
	var failed []error
	did := func(err error, kind, file, format string, args ...any) {
		if err != nil {
			failed = append(failed, fmt.Errorf("%s: %w", file, err))
			return
		}
		done = append(done, Finding{kind, file, 0, fmt.Sprintf(format, args...), false})
	}
	for _, folder := range plan.Folders() {
		if _, err := os.Stat(j.Path(folder)); errors.Is(err, fs.ErrNotExist) {
			did(record.MakeDirs(j.Path(folder)), OtherRemark, folder, "the folder was missing, and was made")
		}
	}
	for _, rel := range book.Leftovers() {
		did(disk.Remove(j.Path(rel)), Leftover, rel, "left by a write that was cut off; deleted")
	}
	doubled, err := j.doubled(book.Problems)
	failed = append(failed, err)
	for _, rel := range doubled {
		did(disk.Remove(j.Path(rel)), ConflictCopy, rel, "a copy, all of whose lines stand in the months' own files; deleted")
	}
	if len(book.Lost(nil)) == 0 && len(book.Problems) == len(doubled) {
		rel, err := book.MarkAgain()
		if rel != "" || err != nil {
			did(err, OtherRemark, rel, "how many records each device wrote was not noted there; written from the records")
		}
	}
	for _, one := range failed {
		if err == nil {
			err = one
		} else {
			err = fmt.Errorf("%w; %w", err, one)
		}
	}
	return done, err
}

// mendPatience is how long to wait for another process that appends a record.
const mendPatience = intakePatience / 20

// doubled are the copies of files of records all of whose lines stand in the months'
// own files. One with a line of any other kind is kept.
func (j *Journal) doubled(problems []Problem) (names []string, err error) {
	var copies []string
	for _, p := range problems {
		if p.Kind == ConflictCopy && !strings.HasSuffix(p.File, ".md") {
			copies = append(copies, p.File)
		}
	}
	if len(copies) == 0 {
		return nil, nil
	}
	own, err := record.Files(j.Dir)
	if err != nil {
		return nil, err
	}
	lines := map[string]bool{"": true}
	for _, rel := range own {
		if slices.Contains(copies, rel) {
			continue // in another device's folder
		}
		data, err := os.ReadFile(j.Path(rel))
		if err != nil {
			return nil, err
		}
		for line := range strings.SplitSeq(string(data), "\n") {
			lines[line] = true
		}
	}
	for _, rel := range copies {
		info, err := os.Lstat(j.Path(rel))
		if err != nil || !info.Mode().IsRegular() {
			continue
		}
		data, err := os.ReadFile(j.Path(rel))
		if err != nil {
			return nil, err
		}
		all := len(data) > 0
		for line := range strings.SplitSeq(string(data), "\n") {
			all = all && lines[line]
		}
		if all {
			names = append(names, rel)
		}
	}
	return names, nil
}
