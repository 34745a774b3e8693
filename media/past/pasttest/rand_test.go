package pasttest

import (
	"math"
	"strings"
	"testing"
)

// The first three are the worked examples in the documentation of scikit-learn
// (sklearn.metrics.adjusted_rand_score, 1.5: 1.0, 0.57…, 0.0). The last follows from
// the definition by hand: no pair is together in both, so it is below 0.
func TestRandIndex(t *testing.T) {
	for _, one := range []struct {
		a, b string
		want float64
	}{
		{"0 0 1 1", "1 1 0 0", 1},
		{"0 0 1 2", "0 0 1 1", 4. / 7},
		{"0 0 1 1", "0 0 1 2", 4. / 7},
		{"0 0 0 0", "0 1 2 3", 0},
		{"0 0 1 1", "0 1 0 1", -0.5},
	} {
		if got := RandIndex(strings.Fields(one.a), strings.Fields(one.b)); math.Abs(got-one.want) > 1e-12 {
			t.Errorf("%s against %s: %v, want %v", one.a, one.b, got, one.want)
		}
	}
}
