// This file puts a file of records right from records that were found elsewhere, and
// finds what is odd in its bytes and costs no record.

package record

import (
	"bytes"
	"cmp"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// Mend is a file of records with those added that it lacks, each where its number
// says. Lines that cannot be read go where as many records came for them, or all the
// numbers between their neighbors; dropped is how many went. Everything else stays as it
// is, in its order, but for what Oddities finds.
func Mend(file []byte, add []Record) (mended []byte, dropped int, err error) {
	m := mending{pending: slices.SortedFunc(slices.Values(add), func(a, b Record) int {
		return cmp.Or(cmp.Compare(a.Dev, b.Dev), cmp.Compare(a.Seq, b.Seq), Compare(a, b))
	})}
	for line := range bytes.SplitSeq(bytes.TrimPrefix(file, []byte("\ufeff")), []byte("\n")) {
		r, err := DecodeLine(line)
		switch {
		case len(line) == 0:
		case err != nil:
			m.torn = append(m.torn, line)
		default:
			m.whole(line, r)
		}
	}
	m.close(func(Record) bool { return true }, 0)
	return m.out.Bytes(), m.dropped, m.err
}

// mending is a file being put right.
type mending struct {
	out     bytes.Buffer
	pending []Record // to be added, by device and number
	torn    [][]byte // lines since the last whole one
	last    Record   // that line
	dropped int
	err     error
}

// whole goes on with a line that can be read.
func (m *mending) whole(line []byte, r Record) {
	between := int64(0)
	if m.last.Dev == r.Dev {
		between = r.Seq - m.last.Seq - 1
	}
	m.close(func(p Record) bool { return p.Dev == r.Dev && p.Seq < r.Seq }, between)
	m.line(line)
	m.last = r
}

// close writes the records that come before what follows, and the lines that could not
// be read, unless records came for them.
func (m *mending) close(before func(Record) bool, between int64) {
	var rest []Record
	came := int64(0)
	for _, p := range m.pending {
		if !before(p) {
			rest = append(rest, p)
			continue
		}
		line, err := EncodeLine(p)
		if err != nil && m.err == nil {
			m.err = err
		}
		m.line(line)
		came++
	}
	m.pending = rest
	if came > 0 && (came >= recordsIn(m.torn) || came == between) {
		m.dropped += len(m.torn)
	} else {
		for _, line := range m.torn {
			m.line(line)
		}
	}
	m.torn = nil
}

// recordsIn is how many records lines were that cannot be read: as many as heads or ends
// are left in each, and what was broken in two is one.
func recordsIn(lines [][]byte) (n int64) {
	var before []byte
	for _, line := range lines {
		heads := headsIn(line)
		n += int64(max(1, heads, bytes.Count(line, []byte(sumHead))))
		within := bytes.HasSuffix(before, []byte(":")) || bytes.HasSuffix(before, []byte("[")) // a body goes on
		if len(before) > 0 && !endsRecord(before) && (heads == 0 || within) {
			n--
		}
		before = line
	}
	return n
}

func (m *mending) line(line []byte) {
	m.out.Write(line)
	m.out.WriteByte('\n')
}

// Kinds of problems that cost no record.
const (
	EmptyLine = "empty line" // no append writes one
	OpenEnd   = "open end"   // the last line is whole, and the end of the line is cut off
)

// Oddities are what is odd in the bytes of a month's own file and costs no record. A
// problem that costs one is DecodeFile's.
func Oddities(name string, data []byte) []Problem {
	var odd []Problem
	tell := func(kind string, line int, what string) {
		odd = append(odd, Problem{Kind: kind, File: name, Line: line, What: what})
	}
	if bytes.HasPrefix(data, []byte("\ufeff")) {
		tell(EmptyLine, 1, "an editor put a byte order mark before it; every record in it is read")
	}
	lines := bytes.Split(data, []byte("\n"))
	for i, line := range lines[:len(lines)-1] {
		if len(line) == 0 {
			tell(EmptyLine, i+1, "an empty line, which no rakelight wrote; no record is lost by it")
		}
	}
	if last := lines[len(lines)-1]; len(last) > 0 {
		if _, err := DecodeLine(last); err == nil {
			tell(OpenEnd, len(lines), "the end of its last line is cut off; the record is whole, and the next one begins a line of its own")
		}
	}
	if len(data) == 0 {
		tell(OpenEnd, 0, "it is empty")
	}
	return odd
}

// Files are the files of months below a journal's records folder, by their names below
// the journal folder, with slashes.
func Files(dir string) (names []string, err error) {
	err = filepath.WalkDir(filepath.Join(dir, "records"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		if rel = filepath.ToSlash(rel); err == nil && isMonth(rel) {
			names = append(names, rel)
		}
		return err
	})
	return names, err
}

// MarkAgain writes this device's file of marks in the journal where it is missing or
// behind the records, and returns its name below the journal folder, "" when there is
// nothing to write. The caller holds the lock of appends, and knows that no record is
// missing.
func (b *Book) MarkAgain() (string, error) {
	if !b.known() {
		return "", nil
	}
	rel := marksDir + "/" + b.dev + ".json"
	var noted map[string]Mark
	if data, err := os.ReadFile(b.path(rel)); err == nil && json.Unmarshal(data, &noted) != nil {
		noted = nil
	}
	behind := false
	for _, r := range b.Records {
		behind = behind || r.Dev == b.dev && r.Seq > noted[r.Dev].Seq
	}
	if !behind {
		return "", nil
	}
	b.mark(b.marks())
	if _, err := os.Stat(b.path(rel)); err != nil {
		return rel, err
	}
	return rel, nil
}
