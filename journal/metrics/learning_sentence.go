// The learning rate in words.

package metrics

import "fmt"

// Sentence says the learning rate in words, as learning only where it is claimed;
// unit is what one done is, "" of several kinds of work together.
func (l Learning) Sentence(label, unit string) string {
	if !l.OK {
		return fmt.Sprintf("%s: no learning rate (%s).", label, l.Why)
	}
	each, rests := l.each(unit)
	rests = fmt.Sprintf("(%s to %s %%; %s)", Change(l.Interval.Low), Change(l.Interval.High), rests)
	if !l.Claimed {
		s := fmt.Sprintf("%s: %s changes the time of one by %s %% %s", label, each, Change(l.Rate), rests)
		if l.Interval.contains(1) {
			return s + "; that may be chance."
		}
		return s + "; among all that this journal compares, that may be chance."
	}
	s := fmt.Sprintf("%s: %s takes %.0f %% off the time of one %s", label, each, 100*(1-l.Rate), rests)
	if l.Rate > 1 {
		s = fmt.Sprintf("%s: %s adds %.0f %% to the time of one %s", label, each, 100*(l.Rate-1), rests)
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
