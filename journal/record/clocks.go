// This file finds devices whose clock was ahead.

package record

import (
	"cmp"
	"fmt"
	"slices"
	"time"
)

// clockAhead is by how much a record may be dated after what the same device
// wrote later, or after now, before its clock is called odd: a journey moves no
// clock by a day.
const clockAhead = 24 * time.Hour

// OddClocks tells of each device that dated records after now or after what it
// wrote later. The order of records does not suffer: who saw them writes behind
// them (Tick).
func OddClocks(records []Record, now time.Time) []Problem {
	byDevice := map[string][]Record{}
	for _, r := range records {
		byDevice[r.Dev] = append(byDevice[r.Dev], r)
	}
	var problems []Problem
	for dev, all := range byDevice {
		slices.SortFunc(all, func(a, b Record) int { return cmp.Compare(b.Seq, a.Seq) })
		latest, odd, far := now, 0, time.Time{}
		for _, r := range all { // from the last back
			switch {
			case r.At.Sub(latest) > clockAhead:
				odd++
				if r.At.After(far) {
					far = r.At
				}
			case r.At.Before(latest):
				latest = r.At
			}
		}
		if odd > 0 {
			problems = append(problems, Problem{Kind: OddClock, File: "records/" + dev, What: fmt.Sprintf(
				"the clock of this computer was ahead: records dated up to %s, %d of them; set the clock if it still is; what was said after them counts above them all the same",
				far.Format(time.DateOnly), odd)})
		}
	}
	slices.SortFunc(problems, func(a, b Problem) int { return cmp.Compare(a.File, b.File) })
	return problems
}
