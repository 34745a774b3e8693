// What is printed is what is claimed.

package metrics

import "testing"

func TestChange(t *testing.T) {
	for ratio, want := range map[float64]string{0.93: "-7", 1.05: "+5", 1: "0", 0.996: "0", 1.004: "0", 2: "+100"} {
		if got := string(Change(ratio)); got != want {
			t.Errorf("%v: %s, want %s", ratio, got, want)
		}
	}
}

func TestLeavesOne(t *testing.T) {
	for _, c := range []struct {
		ratio, low, high float64
		want             bool
	}{
		{1.2, 1.1, 1.3, true}, {0.8, 0.7, 0.9, true}, {1.2, 0.9, 1.5, false},
		{1.004, 1.001, 1.007, false}, // 1.00 times (1.00 to 1.01)
		{1.02, 1.004, 1.04, false},   // 1.02 times (1.00 to 1.04)
		{0.98, 0.96, 0.996, false},   // 0.98 times (0.96 to 1.00)
		{1.02, 1.0051, 1.04, true},   // 1.02 times (1.01 to 1.04)
		{0.94, 0.90, 0.9949, true},   // 0.94 times (0.90 to 0.99)
	} {
		iv := Interval{Low: c.low, High: c.high, OK: true}
		if got := LeavesOne(c.ratio, iv); got != c.want {
			t.Errorf("%s times (%s to %s): %v", Figure(c.ratio), Figure(c.low), Figure(c.high), got)
		}
		said := Comparison{OK: true, Speed: c.ratio, Interval: iv, Claim: Claim{Claimed: true}}.Verdict()
		if got := said == Faster || said == Slower; got != c.want {
			t.Errorf("%s times (%s to %s) is %s", Figure(c.ratio), Figure(c.low), Figure(c.high), said)
		}
	}
	if LeavesOne(2, Interval{}) {
		t.Error("no range, no change")
	}
}
