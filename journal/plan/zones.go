// This file knows which time zone the person was in.

package plan

import (
	"fmt"
	"time"
)

// read returns from when on a change holds, as a wall time in UTC, and the
// zone.
func (z ZoneChange) read() (from time.Time, zone *time.Location, err error) {
	for _, form := range []string{time.DateOnly, "2006-01-02 15:04", "2006-01-02T15:04"} {
		if from, err = time.Parse(form, z.From); err == nil {
			break
		}
	}
	if err != nil {
		return from, nil, fmt.Errorf("from = %q is not a day; write it like 2025-07-01", z.From)
	}
	zone, err = time.LoadLocation(z.Name)
	if err != nil || z.Name == "" {
		return from, nil, fmt.Errorf("%q is not a time zone; one is named like Asia/Tokyo", z.Name)
	}
	return from, zone, nil
}

// ZoneDoubt says what is wrong with the time zones of journal.toml, "" = nothing.
// Photos that state no zone would be dated by the wrong one for ever, so none is
// taken in until it is mended.
func (c Config) ZoneDoubt() string {
	if c.Zone == "" {
		return "journal.toml names no time zone"
	}
	if _, err := time.LoadLocation(c.Zone); err != nil {
		return fmt.Sprintf("journal.toml names %q, which is no time zone", c.Zone)
	}
	for _, z := range c.Zones {
		if _, _, err := z.read(); err != nil {
			return fmt.Sprintf("journal.toml has an entry of zones that cannot be read: %v", err)
		}
	}
	return ""
}

// ZoneAt is the zone the person was in when the clock on the wall showed a
// time: that of the latest change before it, else the home, or UTC
// where that is nil. Only the
// digits of wall count, not its zone.
func (c Config) ZoneAt(home *time.Location, wall time.Time) *time.Location {
	digits := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), 0, time.UTC)
	zone, since := home, time.Time{}
	for _, z := range c.Zones {
		from, loc, err := z.read()
		if err == nil && !from.After(digits) && !from.Before(since) {
			zone, since = loc, from
		}
	}
	if zone == nil {
		return time.UTC
	}
	return zone
}
