// Tests of numbers as sentences.

package metrics

import (
	"strings"
	"testing"
)

// Words of change are for claims alone, and every number has its n.
func TestComparisonSentence(t *testing.T) {
	at := func(speed, low, high float64, claimed bool) Comparison {
		return Comparison{OK: true, Speed: speed, Interval: Interval{Low: low, High: high, OK: high > 0}, N1: 9, N2: 7, Coverage: 0.91,
			Claim: Claim{Tested: true, Claimed: claimed}}
	}
	for _, c := range []struct {
		is   Comparison
		want string
	}{
		{at(1.49, 1.32, 1.68, true), "On Seaplane you worked faster than on Lorry: 1.49 times the speed on the same kinds of work (range 1.32 to 1.68; 7 sessions against 9; covers 91 % of the later build's counted hours)."},
		{at(0.7, 0.6, 0.8, true), "On Seaplane you worked slower than on Lorry: 0.70 times the speed"},
		{at(1.49, 1.32, 1.68, false), "Seaplane against Lorry: 1.49 times the speed on the same kinds of work (range 1.32 to 1.68; 7 sessions against 9; covers 91 % of the later build's counted hours); among all that this journal compares, that may be chance."},
		{at(1.02, 0.93, 1.12, false), "On Seaplane you worked about as fast as on Lorry: 1.02 times the speed on the same kinds of work (range 0.93 to 1.12; 7 sessions against 9; covers 91 % of the later build's counted hours)."},
		{at(1.48, 0.67, 3.27, false), "Seaplane against Lorry: 1.48 times the speed on the same kinds of work (range 0.67 to 3.27; 7 sessions against 9; covers 91 % of the later build's counted hours); that may be chance."},
		{at(1.4, 0, 0, false), "Seaplane against Lorry: too few evenings to tell (1.40 times the speed so far; 7 sessions against 9)."},
		{Comparison{Why: noCells}, "Seaplane against Lorry: no comparison ("},
	} {
		if got := c.is.Sentence("Lorry", "Seaplane").String(); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q, want %q…", got, c.want)
		}
	}
}

func TestPaceSentence(t *testing.T) {
	for _, c := range []struct {
		is   Pace
		want string
	}{
		{Pace{OK: true, PerHour: 23.14, N: 14, Interval: Interval{Low: 20, High: 26.7, OK: true}}, "Clean: 23.1 parts an hour (20.0 to 26.7; 14 sessions)."},
		{Pace{OK: true, PerHour: 123.4, N: 1, Few: true, Interval: Interval{Low: 9.5, High: 200, OK: true}}, "Clean: 123 parts an hour (9.50 to 200; 1 session): few evenings, so take it as a hint."},
		{Pace{OK: true, PerHour: 20, N: 4, Interval: Interval{Low: 18, High: 22, OK: true}, Uncounted: 2, UncountedHours: 1.5, AtLeast: 12.3},
			"Clean: 20.0 parts an hour (18.0 to 22.0; 4 sessions); on 2 evenings more (1.5 h) nothing was counted, and if nothing got done then it was 12.3 an hour."},
		{Pace{Why: Because("no hours")}, "Clean: no pace (no hours)."},
	} {
		if got := c.is.Sentence("Clean", "part").String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestCount(t *testing.T) {
	for want, got := range map[string]string{
		"1 copy": Count(1, "copy"), "2 copies": Count(2, "copy"), "3 days": Count(3, "day"), "0 parts": Count(0, "part"),
		"2 batches": Count(2, "batch"), "2 lenses": Count(2, "lens"), "1 part": Count(1, "part"),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A change of time is told by its direction in words, in ranges too, and wide figures
// have two digits.
func TestTimeWords(t *testing.T) {
	for want, got := range map[string]string{
		"7 % shorter": TimeWords(0.93).String(), "5 % longer": TimeWords(1.05).String(), "the same": TimeWords(1.004).String(),
		"15 % shorter to 1 % longer": TimeRange(Interval{Low: 0.85, High: 1.01}).String(),
		"2 to 12 % shorter":          TimeRange(Interval{Low: 0.88, High: 0.98}).String(),
		"2 to 17 % longer":           TimeRange(Interval{Low: 1.02, High: 1.17}).String(),
		"3 % shorter to the same":    TimeRange(Interval{Low: 0.97, High: 1}).String(),
		"7.6":                        string(Rough(7.63)), "84": string(Rough(84.4)), "120": string(Rough(123)), "0.63": string(Rough(0.634)), "0": string(Rough(0)), "1.0": string(Rough(1)),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
