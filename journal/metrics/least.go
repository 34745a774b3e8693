// A lower bound of the time at the bench, where nothing tells of it but photos.

package metrics

import (
	"slices"
	"time"
)

// Shot is a photo whose hour is known.
type Shot struct {
	Camera string // tells one camera from another
	At     time.Time
}

// GapAtBench is the longest time between two photos that counts as time at the bench.
// Common practice, no source: a timer that is not stopped for a coffee has it, too.
const GapAtBench = 15 * time.Minute

// LeastTime is a lower bound of the time at the bench on one evening: of each camera the
// sum of the steps between photos that follow each other by GapAtBench at most; of
// several cameras the largest sum, since their clocks may differ, and each is right about
// its own steps.
//
// Whoever was at the bench at both photos, and away for no longer than GapAtBench at a
// time between, was there for at least so long; of shorter absences it knows nothing, as
// a timer knows of none that nobody says. What came before the first photo, after the
// last one and in longer gaps is not counted, so the bound is far below the truth of who
// seldom takes one. A single photo gives 0, and so do photos that are all of one moment.
func LeastTime(shots []Shot) time.Duration {
	by := map[string][]time.Time{}
	for _, s := range shots {
		by[s.Camera] = append(by[s.Camera], s.At)
	}
	var most time.Duration
	for _, at := range by {
		slices.SortFunc(at, time.Time.Compare)
		var sum time.Duration
		for i := 1; i < len(at); i++ {
			if step := at[i].Sub(at[i-1]); step <= GapAtBench {
				sum += step
			}
		}
		most = max(most, sum)
	}
	return most
}
