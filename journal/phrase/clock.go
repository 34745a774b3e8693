// This file reads times of day: "19:30", "7.30 pm", "half past seven", and
// stretches of them: "from 7 to 8.15 pm", "19:30-20:15".

package phrase

import (
	"regexp"
)

// clock is a time of day as it was said. With half unsure, 7 can be in the
// morning or in the evening.
type clock struct {
	minute int  // of the day by its digits: 7:30 is 450
	unsure bool // it can be twelve hours later
	twelve bool // said with am or pm
}

// dayPart is the part of the day a word names.
type dayPart int

const (
	anytime dayPart = iota
	morning
	afternoon
	evening
)

func partOf(word string) dayPart {
	switch word {
	case "morning":
		return morning
	case "afternoon":
		return afternoon
	case "evening", "night":
		return evening
	}
	return anytime
}

// holds reports whether a minute of the day lies in the part. A night goes on
// after midnight.
func (p dayPart) holds(minute int) bool {
	switch p {
	case morning:
		return minute >= 4*60 && minute < 13*60
	case afternoon:
		return minute >= 12*60 && minute < 19*60
	case evening:
		return minute >= 16*60 || minute < 4*60
	}
	return true
}

// readPart reads "evening", also behind "this" and "in the".
func (s *said) readPart(i int) (int, error) {
	n := 0
	if s.at(i).text == "this" {
		n = 1
	}
	p := partOf(s.at(i + n).text)
	if p == anytime {
		return 0, nil
	}
	if s.part != anytime && s.part != p {
		return 0, s.unclear(Twice, "parts of the day")
	}
	s.part = p
	return n + 1, nil
}

// readSpan reads from when to when.
func (s *said) readSpan(i int) (int, error) {
	j := s.skip(i, "from", "between")
	from, n, _ := s.clockAt(j)
	if n > 0 && !s.joins(j+n, j > i) {
		from, n = s.bareHour(j) // "eight to nine" is no time by itself
	}
	if n == 0 || !s.joins(j+n, j > i) {
		return 0, nil
	}
	k := j + n
	to, m, _ := s.clockAt(k + 1)
	if m == 0 || s.startsUnit(k+1+m) {
		return 0, nil // "2 to 3 hours" is a length, and none that can be noted
	}
	if s.span != nil || s.start != nil || s.end != nil {
		return 0, s.unclear(Twice, "times")
	}
	s.span = &[2]clock{from, to}
	return k + 1 + m - i, nil
}

// joins reports whether the token joins two times.
func (s *said) joins(i int, between bool) bool {
	switch s.at(i).text {
	case "to", "till", "until", "-":
		return true
	case "and":
		return between
	}
	return false
}

// startsUnit reports whether the token counts what stands before it.
func (s *said) startsUnit(i int) bool {
	t := s.at(i).text
	_, isMonth := months[t]
	switch t {
	case "day", "days", "week", "weeks", "st", "nd", "rd", "th":
		return true
	}
	return isMonth || isHour(t) || isMinute(t)
}

// bareHour reads an hour as it stands, whatever follows.
func (s *said) bareHour(i int) (clock, int) {
	hour, n := s.plainHour(i)
	return clock{minute: hour * 60, unsure: hour >= 1 && hour <= 12}, n
}

// readClock reads a single time of day: "19:30", "at 7", "from 7 pm", "until
// 20:15".
func (s *said) readClock(i int) (int, error) {
	j := s.skip(i, "from", "at", "since", "till", "until")
	c, n, sure := s.clockAt(j)
	if n == 0 || j == i && !sure {
		return 0, nil
	}
	if s.span != nil || s.start != nil || s.end != nil {
		return 0, s.unclear(Twice, "times")
	}
	if w := s.at(i).text; w == "till" || w == "until" {
		s.end = &c
	} else {
		s.start = &c
	}
	return j + n - i, nil
}

func (s *said) isClockAt(i int) bool {
	_, n, sure := s.clockAt(i)
	return n > 0 && sure
}

var dottedTime = regexp.MustCompile(`^(\d{1,2})[.:](\d{2})$`)

// clockAt reads the time of day at a token. sure tells whether it can be
// nothing else; a bare 7 can.
func (s *said) clockAt(i int) (c clock, n int, sure bool) {
	switch s.at(i).text {
	case "noon", "midday":
		return clock{minute: 12 * 60, twelve: true}, 1, true
	case "midnight":
		return clock{minute: 0, twelve: true}, 1, true
	}
	if c, n := s.pastAndTo(i); n > 0 {
		return s.half(c, i, n, true)
	}
	if m := dottedTime.FindStringSubmatch(s.at(i).text); m != nil {
		h, min := whole(m[1]), whole(m[2])
		if h > 24 || min > 59 || h == 24 && min > 0 {
			return clock{}, 0, false
		}
		colon := s.at(i).text[len(m[1])] == ':'
		// Two digits behind a date such as 2026-03-14 count the hours of the day from 00
		// to 24 (ISO 8601-1:2019, 5.3), as all that is proposed to type does.
		ofDay := m[1][0] == '0' || colon && len(m[1]) == 2 && i > 0 && isoDay.MatchString(s.at(i-1).text)
		c := clock{minute: (h%24)*60 + min, unsure: h >= 1 && h <= 12 && !ofDay}
		return s.half(c, i, 1, colon)
	}
	h := 0
	switch t := s.at(i).text; {
	case oneOrTwo.MatchString(t):
		h = whole(t)
	case numberWords[t] > 0 && numberWords[t] <= 12:
		h = int(numberWords[t])
	default:
		return clock{}, 0, false
	}
	if h > 24 {
		return clock{}, 0, false
	}
	return s.half(clock{minute: (h % 24) * 60, unsure: h >= 1 && h <= 12}, i, 1, false)
}

// half reads what follows a time: "pm", "o'clock", "in the evening" is read as
// a part of the day of its own.
func (s *said) half(c clock, i, n int, sure bool) (clock, int, bool) {
	switch s.at(i + n).text {
	case "o'clock", "o’clock":
		return c, n + 1, true
	case "am", "pm", "a", "p":
		word, used := s.at(i+n).text, 1
		if word == "a" || word == "p" { // "a.m.": the full stops are cut away
			if s.at(i+n+1).text != "m" {
				return c, n, sure
			}
			used = 2
		}
		if early := c.minute > 0 && c.minute < 13*60; !c.unsure && !early {
			return c, n + used, true // 19:30 pm says the same twice
		}
		c.minute %= 12 * 60
		if word[0] == 'p' {
			c.minute += 12 * 60
		}
		c.unsure, c.twelve = false, true
		return c, n + used, true
	}
	return c, n, sure
}

// pastAndTo reads "half past seven", "quarter to eight", "ten past 7".
func (s *said) pastAndTo(i int) (clock, int) {
	j := s.skip(i, "a")
	minutes, n := 0, 1
	switch {
	case s.at(j).text == "half":
		minutes = 30
	case s.at(j).text == "quarter":
		minutes = 15
	default:
		v, m := s.quantity(j)
		if m == 0 || int(v)%5 != 0 || v != float64(int(v)) || v > 25 {
			return clock{}, 0
		}
		minutes, n = int(v), m
		if isMinute(s.at(j + n).text) {
			n++
		}
	}
	word := s.at(j + n).text
	if word != "past" && word != "to" || word == "to" && minutes == 30 {
		return clock{}, 0
	}
	if word == "to" && s.at(j).text != "quarter" && plainNumber.MatchString(s.at(j).text) {
		return clock{}, 0 // "7 to 8" is a stretch
	}
	c, m := s.bareHour(j + n + 1)
	if m == 0 {
		return clock{}, 0
	}
	if word == "past" {
		c.minute += minutes
	} else {
		c.minute = (c.minute - minutes + 24*60) % (24 * 60)
	}
	return c, j + n + 1 + m - i
}

func (s *said) plainHour(i int) (hour, n int) {
	switch t := s.at(i).text; {
	case oneOrTwo.MatchString(t) && whole(t) <= 23:
		return whole(t), 1
	case numberWords[t] > 0 && numberWords[t] <= 12:
		return int(numberWords[t]), 1
	}
	return 0, 0
}
