// This file is one line of a records file: its envelope, its checksum, its
// place in the total order.

package journal

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"time"
)

// Record is one thing that happened, as it was written down. Records are
// appended and never changed; Kind tells which body type Body holds.
type Record struct {
	At    time.Time // when it was written, not when it happened
	Dev   string    // the device that wrote it
	Seq   int64     // counts up on each device, from 1
	Kind  string
	Body  json.RawMessage
	Extra map[string]json.RawMessage // fields of newer versions, kept as they came
}

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

// EncodeLine writes the record as one line without its newline.
func EncodeLine(r Record) ([]byte, error) {
	if r.Dev == "" || r.Seq <= 0 || r.Kind == "" || len(r.Body) == 0 {
		return nil, fmt.Errorf("a record needs a device, a number, a kind and a body")
	}
	var b bytes.Buffer
	b.WriteByte('{')
	member := func(name string, value any) error {
		data, err := json.Marshal(value)
		if err != nil {
			return err
		}
		if b.Len() > 1 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, "%q:%s", name, data)
		return nil
	}
	fields := []struct {
		name  string
		value any
	}{{"at", r.At.UTC().Format(time.RFC3339Nano)}, {"dev", r.Dev}, {"seq", r.Seq}, {"kind", r.Kind}, {"body", r.Body}}
	for _, name := range sortedKeys(r.Extra) {
		fields = append(fields, struct {
			name  string
			value any
		}{name, r.Extra[name]})
	}
	for _, f := range fields {
		if err := member(f.name, f.value); err != nil {
			return nil, err
		}
	}
	head := b.Bytes()
	return []byte(string(head) + sumHead + lineSum(head) + sumTail), nil
}

// DecodeLine reads one line. It returns ErrTorn for what is no record line and
// ErrBadSum for a line whose bytes changed; the record is empty then.
func DecodeLine(line []byte) (Record, error) {
	cut := len(line) - len(sumHead) - sumLen - len(sumTail)
	if cut <= 0 || !bytes.HasSuffix(line, []byte(sumTail)) || !bytes.HasPrefix(line[cut:], []byte(sumHead)) {
		return Record{}, ErrTorn
	}
	head := line[:cut]
	if lineSum(head) != string(line[cut+len(sumHead):len(line)-len(sumTail)]) {
		return Record{}, ErrBadSum
	}
	fields := map[string]json.RawMessage{}
	if err := json.Unmarshal(append(slices.Clone(head), '}'), &fields); err != nil {
		return Record{}, ErrTorn
	}
	var r Record
	for _, f := range []struct {
		name string
		into any
	}{{"at", &r.At}, {"dev", &r.Dev}, {"seq", &r.Seq}, {"kind", &r.Kind}, {"body", &r.Body}} {
		if err := json.Unmarshal(fields[f.name], f.into); err != nil {
			return Record{}, fmt.Errorf("%w: member %q", ErrTorn, f.name)
		}
		delete(fields, f.name)
	}
	if r.Dev == "" || r.Seq <= 0 || r.Kind == "" {
		return Record{}, ErrTorn
	}
	if len(fields) > 0 {
		r.Extra = fields
	}
	return r, nil
}

// compareRecords is the total order of all records: the instant written, then
// the device, then its number, then the bytes.
func compareRecords(a, b Record) int {
	return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Dev, b.Dev), cmp.Compare(a.Seq, b.Seq),
		cmp.Compare(a.Kind, b.Kind), bytes.Compare(a.Body, b.Body))
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
