// Tests of rework charged to the kind of work that caused it.

package metrics

import (
	"math"
	"math/rand/v2"
	"testing"
)

func repair(session, causer string, hours float64) Work {
	return Work{Session: session, Build: "boat", Kind: "repair", Causer: causer, Hours: hours, Known: Measured}
}

func TestReworkByHand(t *testing.T) {
	a := clean("boat", "a", "flat", 18, 2)
	a.Reopened = 2
	ws := []Work{a, clean("boat", "b", "flat", 12, 1), repair("r", "clean", 0.75), repair("q", "paint", 4), repair("x", "", 1)}
	r := ReworkOf(ws, "clean")
	near(t, "own", r.Own.PerHour, 10, 1e-12)
	near(t, "charged", r.Charged.PerHour, 8, 1e-12)
	near(t, "rework hours", r.Hours, 0.75, 0)
	if r.Repairs != 1 || r.Own.Reopened != 2 || r.Charged.N != 3 {
		t.Errorf("%+v", r)
	}
	if got, want := r.Sentence("Clean", "part").String(), "Clean with its rework: 8.00 parts an hour "; len(got) < len(want) || got[:len(want)] != want {
		t.Error(got)
	}
	if m := MendingOf(ws); m != (Mending{Hours: 5.75, Charged: 4.75, N: 3, Uncharged: 1}) {
		t.Errorf("%+v", m)
	}
	if r := ReworkOf(ws[1:2], "clean"); r.Sentence("Clean", "part").String() != "" {
		t.Error("nothing mended, and still said:", r.Sentence("Clean", "part").String())
	}
}

func TestChargeKeepsTheHours(t *testing.T) {
	w := repair("r", "", 1)
	w.Parts = 3
	for _, shares := range []map[string]float64{nil, {"clean": 1}, {"clean": 1.0 / 3, "seam": 1.0 / 3, "paint": 1.0 / 3}, {"clean": 0.25, "seam": 0.25}} {
		var hours, parts float64
		for _, piece := range w.Charge(shares) {
			hours, parts = hours+piece.Hours, parts+piece.Parts
			if want, ok := shares[piece.Causer]; ok {
				near(t, "share of "+piece.Causer, piece.Hours, want, 1e-12)
			}
		}
		near(t, "hours", hours, 1, 1e-9)
		near(t, "parts", parts, 3, 0)
	}
}

// What must hold whatever the sessions are.
func TestReworkMetamorphic(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	for range 50 {
		ws := evenings(rng, "boat", 3+rng.IntN(6), 12, "flat", "curved")
		plain := ReworkOf(ws, "clean")
		near(t, "without repairs", plain.Charged.PerHour, plain.Own.PerHour, 0)
		mended := append(shuffled(ws, rng.Uint64()), repair("r1", "clean", 0.5), repair("r2", "clean", 0.25+rng.Float64()), repair("r3", "seam", 9), repair("r4", "", 7))
		r := ReworkOf(mended, "clean")
		near(t, "own pace, repairs added", r.Own.PerHour, plain.Own.PerHour, 0)
		if !(r.Charged.PerHour < r.Own.PerHour) {
			t.Errorf("mending made the pace no slower: %v, %v", r.Charged.PerHour, r.Own.PerHour)
		}
		// Parts are made by no repair, hours are lost by none.
		near(t, "hours", r.Charged.Hours, r.Own.Hours+r.Hours, 1e-12)
		near(t, "parts", r.Charged.Parts, r.Own.Parts, 0)
		got := ReworkOf(shuffled(mended, rng.Uint64()), "clean")
		near(t, "shuffled", got.Charged.PerHour, r.Charged.PerHour, 0)
		near(t, "shuffled, interval", got.Charged.Interval.High, r.Charged.Interval.High, 0)
		// A repair split over two kinds charges each its share and no more.
		piece := repair("r5", "", 2)
		split := append(append([]Work{}, mended...), piece.Charge(map[string]float64{"clean": 0.25, "seam": 0.75})...)
		near(t, "split, clean", ReworkOf(split, "clean").Hours, r.Hours+0.5, 1e-12)
		near(t, "split, seam", ReworkOf(split, "seam").Hours, 10.5, 1e-12)
		near(t, "hours by kind do not change", sumHours(Hours(split, func(w Work) string { return w.Kind })), sumHours(Hours(append(mended, piece), func(w Work) string { return w.Kind })), 1e-9)
		// Charged elsewhere, it is gone from here.
		for i := range mended {
			if mended[i].Causer == "clean" {
				mended[i].Causer = "seam"
			}
		}
		moved := ReworkOf(mended, "clean")
		near(t, "moved away", moved.Charged.PerHour, plain.Own.PerHour, 1e-12)
		// Doubling the hours of everything halves both paces.
		for i := range mended {
			mended[i].Hours *= 2
		}
		near(t, "hours doubled", ReworkOf(mended, "clean").Charged.PerHour, moved.Charged.PerHour/2, 1e-12)
	}
	if r := ReworkOf([]Work{repair("r", "clean", 1)}, "clean"); r.Own.OK || r.Charged.PerHour != 0 || math.IsNaN(r.Charged.Interval.High) {
		t.Errorf("only a repair: %+v", r)
	}
}

func sumHours(sums []Sum) float64 {
	var h float64
	for _, s := range sums {
		h += s.Hours
	}
	return h
}
