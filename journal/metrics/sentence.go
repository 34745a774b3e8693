// Numbers as sentences: the words that stand above every table and chart.

package metrics

import (
	"math"

	"rakelight/journal/say"
)

// Count turns a number and a unit into words: "1 part", "12 parts".
func Count(n int, unit string) string { return counted(n, unit).In(say.English()) }

// counted is a number with the name of what was done.
func counted(n int, unit string) say.Count { return say.Count{N: n, Noun: say.Noun(unit)} }

// Dative is the same behind a preposition, for languages that tell it apart.
func Dative(n int, unit string) say.Count { return say.Count{N: n, Noun: say.Noun("dative¦" + unit)} }

// The nouns that both are asked for.
var _ = []say.Noun{"part", "join", "coat", "item", "decal", "dative¦part", "dative¦join", "dative¦coat", "dative¦item",
	"dative¦decal"}

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
func (p Pace) Sentence(label, unit string) say.Text {
	sessions := say.Count{N: p.N, Noun: "session"}
	var few, uncounted say.Text
	if p.Few {
		few = say.Of(": few evenings, so take it as a hint")
	}
	if p.Uncounted > 0 {
		uncounted = say.Of("; on %s more (%s h) nothing was counted, and if nothing got done then it was %s an hour",
			say.Count{N: p.Uncounted, Noun: "dative¦evening"}, Tenths(p.UncountedHours), Figure(p.AtLeast))
	}
	switch {
	case !p.OK:
		return say.Of("%s: no pace (%s).", label, p.Why)
	case p.Interval.OK:
		return say.Of("%s: %s %s an hour (%s to %s; %s)%s%s.", label, Figure(p.PerHour), Many(unit),
			Figure(p.Interval.Low), Figure(p.Interval.High), sessions, few, uncounted)
	}
	return say.Of("%s: %s %s an hour (%s; %s)%s%s.", label, Figure(p.PerHour), Many(unit), sessions, p.Interval.Why,
		few, uncounted)
}

// narrowest is how near to 1 an interval must stay for two speeds to be called
// about the same; a wider one that spans 1 only says that nobody can tell. A
// fifth is less than a person notices between two evenings (our choice).
const narrowest = 0.8

// What is said of a figure whose range alone holds no change, and of one beside 1.
var (
	byChance = say.Of("; that may be chance")
	amongAll = say.Of("; among all that this journal compares, that may be chance")
)

// Sentence says the comparison in words, from the later build's side: earlier
// and later are the titles of the builds. Only a claim says faster or slower;
// the rest are figures with their range.
func (c Comparison) Sentence(earlier, later string) say.Text {
	if !c.OK {
		return say.Of("%s against %s: no comparison (%s).", later, earlier, c.Why)
	}
	rests := say.Of("%s against %d", say.Count{N: c.N2, Noun: "session"}, c.N1)
	if !c.Interval.OK {
		return say.Of("%s against %s: too few evenings to tell (%s times the speed so far; %s).", later, earlier,
			Figure(c.Speed), rests)
	}
	return say.Of("%s: %s times the speed on the same kinds of work (range %s to %s; %s; %s)%s.",
		c.lead(earlier, later), Figure(c.Speed), Figure(c.Interval.Low), Figure(c.Interval.High), rests,
		c.CoverageWords(), c.caution())
}

// lead says how the later build stands to the earlier one.
func (c Comparison) lead(earlier, later string) say.Text {
	switch c.Verdict() {
	case Faster:
		return say.Of("On %s you worked faster than on %s", later, earlier)
	case Slower:
		return say.Of("On %s you worked slower than on %s", later, earlier)
	case Same:
		return say.Of("On %s you worked about as fast as on %s", later, earlier)
	}
	return say.Of("%s against %s", later, earlier)
}

// caution tells why a number beside 1 is no claim; it says nothing where it is one, or
// says by itself that nothing changed.
func (c Comparison) caution() say.Text {
	switch {
	case c.Verdict() != Unclear:
		return say.Text{}
	case c.Interval.contains(1):
		return byChance
	}
	return amongAll
}
