// This file puts times of day onto a day: which half of the day is meant, what
// lies past midnight, what the clocks of the zone skip or show twice.

package phrase

import (
	"fmt"
	"time"
)

// longestSpan bounds a stretch whose end was said: a reading that makes more
// of it than half a day is none.
const longestSpan = 12 * time.Hour

// options are the minutes of the day a clock can mean.
func (c clock) options() []int {
	if !c.unsure {
		return []int{c.minute}
	}
	base := c.minute % (12 * 60)
	return []int{base, base + 12*60}
}

// moment is a minute of a day. A wall time that the zone's clocks skipped is
// an error; one they showed twice is ambiguous.
func (s *said) moment(d time.Time, minute int) (time.Time, error) {
	t := time.Date(d.Year(), d.Month(), d.Day(), minute/60, minute%60, 0, 0, d.Location())
	if t.Hour()*60+t.Minute() != minute {
		return time.Time{}, s.unclear(BadTime, fmt.Sprintf("%02d:%02d on %s", minute/60, minute%60,
			d.Format(time.DateOnly)))
	}
	for _, shift := range []time.Duration{-time.Hour, time.Hour} {
		if o := t.Add(shift); o.Format("2006-01-02 15:04") == t.Format("2006-01-02 15:04") {
			return time.Time{}, &Ambiguous{Text: s.text, Readings: []string{
				fmt.Sprintf("%s %s", t.Format("2006-01-02 15:04"), t.Format("MST")),
				fmt.Sprintf("%s %s", o.Format("2006-01-02 15:04"), o.Format("MST"))}}
		}
	}
	return t, nil
}

// base is the day that was said, today when none was. It must be one day.
func (s *said) base() (day, error) {
	if s.day == nil {
		return *s.today(0), nil
	}
	if !s.day.first.Equal(s.day.last) {
		return day{}, s.unclear(NoDay, "")
	}
	return *s.day, nil
}

// onDay is when a minute is on the day; after midnight of "last night" it is
// the next calendar day.
func (s *said) onDay(d day, minute int) (time.Time, error) {
	at := d.first
	if d.night && minute < 6*60 {
		at = at.AddDate(0, 0, 1)
	}
	return s.moment(at, minute)
}

// single finds the moment a clock means: the one that lies in the part of the
// day that was named and has come. With none of the day said, it is the
// latest such moment.
func (s *said) single(c clock) (time.Time, error) {
	d, err := s.base()
	if err != nil {
		return time.Time{}, err
	}
	var fits []time.Time
	late := false
	for _, minute := range c.options() {
		if c.unsure && !s.part.holds(minute) {
			continue
		}
		t, err := s.onDay(d, minute)
		if err != nil {
			return time.Time{}, err
		}
		if t.After(s.now) {
			late = true
			continue
		}
		fits = append(fits, t)
	}
	switch {
	case len(fits) == 1:
		return fits[0], nil
	case len(fits) > 1:
		return time.Time{}, &Ambiguous{Text: s.text,
			Readings: []string{fits[0].Format("2006-01-02 15:04"), fits[1].Format("2006-01-02 15:04")}}
	case s.day == nil && late:
		// Just after midnight, 22:10 means yesterday's.
		s.day = s.today(-1)
		return s.single(c)
	case late:
		return time.Time{}, s.unclear(Future, s.text)
	}
	return time.Time{}, s.unclear(BadTime, s.text)
}

// reading is one way to read a stretch.
type reading struct{ start, end time.Time }

func (r reading) length() time.Duration { return r.end.Sub(r.start) }

// stretch finds the stretch that two clocks mean.
func (s *said) stretch(from, to clock) (start, end time.Time, err error) {
	d, err := s.base()
	if err != nil {
		return time.Time{}, time.Time{}, err
	}
	fits, late, err := s.readings(d, from, to)
	if err != nil {
		return time.Time{}, time.Time{}, err
	}
	if s.day == nil && len(fits) == 0 && late {
		s.day = s.today(-1)
		if fits, _, err = s.readings(*s.day, from, to); err != nil {
			return time.Time{}, time.Time{}, err
		}
	}
	fits = sameHalf(fits, from, to)
	switch {
	case len(fits) == 1:
		return fits[0].start, fits[0].end, nil
	case len(fits) > 1:
		e := &Ambiguous{Text: s.text}
		for _, f := range fits {
			e.Readings = append(e.Readings, f.start.Format("2006-01-02 15:04")+" to "+f.end.Format("15:04"))
		}
		return time.Time{}, time.Time{}, e
	case late:
		return time.Time{}, time.Time{}, s.unclear(Future, s.text)
	}
	return time.Time{}, time.Time{}, s.unclear(Backward, "")
}

// readings are all stretches of at most half a day that have come, and whether
// one has not.
func (s *said) readings(d day, from, to clock) (fits []reading, late bool, err error) {
	for _, a := range from.options() {
		if from.unsure && !s.part.holds(a) {
			continue
		}
		for _, b := range to.options() {
			start, err := s.onDay(d, a)
			if err != nil {
				return nil, false, err
			}
			onto := d
			if b <= a && !(d.night && b < 6*60) { // past midnight
				onto = day{first: d.first.AddDate(0, 0, 1)}
			}
			end, err := s.onDay(onto, b)
			if err != nil {
				return nil, false, err
			}
			one := reading{start, end}
			switch {
			case one.length() <= 0 || one.length() > longestSpan:
			case end.After(s.now):
				late = true
			default:
				fits = append(fits, one)
			}
		}
	}
	return fits, late, nil
}

// sameHalf leaves of several readings those that a listener would take: where
// neither clock says its half of the day, or only the end does, the shorter
// stretch is meant ("from 7 to 8.15 pm" begins in the evening). Beside a time
// of the 24-hour clock a bare 7 stays open.
func sameHalf(fits []reading, from, to clock) []reading {
	both := from.unsure && to.unsure
	spoken := from.unsure && to.twelve || to.unsure && from.twelve
	if len(fits) < 2 || !both && !spoken {
		return fits
	}
	shortest := fits[0].length()
	for _, f := range fits {
		shortest = min(shortest, f.length())
	}
	var out []reading
	for _, f := range fits {
		if f.length() == shortest {
			out = append(out, f)
		}
	}
	return out
}
