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
		{at(1.49, 1.32, 1.68, true), "Seaplane was faster than Lorry: 1.49 times the speed (1.32 to 1.68; 9 and 7 sessions; like for like, covers 91 % of this build's counted hours)."},
		{at(0.7, 0.6, 0.8, true), "Seaplane was slower than Lorry: 0.70 times the speed"},
		{at(1.49, 1.32, 1.68, false), "Seaplane beside Lorry: 1.49 times the speed (1.32 to 1.68; 9 and 7 sessions; like for like, covers 91 % of this build's counted hours); among all that this journal compares, that may be chance."},
		{at(1.02, 0.93, 1.12, false), "Seaplane was about as fast as Lorry: 1.02 times the speed (0.93 to 1.12; 9 and 7 sessions; like for like, covers 91 % of this build's counted hours)."},
		{at(1.48, 0.67, 3.27, false), "Seaplane beside Lorry: 1.48 times the speed (0.67 to 3.27; 9 and 7 sessions; like for like, covers 91 % of this build's counted hours); that may be chance."},
		{at(1.4, 0, 0, false), "Seaplane against Lorry: too few evenings to tell (1.40 times the speed so far; 9 and 7 sessions)."},
		{Comparison{Why: noCells}, "Seaplane against Lorry: no comparison ("},
	} {
		if got := c.is.Sentence("Lorry", "Seaplane"); !strings.HasPrefix(got, c.want) {
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
			"Clean: 20.0 parts an hour (18.0 to 22.0; 4 sessions); on 2 evenings more (1.5 h) nothing was counted, and if nothing got done there it was 12.3 an hour."},
		{Pace{Why: "no hours"}, "Clean: no pace (no hours)."},
	} {
		if got := c.is.Sentence("Clean", "part"); got != c.want {
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
