// Tests of a book of records against damage: what is cut, emptied, moved away or
// brought back from an older copy is missed, exactly, and no number is given out
// twice.

package record

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

var evening = time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC)

func try(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// book opens the records of a folder as a fresh process does.
func book(t *testing.T, dir, outside string) *Book {
	t.Helper()
	b := &Book{Dir: dir, Outside: outside}
	try(t, b.Read())
	return b
}

// say appends one record.
func say(t *testing.T, b *Book, at time.Time, word string) Record {
	t.Helper()
	written, err := b.Append(func() time.Time { return at }, []New{{Kind: "note", Body: map[string]string{"word": word}}})
	try(t, err)
	return written[0]
}

// filled is a folder with n records of this computer, a minute apart, and the
// file they lie in.
func filled(t *testing.T, n int, outside string) (dir, file string) {
	t.Helper()
	dir = t.TempDir()
	b := book(t, dir, outside)
	for i := range n {
		say(t, b, evening.Add(time.Duration(i)*time.Minute), fmt.Sprint("word ", i))
	}
	return dir, filepath.Join(dir, "records", b.dev, "2026-03.jsonl")
}

// gaps are the numbers that a book says to be lost, and how many lines it cannot
// read.
func gaps(t *testing.T, b *Book) (lost []int64, unread int) {
	t.Helper()
	for _, p := range b.Problems {
		if p.Kind == TornLine || p.Kind == BadSum {
			unread++
		}
	}
	for _, p := range b.Lost(nil) {
		if p.Kind != Missing {
			t.Fatalf("a problem of kind %q: %+v", p.Kind, p)
		}
		_, rest, ok := strings.Cut(p.What, "/")
		var from, to int64
		if n, _ := fmt.Sscanf(rest, "%d to %d", &from, &to); !ok || n == 0 {
			t.Fatalf("no numbers in %q", p.What)
		}
		for n := from; n <= max(from, to); n++ {
			lost = append(lost, n)
		}
	}
	return lost, unread
}

// A records file cut at any byte: every record that is not there any more is
// said to be, by its line or by its number, and none besides; the next record
// gets a number that none had.
func TestCutAnywhere(t *testing.T) {
	const n = 4
	dir, file := filled(t, n, "")
	whole, err := os.ReadFile(file)
	try(t, err)
	for cut := range len(whole) {
		try(t, os.WriteFile(file, whole[:cut], 0o644))
		b := book(t, dir, "")
		lost, unread := gaps(t, b)
		var want []int64
		for k := int64(len(b.Records)+unread) + 1; k <= n; k++ {
			want = append(want, k)
		}
		if unread > 1 || len(b.Records)+unread < bytes.Count(whole[:cut], []byte("\n")) || !slices.Equal(lost, want) {
			t.Fatalf("cut at %d: %d records, %d unreadable lines, %v said to be lost; want %v", cut, len(b.Records), unread, lost, want)
		}
	}
	try(t, os.WriteFile(file, whole[:len(whole)/2], 0o644))
	if r := say(t, book(t, dir, ""), evening.Add(time.Hour), "after"); r.Seq != n+1 {
		t.Errorf("the next number is %d, want %d", r.Seq, n+1)
	}
}

// One flipped bit is found as the line it is in, and never as records that are
// missing besides.
func TestFlipAnywhere(t *testing.T) {
	dir, file := filled(t, 4, "")
	whole, err := os.ReadFile(file)
	try(t, err)
	for i := range whole[:len(whole)-1] {
		for _, bit := range []byte{1, 4, 32} {
			bad := bytes.Clone(whole)
			bad[i] ^= bit
			try(t, os.WriteFile(file, bad, 0o644))
			lost, unread := gaps(t, book(t, dir, ""))
			if unread == 0 || len(lost) > 0 {
				t.Fatalf("bit %d of byte %d (%q): %d unreadable lines, %v said to be lost", bit, i, whole[i], unread, lost)
			}
		}
	}
}

// A line that cannot be read accounts for its own number, not for another that
// is missing.
func TestFlipAndCut(t *testing.T) {
	dir, file := filled(t, 6, "")
	data, err := os.ReadFile(file)
	try(t, err)
	lines := bytes.SplitAfter(data, []byte("\n"))
	lines[4][20] ^= 1
	try(t, os.WriteFile(file, bytes.Join(slices.Delete(lines, 1, 2), nil), 0o644))
	if lost, unread := gaps(t, book(t, dir, "")); !slices.Equal(lost, []int64{2}) || unread != 1 {
		t.Errorf("%v said to be lost, %d unreadable; want 2 and one", lost, unread)
	}
}

// What vanishes is missed: lines, a file, a device's folder, all records, in the
// mark in the journal and in the one outside, whichever is left.
func TestVanished(t *testing.T) {
	all := []int64{1, 2, 3, 4, 5}
	lines := func(keep func(i int) bool) func(t *testing.T, dir, file string) {
		return func(t *testing.T, _, file string) {
			data, err := os.ReadFile(file)
			try(t, err)
			var left []byte
			for i, line := range bytes.SplitAfter(data, []byte("\n")) {
				if keep(i) {
					left = append(left, line...)
				}
			}
			try(t, os.WriteFile(file, left, 0o644))
		}
	}
	for _, c := range []struct {
		name   string
		damage func(t *testing.T, dir, file string)
		want   []int64
	}{
		{"nothing", func(*testing.T, string, string) {}, nil},
		{"the last line", lines(func(i int) bool { return i < 4 }), []int64{5}},
		{"the last three lines", lines(func(i int) bool { return i < 2 }), []int64{3, 4, 5}},
		{"the first line", lines(func(i int) bool { return i > 0 }), []int64{1}},
		{"lines in the middle", lines(func(i int) bool { return i != 1 && i != 3 }), []int64{2, 4}},
		{"every line", func(t *testing.T, _, file string) { try(t, os.Truncate(file, 0)) }, all},
		{"the file", func(t *testing.T, _, file string) { try(t, os.Remove(file)) }, all},
		{"the folder", func(t *testing.T, _, file string) { try(t, os.RemoveAll(filepath.Dir(file))) }, all},
		{"all records", func(t *testing.T, dir, _ string) { try(t, os.RemoveAll(filepath.Join(dir, "records"))) }, all},
	} {
		for _, left := range []string{"both marks", "the mark in the journal", "the mark outside"} {
			t.Run(c.name+", with "+left, func(t *testing.T) {
				outside := filepath.Join(t.TempDir(), "marks")
				dir, file := filled(t, 5, outside)
				if left == "the mark in the journal" {
					try(t, os.RemoveAll(outside))
				}
				if left == "the mark outside" {
					try(t, os.RemoveAll(filepath.Join(dir, marksDir)))
				}
				c.damage(t, dir, file)
				b := book(t, dir, outside)
				if lost, unread := gaps(t, b); !slices.Equal(lost, c.want) || unread > 0 {
					t.Errorf("%v said to be lost, %d unreadable; want %v", lost, unread, c.want)
				}
				if r := say(t, b, evening.Add(time.Hour), "after"); r.Seq != 6 {
					t.Errorf("the next number is %d, want 6", r.Seq)
				}
				// It is still missed once the next record is written.
				if lost, _ := gaps(t, book(t, dir, outside)); !slices.Equal(lost, c.want) {
					t.Errorf("after the next record %v are said to be lost, want %v", lost, c.want)
				}
			})
		}
	}
}

// Another device's records vanish: this one has seen them.
func TestOtherDeviceGone(t *testing.T) {
	dir, _ := filled(t, 2, "")
	theirs := filepath.Join(dir, "records", "bench-91c0", "2026-03.jsonl")
	var data []byte
	for seq := range int64(3) {
		line, err := EncodeLine(Record{At: evening, Dev: "bench-91c0", Seq: seq + 1, Kind: "note", Body: []byte("1")})
		try(t, err)
		data = append(append(data, line...), '\n')
	}
	try(t, os.MkdirAll(filepath.Dir(theirs), 0o755))
	try(t, os.WriteFile(theirs, data, 0o644))
	say(t, book(t, dir, ""), evening.Add(time.Hour), "seen") // this is when it was seen
	if p := book(t, dir, "").Lost(nil); len(p) > 0 {
		t.Fatalf("something is missing in a whole journal: %+v", p)
	}
	try(t, os.RemoveAll(filepath.Dir(theirs)))
	lost, _ := gaps(t, book(t, dir, ""))
	if p := book(t, dir, "").Lost(nil); !slices.Equal(lost, []int64{1, 2, 3}) || p[0].File != "records/bench-91c0" {
		t.Errorf("%v are said to be lost: %+v", lost, p)
	}
}

// An older copy of the whole folder, marks and all, is brought back: the mark
// outside tells, and the numbers go on above it.
func TestOlderCopyRestored(t *testing.T) {
	outside := filepath.Join(t.TempDir(), "marks")
	dir, _ := filled(t, 3, outside)
	older := filepath.Join(t.TempDir(), "older")
	try(t, os.CopyFS(older, os.DirFS(dir)))
	b := book(t, dir, outside)
	lastOne := say(t, b, evening.Add(time.Hour), "later")
	say(t, b, evening.Add(2*time.Hour), "latest")
	try(t, os.RemoveAll(dir))
	try(t, os.CopyFS(dir, os.DirFS(older)))
	b = book(t, dir, outside)
	if lost, _ := gaps(t, b); !slices.Equal(lost, []int64{4, 5}) {
		t.Errorf("%v are said to be lost, want 4 and 5", lost)
	}
	if r := say(t, b, evening.Add(3*time.Hour), "again"); r.Seq != 6 {
		t.Errorf("the next number is %d, want 6", r.Seq)
	}

	// Somebody who knew no marks wrote on in the older copy.
	try(t, os.RemoveAll(dir))
	try(t, os.CopyFS(dir, os.DirFS(older)))
	other := lastOne
	other.Body = []byte(`{"word":"another"}`)
	other.Seq = 6
	line, err := EncodeLine(other)
	try(t, err)
	try(t, appendLines(filepath.Join(dir, "records", other.Dev, "2026-03.jsonl"), append(line, '\n')))
	found := book(t, dir, outside).Lost(nil)
	if len(found) != 2 || !strings.Contains(found[1].What, "another than the one that was written") {
		t.Errorf("found %+v; want a gap, and a record that is another", found)
	}
}

// .cache may be deleted: the computer goes on under a new name, and nothing is
// missing.
func TestCacheDeleted(t *testing.T) {
	outside := filepath.Join(t.TempDir(), "marks")
	dir, _ := filled(t, 3, outside)
	before := book(t, dir, outside)
	try(t, os.RemoveAll(filepath.Join(dir, ".cache")))
	r := say(t, book(t, dir, outside), evening.Add(time.Hour), "after")
	if r.Seq != 1 || r.Dev == before.Records[0].Dev {
		t.Errorf("record %s follows those of %s", r.ID(), before.Records[0].Dev)
	}
	if found := book(t, dir, outside).Lost(nil); len(found) > 0 {
		t.Errorf("found %+v in a whole journal", found)
	}
}

// A journal of a version that knew no marks is whole, and a mark that cannot be
// read, or claims what cannot be, says nothing.
func TestOddMarks(t *testing.T) {
	dir, _ := filled(t, 3, "")
	for _, text := range []string{"", "{", `{"bench-1":{"seq":-4}}`, `{"../x":{"seq":4}}`, `{"bench-1":{"seq":9223372036854775807}}`, `[1]`} {
		try(t, os.RemoveAll(filepath.Join(dir, marksDir)))
		try(t, os.MkdirAll(filepath.Join(dir, marksDir), 0o755))
		try(t, os.WriteFile(filepath.Join(dir, marksDir, "x.json"), []byte(text), 0o644))
		if found := book(t, dir, "").Lost(nil); len(found) > 0 {
			t.Errorf("%s: found %+v in a whole journal", text, found)
		}
	}
}

// A record with the highest number there is keeps nobody from writing.
func TestNumbersUsedUp(t *testing.T) {
	dir, file := filled(t, 1, "")
	r := book(t, dir, "").Records[0]
	r.Seq = maxCount
	line, err := EncodeLine(r)
	try(t, err)
	try(t, appendLines(file, append(line, '\n')))
	if after := say(t, book(t, dir, ""), evening, "after"); after.Dev == r.Dev || after.Seq != 1 {
		t.Errorf("the next record is %s", after.ID())
	}
	r.Seq++
	if _, err := EncodeLine(r); err == nil {
		t.Error("a number beyond the highest was written")
	}
}

// What is said later stands later, whatever a clock said: a device whose clock
// was ahead, this one's own clock set back, another year's worth of ticks.
func TestOrderIsWhatWasSeen(t *testing.T) {
	dir := t.TempDir()
	ahead := Record{At: time.Date(2099, 1, 1, 0, 0, 0, 0, time.UTC), Dev: "zz", Seq: 1, Kind: "note", Body: []byte("1")}
	line, err := EncodeLine(ahead)
	try(t, err)
	try(t, appendLines(filepath.Join(dir, "records", "zz", "2099-01.jsonl"), append(line, '\n')))
	var said []Record
	for i := range 5 {
		said = append(said, say(t, book(t, dir, ""), evening.Add(time.Duration(i-2)*time.Hour), "later")) // each a process of its own
	}
	b := book(t, dir, "")
	written, err := b.Append(func() time.Time { return evening }, []New{{Kind: "note", Body: 1}, {Kind: "note", Body: 2}})
	try(t, err)
	said = append(append([]Record{ahead}, said...), written...)
	if !slices.IsSortedFunc(said, Compare) {
		t.Errorf("out of order: %+v", said)
	}
	for _, r := range said[1:] {
		if r.At.Year() != 2026 || r.Tick.N == 0 {
			t.Errorf("%s is dated %v, with the tick %+v", r.ID(), r.At, r.Tick)
		}
	}
	// Without an odd clock no line holds a tick.
	dir, _ = filled(t, 3, "")
	for _, r := range book(t, dir, "").Records {
		if r.Tick != (Tick{}) {
			t.Errorf("%s bears the tick %+v for nothing", r.ID(), r.Tick)
		}
	}
}

// The highest tick there is keeps nobody from writing either.
func TestHighestTick(t *testing.T) {
	dir := t.TempDir()
	r := Record{At: evening, Dev: "zz", Seq: 1, Kind: "note", Body: []byte("1"), Tick: Tick{time.Date(9999, 12, 31, 23, 59, 59, 999999999, time.UTC), maxCount}}
	line, err := EncodeLine(r)
	try(t, err)
	try(t, appendLines(filepath.Join(dir, "records", "zz", "2026-03.jsonl"), append(line, '\n')))
	say(t, book(t, dir, ""), evening, "after")
	if b := book(t, dir, ""); len(b.Records) != 2 || len(b.Problems) > 0 {
		t.Errorf("%d records, %+v", len(b.Records), b.Problems)
	}
}

func TestOddClocks(t *testing.T) {
	at := func(dev string, seq int64, days int) Record {
		return Record{At: evening.AddDate(0, 0, days), Dev: dev, Seq: seq}
	}
	records := []Record{at("a", 1, -5), at("a", 2, 900), at("a", 3, 901), at("a", 4, -3), at("b", 1, -9), at("b", 2, 0), at("c", 1, 40)}
	found := OddClocks(records, evening)
	if len(found) != 2 || found[0].File != "records/a" || found[1].File != "records/c" || !strings.Contains(found[0].What, "2028-08-31, 2 of them") {
		t.Errorf("found %+v", found)
	}
	if found := OddClocks(records[4:6], evening); len(found) != 0 {
		t.Errorf("found %+v among clocks that are right", found)
	}
}

// Copies of records are known by their lines, whatever their names; what is no
// copy is left alone.
func TestCopiesAreRead(t *testing.T) {
	dir, file := filled(t, 2, "")
	dev := filepath.Base(filepath.Dir(file))
	shared, err := os.ReadFile(file)
	try(t, err)
	for i, name := range []string{
		"records/D/2026-03 (1).jsonl", "records/D/2026-03 - Copy.jsonl", "records/D/2026-03 (conflicted copy 2026-03-14 193205).jsonl",
		"records/D/2026-03 (bench's conflicted copy).jsonl", "records/D/2026-03.sync-conflict-20260314-193205-ABCDEFG.jsonl",
		"records/D/Copy of 2026-03.jsonl", "records/D/Kopie von 2026-03.jsonl", "records/D/2026-03 – Kopie.jsonl", "records/D/2026-03 copie.jsonl",
		"records/D/2026-03 (copia en conflicto).jsonl", "records/D/2026-03 のコピー.jsonl", "records/D/2026-03 2.jsonl", "records/D/2026-03-WORKSHOP.jsonl",
		"records/D/2026-03.JSONL (case conflict)", "records/D/2026-03.jsonl.conflict", "records/D/2026-03.jsonl_conflict-20260314-193205", "records/D/2026-03.jsonl.orig",
		"records/D/2026-03.jsonl~", "records/D/2026-03~1.jsonl", "records/D/2026-03.txt", "records/D/2026-03", "records/D/.2026-03.jsonl.part",
		"records/2026-03.jsonl", "records/D (1)/2026-03.jsonl", "records/D-WORKSHOP/2026-03.jsonl", "records/old/D/2026-03.jsonl",
		"records (conflicted copy)/D/2026-03.jsonl", "Copy of records/D/2026-03.jsonl",
	} {
		path := filepath.Join(dir, strings.ReplaceAll(name, "D", dev))
		own, err := EncodeLine(Record{At: evening.Add(time.Hour), Dev: "bench-91c0", Seq: int64(i + 1), Kind: "note", Body: fmt.Append(nil, i)})
		try(t, err)
		try(t, os.MkdirAll(filepath.Dir(path), 0o755))
		try(t, os.WriteFile(path, slices.Concat([]byte("\ufeff"), shared, own), 0o644))
		b := book(t, dir, "")
		if len(b.Records) != 5 || len(b.Problems) != 1 || b.Problems[0].Kind != Copy || !strings.Contains(b.Problems[0].What, "1 of the 3 records") {
			t.Errorf("%s: %d records, problems %+v", name, len(b.Records), b.Problems)
		}
		try(t, os.WriteFile(path, shared, 0o644))
		if b := book(t, dir, ""); len(b.Problems) != 1 || !strings.Contains(b.Problems[0].What, "may be deleted") {
			t.Errorf("%s: problems %+v", name, b.Problems)
		}
		try(t, os.Remove(path))
	}
	for _, name := range []string{"desktop.ini", ".DS_Store", "notes.txt", ".rakelight-1.tmp"} {
		try(t, os.WriteFile(filepath.Join(filepath.Dir(file), name), []byte("no records\n"), 0o644))
	}
	if b := book(t, dir, ""); len(b.Records) != 2 || len(b.Problems) != 0 {
		t.Errorf("%d records, problems %+v", len(b.Records), b.Problems)
	}
}

// What a crash left of our own writing goes with the next record, when nobody
// has written to it for an hour; nothing else goes.
func TestLeftovers(t *testing.T) {
	dir, file := filled(t, 1, "")
	old := time.Now().Add(-2 * time.Hour)
	make := func(name string, at time.Time) string {
		path := filepath.Join(dir, filepath.FromSlash(name))
		try(t, os.MkdirAll(filepath.Dir(path), 0o755))
		try(t, os.WriteFile(path, []byte("half"), 0o644))
		try(t, os.Chtimes(path, at, at))
		return path
	}
	var stale, kept []string
	rel, err := filepath.Rel(dir, filepath.Dir(file))
	try(t, err)
	for _, place := range []string{"", "builds/pilot-boat/", "builds/pilot-boat/diary/", ".cache/", "marks/", filepath.ToSlash(rel) + "/"} {
		stale = append(stale, make(place+".rakelight-123.tmp", old))
		kept = append(kept, make(place+".rakelight-456.tmp", time.Now()), make(place+".rakelight-mine.tmp", old), make(place+"x.tmp", old))
	}
	if left := book(t, dir, "").Leftovers(); len(left) != len(stale) {
		t.Errorf("%v are left over, want %d", left, len(stale))
	}
	say(t, book(t, dir, ""), evening, "next")
	for _, path := range stale {
		if _, err := os.Stat(path); !errors.Is(err, os.ErrNotExist) {
			t.Errorf("%s is still there", path)
		}
	}
	for _, path := range kept {
		if _, err := os.Stat(path); err != nil {
			t.Error(err)
		}
	}
}

// What is known to be lost is not told again, and only that.
func TestKnownGaps(t *testing.T) {
	dir, file := filled(t, 6, "")
	try(t, os.Truncate(file, 0))
	b := book(t, dir, "")
	dev := filepath.Base(filepath.Dir(file))
	if gaps := b.Gaps(nil); !slices.Equal(gaps, []Gap{{dev, 1, 6}}) {
		t.Errorf("gaps %v", gaps)
	}
	if gaps := b.Gaps([]Gap{{dev, 2, 3}, {"other", 1, 6}}); !slices.Equal(gaps, []Gap{{dev, 1, 1}, {dev, 4, 6}}) {
		t.Errorf("gaps %v where some are known", gaps)
	}
	if gaps := b.Gaps([]Gap{{dev, 1, 6}}); len(gaps) > 0 {
		t.Errorf("gaps %v where all are known", gaps)
	}
	// Knowing does not free a number.
	if r := say(t, b, evening, "after"); r.Seq != 7 {
		t.Errorf("the next number is %d", r.Seq)
	}
}

// Deciding under the lock sees what others wrote, and may refuse.
func TestAppendFrom(t *testing.T) {
	dir, _ := filled(t, 1, "")
	b := book(t, dir, "")
	say(t, book(t, dir, ""), evening, "another process")
	no := errors.New("not that")
	now := func() time.Time { return evening }
	if _, err := b.AppendFrom(now, func() ([]New, error) { return nil, no }); !errors.Is(err, no) || len(b.Records) != 2 {
		t.Errorf("%v, with %d records", err, len(b.Records))
	}
	if written, err := b.AppendFrom(now, func() ([]New, error) { return nil, nil }); err != nil || written != nil {
		t.Errorf("nothing came to %v, %v", written, err)
	}
}
