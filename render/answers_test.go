// The answers name a change only where the range leaves no change out.

package render

import (
	"strings"
	"testing"

	"rakelight/journal/metrics"
)

func TestPaceAnswer(t *testing.T) {
	at := func(speed, low, high, covers float64, claimed bool) metrics.Comparison {
		return metrics.Comparison{OK: true, Speed: speed, Interval: metrics.Interval{Low: low, High: high, OK: high > 0}, N1: 9, N2: 7,
			Coverage: covers, Claim: metrics.Claim{Claimed: claimed}}
	}
	for name, c := range map[string]struct {
		of         metrics.Comparison
		lead, says string
	}{
		"faster":            {at(1.4, 1.1, 1.7, 0.8, true), "You are faster than on Pilot boat", "1.40 times its speed (1.10 to 1.70; 9 and 7 sessions; like for like, covers 80 %"},
		"slower":            {at(0.7, 0.6, 0.9, 0.8, true), "You are slower than on Pilot boat", "0.70 times its speed"},
		"chance":            {at(1.1, 0.9, 1.4, 0.8, false), "No clear change of speed since Pilot boat", "that may be chance."},
		"chance among many": {at(1.4, 1.1, 1.7, 0.8, false), "No clear change of speed since Pilot boat", "that may be chance."},
		"of little":         {at(1.4, 1.1, 1.7, 0.49, true), "Too little of the work can be compared", "covers 49 %"},
		"few":               {at(3, 0, 0, 0.8, false), "Your speed cannot be compared yet", "too few evenings to tell"},
		"nothing shared":    {metrics.Comparison{Why: "no shared kinds of work"}, "Your speed cannot be compared yet", "no comparison (no shared kinds of work)"},
	} {
		a := paceAnswer(c.of, "Pilot boat", "Lightship")
		if a.Lead != c.lead || !strings.Contains(a.Words, c.says) {
			t.Errorf("%s: %s: %s", name, a.Lead, a.Words)
		}
	}
}

// The page opens with the answer of the same chance that its sentence gives.
func TestSkillAnswer(t *testing.T) {
	v := smallView()
	q := v.judged.quality()
	n := 0
	for _, e := range q.Earlier {
		ch := q.Rankings[0].Chance(q.Build.ID, e.ID)
		a, ok := v.skillAnswer(q, e.ID, q.Build.ID)
		if ok != ch.OK {
			t.Fatalf("%s: an answer %v, a chance %v", e.ID, ok, ch.OK)
		}
		if !ok {
			continue
		}
		n++
		better, worse := strings.HasPrefix(a.Lead, "Your work looks better"), strings.HasPrefix(a.Lead, "Your work looks less good")
		if better != (ch.Interval.Low > 0.5) || worse != (ch.Interval.High < 0.5) || strings.Contains(a.Words, "holds 50") != (!better && !worse) {
			t.Errorf("%.2f to %.2f: %s: %s", ch.Interval.Low, ch.Interval.High, a.Lead, a.Words)
		}
		// The other way round the better one is the less good one.
		b, _ := v.skillAnswer(q, q.Build.ID, e.ID)
		if strings.HasPrefix(b.Lead, "Your work looks less good") != better {
			t.Errorf("%s, but %s", a.Lead, b.Lead)
		}
	}
	if n == 0 {
		t.Error("no answer was compared")
	}
}

func TestPercentHasNoNegativeZero(t *testing.T) {
	for p, want := range map[float64]string{-0.003: "0\u00a0%", 0: "0\u00a0%", -0.012: "-1\u00a0%", 0.125: "12\u00a0%", 0.97: "97\u00a0%"} {
		if got := percent(p); got != want {
			t.Errorf("%v: %s, want %s", p, got, want)
		}
	}
}
