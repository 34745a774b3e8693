// This file reads days: "yesterday", "Tuesday", "24 November", "24.11.",
// "spring 2019". A date without a year is the last such day that has come.

package phrase

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
)

// day is a day, or the first of a stretch of days as vague as it was said.
type day struct {
	first, last time.Time // midnights, in the zone of now
	said        string    // YYYY-MM-DD, YYYY-MM, YYYY, or "spring 2019"
	night       bool      // "last night": hours after midnight are the next day's
}

var months = map[string]time.Month{}

func init() {
	for m := time.January; m <= time.December; m++ {
		months[strings.ToLower(m.String())] = m
		months[strings.ToLower(m.String()[:3])] = m
	}
	months["sept"] = time.September
}

var weekdays = map[string]time.Weekday{}

func init() {
	for d := time.Sunday; d <= time.Saturday; d++ {
		weekdays[strings.ToLower(d.String())] = d
		weekdays[strings.ToLower(d.String()[:3])] = d
	}
	weekdays["tues"], weekdays["thur"], weekdays["thurs"] = time.Tuesday, time.Thursday, time.Thursday
}

var (
	isoDay    = regexp.MustCompile(`^(\d{4})-(\d{2})-(\d{2})$`)
	isoMonth  = regexp.MustCompile(`^(\d{4})-(\d{2})$`)
	fourYear  = regexp.MustCompile(`^(1[89]\d\d|20\d\d)$`)
	dotted    = regexp.MustCompile(`^(\d{1,2})\.(\d{1,2})\.(\d{4})?$`)
	slashed   = regexp.MustCompile(`^(\d{1,2})/(\d{1,2})(?:/(\d{4}))?$`)
	oneOrTwo  = regexp.MustCompile(`^\d{1,2}$`)
	earlyYear = 1826 // photography's first years; nobody built a plastic kit before it
)

// readDay reads a day at a token.
func (s *said) readDay(i int) (int, error) {
	for _, read := range []func(int) (*day, int, error){s.isoDate, s.numberDate, s.namedDay, s.weekday, s.ago,
		s.monthDay, s.seasonOf, s.year} {
		d, n, err := read(i)
		if err != nil {
			return 0, err
		}
		if n == 0 {
			continue
		}
		if s.day != nil {
			return 0, s.unclear(Twice, "days")
		}
		if d.first.After(s.midnight(s.now)) {
			return 0, s.unclear(Future, d.said)
		}
		s.day = d
		return n, nil
	}
	return 0, nil
}

// midnight is the first moment of a day in the zone of now.
func (s *said) midnight(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, s.now.Location())
}

// today is the day so many days from today.
func (s *said) today(days int) *day { return s.one(s.midnight(s.now.AddDate(0, 0, days))) }

func (s *said) one(t time.Time) *day {
	return &day{first: t, last: t, said: t.Format(time.DateOnly)}
}

// calendar is a day by its numbers; a day the calendar does not have is an
// error, and so is one before there was anything to note.
func (s *said) calendar(y, m, d int) (*day, error) {
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, s.now.Location())
	if m < 1 || m > 12 || t.Day() != d || int(t.Month()) != m {
		return nil, s.unclear(BadDay, fmt.Sprintf("%04d-%02d-%02d", y, m, d))
	}
	if y < earlyYear {
		return nil, s.unclear(Early, fmt.Sprintf("%04d-%02d-%02d", y, m, d))
	}
	return s.one(t), nil
}

// month is a whole month.
func (s *said) month(y, m int) (*day, error) {
	first, err := s.calendar(y, m, 1)
	var unclear *Unclear
	if errors.As(err, &unclear) && unclear.Reason == Early {
		return nil, err
	}
	if err != nil {
		return nil, s.unclear(BadDay, fmt.Sprintf("%04d-%02d", y, m))
	}
	first.last, first.said = first.first.AddDate(0, 1, -1), first.first.Format("2006-01")
	return first, nil
}

func (s *said) isoDate(i int) (*day, int, error) {
	if m := isoDay.FindStringSubmatch(s.at(i).text); m != nil {
		d, err := s.calendar(whole(m[1]), whole(m[2]), whole(m[3]))
		return d, 1, err
	}
	if m := isoMonth.FindStringSubmatch(s.at(i).text); m != nil {
		d, err := s.month(whole(m[1]), whole(m[2]))
		return d, 1, err
	}
	return nil, 0, nil
}

// numberDate reads 24.11. and 24/11/2026. With dots the day stands first (as
// DIN 1355 and most of the countries that write dots have it); with slashes
// it stands first in some countries and second in others.
func (s *said) numberDate(i int) (*day, int, error) {
	if m := dotted.FindStringSubmatch(s.at(i).text); m != nil {
		d, err := s.latest(whole(m[3]), whole(m[2]), whole(m[1]))
		return d, 1, err
	}
	m := slashed.FindStringSubmatch(s.at(i).text)
	if m == nil {
		return nil, 0, nil
	}
	if _, quantity := fractions[s.at(i).text]; quantity && isHour(s.at(s.skip(i+1, "of", "an", "a")).text) {
		return nil, 0, nil
	}
	a, b, y := whole(m[1]), whole(m[2]), whole(m[3])
	dayFirst, errA := s.latest(y, b, a)
	monthFirst, errB := s.latest(y, a, b)
	switch {
	case errA == nil && errB == nil && dayFirst.said != monthFirst.said:
		return nil, 0, &Ambiguous{Text: s.text, Readings: []string{dayFirst.said, monthFirst.said}}
	case errA == nil:
		return dayFirst, 1, nil
	}
	return monthFirst, 1, errB
}

// latest is a day and month in the year given, or in the last year in which
// that day has come.
func (s *said) latest(y, m, d int) (*day, error) {
	if y > 0 {
		return s.calendar(y, m, d)
	}
	// Eight years hold a 29 February for certain, also over 1900 and 2100.
	for back := range 9 {
		one, err := s.calendar(s.now.Year()-back, m, d)
		if err == nil && !one.first.After(s.midnight(s.now)) {
			return one, nil
		}
	}
	return nil, s.unclear(BadDay, fmt.Sprintf("%d.%d.", d, m))
}

// namedDay reads today, tonight, yesterday, last night, this evening, the day
// before yesterday.
func (s *said) namedDay(i int) (*day, int, error) {
	next := s.at(i + 1).text
	switch s.at(i).text {
	case "today":
		return s.today(0), 1, nil
	case "tonight":
		s.part = evening
		return s.today(0), 1, nil
	case "yesterday":
		return s.today(-1), 1, nil
	case "this":
		if partOf(next) != anytime {
			return s.today(0), 1, nil // the part of the day is read next
		}
	case "last":
		if next == "night" || next == "evening" {
			s.part = evening
			d := s.today(-1)
			d.night = next == "night"
			return d, 2, nil
		}
	case "day":
		if next == "before" && s.at(i+2).text == "yesterday" {
			return s.today(-2), 3, nil
		}
	}
	return nil, 0, nil
}

// weekday reads "Tuesday" and "last Tuesday". A weekday is the latest one
// before today. "Last Tuesday" said later in the same week can mean either.
func (s *said) weekday(i int) (*day, int, error) {
	last := s.at(i).text == "last"
	if last {
		i++
	}
	want, ok := weekdays[s.at(i).text]
	if !ok {
		return nil, 0, nil
	}
	n := 1
	if last {
		n = 2
	}
	back := (int(s.now.Weekday()-want)+6)%7 + 1
	sinceMonday := (int(s.now.Weekday()) + 6) % 7
	if last && back <= sinceMonday {
		return nil, 0, &Ambiguous{Text: s.text, Readings: []string{s.today(-back).said, s.today(-back - 7).said}}
	}
	return s.today(-back), n, nil
}

// ago reads "3 days ago", "two weeks ago", "a week ago".
func (s *said) ago(i int) (*day, int, error) {
	value, n := s.quantity(i)
	if t := s.at(i).text; n == 0 && (t == "a" || t == "an") {
		value, n = 1, 1
	}
	if n == 0 || s.at(i+n+1).text != "ago" {
		return nil, 0, nil
	}
	each := 0
	switch s.at(i + n).text {
	case "day", "days":
		each = 1
	case "week", "weeks":
		each = 7
	default:
		return nil, 0, nil
	}
	if value != float64(int(value)) || value*float64(each) > 40000 {
		return nil, 0, s.unclear(BadDay, fmt.Sprintf("%v %s ago", value, s.at(i+n).text))
	}
	return s.today(-int(value) * each), n + 2, nil
}

// monthDay reads "24 November", "the 24th of November 2025", "November 24,
// 2025", "November 2025" and "November".
func (s *said) monthDay(i int) (*day, int, error) {
	j := i
	number := func() int { // a day of the month at j, with its ending
		if !oneOrTwo.MatchString(s.at(j).text) {
			return 0
		}
		d := whole(s.at(j).text)
		j++
		if t := s.at(j); t.glued && slices.Contains([]string{"st", "nd", "rd", "th"}, t.text) {
			j++
		}
		return d
	}
	d := number()
	if d > 0 {
		j = s.skip(j, "of")
	}
	m, ok := months[s.at(j).text]
	// "May" begins a month only where a number stands beside it.
	if !ok || s.at(j).text == "mar" && d == 0 && !oneOrTwo.MatchString(s.at(j+1).text) {
		return nil, 0, nil
	}
	j++
	if d == 0 {
		after := j
		if d = number(); d > 0 && (s.isClockAt(after) || isMinute(s.at(j).text) || isHour(s.at(j).text)) {
			d, j = 0, after
		}
	}
	y := 0
	if fourYear.MatchString(s.at(j).text) {
		y, j = whole(s.at(j).text), j+1
	}
	if d > 0 {
		one, err := s.latest(y, int(m), d)
		return one, j - i, err
	}
	if y == 0 {
		if y = s.now.Year(); m > s.now.Month() {
			y--
		}
	}
	one, err := s.month(y, int(m))
	return one, j - i, err
}

// year reads "1998".
func (s *said) year(i int) (*day, int, error) {
	if !fourYear.MatchString(s.at(i).text) {
		return nil, 0, nil
	}
	first, err := s.calendar(whole(s.at(i).text), 1, 1)
	if err != nil {
		return nil, 0, err
	}
	first.last, first.said = first.first.AddDate(1, 0, -1), s.at(i).text
	return first, 1, nil
}
