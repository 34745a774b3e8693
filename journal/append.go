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
	written, _, err := j.append(onceSaid{}, false, func(Look) ([]Body, error) { return add, nil })
	return written, err
}

// AppendFrom asks decide what to append, and appends that durably, as one entry:
// after a power cut all of it counts, or nothing. decide sees the journal as it stands while no other process of this
// computer can write, and its error comes back as it is. It must not call the
// journal. Nothing to append is no error.
func (j *Journal) AppendFrom(decide func(Look) ([]Body, error)) ([]Record, error) {
	written, _, err := j.append(onceSaid{}, true, decide)
	return written, err
}

// OnceAhead is by how much the clock that gave an id may go ahead (AppendOnce).
const OnceAhead = record.OnceAhead

// AppendOnce is AppendFrom of what bears an id of its own, which was given at since
// or later by a clock that goes OnceAhead at most: each of the records bears it.
// Where records bear it already, nothing is decided or written, and they come back
// with again.
func (j *Journal) AppendOnce(id string, since time.Time, decide func(Look) ([]Body, error)) (written []Record,
	again bool, err error) {
	if err := record.CheckOnce(id); err != nil {
		return nil, false, err
	}
	return j.append(onceSaid{id, since}, true, decide)
}

// onceSaid is the id of something said and when it was given; the zero value is none.
type onceSaid struct {
	id    string
	since time.Time
}

// append appends what decide says, of which all is one entry, or each stands alone.
func (j *Journal) append(s onceSaid, whole bool, decide func(Look) ([]Body, error)) (written []Record, again bool,
	err error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if err := j.takeBackCutOff(); err != nil {
		return nil, false, err
	}
	var before []Record
	written, err = j.book.AppendFrom(j.Now, func() ([]record.New, error) {
		if j.stale() {
			if err := j.fold(); err != nil {
				return nil, err
			}
		}
		if s.id != "" {
			var err error
			if before, err = j.book.Once(s.id, s.since); err != nil || len(before) > 0 {
				return nil, err
			}
		}
		now := j.look()
		now.Now = j.Now()
		add, err := decide(now)
		lines := make([]record.New, len(add))
		for i, body := range add {
			lines[i] = record.New{Kind: body.RecordKind(), Body: body, Once: s.id}
			if whole {
				lines[i].Of = len(add)
			}
		}
		return lines, err
	})
	if err == nil && len(before) > 0 {
		return before, true, nil
	}
	if err != nil || len(written) == 0 {
		return nil, false, err
	}
	if err := j.fold(); err != nil {
		return written, false, fmt.Errorf("the record was written, and then the journal could not be read: %w", err)
	}
	return written, false, nil
}

// takeBackCutOff takes back the records of an entry that a power cut left in part. It
// was never called written.
func (j *Journal) takeBackCutOff() error {
	retracts := func(r Record) string {
		if b, err := read[RetractBody](r); err == nil && is[RetractBody](r) {
			return b.Record
		}
		return ""
	}
	if len(j.book.CutOff(retracts)) == 0 { // or another process is writing just now
		return nil
	}
	written, err := j.book.AppendFrom(j.Now, func() (back []record.New, _ error) {
		for _, r := range j.book.CutOff(retracts) {
			body := RetractBody{Record: r.ID(), Sum: r.Sum()}
			back = append(back, record.New{Kind: body.RecordKind(), Body: body})
		}
		return back, nil
	})
	if err != nil || len(written) == 0 {
		return err
	}
	return j.fold()
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
