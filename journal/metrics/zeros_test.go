// Evenings on which nothing got done.

package metrics

import (
	"math/rand/v2"
	"testing"
)

// At one part an hour and half an hour a sitting most evenings are empty. Who does
// not count them looks far too quick, and the pace says by how much that may be;
// counted, they bring it to what it is.
func TestZerosAreInThePace(t *testing.T) {
	var all, without, least float64
	const runs = 200
	for run := range runs {
		s := newSitter(rand.New(rand.NewPCG(uint64(run), 4)), habits{sd: 0.3, sessions: 1, rate: 1})
		ws := s.evenings("b", 40, 1, oneClass)
		all += PaceOf(ws).PerHour / runs
		var zero int
		for i := range ws {
			if ws[i].Parts == 0 {
				ws[i].Counted = false
				zero++
			}
		}
		p := PaceOf(ws)
		if p.Uncounted != zero || p.N != 40-zero {
			t.Fatalf("%d uncounted evenings, want %d", p.Uncounted, zero)
		}
		without, least = without+p.PerHour/runs, least+p.AtLeast/runs
	}
	near(t, "counted", all, 1, 0.03)
	near(t, "at least", least, all, 1e-12)
	if without < 1.4 {
		t.Errorf("without zeros %v", without)
	}
}

// A sitting that did nothing is of no class; its hours are in the classes of its
// kind of work all the same, so that the speed knows of them.
func TestZerosAreInTheSpeed(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	a, b := evenings(rng, "a", 8, 20, "flat", "curved"), evenings(rng, "b", 8, 20, "flat", "curved")
	c := LikeForLike(a, b)
	idle := clean("b", "idle", "", 0, 3)
	got := LikeForLike(a, append(shuffled(b, 1), idle))
	near(t, "coverage", got.Coverage, 1, 1e-12)
	near(t, "slower by the hours", got.Speed, c.Speed*c.RawLater.Hours/(c.RawLater.Hours+3), 0.02)
	if got.N2 != c.N2+1 || len(got.LeftOut) > 0 {
		t.Errorf("%d sessions, left out %+v", got.N2, got.LeftOut)
	}
}

// The rework that a stage caused goes into its hours when asked for, and the
// comparison says so.
func TestSpeedWithRework(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	a, b := evenings(rng, "a", 8, 20, "flat"), evenings(rng, "b", 8, 20, "flat")
	mend := Work{Session: "mend", Build: "b", Kind: "repair", Finish: "painted", Hours: 4, Known: Measured, Causer: "clean"}
	own, with := LikeForLike(a, append(b, mend)), Compare(a, append(b, mend), Options{Rework: true})
	if own.Rework || !with.Rework || with.ReworkLater != 4 || with.ReworkEarlier != 0 {
		t.Errorf("%+v", with)
	}
	near(t, "with rework", with.Speed, own.Speed*own.RawLater.Hours/(own.RawLater.Hours+4), 1e-9)
}
