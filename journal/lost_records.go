// This file knows which records a person has said to be lost for good.

package journal

import (
	"errors"

	"rakelight/journal/record"
)

// lost looks at a record of lost ones. It changes nothing in the state: only
// Check asks for it.
func (f *folding) lost(r Record) error {
	_, err := lostOf(r)
	return err
}

func lostOf(r Record) (record.Gap, error) {
	b, err := read[LostBody](r)
	if err == nil && (b.Dev == "" || b.From < 1 || b.To < b.From) {
		err = errors.New("it names no records")
	}
	return record.Gap(b), err
}

// knownLost are the records that a person has said to be lost.
func (j *Journal) knownLost() []record.Gap {
	var known []record.Gap
	records := j.records()
	gone := retracted(records)
	for _, r := range records {
		if !is[LostBody](r) || gone.has(r) {
			continue
		}
		if g, err := lostOf(r); err == nil {
			known = append(known, g)
		}
	}
	return known
}

// AcceptLost writes down that the records which are missing now are lost for
// good, and returns which those are and what it wrote: one record a gap.
func (j *Journal) AcceptLost() (gaps []record.Gap, written []Record, err error) {
	j.mu.Lock()
	book, err := j.whole()
	if err == nil {
		gaps = book.Gaps(j.knownLost())
	}
	j.mu.Unlock()
	if err != nil {
		return nil, nil, err
	}
	var add []Body
	for _, g := range gaps {
		add = append(add, LostBody(g))
	}
	written, err = j.AppendAll(add)
	return gaps, written, err
}
