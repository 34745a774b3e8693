// Standard errors and degrees of freedom of evenings, against published values.

package metrics

import (
	"fmt"
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat"
)

// alone is a scatter that helps nobody: what a number says of itself stands.
var alone = Scatter{CV: 0.3, Shared: 0.5, DF: usualWorth}

// In evenings of one length the pace is a mean, and its standard error must be the
// textbook one with n-1: published for the mouse data.
func TestSpreadGivesThePublishedStandardError(t *testing.T) {
	published := map[string]float64{}
	for _, row := range table(t, "10_bootstrap_results.csv") {
		if row["data"] == "mouse" && row["recomputed"] != "" {
			published[row["quantity"]] = num(t, row["recomputed"])
		}
	}
	for _, group := range []string{"treatment", "control"} {
		var ws []Work
		var days []float64
		for i, row := range table(t, "10_bootstrap_mouse.csv") {
			if row["group"] == group {
				days = append(days, num(t, row["days"]))
				ws = append(ws, clean("b", fmt.Sprint(i), "flat", num(t, row["days"]), 1))
			}
		}
		c := calendarOf(pointers(ws))
		s := c.spreadOf([]moved{{c.stratumOf(pointers(ws)), 1}}, alone, false)
		near(t, group+" SE", math.Sqrt(s.variance)*stat.Mean(days, nil), published["SE of mean, "+group+" (n-1)"], 1e-6)
		near(t, group+" df", s.df, float64(len(ws)-1), 1e-9)
	}
}

// Two builds with their own scatter: Welch's test of the sleep data.
func TestTogetherIsWelch(t *testing.T) {
	var x [2][]float64
	for _, row := range table(t, "17_welch_sleep.csv") {
		k := int(num(t, row["group"])) - 1
		x[k] = append(x[k], num(t, row["extra"]))
	}
	var s [2]spread
	for k := range x {
		n := float64(len(x[k]))
		s[k] = spread{variance: stat.Variance(x[k], nil) / n, df: n - 1}
	}
	both := together(s[0], s[1])
	diff := stat.Mean(x[0], nil) - stat.Mean(x[1], nil)
	near(t, "t", diff/math.Sqrt(both.variance), -1.8608, 5e-5)
	near(t, "df", both.df, 17.776, 5e-4)
	_, claim := both.judge(math.Exp(diff))
	near(t, "p", claim.PValue, 0.07939, 5e-6)
}

// Two evenings of a sitting each, or one sitting in two parts: what is shared is one.
func TestEveningIsTheUnit(t *testing.T) {
	var apart, shared []Work
	for i := range 12 {
		w := clean("b", fmt.Sprintf("%02d", i), "flat", []float64{10, 13, 20, 24, 9, 8}[i/2], 1)
		w.Start = time.Date(2026, 1, 1+i, 19, 0, 0, 0, time.UTC)
		apart = append(apart, w)
		w.Start = time.Date(2026, 1, 1+i/2, 19+i%2, 0, 0, 0, time.UTC)
		w.Evening = w.Start.Format(time.DateOnly)
		shared = append(shared, w)
	}
	a, s := PaceOf(apart), PaceOf(shared)
	if a.Evenings != 12 || s.Evenings != 6 || s.N != 12 {
		t.Fatalf("%d and %d evenings of %d sessions", a.Evenings, s.Evenings, s.N)
	}
	// Six means of two equal counts: the t interval of six.
	f := math.Exp(2.5705818366147395 * math.Sqrt(stat.Variance([]float64{10, 13, 20, 24, 9, 8}, nil)/6) / 14)
	undated := shared
	for i := range undated {
		undated[i].Start = time.Time{}
		undated[i].Evening = fmt.Sprint("evening ", i/2) // no day: nobody knows which follow each other
	}
	near(t, "high", PaceOf(undated).Interval.High, 14*f, 1e-6)
	if !(s.Interval.High > a.Interval.High) {
		t.Errorf("evenings %+v, sessions %+v", s.Interval, a.Interval)
	}
}

// Moods that go on widen the interval, by what is known of the person.
func TestLastingMoodsWiden(t *testing.T) {
	var ws []Work
	for i := range 8 {
		w := clean("b", fmt.Sprint(i), "flat", []float64{10, 13, 20, 24, 9, 8, 12, 15}[i], 1)
		w.Start = time.Date(2026, 1, 1+i, 19, 0, 0, 0, time.UTC)
		ws = append(ws, w)
	}
	at := func(serial float64) Interval {
		with(Scatter{CV: 0.3, Shared: 1, Serial: serial, DF: usualWorth}, ws)
		return PaceOf(ws).Interval
	}
	if none, some, much := at(0), at(0.2), at(0.6); !(none.High < some.High && some.High < much.High) {
		t.Errorf("%+v, %+v, %+v", none, some, much)
	}
}
