// Changes as they are printed: one sign for a change of time, and no change where
// none is left after rounding.

package metrics

import (
	"math"

	"rakelight/journal/say"
)

// Change writes a ratio of times a part as what it changes them by, in per cent:
// 0.93 is said as "−7", less time, and 1.05 "+5", more. Pages, commands and drawings all write
// it so.
func Change(ratio float64) say.Number {
	if n := math.Round(100 * (ratio - 1)); n != 0 {
		return signed(n, 0)
	}
	return "0"
}

// LeavesOne reports whether a ratio and its range say a change as they are printed:
// one that reads 1.00, itself or at its nearer end, is none.
func LeavesOne(ratio float64, iv Interval) bool {
	one := Figure(1)
	return iv.OK && !iv.contains(1) && Figure(ratio) != one && Figure(iv.Low) != one && Figure(iv.High) != one
}

// CoverageWords says how much of the later build a comparison speaks for.
func (c Comparison) CoverageWords() say.Text {
	return say.Of("covers %.0f %% of the later build's counted hours", 100*c.Coverage)
}
