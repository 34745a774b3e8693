// The answers name a change only where the range leaves no change out.

package render

import (
	"strings"
	"testing"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

func TestPaceAnswer(t *testing.T) {
	was := &build{Build: &journal.Build{ID: "boat", Title: "Pilot boat"}}
	is := &build{Build: &journal.Build{ID: "lightship", Title: "Lightship"}}
	for name, c := range map[string]struct {
		of   metrics.Comparison
		lead string
		says string
	}{
		"faster": {metrics.Comparison{OK: true, Claim: metrics.Claim{Claimed: true}, Speed: 1.4, Interval: metrics.Interval{Low: 1.1, High: 1.7, OK: true}, N1: 9, N2: 7},
			"You are faster than on Pilot boat", "Lightship went at 1.40 times its speed (range 1.10 to 1.70; 9 and 7 sessions)."},
		"slower": {metrics.Comparison{OK: true, Claim: metrics.Claim{Claimed: true}, Speed: 0.7, Interval: metrics.Interval{Low: 0.6, High: 0.9, OK: true}, N1: 9, N2: 7},
			"You are slower than on Pilot boat", "0.70 times its speed (range 0.60 to 0.90; 9 and 7 sessions)."},
		"no change": {metrics.Comparison{OK: true, Speed: 1.1, Interval: metrics.Interval{Low: 0.9, High: 1.4, OK: true}, N1: 9, N2: 1},
			"No clear change of speed since Pilot boat", "(range 0.90 to 1.40; 9 and 1 session; the range holds 1, which is no change)."},
		"few": {metrics.Comparison{OK: true, Speed: 3, N1: 1, N2: 2},
			"Your speed cannot be compared yet", "too few sessions to tell"},
		"nothing shared": {metrics.Comparison{Why: "no shared kinds of work"},
			"Your speed cannot be compared yet", "no comparison (no shared kinds of work)"},
	} {
		a := paceAnswer(c.of, "", was, is)
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
