// This file appends records to the journal and folds them into its state.

package journal

import (
	"encoding/json"
	"fmt"
	"time"

	"rakelight/journal/record"
)

// Record is one line of a records file.
type Record = record.Record

// Problem is something in the folder that could not be read as it should be.
type Problem = record.Problem

// Append writes one record durably and folds it into State.
func (j *Journal) Append(body Body) (Record, error) {
	written, err := j.AppendAll([]Body{body})
	if err != nil {
		return Record{}, err
	}
	return written[0], nil
}

// AppendAll writes records durably, all in one write, and folds them into
// State. On an error none of them counts as written.
func (j *Journal) AppendAll(add []Body) ([]Record, error) {
	if len(add) == 0 {
		return nil, nil
	}
	return j.AppendFrom(func(Look) ([]Body, error) { return add, nil })
}

// AppendFrom asks decide what to append, and appends that durably, all in one
// write. decide sees the journal as it stands while no other process of this
// computer can write, and its error comes back as it is. It must not call the
// journal. Nothing to append is no error.
func (j *Journal) AppendFrom(decide func(Look) ([]Body, error)) ([]Record, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	written, err := j.book.AppendFrom(j.Now, func() ([]record.New, error) {
		if j.stale() {
			if err := j.fold(); err != nil {
				return nil, err
			}
		}
		now := j.look()
		now.Now = j.Now()
		add, err := decide(now)
		lines := make([]record.New, len(add))
		for i, body := range add {
			lines[i] = record.New{Kind: body.RecordKind(), Body: body}
		}
		return lines, err
	})
	if err != nil || len(written) == 0 {
		return nil, err
	}
	if err := j.fold(); err != nil {
		return written, fmt.Errorf("the record was written, and then the journal could not be read: %w", err)
	}
	return written, nil
}

// supposed are records as they would be appended at a moment by a device of its own,
// behind the last.
func supposed(add []Body, now time.Time, last Record) ([]Record, error) {
	var records []Record
	for i, body := range add {
		data, err := json.Marshal(body)
		if err != nil {
			return nil, err
		}
		last = Record{At: now.UTC().Truncate(time.Millisecond), Dev: "supposed", Seq: int64(i) + 1,
			Kind: body.RecordKind(), Body: data}.Behind(last)
		records = append(records, last)
	}
	return records, nil
}
