// Tests of appending: numbers, instants, torn ends, two processes, copies a
// sync client made.

package journal

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"rakelight/journal/record"
)

func recordsFile(t *testing.T, j *Journal) string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(j.Dir, "records", "*", "*.jsonl"))
	if err != nil || len(found) != 1 {
		t.Fatalf("records files %v, %v; want one", found, err)
	}
	return found[0]
}

func pause(t *testing.T, j *Journal, why string) Record {
	t.Helper()
	r, err := j.Append(PauseBody{Build: "pilot-boat", From: j.Now(), Why: why})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// sameState reads the folder anew and compares.
func sameState(t *testing.T, j *Journal) {
	t.Helper()
	fresh, err := Open(j.Dir)
	if err != nil || !reflect.DeepEqual(fresh.State, j.State) {
		t.Errorf("what was written reads back differently: %v", err)
	}
}

// Two processes on one computer number their records without a gap or a twin.
func TestTwoProcesses(t *testing.T) {
	j, _ := bench(t)
	pause(t, j, "first") // makes the device's name
	const each = 8
	var wg sync.WaitGroup
	for range 2 {
		other, err := Open(j.Dir)
		if err != nil {
			t.Fatal(err)
		}
		wg.Go(func() {
			for range each {
				if _, err := other.Append(PauseBody{Build: "pilot-boat", Why: "<both> & more"}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	if err := j.Reload(); err != nil {
		t.Fatal(err)
	}
	seen := map[int64]bool{}
	records := j.records()
	for _, r := range records {
		seen[r.Seq] = true
	}
	if len(records) != 1+2*each || len(seen) != len(records) || !seen[1+2*each] || len(j.State.Problems) > 0 {
		t.Errorf("%d records under %d numbers, problems %v; want %d of each", len(records), len(seen), j.State.Problems, 1+2*each)
	}
	last := pause(t, j, "after both")
	if last.Seq != 2+2*each {
		t.Errorf("the next number is %d, want %d", last.Seq, 2+2*each)
	}
	sameState(t, j)
}

// The order of records is the order they were written in, even when the clock
// is set back; and each says what the clock showed.
func TestClockSetBack(t *testing.T) {
	j, now := bench(t)
	first := pause(t, j, "a")
	*now = now.Add(-time.Hour)
	second := pause(t, j, "b")
	third, err := j.AppendAll([]Body{ResumeBody{Build: "pilot-boat", At: *now}, hologram{1}})
	if err != nil {
		t.Fatal(err)
	}
	all := []Record{first, second, third[0], third[1]}
	if !slices.IsSortedFunc(all, record.Compare) || !second.At.Equal(*now) {
		t.Errorf("out of order, or not dated %v: %+v", *now, all)
	}
	*now = now.Add(30 * time.Second)
	all = append(all, pause(t, j, "c"))
	if !slices.IsSortedFunc(all, record.Compare) {
		t.Errorf("out of order: %+v", all)
	}
	sameState(t, j)
}

// A crash left half a line: it stays alone on its line, is reported, the next
// record is whole, and the number of the half one is not given out again.
func TestTornEnd(t *testing.T) {
	j, _ := bench(t)
	pause(t, j, "a")
	pause(t, j, "b")
	path := recordsFile(t, j)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, data[:len(data)-20], 0o644); err != nil {
		t.Fatal(err)
	}
	third := pause(t, j, "c")
	if len(j.State.Pauses) != 2 || len(j.State.Problems) != 1 || j.State.Problems[0].Line != 2 || third.Seq != 3 {
		t.Errorf("%d pauses, problems %+v, number %d; want 2, line 2, number 3", len(j.State.Pauses), j.State.Problems, third.Seq)
	}
	after, err := os.ReadFile(path)
	if err != nil || !bytes.HasPrefix(after, data[:len(data)-20]) {
		t.Errorf("the torn file was changed and not added to: %v", err)
	}
	sameState(t, j)
}

// A line whose newline alone is missing is whole, and so is the next.
func TestMissingNewline(t *testing.T) {
	j, _ := bench(t)
	pause(t, j, "a")
	path := recordsFile(t, j)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, bytes.TrimSuffix(data, []byte("\n")), 0o644); err != nil {
		t.Fatal(err)
	}
	pause(t, j, "b")
	if len(j.State.Pauses) != 2 || len(j.State.Problems) != 0 {
		t.Errorf("%d pauses, problems %v", len(j.State.Pauses), j.State.Problems)
	}
	sameState(t, j)
}

// A sync client's copy is read, merged and told; its own new lines count.
func TestConflictCopy(t *testing.T) {
	for _, name := range []string{"2026-03 (conflict copy).jsonl", "2026-03.sync-conflict-20260314-193205-ABCDEFG.jsonl"} {
		j, _ := bench(t)
		pause(t, j, "a")
		path := recordsFile(t, j)
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		theirs := Record{At: j.Now().Add(time.Minute).UTC(), Dev: "bench-other", Seq: 1, Kind: "pause", Body: []byte(`{"build":"lorry"}`)}
		line, err := record.EncodeLine(theirs)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(filepath.Dir(path), name), append(data, line...), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := j.Reload(); err != nil {
			t.Fatal(err)
		}
		if len(j.State.Pauses) != 2 || len(j.State.Problems) != 1 || !strings.HasSuffix(j.State.Problems[0].File, name) {
			t.Errorf("%s: %d pauses, problems %+v", name, len(j.State.Pauses), j.State.Problems)
		}
		sameState(t, j)
	}
}

// Lines that only partly reached the disk are not read later.
func TestAppendRefused(t *testing.T) {
	j, _ := bench(t)
	pause(t, j, "a")
	before := j.State
	if _, err := j.AppendAll([]Body{PauseBody{Build: "lorry"}, hologram{func() {}}}); err == nil {
		t.Error("what cannot be written was written")
	}
	if j.State != before {
		t.Error("a refused append changed the state")
	}
	sameState(t, j)
}

// suppose is a record as a device of its own would append it after all others.
func suppose(body Body, records []Record) (Record, error) {
	at, seq := time.Unix(0, 0).UTC(), int64(1)
	for _, r := range records {
		if !r.At.Before(at) {
			at = r.At.Add(time.Millisecond)
		}
		if r.Dev == "supposed" {
			seq = r.Seq + 1
		}
	}
	more, err := supposed([]Body{body}, at, record.Last(records))
	if err != nil {
		return Record{}, err
	}
	more[0].Seq = seq
	return more[0], nil
}
