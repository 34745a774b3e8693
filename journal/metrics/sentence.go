// Numbers as sentences: the words that stand above every table and chart.

package metrics

import (
	"fmt"
	"math"
	"strings"
)

// Count turns a number and a unit into words: "1 part", "12 parts".
func Count(n int, unit string) string {
	if n != 1 {
		switch stem, y := strings.CutSuffix(unit, "y"); {
		case strings.HasSuffix(unit, "ch") || strings.HasSuffix(unit, "s"):
			unit += "e"
		case y && !strings.ContainsAny(stem[max(0, len(stem)-1):], "aeiou"):
			unit = stem + "ie"
		}
		unit += "s"
	}
	return fmt.Sprintf("%d %s", n, unit)
}

// Figure writes a rate or a ratio with the digits it can bear: three below a
// hundred, whole numbers above. What rounds up to ten or a hundred is written so.
func Figure(x float64) string {
	switch a := math.Abs(x); {
	case a >= 99.95:
		return fmt.Sprintf("%.0f", x)
	case a >= 9.995:
		return fmt.Sprintf("%.1f", x)
	}
	return fmt.Sprintf("%.2f", x)
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
		s += ": few sessions, so take it as a hint"
	}
	return s + "."
}

// narrowest is how near to 1 an interval must stay for two speeds to be called
// about the same; a wider one that spans 1 only says that nobody can tell. A
// fifth is less than a person notices between two evenings (our choice).
const narrowest = 0.8

// Sentence says the comparison in words, from the later build's side: earlier
// and later are the titles of the builds.
func (c Comparison) Sentence(earlier, later string) string {
	if !c.OK {
		return fmt.Sprintf("%s against %s: no comparison (%s).", later, earlier, c.Why)
	}
	span := fmt.Sprintf("%s and %s sessions", fmt.Sprint(c.N1), fmt.Sprint(c.N2))
	if c.Interval.OK {
		span = fmt.Sprintf("%s to %s; %s", Figure(c.Interval.Low), Figure(c.Interval.High), span)
	}
	covered := fmt.Sprintf("like for like, %.0f %% of its counted hours", 100*c.Coverage)
	switch c.Verdict() {
	case Faster, Slower:
		return fmt.Sprintf("%s went at %s times the speed of %s (%s; %s).", later, Figure(c.Speed), earlier, span,
			covered)
	case Same, Unclear:
		if c.Interval.Low < narrowest || c.Interval.High > 1/narrowest {
			return fmt.Sprintf("%s was neither clearly faster nor clearly slower than %s: %s times its speed (%s; %s).",
				later, earlier, Figure(c.Speed), span, covered)
		}
		return fmt.Sprintf("%s was about as fast as %s: %s times its speed (%s; %s).", later, earlier, Figure(c.Speed),
			span, covered)
	}
	return fmt.Sprintf("%s against %s: too few sessions to tell (%s times its speed so far; %s).", later, earlier,
		Figure(c.Speed), span)
}
