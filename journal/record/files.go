// This file reads the records files of all devices. Whatever a sync program or
// a crash did to them, each line that is whole is read, and each that is not
// is reported.

package record

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rakelight/journal/disk"
)

// fileCache remembers records files that did not change since they were read,
// by their name below the journal folder, so that an append does not read a
// journal of many years again.
type fileCache map[string]cachedFile

type cachedFile struct {
	size     int64
	modified time.Time
	changed  int64 // as Changed
	records  []Record
	problems []Problem
	holes    []hole
	copied   bool // it is no month's own file

	read int64  // so many bytes of it were read here; the others were written here
	sum  string // checksum of those, "" = of a brief that has none

	isBrief bool      // records are only those that came after a brief
	brief   BriefFile // then
	unsure  bool      // nobody looked at the file since
}

// appended notes what this process itself added to a file. If anything else
// changed the file, its size tells, and the file is read again.
func (c fileCache) appended(path, rel string, added []Record, lines []byte) {
	info, err := os.Stat(path)
	old, known := c[rel]
	if err != nil || info.Size() != old.size+int64(len(lines)) || !known && old.size != 0 || len(old.holes) > 0 {
		delete(c, rel)
		return
	}
	if !known {
		old.sum = sumOf(nil)
	}
	old.size, old.modified, old.changed = info.Size(), info.ModTime(), Changed(info)
	old.records = append(old.records[:len(old.records):len(old.records)], added...)
	c[rel] = old
}

// isStill reports whether the file is as it was when it was read.
func (f cachedFile) isStill(info fs.FileInfo) bool {
	return f.size == info.Size() && f.modified.Equal(info.ModTime()) && f.changed == Changed(info)
}

func sameFiles(a, b fileCache) bool {
	return maps.EqualFunc(a, b, func(one, other cachedFile) bool {
		return one.size == other.size && one.modified.Equal(other.modified) && one.changed == other.changed
	})
}

// readFiles reads every records file of every device into the book. Lines that
// cannot be read come back as problems; so do copies, whose lines count too.
func (b *Book) readFiles() error {
	before, fresh, briefs := *b, fileCache{}, 0
	b.Records, b.Problems, b.holes = nil, nil, nil
	for _, folder := range b.folders() {
		err := filepath.WalkDir(b.path(folder), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || isLeftover(d.Name()) {
				if errors.Is(err, fs.ErrNotExist) {
					return nil
				}
				return err
			}
			rel, err := filepath.Rel(b.Dir, path)
			if err != nil {
				return err
			}
			return b.readFile(path, filepath.ToSlash(rel), fresh)
		})
		if err != nil {
			*b = before
			return err
		}
	}
	b.files = fresh
	b.tellCopies()
	if b.brief != nil {
		for _, file := range fresh {
			if file.isBrief {
				briefs++
			}
		}
		b.doubt = b.doubt || len(b.Problems) > 0 || briefs != len(b.brief.Files)
	}
	return nil
}

// tellCopies says of each copy whether it is still needed.
func (b *Book) tellCopies() {
	var copies []string
	for rel, file := range b.files {
		if file.copied {
			copies = append(copies, rel)
		}
	}
	if len(copies) == 0 {
		return
	}
	type line struct{ id, sum string }
	elsewhere := map[line]bool{}
	for _, file := range b.files {
		for _, r := range file.records {
			if !file.copied {
				elsewhere[line{r.ID(), r.Sum()}] = true
			}
		}
	}
	slices.Sort(copies)
	for _, rel := range copies {
		all, only := b.files[rel].records, 0
		for _, r := range all {
			if !elsewhere[line{r.ID(), r.Sum()}] {
				only++
			}
		}
		what := fmt.Sprintf("a copy, perhaps made by a sync program; all %d records in it stand in the months' own files too, so it may be deleted",
			len(all))
		if only == len(all) {
			what = fmt.Sprintf("a copy, perhaps made by a sync program; none of the %d records in it stands in a month's own file; they count, so keep it",
				only)
		} else if only > 0 {
			what = fmt.Sprintf("a copy, perhaps made by a sync program; %d of the %d records in it stand in no month's own file; they count, so keep it",
				only, len(all))
		}
		b.Problems = append(b.Problems, Problem{Kind: Copy, File: rel, What: what})
	}
}

// folders are the folder of the records and what look like copies of it beside:
// "records (1)", "Copy of records".
func (b *Book) folders() []string {
	folders := []string{"records"}
	entries, err := os.ReadDir(b.Dir)
	if err != nil {
		return folders // which then says why
	}
	for _, e := range entries {
		if name := e.Name(); e.IsDir() && name != "records" && strings.Contains(strings.ToLower(name), "records") {
			folders = append(folders, name)
		}
	}
	return folders
}

func (b *Book) readFile(path, rel string, fresh fileCache) error {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil // a sync program's own file that went, or a link that leads nowhere
	case err != nil:
		return err
	case !info.Mode().IsRegular(): // a pipe would be waited for without end
		b.Problems = append(b.Problems, Problem{File: rel, What: "no ordinary file; nothing in it was read"})
		return nil
	}
	file, ok := b.files[rel]
	if ok && file.isBrief {
		if file.unsure || !file.isStill(info) {
			if file, ok = file.check(path, rel, info); !ok {
				b.doubt = true
			}
		}
	} else if !ok || !file.isStill(info) {
		file, err = decodeAt(path, rel)
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		file.modified, file.changed = info.ModTime(), Changed(info)
	}
	fresh[rel] = file
	b.Records = append(b.Records, file.records...)
	b.Problems = append(b.Problems, file.problems...)
	b.holes = append(b.holes, file.holes...)
	return nil
}

// decodeAt reads one file. Sync programs name copies in many words and
// languages and put them before or behind any ending, so a copy is known by its
// lines: every file that holds a record is read.
func decodeAt(path, rel string) (cachedFile, error) {
	own := isMonth(rel)
	if !own && !strings.HasSuffix(strings.ToLower(rel), ".jsonl") {
		if is, err := beginsLikeRecords(path); err != nil || !is {
			return cachedFile{}, err
		}
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return cachedFile{}, err
	}
	file := cachedFile{size: int64(len(data)), read: int64(len(data)), sum: sumOf(data)}
	file.records, file.problems, file.holes = decodeFile(rel, data)
	file.copied = len(file.records) > 0 && (!own || !holdsOwn(file.records, deviceOf(rel)))
	return file, nil
}

// beginsLikeRecords reports whether a file may hold records, without reading
// what somebody put here by mistake.
func beginsLikeRecords(path string) (bool, error) {
	f, err := disk.Open(path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	head := make([]byte, 4<<10)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return false, err
	}
	return bytes.Contains(head[:n], []byte(lineHead)), nil
}

// isMonth reports whether that is where records of a month are written.
func isMonth(rel string) bool {
	_, err := time.Parse("2006-01.jsonl", path.Base(rel))
	return err == nil && strings.Count(rel, "/") == 2 && strings.HasPrefix(rel, "records/") && isDevice(deviceOf(rel))
}

// deviceOf is the folder a records file lies in.
func deviceOf(rel string) string { return path.Base(path.Dir(rel)) }

func holdsOwn(records []Record, dev string) bool {
	for _, r := range records {
		if r.Dev == dev {
			return true
		}
	}
	return false
}

// DecodeFile reads the lines of one records file. A line that is torn or was
// changed is a Problem; the lines around it are read.
func DecodeFile(name string, data []byte) (records []Record, problems []Problem) {
	records, problems, _ = decodeFile(name, data)
	return records, problems
}

func decodeFile(name string, data []byte) (records []Record, problems []Problem, holes []hole) {
	open := hole{dev: deviceOf(name)} // lines since the last whole one that are not
	for i, line := range bytes.Split(bytes.TrimPrefix(data, []byte("\ufeff")), []byte("\n")) {
		line = bytes.TrimSuffix(line, []byte("\r"))
		if len(line) == 0 {
			continue
		}
		r, err := DecodeLine(line)
		if err != nil {
			kind := TornLine
			if errors.Is(err, ErrBadSum) {
				kind = BadSum
			}
			problems = append(problems, Problem{Kind: kind, File: name, Line: i + 1, What: err.Error(),
				Text: strings.ToValidUTF8(string(line[:min(200, len(line))]), "\ufffd")})
			open.add(line)
			continue
		}
		if open.lines > 0 {
			if open.before == 0 || open.dev == r.Dev {
				open.dev, open.behind = r.Dev, r.Seq
			}
			holes = append(holes, open)
		}
		open = hole{dev: r.Dev, before: r.Seq}
		records = append(records, r)
	}
	if open.lines > 0 {
		holes = append(holes, open)
	}
	return records, problems, holes
}
