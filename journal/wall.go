// This file turns a wall time, as a clock at the bench shows it, into a moment.

package journal

import (
	"fmt"
	"time"
)

// InZone is the moment a wall time (its digits, in UTC) means in the zone. When
// the clocks were changed that night it may mean two or none: then the doubt
// names both, and the moment is the earlier. The doubt is "" else.
func InZone(wall time.Time, zone *time.Location) (at time.Time, doubt string) {
	var readings, near []time.Time
	for _, secs := range OffsetsAround(wall, zone) {
		t := wall.Add(-time.Duration(secs) * time.Second).In(zone)
		near = append(near, t)
		if offsetOf(t) == secs {
			readings = append(readings, t)
		}
	}
	const form = "15:04 (-07:00)"
	switch {
	case len(readings) == 2:
		return readings[0], doubtTwice + fmt.Sprintf("%s or %s", readings[0].Format(form), readings[1].Format(form))
	case len(readings) == 1:
		return readings[0], ""
	case len(near) == 2:
		return near[0], wall.Format("15:04") + doubtSkipped + fmt.Sprintf("%s or %s", near[0].Format(form), near[1].Format(form))
	}
	// Two changes within two days: the zone's own reading.
	return time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), wall.Nanosecond(), zone), ""
}

// How InZone words its doubts: a corrected clock does away with them.
const (
	doubtTwice   = "the hour came twice that night: "
	doubtSkipped = " was skipped that night: "
)

// OffsetsAround are the offsets, in seconds east of Greenwich, that the zone
// has within a day of a wall time, the earlier first.
func OffsetsAround(wall time.Time, zone *time.Location) []int {
	before, after := offsetOf(wall.Add(-26*time.Hour).In(zone)), offsetOf(wall.Add(26*time.Hour).In(zone))
	if before == after {
		return []int{before}
	}
	return []int{before, after}
}

func offsetOf(t time.Time) int {
	_, secs := t.Zone()
	return secs
}

// asWall is the digits a clock showed at the moment, in UTC.
func asWall(t time.Time) time.Time {
	return t.UTC().Add(time.Duration(offsetOf(t)) * time.Second)
}

// atOffset is the moment a wall time means at an offset, in the form in which
// a moment is read from a record: the fold must give the same state as
// reading again does.
func atOffset(wall time.Time, secs int) time.Time {
	t := wall.Add(-time.Duration(secs) * time.Second)
	if secs == 0 {
		return t.UTC()
	}
	return t.In(time.FixedZone("", secs))
}
