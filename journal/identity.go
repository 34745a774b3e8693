// This file says what tells a journal from all others.

package journal

import (
	"bufio"
	"io"
	"os"
	"path/filepath"
	"slices"
	"time"

	"rakelight/journal/record"
)

// Identity is what tells this journal from all others, for as long as it is kept: the
// name, drawn by lot, of the device that wrote its earliest record. Titles, folders
// and devices that join later do not change it. It is "" before the first record.
// It belongs in no page as it is: only names made of it do.
func (j *Journal) Identity() string {
	folders, err := os.ReadDir(j.Path("records"))
	if err != nil {
		return ""
	}
	var found record.Record
	for _, folder := range folders {
		if first, ok := firstRecord(filepath.Join(j.Path("records"), folder.Name())); ok &&
			(found.Dev == "" || first.At.Before(found.At)) {
			found = first
		}
	}
	return found.Dev
}

// firstRecord is the first that a device wrote, by the earliest month it has.
func firstRecord(folder string) (record.Record, bool) {
	files, err := os.ReadDir(folder)
	if err != nil {
		return record.Record{}, false
	}
	files = slices.DeleteFunc(files, func(e os.DirEntry) bool {
		_, err := time.Parse("2006-01.jsonl", e.Name())
		return err != nil || !e.Type().IsRegular()
	})
	for _, e := range files { // by name, which is by month
		if r, ok := firstIn(filepath.Join(folder, e.Name())); ok {
			return r, true
		}
	}
	return record.Record{}, false
}

// firstIn is the first record of a file that can be read.
func firstIn(path string) (record.Record, bool) {
	f, err := os.Open(path)
	if err != nil {
		return record.Record{}, false
	}
	defer f.Close()
	const longest = 1 << 20 // a line longer than this is no first record of ours
	lines := bufio.NewReader(io.LimitReader(f, longest))
	for {
		line, err := lines.ReadBytes('\n')
		if records, _ := record.DecodeFile(path, line); len(records) > 0 {
			return records[0], true
		}
		if err != nil {
			return record.Record{}, false
		}
	}
}
