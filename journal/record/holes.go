// This file finds records that were written once and are in no file any more.
//
// Each device numbers its records from 1 without a gap, so a number that is not
// there was lost. What was cut off at the end leaves no gap: how far each device
// had come is kept in marks (marks.go). A number whose line is there and cannot
// be read is reported with that line, and not here again.

package record

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"slices"
	"time"
)

// lineHead is how every line begins that EncodeLine wrote.
const lineHead = `{"at":"`

// hole is a stretch of lines in a file that cannot be read, between two that
// can.
type hole struct {
	dev    string
	before int64 // number of the line before, 0 = the file begins with the hole
	behind int64 // number of the line behind, 0 = the file ends with the hole
	lines  int64 // how many records these lines were
}

func (h *hole) add(line []byte) {
	// Where the end of a line was hit, two records stand in one line.
	h.lines += max(1, int64(bytes.Count(line, []byte(lineHead))))
}

// span is a range of numbers, both included.
type span struct{ from, to int64 }

// numbers are those that the lines of a hole bear; ok is false when nothing in
// the file tells.
func (h hole) numbers() (s span, ok bool) {
	switch {
	case h.before > 0 && h.behind > h.before:
		return span{h.before + 1, h.behind - 1}, true
	case h.before > 0:
		return span{h.before + 1, h.before + h.lines}, true
	case h.behind > 0:
		return span{max(1, h.behind-h.lines), h.behind - 1}, true
	}
	return span{}, false
}

// missing are the numbers from 1 to the top that stand in no span.
func missing(top int64, there []span) []span {
	slices.SortFunc(there, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	var gaps []span
	next := int64(1)
	for _, s := range append(there, span{top + 1, top + 1}) {
		if from, to := next, min(s.from-1, top); from <= to {
			gaps = append(gaps, span{from, to})
		}
		next = max(next, s.to+1)
	}
	return gaps
}

// extent is how far a device has come by records, marks and lines that cannot
// be read, and which numbers below are gone.
func (b *Book) extent(dev string, mark Mark) (top int64, gaps []span) {
	top = mark.Seq
	var there []span
	for _, r := range b.Records {
		if r.Dev == dev {
			top = max(top, r.Seq)
			there = append(there, span{r.Seq, r.Seq})
		}
	}
	unsure := int64(0) // lines of which nothing tells the numbers
	for _, h := range b.holes {
		if h.dev != dev {
			continue
		}
		if s, ok := h.numbers(); ok {
			top = max(top, s.to)
			there = append(there, s)
		} else {
			unsure += h.lines
		}
	}
	// Those lines account for numbers that are not there, and where there are
	// none, for the numbers that follow.
	for _, gap := range missing(top, there) {
		n := min(unsure, gap.to-gap.from+1)
		unsure -= n
		if gap.from += n; gap.from <= gap.to {
			gaps = append(gaps, gap)
		}
	}
	return top + unsure, gaps
}

// Lost are the records that are gone, as problems: gaps in the numbering of each
// device, ends that a mark tells of, and records that are others than a mark
// tells.
func (b *Book) Lost() []Problem {
	marks := b.marks()
	devices := map[string]bool{}
	for dev := range marks {
		devices[dev] = true
	}
	for _, r := range b.Records {
		devices[r.Dev] = true
	}
	var problems []Problem
	for _, dev := range slices.Sorted(maps.Keys(devices)) {
		_, gaps := b.extent(dev, marks[dev])
		for _, gap := range gaps {
			problems = append(problems, Problem{Kind: Missing, File: "records/" + dev, What: b.told(dev, gap)})
		}
		if b.replaced(dev, marks[dev]) {
			problems = append(problems, Problem{Kind: Missing, File: "records/" + dev, What: fmt.Sprintf(
				"record %s/%d is another than the one that was written: an older copy was brought back and written on; lay the newer file beside it from a backup, both are read", dev, marks[dev].Seq)})
		}
	}
	return problems
}

// replaced reports whether the record of a mark is there, and is another one.
func (b *Book) replaced(dev string, m Mark) bool {
	there := false
	for _, r := range b.Records {
		if r.Dev == dev && r.Seq == m.Seq {
			if r.Sum() == m.Sum {
				return false
			}
			there = true
		}
	}
	return there
}

// told says which records are gone and when they were written.
func (b *Book) told(dev string, s span) string {
	which := fmt.Sprintf("record %s/%d is", dev, s.from)
	if s.to > s.from {
		which = fmt.Sprintf("records %s/%d to %d (%d of them) are", dev, s.from, s.to, s.to-s.from+1)
	}
	var before, behind time.Time
	for _, r := range b.Records {
		if r.Dev != dev {
			continue
		}
		if r.Seq < s.from && r.At.After(before) {
			before = r.At
		}
		if r.Seq > s.to && (behind.IsZero() || r.At.Before(behind)) {
			behind = r.At
		}
	}
	when := ""
	switch {
	case !before.IsZero() && !behind.IsZero():
		when = fmt.Sprintf(", written between %s and %s", before.Format(time.DateOnly), behind.Format(time.DateOnly))
	case !before.IsZero():
		when = ", written after " + before.Format("2006-01-02 15:04") + " UTC"
	case !behind.IsZero():
		when = ", written before " + behind.Format("2006-01-02 15:04") + " UTC"
	default:
		when = ", all that were written there"
	}
	return which + " missing" + when + "; let the sync program finish, or bring the files back from a backup (lines that are there twice count once)"
}
