// This file appends records to the journal and folds them into its state.

package journal

import (
	"encoding/json"
	"time"

	"rakelight/journal/record"
)

// Record is one line of a records file.
type Record = record.Record

// New is a record to be appended: its kind and the body of that kind.
type New struct {
	Kind string
	Body any
}

// Problem is something in the folder that could not be read as it should be.
type Problem = record.Problem

// Append writes one record durably and folds it into State.
func (j *Journal) Append(kind string, body any) (Record, error) {
	written, err := j.AppendAll([]New{{kind, body}})
	if err != nil {
		return Record{}, err
	}
	return written[0], nil
}

// AppendAll writes records durably, all in one write, and folds them into
// State. On an error none of them counts as written.
func (j *Journal) AppendAll(add []New) ([]Record, error) {
	if len(add) == 0 {
		return nil, nil
	}
	j.mu.Lock()
	defer j.mu.Unlock()
	lines := make([]record.New, len(add))
	for i, n := range add {
		lines[i] = record.New(n)
	}
	written, err := j.book.Append(j.Now, lines)
	if err != nil {
		return nil, err
	}
	j.fold()
	return written, nil
}

// suppose is a record as it would be appended by a device of its own, after
// all others.
func suppose(kind string, body any, records []Record) (Record, error) {
	data, err := json.Marshal(body)
	if err != nil {
		return Record{}, err
	}
	const dev = "supposed"
	at, seq := time.Unix(0, 0).UTC(), int64(1)
	for _, r := range records {
		if !r.At.Before(at) {
			at = r.At.Add(time.Millisecond)
		}
		if r.Dev == dev {
			seq = r.Seq + 1
		}
	}
	return Record{At: at, Dev: dev, Seq: seq, Kind: kind, Body: data}.Behind(record.Last(records)), nil
}
