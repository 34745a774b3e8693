// This file copies the bytes of one file, and reads them back before they get its name.

package backup

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/metrics"
	"rakelight/journal/record"
)

// errOther says that the bytes are not those that the record tells.
var errOther = errors.New("its bytes are not those it was taken in with")

// takePlain copies a file whose bytes are what they are: an original, words, a file of
// the inbox.
func (c *copying) takePlain(f file) error {
	if known := c.list.files[f.rel]; f.hash == "" && strings.HasPrefix(f.rel, "photos/") {
		f.hash = known.Hash // originals never change, also where the record cannot be read
	}
	there := c.there(f.rel)
	got, err := journal.HashFile(there)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return c.write(f)
	case err != nil:
		return err
	}
	here, err := journal.HashFile(f.from)
	switch {
	case err != nil:
		return &hereError{err}
	case f.hash != "" && here != f.hash && got == f.hash:
		c.left(f.rel, "it is damaged in the journal, and whole in the copy: rakelight check --from puts it right")
		return nil
	case f.hash != "" && here != f.hash:
		return c.keepDamaged(f)
	case here == got:
		c.out.Compared++
		c.held(f)
		return c.list.verified(f, here, there)
	}
	if err := c.putAside(f.rel); err != nil {
		return err
	}
	return c.write(f)
}

// write copies a file to where none is.
func (c *copying) write(f file) error {
	hash, err := place(f.from, c.there(f.rel), f.hash, f.at)
	if errors.Is(err, errOther) {
		return c.keepDamaged(f)
	}
	if err != nil {
		return err
	}
	c.out.Written++
	c.held(f)
	return c.list.verified(f, hash, c.there(f.rel))
}

// keepDamaged copies the damaged bytes of an original of which the copy has no good
// ones: they may be all that is left of it.
func (c *copying) keepDamaged(f file) error {
	c.left(f.rel, "it is damaged in the journal, and the copy has no good one: its bytes go to "+damagedDir+" there")
	to := c.there(damagedDir + "/" + f.rel)
	if _, err := os.Lstat(to); err == nil {
		return nil
	}
	_, err := place(f.from, to, "", f.at)
	return err
}

// place copies a file durably to a new name and returns the SHA-256 of its bytes. They
// are read back before they get the name, and never take another file's. With a hash
// other bytes are errOther.
func place(from, to, want string, at time.Time) (string, error) {
	in, err := disk.Open(from)
	if err != nil {
		return "", &hereError{err}
	}
	defer in.Close()
	dir := filepath.Dir(to)
	if err := record.MakeDirs(dir); err != nil {
		return "", err
	}
	tmp, err := disk.CreateTemp(dir, ".rakelight-*.tmp")
	if err != nil {
		return "", err
	}
	defer disk.Remove(tmp.Name()) // gone already when all went well
	sum := sha256.New()
	_, err = io.Copy(tmp, io.TeeReader(&reading{in}, sum))
	if err := errors.Join(err, tmp.Sync(), tmp.Close()); err != nil {
		return "", err
	}
	hash := hex.EncodeToString(sum.Sum(nil))
	if want != "" && hash != want {
		return "", errOther
	}
	back, err := journal.HashFile(tmp.Name())
	switch {
	case err != nil:
		return "", err
	case back != hash:
		return "", fmt.Errorf("it reads back as other bytes than were written; the disk of the copy may be failing")
	}
	if err := disk.Chmod(tmp.Name(), 0o644); err != nil {
		return "", err
	}
	// The time of a file in the inbox may be all that tells when a photo was taken.
	if err := disk.Chtimes(tmp.Name(), at, at); err != nil {
		return "", err
	}
	if err := record.RenameNew(tmp.Name(), to); err != nil {
		return "", err
	}
	return hash, record.SyncDir(dir)
}

// reading marks the failures of the journal's side.
type reading struct{ r io.Reader }

func (r *reading) Read(p []byte) (int, error) {
	n, err := r.r.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		err = &hereError{err}
	}
	return n, err
}

// takeRecords copies a file of records, as far as it went when the copy began.
func (c *copying) takeRecords(f file) error {
	here, err := readUpTo(f.from, f.size)
	if err != nil {
		return &hereError{err}
	}
	mine, problems := record.DecodeFile(f.rel, here)
	if len(problems) > 0 {
		c.remark(f.rel, fmt.Sprintf("%s cannot be read in the journal, the first is line %d; rakelight check tells more",
			metrics.Count(len(problems), "line"), problems[0].Line))
	}
	there, err := disk.ReadFile(c.there(f.rel))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return c.writeRecords(f, here)
	case err != nil:
		return err
	case bytes.Equal(here, there):
		c.out.Compared++
		c.held(f)
		return c.list.verified(f, sumOf(here), c.there(f.rel))
	case bytes.HasPrefix(here, there): // it grew
		return c.writeRecords(f, here)
	}
	theirs, _ := record.DecodeFile(f.rel, there)
	if n := len(beside(theirs, mine)); n > 0 {
		c.left(f.rel, fmt.Sprintf("%s of it in the copy and not in the journal: rakelight check --from brings back what is missing",
			metrics.Count(n, "record")))
		if len(beside(mine, theirs)) == 0 {
			return nil
		}
		return c.writeBeside(f.rel, here, mine)
	}
	if err := c.putAside(f.rel); err != nil {
		return err
	}
	return c.writeRecords(f, here)
}

// writeBeside writes records beside those that are in the copy alone: all files of
// records are read, so both count there.
func (c *copying) writeBeside(rel string, data []byte, records []record.Record) error {
	name := strings.TrimSuffix(rel, ".jsonl")
	to := c.there(name + ".other.jsonl")
	if old, err := disk.ReadFile(to); err == nil {
		if theirs, _ := record.DecodeFile(rel, old); len(beside(theirs, records)) > 0 {
			to = c.there(name + "." + c.out.At.UTC().Format("20060102-150405") + ".jsonl")
		}
	}
	return writeBack(to, data)
}

// writeRecords writes what holds all records that are there.
func (c *copying) writeRecords(f file, data []byte) error {
	if err := writeBack(c.there(f.rel), data); err != nil {
		return err
	}
	c.out.Written++
	c.held(f)
	return c.list.verified(f, sumOf(data), c.there(f.rel))
}

// takeMarks copies how far devices had come, unless the copy knows of more.
func (c *copying) takeMarks(f file) error {
	here, err := readUpTo(f.from, f.size)
	if err != nil {
		return &hereError{err}
	}
	there, err := disk.ReadFile(c.there(f.rel))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	var mine, theirs map[string]record.Mark
	if json.Unmarshal(there, &theirs) == nil && json.Unmarshal(here, &mine) == nil {
		for dev, m := range theirs {
			if m.Seq > mine[dev].Seq {
				c.remark(f.rel, fmt.Sprintf("the copy knows of more records of %s than the journal does", dev))
				return nil
			}
		}
	}
	if bytes.Equal(here, there) {
		c.out.Compared++
		c.held(f)
		return c.list.verified(f, sumOf(here), c.there(f.rel))
	}
	return c.writeRecords(f, here)
}

// writeBack replaces a file durably, after its bytes were read back.
func writeBack(path string, data []byte) error {
	if err := record.MakeDirs(filepath.Dir(path)); err != nil {
		return err
	}
	return record.WriteBy(path, data, func(from, to string) error {
		if got, err := disk.ReadFile(from); err != nil || !bytes.Equal(got, data) {
			return errors.Join(errors.New("it reads back as other bytes than were written; the disk may be failing"), err)
		}
		return record.Rename(from, to)
	})
}

// beside are the records among some that are not among others.
func beside(some, others []record.Record) (only []record.Record) {
	known := map[string]bool{}
	for _, r := range others {
		known[r.ID()+"#"+r.Sum()] = true
	}
	for _, r := range some {
		if !known[r.ID()+"#"+r.Sum()] {
			only = append(only, r)
		}
	}
	return only
}

func readUpTo(path string, size int64) ([]byte, error) {
	f, err := disk.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, size))
}

func sumOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
