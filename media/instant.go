// This file decides when a photo was taken. It is pure: claims in, one
// instant out, with where it came from and what is doubtful about it.

package media

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
)

// Claim is one time stamp as it stands in the file.
type Claim struct {
	Tag    string // "DateTimeOriginal", "XMP CreateDate"
	Text   string
	SubSec string // digits after the point, as text
	Offset string // "+01:00" if stated
}

// Claims are all time stamps of a photo.
type Claims struct {
	List     []Claim
	GPS      time.Time // UTC, zero if absent
	FileName string
	FileTime time.Time
}

// rank is the order in which stamps are believed: when the shutter opened,
// when the picture was made into bits, what an editor noted, when the file was
// last changed.
func rank(tag string) int {
	for i, prefix := range []string{"DateTimeOriginal", "DateTimeDigitized", "XMP DateTimeOriginal", "XMP DateCreated", "XMP ", "GPS", "DateTime"} {
		if strings.HasPrefix(tag, prefix) {
			return i
		}
	}
	return 99
}

// Choose picks the instant. It never fails: the worst case is the file's own
// time, marked uncertain. zone is the journal's home zone.
func Choose(c Claims, camera journal.Camera, clocks []journal.ClockFault, zone *time.Location) journal.Instant {
	list := slices.Clone(c.List)
	if !c.GPS.IsZero() {
		list = append(list, Claim{Tag: "GPS", Text: c.GPS.Format("2006-01-02T15:04:05"), Offset: "+00:00"})
	}
	slices.SortStableFunc(list, func(a, b Claim) int { return cmp.Compare(rank(a.Tag), rank(b.Tag)) })
	for _, one := range list {
		wall, offset, dayOnly, ok := parseStamp(one.Text)
		if !ok {
			continue
		}
		if one.Offset != "" {
			offset = one.Offset
		}
		wall = wall.Add(fraction(one.SubSec))
		in := journal.Instant{Wall: one.Text, Source: one.Tag}
		place(&in, wall, offset, c.GPS, zone)
		if one.Tag == "GPS" {
			in.At, in.Offset = c.GPS.In(zone), "GPS"
		} else {
			correct(&in, wall, camera, clocks)
		}
		if dayOnly {
			in.Doubt = "only the day is known"
		}
		return in
	}
	if wall, dayOnly, ok := FileNameDate(c.FileName); ok {
		in := journal.Instant{Wall: wall.Format("2006-01-02 15:04:05"), Source: "file name"}
		place(&in, wall, "", time.Time{}, zone)
		if dayOnly {
			in.Doubt = "only the day is known, from the file name"
		}
		return in
	}
	return journal.Instant{At: c.FileTime.Truncate(time.Second).In(zone), Source: "file time", Doubt: "file time, uncertain"}
}

var stampForm = regexp.MustCompile(`^(\d{4})[:\-/.](\d{2})[:\-/.](\d{2})(?:[ T](\d{2})[:\-.](\d{2})(?:[:\-.](\d{2}))?(?:[.,]\d+)?\s*(Z|[+-]\d{2}:?\d{2})?)?$`)

// parseStamp reads an EXIF or ISO 8601 stamp as wall time. Blanks, zeros and
// the days clocks start from when their battery was out are no date.
func parseStamp(text string) (wall time.Time, offset string, dayOnly, ok bool) {
	m := stampForm.FindStringSubmatch(cleanText(text))
	if m == nil {
		return time.Time{}, "", false, false
	}
	dayOnly = m[4] == ""
	clock := "00:00:00"
	if !dayOnly {
		clock = m[4] + ":" + m[5] + ":" + cmp.Or(m[6], "00")
	}
	wall, err := time.Parse("2006-01-02 15:04:05", fmt.Sprintf("%s-%s-%s %s", m[1], m[2], m[3], clock))
	if err != nil || wall.Year() < 1990 || resets[wall.Format("2006-01-02 15:04:05")] {
		return time.Time{}, "", false, false
	}
	return wall, m[7], dayOnly, true
}

// resets are what a camera says that lost its time, after 1990. Common
// practice, no source.
var resets = map[string]bool{"2000-01-01 00:00:00": true}

// fraction turns the text of a sub-second tag into a duration: "025" is
// 25 ms, "25" is 250 ms.
func fraction(text string) time.Duration {
	var d time.Duration
	unit := time.Second
	for _, r := range text {
		if r < '0' || r > '9' || unit < 10 {
			break
		}
		unit /= 10
		d += time.Duration(r-'0') * unit
	}
	return d
}

// place puts a wall time on the time line: by the stated offset, else by the
// GPS instant, else in the journal's zone.
func place(in *journal.Instant, wall time.Time, offset string, gps time.Time, zone *time.Location) {
	if loc, ok := fixed(offset); ok {
		in.At, in.Offset = inZone(wall, loc), "stated"
		return
	}
	if !gps.IsZero() {
		// Offsets are whole quarters of an hour; a GPS fix may be minutes old.
		diff := wall.Sub(gps)
		quarter := time.Duration(math.Round(diff.Minutes()/15)) * 15 * time.Minute
		if (diff-quarter).Abs() <= 5*time.Minute && quarter.Abs() <= 14*time.Hour {
			in.At, in.Offset = inZone(wall, time.FixedZone("", int(quarter.Seconds()))), "GPS"
			return
		}
	}
	in.At, in.Offset = inZone(wall, zone), "journal zone"
	switch earlier, later := in.At.Add(-time.Hour), in.At.Add(time.Hour); {
	case in.At.Format(time.DateTime) != wall.Format(time.DateTime):
		in.Doubt = "the clocks skipped this hour that night"
	case sameWall(earlier, wall):
		in.Doubt = fmt.Sprintf("the hour came twice that night: %s or %s", earlier.Format("15:04 -07:00"), in.At.Format("15:04 -07:00"))
	case sameWall(later, wall):
		in.Doubt = fmt.Sprintf("the hour came twice that night: %s or %s", in.At.Format("15:04 -07:00"), later.Format("15:04 -07:00"))
	}
}

func sameWall(t, wall time.Time) bool { return t.Format(time.DateTime) == wall.Format(time.DateTime) }

func inZone(wall time.Time, loc *time.Location) time.Time {
	return time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), wall.Second(), wall.Nanosecond(), loc)
}

// fixed reads "+01:00", "+0100" or "Z".
func fixed(offset string) (*time.Location, bool) {
	offset = cleanText(offset)
	if offset == "Z" {
		return time.UTC, true
	}
	t, err := time.Parse("-07:00", offset)
	if err != nil {
		if t, err = time.Parse("-0700", offset); err != nil {
			return nil, false
		}
	}
	_, secs := t.Zone()
	return time.FixedZone("", secs), true
}

// correct applies the camera's clock fault, if one is noted for that day.
func correct(in *journal.Instant, wall time.Time, camera journal.Camera, clocks []journal.ClockFault) {
	day := wall.Format(time.DateOnly)
	for _, c := range clocks {
		fast, err := time.ParseDuration(c.Fast)
		if err != nil || fast == 0 || !same(c.Make, camera.Make) || !same(c.Model, camera.Model) || !same(c.Serial, camera.Serial) {
			continue
		}
		if c.From != "" && day < c.From || c.To != "" && day > c.To {
			continue
		}
		in.At = in.At.Add(-fast)
		word := "fast"
		if fast < 0 {
			word = "slow"
		}
		in.Corrected = journal.Spell(fast.Abs()) + " " + word
		return
	}
}

// same compares a setting with what the file says; an empty setting is any.
func same(want, got string) bool { return want == "" || strings.EqualFold(want, got) }

var nameForm = regexp.MustCompile(`(?:^|\D)((?:19|20)\d{2})[-_.]?(\d{2})[-_.]?(\d{2})(?:[-_ .T]{1,2}(?:at )?(\d{2})[-_.h]?(\d{2})[-_.m]?(\d{2})(?:\D|\d{3}\D|$)|\D|$)`)

// FileNameDate finds a date in a file name, as telephones and cameras write it:
// 20260314_193205, 2026-03-14-19-32-05, 2026-03-14 19.32.05, 2026-03-14.
func FileNameDate(name string) (wall time.Time, dayOnly, ok bool) {
	m := nameForm.FindStringSubmatch(name)
	if m == nil {
		return time.Time{}, false, false
	}
	dayOnly = m[4] == ""
	clock := "000000"
	if !dayOnly {
		clock = m[4] + m[5] + m[6]
	}
	wall, err := time.Parse("20060102 150405", m[1]+m[2]+m[3]+" "+clock)
	if err != nil || wall.Year() < 1990 {
		return time.Time{}, false, false
	}
	return wall, dayOnly, true
}
