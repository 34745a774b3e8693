// This file is the journal at one moment, for whoever decides what may be added.

package journal

import (
	"maps"
	"slices"
	"strings"
	"time"

	"rakelight/journal/record"
)

// Look is the journal at one moment: what is true then, and which records there
// are. It is never changed, and it may be asked at
// any time; the records are read when they are asked for.
type Look struct {
	*State
	Now     time.Time // the moment
	plan    Plan
	records func() []Record // State was folded from them
	bodies  photoCache
	stood   standing // State, with what has to be known to go on from it
}

// Look returns the journal as it was last read.
func (j *Journal) Look() Look {
	j.mu.Lock()
	defer j.mu.Unlock()
	l := j.look()
	l.Now, l.bodies = j.Now(), maps.Clone(l.bodies)
	last, here := j.stood.ground.Last, j.book.Records
	if !j.book.IsBrief() {
		l.records = func() []Record { return here }
		return l
	}
	l.records = func() []Record {
		j.mu.Lock()
		defer j.mu.Unlock()
		return keep(j.records(), func(r Record) bool { return record.Compare(r, last) <= 0 })
	}
	return l
}

// look is Look for whoever holds the lock for as long as it is used.
func (j *Journal) look() Look {
	plan := j.plan
	plan.Problems = append(slices.Clone(plan.Problems), j.book.Problems...)
	return Look{j.State, j.folded, plan, j.records, j.bodies, j.stood}
}

// LookAt is a look at a plan and records as they are at a moment.
func LookAt(plan Plan, records []Record, now time.Time) Look {
	bodies := photoCache{}
	plan.Now = now
	f := foldAll(passes, plan, records, bodies)
	return Look{f.state, now, plan, func() []Record { return records }, bodies, standing{f.state, f.ground, nil}}
}

// Bearers are the records of a name: an id, or where several records bear one,
// the id with "#" and a checksum.
func (l Look) Bearers(name string) []Record {
	id, sum, _ := strings.Cut(name, "#")
	all := slices.DeleteFunc(slices.Clone(l.records()),
		func(r Record) bool { return r.ID() != id || sum != "" && r.Sum() != sum })
	return unique(all)
}

// RetractedBy is the id of the retraction by which the record is taken back, ""
// when it stands.
func (l Look) RetractedBy(r Record) string {
	records := l.records()
	gone := retracted(records)
	if !gone.has(r) {
		return ""
	}
	for _, by := range retractions(records)[r.ID()] {
		if (by.sum == "" || by.sum == r.Sum()) && !gone.has(by.by) {
			return by.by.ID()
		}
	}
	return ""
}

// Suppose is the state as it would be with more records. Nothing is written.
func (l Look) Suppose(add ...Body) (*State, error) {
	if l.stood.state == l.State {
		more, err := supposed(add, l.Now, l.stood.ground.Last)
		if err != nil {
			return nil, err
		}
		plan := l.plan
		plan.Now = l.Now
		l.stood.records = l.records
		if after, ok := l.stood.advance(plan, more); ok {
			return after.state, nil
		}
	}
	records := l.records()
	more, err := supposed(add, l.Now, record.Last(records))
	if err != nil {
		return nil, err
	}
	plan := l.plan
	plan.Now = l.Now
	return foldWith(plan, slices.Concat(records, more), l.bodies), nil
}
