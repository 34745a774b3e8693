// The learning rate in words.

package metrics

import (
	"fmt"
	"math"
)

// Sentence says the learning rate in words, as learning only where it is claimed;
// unit is what one done is, "" of several kinds of work together.
func (l Learning) Sentence(label, unit string) string {
	if !l.OK {
		return fmt.Sprintf("%s: no learning rate (%s).", label, l.Why)
	}
	rests := Count(l.N, "session")
	if unit == "" {
		unit = "piece"
	} else {
		rests += ", " + Count(int(l.Parts), unit)
	}
	if l.Builds > 1 {
		rests += " in " + Count(l.Builds, "build")
	}
	each := unit + "s done"
	if l.Before > 0 {
		each += fmt.Sprintf(", counting the %.0f you did before,", l.Before)
	}
	s := fmt.Sprintf("%s: with each doubling of the %s the time per %s comes out %s (%s; %s)%s", label, each, unit,
		TimeWords(l.Rate), TimeRange(l.Interval), rests, l.Unclaimed())
	if l.Claimed {
		does := "cuts the time per %s by %.0f %%"
		if l.Rate > 1 {
			does = "lengthens the time per %s by %.0f %%"
		}
		s = fmt.Sprintf("%s: each doubling of the %s %s (%s; %s)", label, each,
			fmt.Sprintf(does, unit, 100*math.Abs(l.Rate-1)), TimeRange(l.Interval), rests)
		if l.Flat {
			s += "; of late the curve is flat"
		}
	}
	return s + "."
}

// Unclaimed says why a learning rate is only a figure; it is empty when it is claimed.
func (l Learning) Unclaimed() string {
	switch {
	case l.Claimed:
		return ""
	case l.Interval.contains(1):
		return "; that may be chance"
	}
	return "; among all that this journal compares, that may be chance"
}

// TimeWords is a change of time: "7 % shorter", "5 % longer", "the same".
func TimeWords(ratio float64) string {
	switch by := math.Round(100 * (ratio - 1)); {
	case by < 0:
		return fmt.Sprintf("%.0f %% shorter", -by)
	case by > 0:
		return fmt.Sprintf("%.0f %% longer", by)
	}
	return "the same"
}

// TimeRange is the range of a change of time: "15 % shorter to 1 % longer",
// "2 to 12 % shorter".
func TimeRange(iv Interval) string {
	low, high := math.Round(100*(iv.Low-1)), math.Round(100*(iv.High-1))
	switch {
	case low < 0 && high < 0:
		return fmt.Sprintf("%.0f to %.0f %% shorter", -high, -low)
	case low > 0 && high > 0:
		return fmt.Sprintf("%.0f to %.0f %% longer", low, high)
	}
	return TimeWords(iv.Low) + " to " + TimeWords(iv.High)
}
