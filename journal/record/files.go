// This file reads the records files of all devices. Whatever a sync client or
// a crash did to them, each line that is whole is read, and each that is not
// is reported.

package record

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// fileCache remembers records files that did not change since they were read,
// by their name below the journal folder, so that an append does not read a
// journal of many years again.
type fileCache map[string]cachedFile

type cachedFile struct {
	size     int64
	modified time.Time
	records  []Record
	problems []Problem
}

// appended notes what this process itself added to a file. If anything else
// changed the file, its size tells, and the file is read again.
func (c fileCache) appended(path, rel string, added []Record, lines []byte) {
	info, err := os.Stat(path)
	old, known := c[rel]
	if err != nil || info.Size() != old.size+int64(len(lines)) || !known && old.size != 0 {
		delete(c, rel)
		return
	}
	c[rel] = cachedFile{info.Size(), info.ModTime(), append(old.records[:len(old.records):len(old.records)], added...), old.problems}
}

// ConflictCopy is the Problem of a records file under another name than its
// month's.
const ConflictCopy = "a copy made by a sync client: its records are counted, each once; keep it or merge it by hand"

// readRecords reads every records file of every device. Lines that cannot be
// read come back as problems; so do conflict copies, whose lines count too.
func readRecords(dir string, cache *fileCache) ([]Record, []Problem, error) {
	var records []Record
	var problems []Problem
	fresh := fileCache{}
	root := filepath.Join(dir, "records")
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(d.Name(), ".jsonl") {
			if errors.Is(err, fs.ErrNotExist) {
				return nil
			}
			return err
		}
		rel, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		file, err := readRecordsFile(path, rel, *cache)
		if err != nil {
			return err
		}
		fresh[rel] = file
		records = append(records, file.records...)
		problems = append(problems, file.problems...)
		return nil
	})
	if err == nil {
		*cache = fresh
	}
	return records, problems, err
}

func readRecordsFile(path, rel string, cache fileCache) (cachedFile, error) {
	info, err := os.Stat(path)
	if err != nil {
		return cachedFile{}, err
	}
	if old, ok := cache[rel]; ok && old.size == info.Size() && old.modified.Equal(info.ModTime()) {
		return old, nil
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return cachedFile{}, err
	}
	file := cachedFile{size: int64(len(data)), modified: info.ModTime()}
	if _, err := time.Parse("2006-01.jsonl", filepath.Base(path)); err != nil {
		file.problems = append(file.problems, Problem{File: rel, What: ConflictCopy})
	}
	records, bad := DecodeFile(rel, data)
	file.records, file.problems = records, append(file.problems, bad...)
	return file, nil
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
			problems = append(problems, Problem{File: name, Line: i + 1, What: err.Error(), Text: strings.ToValidUTF8(string(line[:min(200, len(line))]), "\ufffd")})
			continue
		}
		records = append(records, r)
	}
	return records, problems
}
