// This file reads lengths of time: "40 min", "1h20", "half an hour", "an hour
// and a half".

package phrase

import (
	"fmt"
	"math"
	"regexp"
)

func isHour(word string) bool {
	switch word {
	case "h", "hr", "hrs", "hour", "hours":
		return true
	}
	return false
}

func isMinute(word string) bool {
	switch word {
	case "m", "min", "mins", "minute", "minutes":
		return true
	}
	return false
}

// readLength reads a length of time at a token.
func (s *said) readLength(i int) (int, error) {
	minutes, n, err := s.length(i)
	if n == 0 || err != nil {
		return 0, err
	}
	if s.at(i+n).text == "ago" {
		return 0, s.unclear(Word, "ago")
	}
	if s.lengths++; s.lengths > 1 {
		return 0, s.unclear(Twice, "lengths of time")
	}
	s.minutes = minutes
	return n, nil
}

// length is the length at a token in minutes, and its tokens.
func (s *said) length(i int) (float64, int, error) {
	if minutes, n := s.partOfHour(i); n > 0 {
		return minutes, n, nil
	}
	if s.at(i).text == "couple" || s.at(i).text == "few" || s.at(i).text == "several" {
		if j := s.skip(i+1, "of"); isHour(s.at(j).text) || isMinute(s.at(j).text) {
			return 0, 0, s.unclear(Vague, s.at(i).text)
		}
	}
	if minutes, n := s.colonLength(i); n > 0 {
		return minutes, n, nil
	}
	value, n := s.quantity(i)
	if n == 0 {
		if t := s.at(i).text; (t == "a" || t == "an") && isHour(s.at(i+1).text) {
			value, n = 1, 1
		} else {
			return 0, 0, nil
		}
	}
	switch unit := s.at(i + n).text; {
	case isMinute(unit):
		return value, n + 1, nil
	case isHour(unit):
		if err := s.doubtfulHours(s.at(i).text, n); err != nil {
			return 0, 0, err
		}
		more, m := s.afterHours(i + n + 1)
		return value*60 + more, n + 1 + m, nil
	}
	return 0, 0, nil
}

var twoDecimals = regexp.MustCompile(`^(\d+)[.,]([0-5]\d)$`)

// doubtfulHours refuses 1.20 h: by the decimal point that is an hour and twelve
// minutes, by the clock an hour and twenty.
func (s *said) doubtfulHours(text string, n int) error {
	m := twoDecimals.FindStringSubmatch(text)
	if m == nil || n != 1 || m[2] == "00" {
		return nil
	}
	minutes := int(math.Round(decimal(text) * 60))
	return &Ambiguous{Text: s.text, Readings: []string{
		fmt.Sprintf("%dh%02d", whole(m[1]), whole(m[2])), fmt.Sprintf("%dh%02d", minutes/60, minutes%60)}}
}

// partOfHour reads "half an hour", "a quarter of an hour", "three quarters of
// an hour".
func (s *said) partOfHour(i int) (float64, int) {
	j := s.skip(i, "a")
	minutes := 0.0
	switch {
	case s.at(j).text == "half":
		minutes, j = 30, j+1
	case s.at(j).text == "quarter":
		minutes, j = 15, j+1
	case s.at(j).text == "three" && s.at(s.skip(j+1, "-")).text == "quarters":
		minutes, j = 45, s.skip(j+1, "-")+1
	default:
		return 0, 0
	}
	j = s.skip(j, "-")
	j = s.skip(j, "of")
	j = s.skip(j, "an", "a")
	if !isHour(s.at(j).text) {
		return 0, 0
	}
	return minutes, j + 1 - i
}

var colonTime = regexp.MustCompile(`^(\d{1,2}):(\d{2})$`)

// colonLength reads "1:20 h", "0:45 hours".
func (s *said) colonLength(i int) (float64, int) {
	m := colonTime.FindStringSubmatch(s.at(i).text)
	if m == nil || !isHour(s.at(i+1).text) || whole(m[2]) > 59 {
		return 0, 0
	}
	return float64(whole(m[1])*60 + whole(m[2])), 2
}

// afterHours reads what follows the hours: "20", "20 min", "and twenty
// minutes", "and a half".
func (s *said) afterHours(i int) (float64, int) {
	j := s.skip(i, "and")
	if s.at(j).text == "a" {
		if f, ok := halves[s.at(j+1).text]; ok && j > i && s.at(j+2).text != "of" {
			return f * 60, j + 2 - i
		}
	}
	if s.at(j).text == "three" && s.at(j+1).text == "quarters" && j > i {
		return 45, j + 2 - i
	}
	value, n := s.quantity(j)
	if n == 0 || value >= 60 {
		return 0, 0
	}
	if isMinute(s.at(j + n).text) {
		return value, j + n + 1 - i
	}
	if value != float64(int(value)) || s.startsOther(j+n) {
		return 0, 0
	}
	return value, j + n - i
}

// startsOther reports whether the token makes the number before it something
// else than minutes: "24 November", "3 days ago", "7 pm", "7 to 8".
func (s *said) startsOther(i int) bool {
	t := s.at(i).text
	_, isMonth := months[t]
	switch t {
	case "day", "days", "week", "weeks", "am", "pm", "a.m", "p.m", "st", "nd", "rd", "th", "of", "to", "till", "until",
		"-", "o'clock":
		return true
	}
	return isMonth || isHour(t)
}
