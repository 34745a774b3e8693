// Words, figures and drawings.

package render

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

func TestWords(t *testing.T) {
	for _, c := range [][2]string{
		{inEnglish.dayOf("2024-05-03"), "3 May 2024"}, {inEnglish.dayOf("1998-04"), "April 1998"}, {inEnglish.dayOf("1998"), "1998"}, {inEnglish.dayOf(""), ""},
		{inEnglish.monthSpan("2021-03-06", "2022-05-01"), "March 2021 to May 2022"}, {inEnglish.monthSpan("2021-03-06", "2021-03-30"), "March 2021"},
		{inEnglish.monthSpan("", ""), ""}, {inEnglish.monthSpan("1998", ""), "1998"},
		{inEnglish.inHours(0), "0 h"}, {inEnglish.inHours(math.NaN()), "0 h"}, {inEnglish.inHours(0.004), "under 1 min"}, {inEnglish.inHours(1.0 / 60), "1 min"}, {inEnglish.inHours(1.6 / 60), "2 min"}, {inEnglish.inHours(0.5), "30 min"}, {inEnglish.inHours(0.999), "1.0 h"}, {inEnglish.inHours(12.44), "12.4 h"}, {inEnglish.inHours(251.5), "252 h"},
		{inEnglish.count(1, "photo"), "1 photo"}, {inEnglish.count(0, "photo"), "0 photos"}, {inEnglish.count(2, "batch"), "2 batches"},
		{inEnglish.low("Clean hull"), "clean hull"}, {inEnglish.low("PE parts"), "PE parts"}, {inEnglish.low(""), ""}, {inEnglish.low("Ätzen"), "ätzen"},
		{inEnglish.kindTitle("top-coat"), "Top coat"}, {inEnglish.kindTitle("dry-fit"), "Dry fit"}, {inEnglish.kindTitle("clean"), "Cleanup"}, {inEnglish.kindTitle("line"), "Panel lines"}, {inEnglish.kindTitle(""), ""},
		{inEnglish.figure(123.4), "123"}, {inEnglish.figure(12.34), "12.3"}, {inEnglish.figure(1.234), "1.23"},
		{string(whole("Field-kitchen lorry")), `<span class="whole">Field-kitchen</span> lorry`}, {string(whole("A <b> & c")), "A &lt;b&gt; &amp; c"},
		{string(whole("A-hull-of-a-very-long-name")), "A-hull-of-a-very-long-name"},
		{inEnglish.benchTime([]metrics.Work{{Known: metrics.Measured}}), "under 1 min"}, {inEnglish.benchTime([]metrics.Work{{Known: metrics.Remembered}}), "0 h"},
		{inEnglish.benchTime([]metrics.Work{{Known: metrics.Measured, Hours: 1}, {Known: metrics.Remembered, Hours: 0.5}}), "1.5 h"},
		{fileName("a b/ü.."), "a-b----"}, {yearOf("98"), "98"},
	} {
		if c[0] != c[1] {
			t.Errorf("%q, want %q", c[0], c[1])
		}
	}
}

// The three ways of knowing differ in word and in mark.
func TestKnownDiffer(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range []string{journal.Measured, journal.Estimated, journal.Remembered, ""} {
		k := inEnglish.known(w)
		if seen[k.Word] || seen[k.Mark] {
			t.Errorf("%+v is not told from the others", k)
		}
		seen[k.Word], seen[k.Mark] = true, true
	}
}

func TestNiceStep(t *testing.T) {
	for _, c := range []struct {
		span float64
		n    int
		want float64
	}{{10, 5, 2}, {100, 7, 20}, {0.9, 4, 0.5}, {0, 4, 1}, {math.NaN(), 4, 1}, {7, 7, 1}, {66, 7, 10}} {
		if got := niceStep(c.span, c.n); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("niceStep(%v, %d) = %v, want %v", c.span, c.n, got, c.want)
		}
	}
}

// Whatever the numbers, a drawing keeps inside its frame and holds no NaN.
func TestRateChartsStayInside(t *testing.T) {
	rows := []Reading{
		{Label: "none", Value: 0, Interval: true, High: 3.7}, {Label: "one", Value: 2, Low: 0.05, High: 900, Interval: true},
		{Label: "odd", Value: math.NaN()}, {Label: "much", Value: 40, Low: 30, High: 55, Interval: true},
	}
	path := regexp.MustCompile(`^M(-?[0-9.]+) (-?[0-9.]+)`)
	charts := inEnglish.rateCharts("alt", "Axis", rows)
	if len(charts) != 2 {
		t.Fatal(len(charts), "charts")
	}
	for _, c := range charts {
		if len(c.Marks) != len(rows) || len(c.Ticks) < 2 {
			t.Errorf("%s: %d rows, %d ticks", c.Class, len(c.Marks), len(c.Ticks))
		}
		for _, m := range c.Marks {
			if !path.MatchString(m.Point) || strings.Contains(m.Point+m.X1+m.X2+m.ValueX, "NaN") || strings.Contains(m.X2, "-") {
				t.Errorf("%s: %+v", c.Class, m)
			}
		}
		if c.Marks[1].Cap2 != "" {
			t.Error("an interval that leaves the drawing ends in a cap")
		}
	}
	if inEnglish.rateCharts("", "", nil) != nil {
		t.Error("a drawing of nothing")
	}
}
