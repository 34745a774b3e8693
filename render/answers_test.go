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
		"faster":            {at(1.4, 1.1, 1.7, 0.8, true), "You work faster now", "1.40 times the speed on the same kinds of work (range 1.10 to 1.70; 7 sessions against 9; covers 80 %"},
		"slower":            {at(0.7, 0.6, 0.9, 0.8, true), "You work slower now", "0.70 times the speed"},
		"chance":            {at(1.1, 0.9, 1.4, 0.8, false), "No clear change of speed", "that may be chance."},
		"chance among many": {at(1.4, 1.1, 1.7, 0.8, false), "No clear change of speed", "that may be chance."},
		"few":               {at(3, 0, 0, 0.8, false), "Your speed cannot be compared yet", "too few evenings to tell"},
		"nothing shared":    {metrics.Comparison{Why: metrics.Because("no shared kinds of work")}, "Your speed cannot be compared yet", "no comparison (no shared kinds of work)"},
	} {
		a := inEnglish.paceAnswer(c.of, "Pilot boat", "Lightship")
		if a.Lead != c.lead || !strings.Contains(a.Words, c.says) {
			t.Errorf("%s: %s: %s", name, a.Lead, a.Words)
		}
	}
}

// The page opens with the answer of the same chance that its sentence gives, and names
// a change only where it is claimed.
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
		if changed := strings.HasPrefix(a.Lead, "Your work looks"); changed != ch.Claimed || strings.Contains(a.Words, "call") == changed {
			t.Errorf("%+v: %s: %s", ch, a.Lead, a.Words)
		}
	}
	if n == 0 {
		t.Error("no answer was compared")
	}
}

// The words follow from what is claimed, whatever the range.
func TestLeadOfAChance(t *testing.T) {
	ch := metrics.Chance{OK: true, P: 0.9, Interval: metrics.Interval{Low: 0.7, High: 0.97, OK: true}, N: 40, Direct: 12, Photos: [2]int{4, 5}}
	few, worse, sure := ch, ch, ch
	few.Photos = [2]int{1, 5}
	sure.Claimed, worse.Claimed, worse.P = true, true, 0.1
	for want, one := range map[string]metrics.Chance{
		"No clear difference from Boat": ch, "Too few photos to compare with Boat": few,
		"Your work looks better than on Boat": sure, "Your work looks less good than on Boat": worse,
	} {
		if got := inEnglish.leadOf(one, "Boat"); got != want {
			t.Errorf("%+v: %q, want %q", one, got, want)
		}
	}
}

func TestPercentHasNoNegativeZero(t *testing.T) {
	for p, want := range map[float64]string{-0.003: "0\u00a0%", 0: "0\u00a0%", -0.012: "-1\u00a0%", 0.125: "12\u00a0%", 0.97: "97\u00a0%"} {
		if got := percent(p); got != want {
			t.Errorf("%v: %s, want %s", p, got, want)
		}
	}
}
