// Hours: sums by key, the ways of knowing kept apart.

package metrics

import (
	"math"
	"reflect"
	"testing"
)

func TestHours(t *testing.T) {
	ws := []Work{
		{Session: "a", Week: "2026-W08", Kind: "clean", Hours: 1.5, Known: Measured, Counted: true},
		{Session: "a", Week: "2026-W08", Kind: "clean", Hours: 0.5, Known: Measured}, // same evening
		{Session: "b", Week: "2026-W07", Kind: "weather", Hours: 2, Known: Estimated},
		{Session: "c", Week: "2026-W08", Kind: "plan", Hours: 0.25, Known: Remembered},
		{Session: "d", Week: "2026-W08", Kind: "wait", Hours: 24, Known: Measured}, // curing
		{Session: "e", Week: "2026-W08", Kind: "seam", Hours: 1},
		{Session: "f", Week: "2026-W09", Kind: "seam", Hours: math.NaN(), Known: Measured},
	}
	want := []Sum{
		{Key: "2026-W07", Hours: 2, Estimated: 2, N: 1},
		{Key: "2026-W08", Hours: 3.25, Measured: 2, Remembered: 0.25, N: 3},
		{Key: "2026-W09", N: 1},
	}
	byWeek := func(w Work) string { return w.Week }
	for seed := range uint64(5) {
		if got := Hours(shuffled(ws, seed), byWeek); !reflect.DeepEqual(got, want) {
			t.Fatalf("Hours = %+v\nwant %+v", got, want)
		}
	}
	if got := Hours(nil, byWeek); got != nil {
		t.Errorf("Hours of nothing = %v", got)
	}
}

func TestTenths(t *testing.T) {
	for minutes, want := range map[float64]string{0: "0.0", 3: "0.1", 39: "0.7", 99: "1.7", 98: "1.6", 135: "2.3", 6000: "100.0"} {
		if got := Tenths(minutes / 60); string(got) != want {
			t.Errorf("%v min: %s, want %s", minutes, got, want)
		}
	}
	// The same hours in another order.
	for _, parts := range [][]float64{{0.55, 0.55, 0.55}, {1.1, 0.55}, {0.4, 0.75, 0.5}, {1.65}} {
		var sum float64
		for _, h := range parts {
			sum += h
		}
		if got := Tenths(sum); got != "1.7" {
			t.Errorf("%v: %s", parts, got)
		}
	}
}
