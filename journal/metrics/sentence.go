// Numbers as sentences: the words that stand above every table and chart.

package metrics

import (
	"fmt"
	"math"

	"rakelight/journal/say"
)

// Count turns a number and a unit into words: "1 part", "12 parts".
func Count(n int, unit string) string { return say.English().Count(n, say.Noun(unit)) }

// Figure writes a rate or a ratio with the digits it can bear: three below a
// hundred, whole numbers above. What rounds up to ten or a hundred is written so.
func Figure(x float64) say.Number {
	switch a := math.Abs(x); {
	case a >= 99.95:
		return say.Decimal(x, 0)
	case a >= 9.995:
		return say.Decimal(x, 1)
	}
	return say.Decimal(x, 2)
}

// Rough writes a figure whose range is wide with two digits: "7.6", "84", "120".
func Rough(x float64) say.Number {
	if math.Abs(x) < 0.005 {
		return "0"
	}
	digits := 1 - int(math.Floor(math.Log10(math.Abs(x))))
	unit := math.Pow(10, float64(digits))
	return say.Decimal(math.Round(x*unit)/unit, max(0, digits))
}

// Sentence says the pace in words, with its interval and its n, or why there
// is none. label is what was worked on, unit what one done is.
func (p Pace) Sentence(label, unit string) string {
	if !p.OK {
		return fmt.Sprintf("%s: no pace (%s).", label, p.Why)
	}
	s := fmt.Sprintf("%s: %s %ss an hour", label, Figure(p.PerHour), unit)
	if p.Interval.OK {
		s += fmt.Sprintf(" (%s to %s; %s)", Figure(p.Interval.Low), Figure(p.Interval.High), Count(p.N, "session"))
	} else {
		s += fmt.Sprintf(" (%s; %s)", Count(p.N, "session"), p.Interval.Why)
	}
	if p.Few {
		s += ": few evenings, so take it as a hint"
	}
	if p.Uncounted > 0 {
		s += fmt.Sprintf("; on %s more (%s h) nothing was counted, and if nothing got done then it was %s an hour",
			Count(p.Uncounted, "evening"), Tenths(p.UncountedHours), Figure(p.AtLeast))
	}
	return s + "."
}

// narrowest is how near to 1 an interval must stay for two speeds to be called
// about the same; a wider one that spans 1 only says that nobody can tell. A
// fifth is less than a person notices between two evenings (our choice).
const narrowest = 0.8

// Sentence says the comparison in words, from the later build's side: earlier
// and later are the titles of the builds. Only a claim says faster or slower;
// the rest are figures with their range.
func (c Comparison) Sentence(earlier, later string) string {
	if !c.OK {
		return fmt.Sprintf("%s against %s: no comparison (%s).", later, earlier, c.Why)
	}
	rests := fmt.Sprintf("%s against %d", Count(c.N2, "session"), c.N1)
	if !c.Interval.OK {
		return fmt.Sprintf("%s against %s: too few evenings to tell (%s times the speed so far; %s).", later, earlier,
			Figure(c.Speed), rests)
	}
	return fmt.Sprintf("%s: %s times the speed on the same kinds of work (range %s to %s; %s; %s)%s.",
		c.lead(earlier, later), Figure(c.Speed), Figure(c.Interval.Low), Figure(c.Interval.High), rests,
		c.CoverageWords(), c.caution())
}

// lead says how the later build stands to the earlier one.
func (c Comparison) lead(earlier, later string) string {
	word := map[string]string{Faster: "faster than", Slower: "slower than", Same: "about as fast as"}[c.Verdict()]
	if word == "" {
		return later + " against " + earlier
	}
	return fmt.Sprintf("On %s you worked %s on %s", later, word, earlier)
}

// caution tells why a number beside 1 is no claim; "" where it is one, or says by
// itself that nothing changed.
func (c Comparison) caution() string {
	switch {
	case c.Verdict() != Unclear:
		return ""
	case c.Interval.contains(1):
		return "; that may be chance"
	}
	return "; among all that this journal compares, that may be chance"
}
