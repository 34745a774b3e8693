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
	h.lines += max(1, int64(headsIn(line)))
}

// headsIn is how many records begin in a line: at its beginning, and behind the end of
// another. An instant within a body or a tick is written as a head is, too.
func headsIn(line []byte) (n int) {
	for at := 0; ; at += len(lineHead) {
		next := bytes.Index(line[at:], []byte(lineHead))
		if next < 0 {
			return n
		}
		if at += next; at == 0 || endsRecord(line[:at]) || endsRecord(line[:at-1]) {
			n++
		}
	}
}

// endsRecord reports whether a line, as far as it goes, ends as EncodeLine ends them.
func endsRecord(line []byte) bool {
	cut := len(line) - len(sumHead) - sumLen - len(sumTail)
	return cut >= 0 && bytes.HasPrefix(line[cut:], []byte(sumHead)) && bytes.HasSuffix(line, []byte(sumTail))
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
func (b *Book) extent(dev string, mark Mark, known []Gap) (top int64, gaps []span) {
	top = mark.Seq
	var there []span
	for _, g := range known {
		if g.Dev == dev {
			there = append(there, span{g.From, g.To})
		}
	}
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

// Gap is a range of a device's records that are gone, both numbers included.
type Gap struct {
	Dev      string
	From, To int64
}

// String names the records: "records bench-3f2a/2 to 5".
func (g Gap) String() string {
	if g.To == g.From {
		return fmt.Sprintf("record %s/%d", g.Dev, g.From)
	}
	return fmt.Sprintf("records %s/%d to %d", g.Dev, g.From, g.To)
}

// Gaps are the records that are gone, by device and number, but those that are
// known to be.
func (b *Book) Gaps(known []Gap) []Gap {
	marks := b.marks()
	var all []Gap
	for _, dev := range b.devices(marks) {
		_, gaps := b.extent(dev, marks[dev], known)
		for _, s := range gaps {
			all = append(all, Gap{dev, s.from, s.to})
		}
	}
	return all
}

// Lost tells of the gaps that are not known, and of records that are others than
// those a mark tells of.
func (b *Book) Lost(known []Gap) []Problem {
	var problems []Problem
	for _, g := range b.Gaps(known) {
		problems = append(problems, Problem{Kind: Missing, File: "records/" + g.Dev, What: b.told(g)})
	}
	marks := b.marks()
	for _, dev := range b.devices(marks) {
		if b.replaced(dev, marks[dev]) {
			problems = append(problems, Problem{Kind: Missing, File: "records/" + dev, What: fmt.Sprintf(
				"record %s/%d is another than the one that was written: an older copy was brought back and written on; lay the newer file beside it from a backup, both are read",
				dev, marks[dev].Seq)})
		}
	}
	return problems
}

// devices are those that wrote records or that a mark tells of, by name.
func (b *Book) devices(marks map[string]Mark) []string {
	names := map[string]bool{}
	for dev := range marks {
		names[dev] = true
	}
	for _, r := range b.Records {
		names[r.Dev] = true
	}
	return slices.Sorted(maps.Keys(names))
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
func (b *Book) told(g Gap) string {
	which := g.String() + " is"
	if n := g.To - g.From + 1; n > 1 {
		which = fmt.Sprintf("%s (%d of them) are", g, n)
	}
	var before, behind time.Time
	for _, r := range b.Records {
		if r.Dev != g.Dev {
			continue
		}
		if r.Seq < g.From && r.At.After(before) {
			before = r.At
		}
		if r.Seq > g.To && (behind.IsZero() || r.At.Before(behind)) {
			behind = r.At
		}
	}
	when := ""
	switch {
	case !before.IsZero() && before.Format(time.DateOnly) == behind.Format(time.DateOnly):
		when = ", written on " + before.Format(time.DateOnly)
	case !before.IsZero() && !behind.IsZero():
		when = fmt.Sprintf(", written between %s and %s", before.Format(time.DateOnly), behind.Format(time.DateOnly))
	case !before.IsZero():
		when = ", written after " + before.Format("2006-01-02 15:04") + " UTC"
	case !behind.IsZero():
		when = ", written before " + behind.Format("2006-01-02 15:04") + " UTC"
	default:
		when = ", all that were written there"
	}
	return which + " missing" + when +
		"; let the sync program finish, or bring the files back from a backup or a newer copy (lines that are there twice count once); if they are lost for good, rakelight check --lost writes that down"
}
