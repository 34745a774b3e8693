// The learning rate in words.

package metrics

import (
	"fmt"
	"math"
)

// Sentence says the learning rate in words; unit is what one done is, "" of several
// kinds of work together.
func (l Learning) Sentence(label, unit string) string {
	if !l.OK {
		return fmt.Sprintf("%s: no learning rate (%s).", label, l.Why)
	}
	each, rests := l.each(unit)
	off := func(rate float64) string { return fmt.Sprintf("%.0f", 100*(1-rate)) }
	change := func(rate float64) string {
		if n := math.Round(100 * (rate - 1)); n != 0 {
			return fmt.Sprintf("%+.0f", n)
		}
		return "0"
	}
	var s string
	switch {
	case l.Interval.High < 1:
		s = fmt.Sprintf("%s: %s takes %s %% off the time of one (%s to %s; %s)", label, each, off(l.Rate),
			off(l.Interval.High), off(l.Interval.Low), rests)
	case l.Interval.Low > 1:
		s = fmt.Sprintf("%s: %s adds %.0f %% to the time of one (%.0f to %.0f; %s)", label, each,
			100*(l.Rate-1), 100*(l.Interval.Low-1), 100*(l.Interval.High-1), rests)
	default:
		s = fmt.Sprintf("%s: no learning that can be told from chance; %s changes the time of one by %s %% (%s to %s; %s)",
			label, each, change(l.Rate), change(l.Interval.Low), change(l.Interval.High), rests)
	}
	if l.Flat {
		s += "; of late the curve is flat"
	}
	return s + "."
}

// each names what doubles, and what the rate rests on.
func (l Learning) each(unit string) (doubling, rests string) {
	doubling, rests = "each doubling of what was done", Count(l.N, "session")
	if unit != "" {
		doubling = fmt.Sprintf("each doubling of the %ss done", unit)
		rests += ", " + Count(int(l.Parts), unit)
	}
	if l.Before > 0 {
		doubling += fmt.Sprintf(", counting the %.0f you did before,", l.Before)
	}
	if l.Builds > 1 {
		rests += " in " + Count(l.Builds, "build")
	}
	return doubling, rests
}
