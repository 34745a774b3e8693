// The learning rate in words.

package metrics

import (
	"fmt"
	"math"
)

// Sentence says the learning rate in words; unit is what one done is.
func (l Learning) Sentence(label, unit string) string {
	if !l.OK {
		return fmt.Sprintf("%s: no learning rate (%s).", label, l.Why)
	}
	off := func(rate float64) string { return fmt.Sprintf("%.0f", 100*(1-rate)) }
	span := fmt.Sprintf("(%s to %s; %s, %s)", off(l.Interval.High), off(l.Interval.Low), Count(l.N, "session"),
		Count(int(l.Parts), unit))
	var s string
	switch {
	case l.Interval.High < 1:
		s = fmt.Sprintf("%s: each doubling of the %ss done takes %s %% off the time of one %s", label, unit,
			off(l.Rate), span)
	case l.Interval.Low > 1:
		s = fmt.Sprintf("%s: each doubling of the %ss done adds %.0f %% to the time of one (%.0f to %.0f; %s, %s)",
			label, unit,
			100*(l.Rate-1), 100*(l.Interval.Low-1), 100*(l.Interval.High-1), Count(l.N, "session"),
			Count(int(l.Parts), unit))
	default:
		change := func(rate float64) string {
			if n := math.Round(100 * (rate - 1)); n != 0 {
				return fmt.Sprintf("%+.0f", n)
			}
			return "0"
		}
		s = fmt.Sprintf("%s: no learning that can be told from chance; each doubling of the %ss done changes the time of one by %s %% (%s to %s; %s, %s)",
			label, unit,
			change(l.Rate), change(l.Interval.Low), change(l.Interval.High), Count(l.N, "session"),
			Count(int(l.Parts), unit))
	}
	if l.Flat {
		s += "; of late the curve is flat"
	}
	return s + "."
}
