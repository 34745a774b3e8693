// Tests of the lower bound that photos give: an example by hand, and evenings of which
// the truth is known.

package metrics

import (
	"math/rand/v2"
	"testing"
	"time"
)

// TestLeastTimeByHand holds an evening worked out by hand. The first camera: 19:00 to
// 19:10, 10 min; 19:10 to 19:25, 15 min, just counted; 19:25 to 19:41, 16 min, not; 19:41
// to 19:45, 4 min: 29 min in all. The second, an hour fast: 20:00 to 20:12 and 20:12 to
// 20:20, 20 min. The larger one counts.
func TestLeastTimeByHand(t *testing.T) {
	at := func(clock string) time.Time {
		when, err := time.Parse("2006-01-02 15:04", "2019-03-14 "+clock)
		if err != nil {
			t.Fatal(err)
		}
		return when
	}
	shots := []Shot{{"a", at("19:25")}, {"a", at("19:00")}, {"b", at("20:00")}, {"a", at("19:10")}, {"a", at("19:41")}, {"b", at("20:20")},
		{"a", at("19:45")}, {"b", at("20:12")}}
	if got := LeastTime(shots); got != 29*time.Minute {
		t.Errorf("%v, want 29m", got)
	}
	for _, few := range [][]Shot{nil, shots[:1], {shots[0], shots[0]}, {shots[0], shots[2]}} {
		if got := LeastTime(few); got != 0 {
			t.Errorf("%d photos: %v, want 0", len(few), got)
		}
	}
}

// TestLeastTimeIsNeverMore draws evenings: work and absences by turns, photos now and
// then while at the bench, by one or two cameras of which one may be off by hours. The
// bound is never more than the time at the bench, with absences of a quarter of an hour
// at most in it.
func TestLeastTimeIsNeverMore(t *testing.T) {
	var bound, truth time.Duration
	for seed := range uint64(4000) {
		rng := rand.New(rand.NewPCG(seed, 9))
		minutes := func(most int) time.Duration { return time.Duration(rng.IntN(most*60)) * time.Second }
		at := time.Date(2019, 3, 14, 19, 0, 0, 0, time.UTC)
		var shots []Shot
		off := time.Duration(rng.IntN(240)-120) * time.Minute
		var there time.Duration
		every := 1 + rng.IntN(30)
		for range 1 + rng.IntN(5) {
			until := at.Add(minutes(90))
			for shot := at.Add(minutes(every)); shot.Before(until); shot = shot.Add(minutes(every)) {
				if rng.IntN(3) == 0 {
					shots = append(shots, Shot{"phone", shot.Add(off).Truncate(time.Second)})
				} else {
					shots = append(shots, Shot{"camera", shot.Truncate(time.Second)})
				}
			}
			there += until.Sub(at)
			away := minutes(60)
			if away <= GapAtBench {
				there += away // as a timer has it
			}
			at = until.Add(away)
		}
		got := LeastTime(shots)
		if got > there {
			t.Fatalf("seed %d: %v, and it was %v", seed, got, there)
		}
		bound, truth = bound+got, truth+there
	}
	t.Logf("over 4000 evenings the bound is %.0f %% of the time at the bench", 100*bound.Hours()/truth.Hours())
}
