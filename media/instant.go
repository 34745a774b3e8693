// When a photo was taken: the one place that decides it, from what the file
// claims. Pure: no file, no clock.

package media

import (
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
)

// Digital cameras begin about here; an earlier year is a clock that was lost.
const firstYear = 1990

// claimOrder is the order of trust. A file's name and its modification time
// come after all of these.
var claimOrder = []string{
	"DateTimeOriginal", "DateTimeDigitized", "QuickTime creationdate", "XML CreationDate",
	"XMP exif:DateTimeOriginal", "XMP photoshop:DateCreated", "IPTC DateCreated", "XMP xmp:CreateDate",
	"IPTC DigitalCreationDate", "PNG Creation Time",
	"sidecar exif:DateTimeOriginal", "sidecar photoshop:DateCreated", "sidecar xmp:CreateDate",
	"GPS", "DateTime", "QuickTime day", journal.MovieHeader,
}

// ahead is how far a time may lie after the taking in: clocks run some minutes off.
const ahead = time.Hour

// reading is one usable claim, read.
type reading struct {
	source, text string
	date
	offsetText string
	lent       string // the offset that another claim of the same wall time states
}

// Choose decides when a photo was taken. Claims are tried in the order of
// trust; a claim with a day but no time of day yields to a later one of the
// same day. A camera's clock fault is taken off the wall time before its
// offset is looked for, since both the GPS difference and the journal zone
// speak of true wall times; a fault that names no make, model or serial is any
// camera's, and its days are those the camera showed. It never fails: the
// worst answer is the file's own time, with a Doubt.
//
// zoneAt gives the zone the person was in when the wall clock showed a time, as
// journal's State.ZoneAt does.
func Choose(c Claims, camera journal.Camera, clocks []journal.ClockFault,
	zoneAt func(wall time.Time) *time.Location) journal.Instant {
	best, odd := pick(c)
	var in journal.Instant
	// An absolute moment is shown in the zone of the wall clock it comes near.
	of := func(t time.Time) *time.Location { return zoneAt(t.In(zoneAt(t.UTC()))) }
	switch {
	case best == nil && noDate(c.FileTime):
		in = journal.Instant{At: c.Read.In(of(c.Read)), Source: journal.TakenIn,
			Doubts: reason.Doubts{{Is: reason.TakingIn}}}
	case best == nil:
		zone := of(c.FileTime)
		in = journal.Instant{At: c.FileTime.In(zone), Source: journal.FileTime,
			Doubts: reason.Doubts{{Is: reason.FileTime}}}
		if !c.FileTime.IsZero() {
			in.Wall = in.At.Format("2006-01-02 15:04:05 -07:00")
		}
	case best.source == journal.FromGPS:
		in = journal.Instant{At: c.GPS.In(of(c.GPS)), Wall: best.text, Source: journal.FromGPS, Offset: journal.FromGPS}
	case best.source == journal.MovieHeader:
		in = header(c, best, camera, clocks, zoneAt, of)
	default:
		// The camera's own fault is of minutes; which zone its day lay in does
		// not hang on it.
		in = best.instant(c.GPS, camera, clocks, zoneAt(best.wall))
		if ofClip(best.source) && best.offsetText == "Z" { // a moment, and not where it was
			in.At, in.Offset = in.At.In(of(in.At)), journal.ByStandard
		}
		if best.reset() {
			in.Doubts = in.Doubts.With(reason.Doubt{Is: reason.NeverSet})
		}
		if c.Scanned && best.ofScanning(c) {
			in.Doubts = in.Doubts.With(reason.Doubt{Is: reason.Scanned})
		}
	}
	if !c.Read.IsZero() && in.At.After(c.Read.Add(ahead)) {
		in.Doubts = in.Doubts.With(reason.Doubt{Is: reason.Ahead})
	}
	// A date from another time casts doubt on the clock; one that is none, no more
	// than on itself.
	for _, o := range odd {
		if o.Is == reason.OutOfTime {
			in.Doubts = in.Doubts.With(o)
		} else {
			in.Passed = in.Passed.With(o)
		}
	}
	return in
}

// pick returns the claim to trust, or nil, and the dates that are not used.
func pick(c Claims) (best *reading, odd reason.Doubts) {
	var day *reading
	list, odd := readings(c)
	for _, r := range list {
		if last := c.Read.Year() + 1; r.wall.Year() < firstYear || !c.Read.IsZero() && r.wall.Year() > last {
			odd = append(odd, reason.Doubt{Is: reason.OutOfTime, Source: r.source, Text: r.text})
			continue
		}
		if !r.clock {
			if day == nil {
				day = &r
			}
			continue
		}
		if day != nil && r.wall.Format(time.DateOnly) != day.wall.Format(time.DateOnly) {
			continue // trusted less than the day known already
		}
		return &r, odd
	}
	return day, odd
}

// readings are the claims that state a date, in the order of trust, and those
// that state an odd one.
func readings(c Claims) (list []reading, odd reason.Doubts) {
	for _, tag := range claimOrder {
		for _, claim := range c.List {
			if claim.Tag != tag {
				continue
			}
			text := strings.TrimSpace(claim.Text)
			d, ok := parseDate(text)
			if is := oddOf(text, d, ok); is != "" {
				odd = append(odd, reason.Doubt{Is: is, Source: tag, Text: text})
			}
			if !ok || d.unset() || tag == "GPS" && c.GPS.IsZero() {
				continue
			}
			if claim.SubSec != "" {
				d.sub = claim.SubSec
			}
			r := reading{source: tag, text: text, date: d, offsetText: claim.Offset}
			if r.offsetText == "" {
				r.offsetText = d.offset
			}
			list = append(list, r)
		}
	}
	lend(list)
	if d, text, ok := nameDate(c.FileName); ok && !d.unset() {
		list = append(list, reading{source: journal.FromName, text: text, date: d})
	}
	return list, odd
}

// oddOf is what is odd about a date as read, "" for nothing: blanks say nothing,
// and a year or a month alone is less than is used.
func oddOf(text string, d date, ok bool) reason.Is {
	digits := strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, text)
	switch {
	case ok && d.unset():
		return reason.Unset
	case ok, digits == "", partForm.MatchString(text):
		return ""
	case strings.Trim(digits, "0") == "":
		return reason.Zeros
	case dateForm.MatchString(text):
		return reason.NoSuchDay
	}
	return reason.Unread
}

// lend gives claims without an offset that of another with the same wall time: an
// editor writes the offset into XMP beside an EXIF time without, and older
// cameras one offset for all their times. Z is not lent: many write it for "not
// known".
func lend(list []reading) {
	for i := range list {
		r := &list[i]
		if _, ok := parseOffset(r.offsetText); ok || !r.clock {
			continue
		}
		for _, other := range list {
			if _, ok := parseOffset(other.offsetText); ok && other.offsetText != "Z" && other.clock &&
				other.wall.Equal(r.wall) {
				r.lent = other.offsetText
				break
			}
		}
	}
}

// instant resolves a reading to a moment.
func (r *reading) instant(gps time.Time, camera journal.Camera, clocks []journal.ClockFault,
	zone *time.Location) journal.Instant {
	in := journal.Instant{Wall: r.text, Source: r.source}
	if !r.clock {
		noon := r.wall.Add(12 * time.Hour) // the hour least likely to fall on another day elsewhere
		in.At, _ = journal.InZone(noon, zone)
		in.Offset, in.Doubts = journal.HomeOffset, reason.Doubts{{Is: reason.DayOnly}}
		return in
	}
	fast := journal.ClockOf(clocks, camera, r.wall.Format(time.DateOnly))
	wall := r.wall.Add(fraction(r.sub) - fast)
	in.Corrected = reason.Fault{Fast: fast}
	if secs, ok := parseOffset(r.offsetText); ok {
		in.At, in.Offset = atOffset(wall, secs, zone), journal.StatedOffset
		return in
	}
	if secs, ok := gpsOffset(wall, gps, zone); ok {
		in.At, in.Offset = atOffset(wall, secs, zone), journal.FromGPS
		return in
	}
	if secs, ok := parseOffset(r.lent); ok {
		in.At, in.Offset = atOffset(wall, secs, zone), journal.StatedOffset
		return in
	}
	in.Offset = journal.HomeOffset
	in.At, in.Doubts = journal.InZone(wall, zone)
	return in
}

// atOffset is the moment a wall time means at an offset, in the zone itself
// where that has the same offset then, so that its name is kept.
func atOffset(wall time.Time, secs int, zone *time.Location) time.Time {
	t := wall.Add(-time.Duration(secs) * time.Second)
	if in := t.In(zone); offsetOf(in) == secs {
		return in
	}
	return t.In(time.FixedZone("", secs))
}

func offsetOf(t time.Time) int {
	_, secs := t.Zone()
	return secs
}

// A GPS fix may be some minutes older than the picture.
const gpsStale = 10 * time.Minute

// gpsOffset is the offset at which a wall time agrees with the GPS instant:
// the journal zone's if that fits, else the nearest one in use anywhere.
func gpsOffset(wall, gps time.Time, zone *time.Location) (int, bool) {
	if gps.IsZero() || gps.Year() < firstYear {
		return 0, false
	}
	diff := wall.Sub(gps)
	fits := func(secs int) bool { return (diff - time.Duration(secs)*time.Second).Abs() <= gpsStale }
	for _, secs := range journal.OffsetsAround(wall, zone) {
		if fits(secs) {
			return secs, true
		}
	}
	// Whole and half hours, then the three places a quarter hour off.
	const hour, half, quarter = 3600, 1800, 900
	for secs := -12 * hour; secs <= 14*hour; secs += half {
		if fits(secs) {
			return secs, true
		}
	}
	for _, secs := range []int{5*hour + 3*quarter, 8*hour + 3*quarter, 12*hour + 3*quarter, 13*hour + 3*quarter} {
		if fits(secs) {
			return secs, true
		}
	}
	return 0, false
}
