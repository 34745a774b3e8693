// Dates as files write them: EXIF with colons, XMP in ISO 8601 of any
// precision, and those in file names.

package media

import (
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// date is a date read from a text. wall holds the digits in UTC, whatever zone
// they were meant in.
type date struct {
	wall   time.Time
	clock  bool   // a time of day was given
	sub    string // digits after the decimal point
	offset string // "+01:00", "Z" or ""
}

var dateForm = regexp.MustCompile(`^(\d{4})[:/.-]\s?(\d{1,2})[:/.-]\s?(\d{1,2})` +
	`(?:(?:\s+|T)(\d{1,2})[:.-]\s?(\d{1,2})(?:[:.-]\s?(\d{1,2})(?:[.,](\d{1,18}))?)?\s*(Z|[+-]\d{2}:?\d{2})?)?$`)

// parseDate reads a date with day, or a date and time. It is false for blanks,
// zeros, and days and hours there are not.
func parseDate(text string) (date, bool) {
	text = strings.Trim(text, "\x00 \t\r\n")
	m := dateForm.FindStringSubmatch(text)
	if m == nil {
		return date{}, false
	}
	d := date{clock: m[4] != "", sub: m[7], offset: m[8]}
	var ok bool
	d.wall, ok = wallTime(m[1:7])
	return d, ok
}

// wallTime makes a time of year, month, day, hour, minute and second, each as
// digits or "". Unlike time.Date it refuses 31 April.
func wallTime(digits []string) (time.Time, bool) {
	var n [6]int
	for i, s := range digits {
		if s != "" {
			var err error
			if n[i], err = strconv.Atoi(s); err != nil {
				return time.Time{}, false
			}
		}
	}
	t := time.Date(n[0], time.Month(n[1]), n[2], n[3], n[4], n[5], 0, time.UTC)
	same := t.Year() == n[0] && int(t.Month()) == n[1] && t.Day() == n[2] && t.Hour() == n[3] && t.Minute() == n[4] && t.Second() == n[5]
	return t, same && n[0] > 0
}

// Where clocks begin to count: the days a camera shows whose clock was never
// set, or that lost its battery.
var beginnings = map[string]bool{
	"1904-01-01": true, "1970-01-01": true, "1980-01-01": true, "1980-01-06": true, "2000-01-01": true, "2001-01-01": true,
}

// unset reports stamps that cameras write when their clock was never set: the
// first second of such a day, or any of a day before there were such cameras.
func (d date) unset() bool {
	return beginnings[d.wall.Format(time.DateOnly)] && (d.wall.Year() < firstYear || d.clock && d.wall.Format(time.TimeOnly) == "00:00:00")
}

// reset reports a time later on such a day. It may be true.
func (d date) reset() bool { return d.clock && beginnings[d.wall.Format(time.DateOnly)] }

// noDate reports file times that say nothing: none, and the beginnings that
// archives and file systems write for none, which lie before all cameras.
func noDate(t time.Time) bool { return t.IsZero() || t.UTC().Year() < firstYear }

// fraction turns digits after the decimal point into a duration: "025" is 25
// milliseconds, "25" is 250. Anything else is nothing.
func fraction(digits string) time.Duration {
	digits = strings.Trim(digits, "\x00 ")
	if digits == "" || strings.Trim(digits, "0123456789") != "" {
		return 0
	}
	nano, _ := strconv.Atoi((digits + "000000000")[:9])
	return time.Duration(nano)
}

var offsetForm = regexp.MustCompile(`^([+-])(\d{2}):?(\d{2})$`)

// parseOffset reads "+01:00", "-0330" or "Z" as seconds east of Greenwich. It
// is false for blanks and for what no place on earth uses.
func parseOffset(text string) (int, bool) {
	text = strings.Trim(text, "\x00 ")
	if text == "Z" {
		return 0, true
	}
	m := offsetForm.FindStringSubmatch(text)
	if m == nil {
		return 0, false
	}
	h, _ := strconv.Atoi(m[2])
	min, _ := strconv.Atoi(m[3])
	secs := h*3600 + min*60
	if secs > 14*3600 || min > 59 {
		return 0, false
	}
	if m[1] == "-" {
		secs = -secs
	}
	return secs, true
}

// Dates in names: with a time of day first, since a day alone says less. The
// digits around must not be longer numbers, or any serial number is a date.
var nameForms = []*regexp.Regexp{
	regexp.MustCompile(`(?:^|\D)(\d{4})-(\d{2})-(\d{2})[-_ T]+(?:at )?(\d{2})[-._:h](\d{2})[-._:m](\d{2})(?:\D|$)`),
	regexp.MustCompile(`(?:^|\D)(\d{4})_(\d{2})_(\d{2})[-_ T]+(\d{2})[-._](\d{2})[-._](\d{2})(?:\D|$)`),
	regexp.MustCompile(`(?:^|\D)(\d{4})\.(\d{2})\.(\d{2})[-_ T]+(\d{2})[-._](\d{2})[-._](\d{2})(?:\D|$)`),
	// Some telephones write the milliseconds on: 20260314_193205123.
	regexp.MustCompile(`(?:^|\D)(\d{4})(\d{2})(\d{2})[-_ T]?(\d{2})(\d{2})(\d{2})(?:\d{3})?(?:\D|$)`),
	regexp.MustCompile(`(?:^|\D)(\d{4})-(\d{2})-(\d{2})(?:\D|$)`),
	regexp.MustCompile(`(?:^|\D)(\d{4})_(\d{2})_(\d{2})(?:\D|$)`),
	regexp.MustCompile(`(?:^|\D)(\d{4})\.(\d{2})\.(\d{2})(?:\D|$)`),
	regexp.MustCompile(`(?:^|\D)(\d{4})(\d{2})(\d{2})(?:\D|$)`),
}

// nameDate finds a date in a file name, and returns it with the digits it was
// read from.
func nameDate(name string) (d date, text string, ok bool) {
	name = strings.TrimSuffix(name, filepath.Ext(name))
	for _, form := range nameForms {
		m := form.FindStringSubmatch(name)
		if m == nil {
			continue
		}
		wall, ok := wallTime(m[1:])
		if !ok || wall.Year() < firstYear || wall.Year() > 2099 {
			continue
		}
		text := strings.TrimFunc(m[0], func(r rune) bool { return r < '0' || r > '9' })
		return date{wall: wall, clock: len(m) == 7}, text, true
	}
	return date{}, "", false
}
