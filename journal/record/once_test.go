// Tests of the ids of what was said.

package record

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A line with an id is read by versions that know none of it: they keep the member as
// it came, and the line has the same place, checksum and bytes for them.
func TestOnceInALine(t *testing.T) {
	const id = "k2V9_x-Q"
	extra, err := members(New{Once: id}, 1)
	if err != nil {
		t.Fatal(err)
	}
	r := Record{At: time.Date(2026, 3, 14, 19, 32, 5, 0, time.UTC), Dev: "bench-3f2a", Seq: 12, Kind: "note", Body: json.RawMessage(`{"text":"x"}`), Extra: extra}
	line, err := EncodeLine(r)
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"at":"2026-03-14T19:32:05Z","dev":"bench-3f2a","seq":12,"kind":"note","body":{"text":"x"},"once":"k2V9_x-Q","sum":"`
	if !strings.HasPrefix(string(line), want) {
		t.Errorf("%s", line)
	}
	back, err := DecodeLine(line)
	if err != nil || back.Once() != id || Compare(back, r) != 0 || back.Sum() != r.Sum() {
		t.Errorf("%+v, %v", back, err)
	}
	if again, err := EncodeLine(back); err != nil || !bytes.Equal(again, line) {
		t.Errorf("%s, %v", again, err)
	}
	r.Extra = map[string]json.RawMessage{onceMember: json.RawMessage(`5`)}
	if r.Once() != "" || (Record{}).Once() != "" {
		t.Error("an id out of nothing")
	}
}

func TestCheckOnce(t *testing.T) {
	for id, good := range map[string]bool{"k2V9_x-Q": true, strings.Repeat("a", 64): true, "": false, "short": false, strings.Repeat("a", 65): false, `a"b,"c":"`: false, "aaaaaaaa\n": false, "äääääääää": false} {
		if (CheckOnce(id) == nil) != good {
			t.Errorf("%q: %v", id, CheckOnce(id))
		}
	}
}

// What was said is found in the months that may hold it and in copies of any name, and
// in no other file: to ask does not cost more as the years go by.
func TestOnceReadsTheMonthsThatCanHoldIt(t *testing.T) {
	dir := t.TempDir()
	b := &Book{Dir: dir}
	at := func(month, day int) func() time.Time {
		return func() time.Time { return time.Date(2026, time.Month(month), day, 12, 0, 0, 0, time.UTC) }
	}
	for month := range 6 {
		if _, err := b.Append(at(month+1, 10), []New{{Kind: "note", Body: month}, {Kind: "note", Body: month, Once: "spoken-0" + string(rune('1'+month))}}); err != nil {
			t.Fatal(err)
		}
	}
	if err := b.Read(); err != nil {
		t.Fatal(err)
	}
	folder := "records/" + b.dev + "/"
	for since, want := range map[time.Time]int{at(6, 2)(): 1, at(6, 1)(): 2, at(1, 5)(): 6, at(8, 1)(): 0} {
		if names := b.filesSince(since.Add(-OnceAhead)); len(names) != want {
			t.Errorf("since %v: %v", since, names)
		}
	}
	found, err := b.Once("spoken-04", at(4, 9)())
	if err != nil || len(found) != 1 || string(found[0].Body) != "3" {
		t.Errorf("%v, %v", found, err)
	}
	// The month before is not even opened: a folder in its place would be an error.
	march := b.path(folder + "2026-03.jsonl")
	data, err := os.ReadFile(march)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(march, b.path("records/kept.jsonl")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(march, 0o755); err != nil {
		t.Fatal(err)
	}
	if found, err := b.Once("spoken-04", at(4, 9)()); err != nil || len(found) != 1 {
		t.Errorf("%v, %v", found, err)
	}
	if _, err := b.Once("spoken-04", at(3, 9)()); err == nil {
		t.Error("what cannot be read was taken for nothing")
	}
	if err := os.Remove(march); err != nil {
		t.Fatal(err)
	}
	// A copy counts once, whatever its name, and its own month may have gone.
	if err := os.WriteFile(b.path("records/"+b.dev+"/2026-03 (1).jsonl"), data, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := b.Read(); err != nil {
		t.Fatal(err)
	}
	if found, err := b.Once("spoken-03", at(6, 9)()); err != nil || len(found) != 1 {
		t.Errorf("of a copy: %v, %v; files %v", found, err, filepath.Base(march))
	}
}
