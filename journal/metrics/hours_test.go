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

// 99 minutes are 1.65 hours: whichever side of it a sum falls on, they read alike.
func TestTenths(t *testing.T) {
	for hours, want := range map[float64]string{1.65: "1.7", 1.65 - 1e-12: "1.7", 1.65 + 1e-12: "1.7", 0.04: "0.0", 0.05: "0.1",
		12.35 - 1e-12: "12.4", 2: "2.0", 9.96: "10.0"} {
		if got := Tenths(hours); got != want {
			t.Errorf("%v hours: %s, want %s", hours, got, want)
		}
	}
}
