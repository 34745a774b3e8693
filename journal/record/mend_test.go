// Tests of putting a file of records right, over every place where a byte can change.

package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

func linesOf(t *testing.T, n int) (file []byte, all []Record) {
	t.Helper()
	for i := range n {
		// An instant in the body is written as the head of a line is.
		r := Record{At: time.Date(2026, 3, 14, 19, i, 0, 0, time.UTC), Dev: "bench-3f2a", Seq: int64(i + 1), Kind: "note",
			Body: json.RawMessage(fmt.Sprintf(`{"text":"note %d","of":{"at":"x"}}`, i))}
		line, err := EncodeLine(r)
		if err != nil {
			t.Fatal(err)
		}
		file = append(append(file, line...), '\n')
		all = append(all, r)
	}
	return file, all
}

// changes are a file with one byte flipped, cut or added, at every place.
func changes(file []byte, rng *rand.Rand) (changed [][]byte) {
	for at := range len(file) + 1 {
		with := byte(rng.IntN(256))
		changed = append(changed, slices.Insert(slices.Clone(file), at, with), slices.Insert(slices.Clone(file), at, '\n'))
		if at == len(file) {
			break
		}
		flipped := slices.Clone(file)
		flipped[at] ^= 1 << rng.IntN(8)
		changed = append(changed, flipped, slices.Delete(slices.Clone(file), at, at+1))
	}
	return changed
}

// Whatever byte of a file of records changes, it is told; and with the records that are
// lost by it from elsewhere the file is, record for record, what it was.
func TestEveryByteOfRecords(t *testing.T) {
	const name = "records/bench-3f2a/2026-03.jsonl"
	file, all := linesOf(t, 6)
	rng := rand.New(rand.NewPCG(1, 12))
	for _, changed := range changes(file, rng) {
		if bytes.Equal(changed, file) {
			continue
		}
		there, problems := DecodeFile(name, changed)
		if len(problems)+len(Oddities(name, changed)) == 0 {
			t.Fatalf("not found: %q", changed)
		}
		var lost []Record
		for _, r := range all {
			if !slices.ContainsFunc(there, func(o Record) bool { return Compare(r, o) == 0 }) {
				lost = append(lost, r)
			}
		}
		if len(there)+len(lost) != len(all) {
			t.Fatalf("%d read and %d lost of %d: %q", len(there), len(lost), len(all), changed)
		}
		mended, dropped, err := Mend(changed, lost)
		if err != nil {
			t.Fatal(err)
		}
		if len(lost) > 0 && (!bytes.Equal(mended, file) || dropped == 0) {
			t.Fatalf("%q was mended to\n%s\nand %d lines dropped", changed, mended, dropped)
		}
		if again, n, err := Mend(mended, nil); err != nil || n > 0 || !bytes.Equal(again, mended) {
			t.Fatalf("mended twice: %q, then %q, %d dropped, %v", mended, again, n, err)
		}
		if none, n, err := Mend(changed, nil); err != nil || n > 0 {
			t.Fatalf("without records %d lines of %q were dropped: %q, %v", n, changed, none, err)
		}
	}
}

// A file cut off anywhere is whole again with the records that came behind.
func TestEveryCutOfRecords(t *testing.T) {
	const name = "records/bench-3f2a/2026-03.jsonl"
	file, all := linesOf(t, 4)
	for at := range len(file) {
		there, _ := DecodeFile(name, file[:at])
		mended, _, err := Mend(file[:at], all[len(there):])
		if err != nil || !bytes.Equal(mended, file) {
			t.Fatalf("cut at %d: %v\n%s", at, err, mended)
		}
	}
}

// A line that cannot be read and for which no record came is kept as it is.
func TestMendKeepsWhatNothingReplaces(t *testing.T) {
	file, all := linesOf(t, 5)
	lines := bytes.SplitAfter(file, []byte("\n"))
	lines[1][10] ^= 1
	lines[3][10] ^= 1
	mended, dropped, err := Mend(bytes.Join(lines, nil), all[1:2])
	if err != nil || dropped != 1 {
		t.Fatal(dropped, err)
	}
	if got, problems := DecodeFile("records/bench-3f2a/2026-03.jsonl", mended); len(got) != 4 || len(problems) != 1 ||
		!bytes.Contains(mended, lines[3]) {
		t.Errorf("%d records, problems %v in %s", len(got), problems, mended)
	}
}

// One line that cannot be read is one record, whatever instants stand in its body: else
// the next record skips a number, which then looks lost.
func TestHoleIsAsManyRecordsAsItWas(t *testing.T) {
	file, _ := linesOf(t, 2)
	file[len(file)-4] ^= 1
	_, _, holes := decodeFile("records/bench-3f2a/2026-03.jsonl", file)
	if len(holes) != 1 || holes[0].lines != 1 {
		t.Errorf("%+v", holes)
	}
}
