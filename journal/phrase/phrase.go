// Package phrase reads what a person says about when and how long, in the
// words people use: "half an hour", "an hour and a half last night",
// "24 November 19:30 to 20:15", "from 7 to 8.15 pm yesterday", "spring 2019".
//
// Start with ParseWorked (how long, and on which day), ParseMoment (a point in
// time), ParseSpan (from when to when) and ParseDay (a day, or a stretch of
// days as vague as it was said). What could mean two things is refused as an
// *Ambiguous with both readings, never guessed; what is not understood is an
// *Unclear, never skipped: a misread day would put hours into the wrong week.
//
// The package is pure: words and a moment in, values out. The zone is that of
// the moment given. It knows English only.
package phrase

import (
	"fmt"
	"strings"
	"time"
)

// Ambiguous is a text that can be read in more than one way.
type Ambiguous struct {
	Text     string
	Readings []string // each as it could be typed instead
}

func (e *Ambiguous) Error() string {
	return fmt.Sprintf("%q can mean %s", e.Text, strings.Join(e.Readings, ", or "))
}

// Reason tells why a text was not understood.
type Reason int

const (
	NoLength  Reason = iota // no length of time in it
	NoTime                  // no time of day in it
	NoDay                   // no day in it
	BadLength               // none at all, or more than a day
	BadDay                  // no day of the calendar
	BadTime                 // no time of that day
	Future                  // it has not come yet
	Early                   // before there were photographs
	Twice                   // two days, two times or two lengths
	Word                    // a word that is not known; Detail holds it
	Backward                // it ends before it begins
	Vague                   // "a few hours"; Detail holds it
)

// Unclear is a text that was not understood.
type Unclear struct {
	Text   string
	Reason Reason
	Detail string
}

func (e *Unclear) Error() string {
	switch e.Reason {
	case NoLength:
		return fmt.Sprintf("%q says no length of time; write it as 40 min, 1h20, half an hour, or 19:30 to 20:15",
			e.Text)
	case NoTime:
		return fmt.Sprintf("%q says no time of day; write it as 19:30, 7.30 pm, or yesterday 19:30", e.Text)
	case NoDay:
		return fmt.Sprintf("%q says no day; write it as today, yesterday, Tuesday, 24 November, 2026-03-14, March 2019 or spring 2019",
			e.Text)
	case BadLength:
		return fmt.Sprintf("%q: a stretch at the bench lasts between 1 minute and 24 hours; enter longer work day by day",
			e.Text)
	case BadDay:
		return fmt.Sprintf("%s is no date", e.Detail)
	case BadTime:
		return fmt.Sprintf("%s is not a time of that day", e.Detail)
	case Future:
		return fmt.Sprintf("%s has not come yet", e.Detail)
	case Early:
		return fmt.Sprintf("%s is before the first photograph, of %d", e.Detail, earlyYear)
	case Twice:
		return fmt.Sprintf("%q names two %s", e.Text, e.Detail)
	case Backward:
		return fmt.Sprintf("%q ends before it begins", e.Text)
	case Vague:
		return fmt.Sprintf("%q: %q can be many; say about how long, in hours or minutes", e.Text, e.Detail)
	}
	return fmt.Sprintf("%q: the word %q is not understood; say how long, and today, yesterday, a weekday, 3 days ago, 24 November, 2026-03-14, 2026-03 or 1998",
		e.Text, e.Detail)
}

// said is what the words of a text were found to say.
type said struct {
	text   string
	now    time.Time
	tokens []token

	minutes float64
	lengths int

	day  *day
	part dayPart // "evening"

	span    *[2]clock // from when to when
	unknown string    // the first word that says nothing known

	start *clock // "from 7", "at 7"
	end   *clock // "until 8"
}

// fillers carry neither time nor length: they say how sure the person is.
var fillers = map[string]bool{
	"about": true, "around": true, "roughly": true, "maybe": true, "perhaps": true, "ca": true, "circa": true,
	"approximately": true,
	"on":            true, "in": true, "the": true, "at": true, "of": true, "for": true, "a": true, "an": true,
	"and": true,
	"it":  true, "was": true, "some": true, "or": true, "so": true,
	"~": true, ",": true,
}

// scan reads all words of a text. A bare number is never taken for a time of day.
func scan(text string, now time.Time) (*said, error) {
	s := &said{text: strings.TrimSpace(text), now: now}
	s.tokens = tokens(s.text)
	for i := 0; i < len(s.tokens); {
		n, err := s.next(i)
		if err != nil {
			return nil, err
		}
		if n == 0 {
			if fillers[s.tokens[i].text] {
				i++
				continue
			}
			if s.unknown == "" {
				s.unknown = s.tokens[i].text
			}
			n = 1
		}
		i += n
	}
	return s, nil
}

// next reads what begins at a token, and returns how many tokens it took.
func (s *said) next(i int) (int, error) {
	for _, read := range []func(int) (int, error){s.readSpan, s.readLength, s.readDay, s.readClock, s.readPart} {
		if n, err := read(i); n > 0 || err != nil {
			return n, err
		}
	}
	return 0, nil
}

// at is the token at a place, empty behind the last.
func (s *said) at(i int) token {
	if i < 0 || i >= len(s.tokens) {
		return token{}
	}
	return s.tokens[i]
}

// understood is an error when a word was not understood.
func (s *said) understood() error {
	if s.unknown == "" {
		return nil
	}
	return s.unclear(Word, s.unknown)
}

// skip returns the place behind any of the words.
func (s *said) skip(i int, words ...string) int {
	for {
		found := false
		for _, w := range words {
			if s.at(i).text == w {
				i, found = i+1, true
			}
		}
		if !found {
			return i
		}
	}
}

func (s *said) unclear(r Reason, detail string) error {
	return &Unclear{Text: s.text, Reason: r, Detail: detail}
}
