// This file turns a wall time, as a clock at the bench shows it, into a moment.

package journal

import (
	"time"

	"rakelight/journal/reason"
)

// InZone is the moment a wall time (its digits, in UTC) means in the zone. When
// the clocks were changed that night it may mean two or none: then the doubt
// names both, and the moment is the earlier. There is no doubt else.
func InZone(wall time.Time, zone *time.Location) (at time.Time, doubts reason.Doubts) {
	var readings, near []time.Time
	for _, secs := range OffsetsAround(wall, zone) {
		t := wall.Add(-time.Duration(secs) * time.Second).In(zone)
		near = append(near, t)
		if offsetOf(t) == secs {
			readings = append(readings, t)
		}
	}
	switch {
	case len(readings) == 2:
		return readings[0], reason.Doubts{reason.Readings(reason.Twice, wall, readings[0], readings[1])}
	case len(readings) == 1:
		return readings[0], nil
	case len(near) == 2:
		return near[0], reason.Doubts{reason.Readings(reason.Skipped, wall, near[0], near[1])}
	}
	// Two changes within two days: the zone's own reading.
	return time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(),
		wall.Nanosecond(), zone), nil
}

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
