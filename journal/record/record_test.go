// Tests of record lines against damage: cut off anywhere, one bit flipped.

package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"
)

func testLines(t testing.TB) ([]Record, []byte) {
	rng := rand.New(rand.NewPCG(3, 3))
	var records []Record
	for i := range int64(4) {
		at := time.Date(2026, 3, 14, 19, int(i), 0, rng.IntN(1000)*1e6, time.UTC)
		body := fmt.Appendf(nil, `{"build":"lorry","count":%d,"why":"no \u003cwire\u003e"}`, rng.IntN(90))
		records = append(records, Record{At: at, Dev: "bench-3f2a", Seq: i + 1, Kind: []string{"begin", "pause"}[i%2], Body: body})
	}
	var data []byte
	for _, r := range records {
		line, err := EncodeLine(r)
		if err != nil {
			t.Fatal(err)
		}
		data = append(append(data, line...), '\n')
	}
	return records, data
}

// A file shortened at any byte loses at most its last line, and says so.
func TestEveryCut(t *testing.T) {
	records, data := testLines(t)
	for cut := range len(data) {
		got, problems := DecodeFile("f", data[:cut])
		whole := bytes.Count(data[:cut], []byte("\n"))
		lost := len(bytes.TrimSpace(data[bytes.LastIndexByte(data[:cut], '\n')+1:cut])) > 0
		// A line whose newline alone is missing is whole.
		if len(got) == whole+1 && len(problems) == 0 {
			continue
		}
		if len(got) != whole || (len(problems) == 1) != lost || !reflect.DeepEqual(got, records[:whole:whole]) && whole > 0 {
			t.Fatalf("cut at %d: %d records of %d whole lines, problems %v", cut, len(got), whole, problems)
		}
	}
}

// One flipped bit anywhere loses at most the line it is in and its neighbor
// (when the newline between them is hit), and is reported.
func TestEveryFlip(t *testing.T) {
	records, data := testLines(t)
	for i := range data {
		bad := bytes.Clone(data)
		bad[i] ^= 1 << (i % 8)
		got, problems := DecodeFile("f", bad)
		if len(problems) == 0 {
			t.Fatalf("flip at %d (%q): not noticed", i, data[i])
		}
		if len(got) < len(records)-2 {
			t.Fatalf("flip at %d: %d of %d records left", i, len(got), len(records))
		}
		for _, r := range got {
			found := false
			for _, want := range records {
				found = found || reflect.DeepEqual(r, want)
			}
			if !found {
				t.Fatalf("flip at %d: a record came out changed: %+v", i, r)
			}
		}
	}
}

// Fields of a newer version come out as they went in.
func TestUnknownFieldsAreKept(t *testing.T) {
	r := Record{At: time.Date(2026, 3, 14, 19, 0, 0, 0, time.UTC), Dev: "d", Seq: 1, Kind: "begin", Body: json.RawMessage(`{"a":1}`), Extra: map[string]json.RawMessage{"mood": json.RawMessage(`"calm"`)}}
	line, err := EncodeLine(r)
	if err != nil {
		t.Fatal(err)
	}
	got, err := DecodeLine(line)
	if err != nil || !reflect.DeepEqual(got, r) {
		t.Errorf("%+v, %v", got, err)
	}
}

func FuzzDecodeLine(f *testing.F) {
	_, data := testLines(f)
	for _, line := range bytes.Split(data, []byte("\n")) {
		f.Add(line, false)
		head, _, _ := bytes.Cut(line, []byte(sumHead))
		f.Add(head, true)
	}
	f.Add([]byte(`{"at":"2026-03-14T20:32:05+01:00","dev":"d","seq":1,"kind":"x","body": [1, "<"],"mood":"\u00e4"`), true)
	f.Add([]byte(`{"at":null,"dev":"d","seq":1,"kind":"x","body":null,"sum":1`), true)
	f.Fuzz(func(t *testing.T, line []byte, summed bool) {
		if summed {
			// A checksum that fits lets the fuzzer reach what lies behind it.
			line = []byte(string(line) + sumHead + lineSum(line) + sumTail)
		}
		r, err := DecodeLine(line)
		if err != nil {
			if !reflect.DeepEqual(r, Record{}) {
				t.Fatalf("an error and a record: %+v", r)
			}
			return
		}
		again, err := EncodeLine(r)
		if err != nil {
			t.Fatalf("read but not written: %v", err)
		}
		if back, err := DecodeLine(again); err != nil || !reflect.DeepEqual(back, r) {
			t.Fatalf("%+v was written and came back as %+v, %v", r, back, err)
		}
	})
}
