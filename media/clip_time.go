// What the time in the header of a clip means. The standard has it in UTC (ISO/IEC
// 14496-12, 8.2.2.3: "in seconds since midnight, Jan. 1, 1904, in UTC time"), and
// so write telephones; many cameras, which know no zone, write the time they show
// (common practice, no source). Which of the two it is, is decided by what else is
// known, and where nothing tells, the standard's reading stands as a doubt with
// both told.

package media

import (
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// namedInUTC is how names begin that one sort of telephones makes of the time in UTC;
// all others make them of the local time (common practice, no source).
const namedInUTC = "PXL_"

// header resolves the time of a movie header.
func header(c Claims, r *reading, camera journal.Camera, clocks []journal.ClockFault,
	zoneAt, of func(time.Time) *time.Location) journal.Instant {
	local := r.instant(time.Time{}, camera, clocks, zoneAt(r.wall))
	// A camera's clock fault is off the UTC it reckons, too.
	shown := r.wall.In(of(r.wall))
	fast := journal.ClockOf(clocks, camera, shown.Format(time.DateOnly))
	utc := journal.Instant{At: shown.Add(-fast), Wall: r.text + " UTC", Source: r.source, Offset: journal.ByStandard,
		Corrected: reason.Fault{Fast: fast}}
	if local.At.Equal(utc.At) {
		return local
	}
	isUTC, by := meantBy(c, r.wall, utc.At, local.At)
	switch {
	case by == "":
		const form = "2006-01-02 15:04 (-07:00)"
		utc.Doubts = reason.Doubts{{Is: reason.UTCOrNot, Wall: r.wall.Format("2006-01-02 15:04"),
			At: utc.At.Format(form), Or: local.At.Format(form)}}
		return utc
	case isUTC:
		utc.Meant = by
		return utc
	}
	local.Meant = by
	return local
}

// meantBy asks what else is known, in the order of trust, which of two readings
// of a header is meant. by is "" where nothing tells.
func meantBy(c Claims, digits, utc, local time.Time) (isUTC bool, by reason.Meant) {
	near := func(at, header time.Time) bool { return journal.NearHeader(at, header, c.Length) }
	// decides is what one other time tells, if it tells one reading from the other.
	decides := func(at time.Time) (is, ok bool) {
		u, l := near(at, utc), near(at, local)
		return u, u != l
	}
	if d, _, ok := nameDate(c.FileName); ok && d.clock && !d.unset() {
		u := near(d.wall, utc.UTC().Add(time.Duration(offsetOf(utc))*time.Second))
		switch l := near(d.wall, digits); {
		case l && strings.HasPrefix(c.FileName, namedInUTC):
			return true, reason.ByName
		case u != l:
			return u, reason.ByName
		}
	}
	if is, ok := decides(c.GPS); ok && !c.GPS.IsZero() {
		return is, reason.BySatellite
	}
	if is, by := c.Others.Tells(utc, local, c.Length); by != "" {
		return is, by
	}
	if is, ok := decides(c.FileTime); ok && !noDate(c.FileTime) {
		return is, reason.ByFileTime
	}
	if !c.Read.IsZero() {
		late := c.Read.Add(5 * time.Minute) // as far as a clock that is set may be off
		if u, l := utc.After(late), local.After(late); u != l {
			return l, reason.ByPresent
		}
	}
	return false, ""
}
