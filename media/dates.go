// Dates as files write them: EXIF with colons, XMP in ISO 8601 of any
// precision, and those in file names.

package media

import (
	"net/mail"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
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

// partForm is a date without its day, which XMP allows.
var partForm = regexp.MustCompile(`^\d{4}(?:[:-]\d{1,2})?$`)

// parseDate reads a date with day, or a date and time. It is false for blanks,
// zeros, and days and hours there are not.
func parseDate(text string) (date, bool) {
	text = strings.Trim(text, "\x00 \t\r\n")
	m := dateForm.FindStringSubmatch(text)
	if m == nil {
		return mailDate(text)
	}
	d := date{clock: m[4] != "", sub: m[7], offset: m[8]}
	var ok bool
	d.wall, ok = wallTime(m[1:7])
	return d, ok
}

// mailDate reads a date as letters carry it, "Sat, 14 Mar 2026 19:32:05 +0100": the
// PNG specification recommends that form for its creation time (11.3.3.1, RFC 1123
// 5.2.14).
func mailDate(text string) (date, bool) {
	if !strings.ContainsFunc(text, unicode.IsLetter) || len(text) > 60 {
		return date{}, false
	}
	t, err := mail.ParseDate(text)
	if err != nil || t.Year() < 1000 || t.Year() > 9999 {
		return date{}, false
	}
	wall := time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
	return date{wall: wall, clock: true, offset: t.Format("-07:00")}, true
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
	same := t.Year() == n[0] && int(t.Month()) == n[1] && t.Day() == n[2] && t.Hour() == n[3] && t.Minute() == n[4] &&
		t.Second() == n[5]
	return t, same && n[0] > 0
}

// Where clocks begin to count: the days a camera shows whose clock was never
// set, or that lost its battery.
var beginnings = map[string]bool{
	"1904-01-01": true, "1970-01-01": true, "1980-01-01": true, "1980-01-06": true, "2000-01-01": true,
	"2001-01-01": true,
}

// unset reports stamps that cameras write when their clock was never set: the
// first second of such a day, or any of a day before there were such cameras.
func (d date) unset() bool {
	return beginnings[d.wall.Format(time.DateOnly)] &&
		(d.wall.Year() < firstYear || d.clock && d.wall.Format(time.TimeOnly) == "00:00:00")
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
// digits around must not be longer numbers, or any serial number is a date. Between
// day and time a short word may stand ("at", in any language); behind the time AM
// or PM, with any kind of space before it.
var nameForms = nameFormsOf(
	`(\d{4})-(\d{2})-(\d{2})`+between+`(\d{1,2})[-._:h](\d{2})[-._:m](\d{2})`+half,
	`(\d{4})_(\d{2})_(\d{2})`+between+`(\d{1,2})[-._](\d{2})[-._](\d{2})`+half,
	`(\d{4})\.(\d{2})\.(\d{2})`+between+`(\d{1,2})[-._](\d{2})[-._](\d{2})`+half,
	// Some telephones write the milliseconds on: 20260314_193205123.
	`(\d{4})(\d{2})(\d{2})[-_ T]?(\d{2})(\d{2})(\d{2})(?:\d{3})?`,
	`(\d{4})-(\d{2})-(\d{2})`+between+`(\d{2})(\d{2})(\d{2})(?:\d{3})?`,
	`(\d{4})_(\d{2})_(\d{2})`+between+`(\d{2})(\d{2})(\d{2})(?:\d{3})?`,
	`(\d{4})-(\d{2})-(\d{2})`,
	`(\d{4})_(\d{2})_(\d{2})`,
	`(\d{4})\.(\d{2})\.(\d{2})`,
	`(\d{4})(\d{2})(\d{2})`,
)

const (
	between = `(?:,?[-_ T\x{a0}]+)(?:\pL{1,4}[ \x{a0}])?`
	half    = `(?:[ _\x{a0}\x{202f}]?([AaPp])\.?[Mm]\b\.?)?`
)

func nameFormsOf(forms ...string) (list []*regexp.Regexp) {
	for _, f := range forms {
		list = append(list, regexp.MustCompile(`(?:^|\D)(`+f+`)(?:\D|$)`))
	}
	return list
}

// afternoon turns the hour of a clock of twelve hours, digits[3], into that of
// twenty-four; half is "A", "P" or "", for which it stays. It is false for hours
// such a clock does not have.
func afternoon(digits []string, half string) bool {
	if half == "" {
		return len(digits) < 4 || len(digits[3]) == 2 // 9.05.00 alone is too little to tell
	}
	h, err := strconv.Atoi(digits[3])
	if err != nil || h < 1 || h > 12 {
		return false
	}
	h %= 12
	if strings.EqualFold(half, "P") {
		h += 12
	}
	digits[3] = strconv.Itoa(h)
	return true
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
		digits, half := m[2:], ""
		if len(digits) == 7 {
			digits, half = digits[:6], digits[6]
		}
		if !afternoon(digits, half) {
			continue
		}
		wall, ok := wallTime(digits)
		if !ok || wall.Year() < firstYear || wall.Year() > 2099 {
			continue
		}
		return date{wall: wall, clock: len(digits) == 6}, m[1], true
	}
	return date{}, "", false
}
