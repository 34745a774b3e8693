// This file is one line of a records file: its envelope, its checksum, its
// place in the total order.

package record

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"time"
)

// Record is one thing that happened, as it was written down. Records are
// appended and never changed; Kind tells which body type Body holds.
type Record struct {
	At    time.Time // when it was written, not when it happened, by its device's clock
	Tick  Tick      // where it stands among all records; zero = where At says
	Dev   string    // the device that wrote it
	Seq   int64     // counts up on each device, from 1
	Kind  string
	Body  json.RawMessage
	Extra map[string]json.RawMessage // the id of what was said (Once), and fields of newer versions, as they came
}

// Tick puts a record behind all that its device had seen when it wrote it, where
// the clock alone would not: At is the place of the last of those records, N
// counts on from it.
type Tick struct {
	At time.Time `json:"at"`
	N  int64     `json:"n"` // from 1
}

// maxCount bounds numbers and ticks: what JSON readers keep exactly. A line with
// a higher one is nobody's, and could keep others from counting on.
const maxCount = 1 << 53

// ID names the record: device and sequence number.
func (r Record) ID() string { return r.Dev + "/" + strconv.FormatInt(r.Seq, 10) }

// Errors of DecodeLine that callers tell apart.
var (
	ErrTorn   = errors.New("the line is cut off or is no record")
	ErrBadSum = errors.New("the line was changed: its checksum does not fit")
)

// The checksum is the last member of the line, always this long, so that it
// can be cut off without reading the JSON.
const (
	sumHead = `,"sum":"`
	sumTail = `"}`
	sumLen  = 8
)

// lineSum is the first eight hex digits of SHA-256 over the line before its
// checksum: enough to find a flipped bit, not meant against forgery.
func lineSum(head []byte) string {
	sum := sha256.Sum256(head)
	return hex.EncodeToString(sum[:])[:sumLen]
}

// EncodeLine writes the record as one line without its newline. A record that
// could not be read back is an error.
func EncodeLine(r Record) ([]byte, error) {
	if r.Dev == "" || r.Seq <= 0 || r.Seq > maxCount || r.Kind == "" || len(r.Body) == 0 || r.At.IsZero() {
		return nil, errors.New("a record needs an instant, a device, a number, a kind and a body")
	}
	if year := r.At.UTC().Year(); year < 0 || year > 9999 {
		return nil, fmt.Errorf("the year %d does not fit a record", year)
	}
	fields := []member{
		{"at", r.At.UTC().Format(time.RFC3339Nano)}, {"dev", r.Dev}, {"seq", r.Seq}, {"kind", r.Kind}, {"body", r.Body},
	}
	if r.Tick != (Tick{}) {
		if !r.Tick.valid() {
			return nil, fmt.Errorf("%d ticks from %v are no place for a record", r.Tick.N, r.Tick.At)
		}
		fields = append(fields, member{"tick", Tick{r.Tick.At.UTC(), r.Tick.N}})
	}
	for _, name := range slices.Sorted(maps.Keys(r.Extra)) {
		if slices.Contains(ownMembers, name) {
			return nil, fmt.Errorf("a record has its own member %q", name)
		}
		fields = append(fields, member{name, r.Extra[name]})
	}
	var b bytes.Buffer
	b.WriteByte('{')
	for i, f := range fields {
		name, err := json.Marshal(f.name)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(f.value)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			b.WriteByte(',')
		}
		b.Write(name)
		b.WriteByte(':')
		b.Write(value)
	}
	head := b.Bytes()
	return []byte(string(head) + sumHead + lineSum(head) + sumTail), nil
}

// member is one name and value of a line.
type member struct {
	name  string
	value any
}

// ownMembers are the members of a line that have a meaning; all others are
// Extra.
var ownMembers = []string{"at", "dev", "seq", "kind", "body", "tick", "sum"}

// DecodeLine reads one line. It returns ErrTorn for what is no record line and
// ErrBadSum for a line whose bytes changed; the record is empty then. The same
// record always comes back the same: its instant in UTC, its JSON as
// EncodeLine writes it.
func DecodeLine(line []byte) (Record, error) {
	cut := len(line) - len(sumHead) - sumLen - len(sumTail)
	if cut <= 0 || !bytes.HasSuffix(line, []byte(sumTail)) || !bytes.HasPrefix(line[cut:], []byte(sumHead)) {
		return Record{}, ErrTorn
	}
	head := line[:cut]
	if lineSum(head) != string(line[cut+len(sumHead):len(line)-len(sumTail)]) {
		return Record{}, ErrBadSum
	}
	if r, ok := decodePlain(head); ok {
		return r, nil
	}
	return decodeAny(head)
}

// decodeAny reads a line up to its checksum.
func decodeAny(head []byte) (Record, error) {
	fields := map[string]json.RawMessage{}
	if err := json.Unmarshal(append(slices.Clone(head), '}'), &fields); err != nil {
		return Record{}, ErrTorn
	}
	var r Record
	for _, f := range []member{{"at", &r.At}, {"dev", &r.Dev}, {"seq", &r.Seq}, {"kind", &r.Kind}, {"body", &r.Body}} {
		if err := json.Unmarshal(fields[f.name], f.value); err != nil {
			return Record{}, fmt.Errorf("%w: member %q", ErrTorn, f.name)
		}
		delete(fields, f.name)
	}
	_, summed := fields["sum"]
	if r.Dev == "" || r.Seq <= 0 || r.Seq > maxCount || r.Kind == "" || r.At.IsZero() || summed {
		return Record{}, ErrTorn
	}
	if tick, ok := fields["tick"]; ok {
		if json.Unmarshal(tick, &r.Tick) != nil || !r.Tick.valid() {
			return Record{}, fmt.Errorf("%w: member %q", ErrTorn, "tick")
		}
		r.Tick.At = r.Tick.At.UTC()
		delete(fields, "tick")
	}
	r.At = r.At.UTC()
	if year := r.At.Year(); year < 0 || year > 9999 {
		return Record{}, ErrTorn
	}
	var err error
	if r.Body, err = json.Marshal(r.Body); err != nil {
		return Record{}, ErrTorn
	}
	for name, value := range fields {
		if fields[name], err = json.Marshal(value); err != nil {
			return Record{}, ErrTorn
		}
	}
	if len(fields) > 0 {
		r.Extra = fields
	}
	return r, nil
}

func (t Tick) valid() bool {
	year := t.At.UTC().Year()
	return t.N > 0 && t.N <= maxCount && !t.At.IsZero() && year >= 0 && year <= 9999
}

// place is where the record stands before the device decides.
func (r Record) place() Tick {
	if r.Tick.N > 0 {
		return r.Tick
	}
	return Tick{At: r.At}
}

// Compare is the total order of all records: the place (the instant written, or
// the tick), then the device, then its number, then the rest of the line. Only
// lines that say the same are equal.
//
// A place is in the line itself, so that the order of two records never depends
// on which others are there. Lines of older versions have no tick, and keep the
// order they always had.
func Compare(a, b Record) int {
	p, q := a.place(), b.place()
	order := cmp.Or(p.At.Compare(q.At), cmp.Compare(p.N, q.N), cmp.Compare(a.Dev, b.Dev), cmp.Compare(a.Seq, b.Seq),
		a.At.Compare(b.At), cmp.Compare(a.Kind, b.Kind), bytes.Compare(a.Body, b.Body))
	if order != 0 || len(a.Extra) == 0 && len(b.Extra) == 0 {
		return order
	}
	namesA, namesB := slices.Sorted(maps.Keys(a.Extra)), slices.Sorted(maps.Keys(b.Extra))
	if order := slices.Compare(namesA, namesB); order != 0 {
		return order
	}
	for _, name := range namesA {
		if order := bytes.Compare(a.Extra[name], b.Extra[name]); order != 0 {
			return order
		}
	}
	return 0
}

// Behind puts a record behind another, by a tick only where its instant and its
// number do not.
func (r Record) Behind(last Record) Record {
	if r.Tick = (Tick{}); last.Seq == 0 || Compare(last, r) < 0 {
		return r
	}
	r.Tick = last.place()
	r.Tick.N = min(r.Tick.N+1, maxCount)
	return r
}

// Last is the last of the records in their order; its Seq is 0 when there is none.
func Last(records []Record) Record {
	var last Record
	for _, r := range records {
		if last.Seq == 0 || Compare(last, r) < 0 {
			last = r
		}
	}
	return last
}

// Sum is the checksum of the record's line as EncodeLine writes it. Two records
// under one id are told apart by it; "" when it cannot be written as a line.
func (r Record) Sum() string {
	line, err := EncodeLine(r)
	if err != nil {
		return ""
	}
	return string(line[len(line)-len(sumTail)-sumLen : len(line)-len(sumTail)])
}
