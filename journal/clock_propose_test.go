// Tests of clock proposals: drawn benches with known clocks, and the habits
// that must not be taken for a wrong clock.

package journal

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// drawnBench is a season of sessions on which two cameras were used. shots
// returns the instants of the second camera's photos in a session, by its true
// time; fast is how wrong its clock is.
func drawnBench(rng *rand.Rand, sessions int, fast time.Duration, shots func(s *Session) []time.Time) *State {
	s := &State{Zone: time.UTC}
	day := time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
	n := 0
	add := func(c Camera, at time.Time) {
		n++
		s.Photos = append(s.Photos, &Photo{Hash: fmt.Sprintf("%064d", n), Camera: c, Instant: Instant{At: at, Wall: at.Format(time.DateTime), Source: "DateTimeOriginal", Offset: "journal zone"}})
	}
	for range sessions {
		day = day.AddDate(0, 0, 1+rng.IntN(4))
		start := day.Add(18*time.Hour + time.Duration(rng.IntN(150))*time.Minute)
		one := &Session{ID: start.String(), Build: "lorry", Stage: "clean", Kind: "clean", Known: Measured, Start: start, End: start.Add(time.Duration(40+rng.IntN(80)) * time.Minute), Date: day.Format(time.DateOnly)}
		s.Sessions = append(s.Sessions, one)
		for _, at := range during(rng, one, 4) {
			add(Camera{Make: "Osprel", Model: "K 2"}, at)
		}
		for _, at := range shots(one) {
			add(Camera{Make: "Tarrow", Model: "T-24"}, at.Add(fast))
		}
	}
	return s
}

// during are n moments spread over a session.
func during(rng *rand.Rand, s *Session, n int) []time.Time {
	var all []time.Time
	for range n {
		all = append(all, s.Start.Add(time.Duration(rng.Int64N(int64(s.End.Sub(s.Start))))))
	}
	return all
}

func TestProposeClocks(t *testing.T) {
	const runs = 40
	for _, c := range []struct {
		name     string
		sessions int
		fast     time.Duration
		least    int // of runs that must propose
		most     int
		shots    func(rng *rand.Rand, s *Session) []time.Time
	}{
		{name: "an hour and three fast", sessions: 16, fast: 63 * time.Minute, least: 30, most: runs, shots: func(rng *rand.Rand, s *Session) []time.Time { return during(rng, s, 8) }},
		{name: "nine hours slow", sessions: 16, fast: -9 * time.Hour, least: 30, most: runs, shots: func(rng *rand.Rand, s *Session) []time.Time { return during(rng, s, 8) }},
		{name: "right", sessions: 16, shots: func(rng *rand.Rand, s *Session) []time.Time { return during(rng, s, 8) }},
		{name: "too few sessions", sessions: 3, fast: time.Hour, shots: func(rng *rand.Rand, s *Session) []time.Time { return during(rng, s, 8) }},
		{name: "the finished work after each session", sessions: 16, shots: func(rng *rand.Rand, s *Session) []time.Time {
			var all []time.Time
			for k := range 6 {
				all = append(all, s.End.Add(time.Duration(5+rng.IntN(15)+k)*time.Minute))
			}
			return all
		}},
		{name: "at any hour of the day", sessions: 16, shots: func(rng *rand.Rand, s *Session) []time.Time {
			var all []time.Time
			for range 8 {
				all = append(all, s.Start.Truncate(24*time.Hour).Add(time.Duration(rng.IntN(24*60))*time.Minute))
			}
			return all
		}},
		{name: "another errand every evening", sessions: 16, shots: func(rng *rand.Rand, s *Session) []time.Time {
			start := s.Start.Truncate(24 * time.Hour).Add(13*time.Hour + time.Duration(rng.IntN(180))*time.Minute)
			var all []time.Time
			for range 8 {
				all = append(all, start.Add(time.Duration(rng.IntN(60))*time.Minute))
			}
			return all
		}},
	} {
		proposed, off := 0, time.Duration(0)
		for seed := range uint64(runs) {
			rng := rand.New(rand.NewPCG(seed, 3))
			s := drawnBench(rng, c.sessions, c.fast, func(one *Session) []time.Time { return c.shots(rng, one) })
			for _, p := range s.ProposeClocks() {
				if p.Camera.Name != "tarrow-t-24" || p.Beside.Name != "osprel-k-2" {
					t.Errorf("%s: a correction for %s beside %s", c.name, p.Camera.Name, p.Beside.Name)
				}
				proposed++
				off = max(off, (p.Fast - c.fast).Abs())
				if (p.Fast-c.fast).Abs() > 15*time.Minute || p.Low > c.fast+time.Minute || p.High < c.fast-time.Minute {
					t.Errorf("%s, seed %d: %v (%v to %v)", c.name, seed, p.Fast, p.Low, p.High)
				}
			}
		}
		t.Logf("%s: proposed in %d of %d, at most %v off", c.name, proposed, runs, off)
		if proposed < c.least || proposed > c.most {
			t.Errorf("%s: proposed in %d of %d", c.name, proposed, runs)
		}
	}
}

// Once corrected, a camera is measured as corrected; a camera alone, or beside
// one that is wrong itself, is not judged.
func TestProposeClocksBeside(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 3))
	s := drawnBench(rng, 16, 63*time.Minute, func(one *Session) []time.Time { return during(rng, one, 8) })
	found := s.ProposeClocks()
	if len(found) != 1 || found[0].Sessions < 10 || found[0].From == "" || found[0].Would <= found[0].Inside {
		t.Fatalf("%+v", found)
	}
	for _, p := range s.Photos {
		p.Instant = correctClock(p.Instant, p.Camera, []ClockFault{{Model: "T-24", Fast: found[0].Fast.String()}}, s.Zone)
	}
	if again := s.ProposeClocks(); len(again) != 0 {
		t.Errorf("corrected, and still %+v", again)
	}
	both := drawnBench(rng, 16, 63*time.Minute, func(one *Session) []time.Time { return during(rng, one, 8) })
	for _, p := range both.Photos {
		if p.Camera.Model == "K 2" {
			p.Instant.At = p.Instant.At.Add(63 * time.Minute)
		}
	}
	if found := both.ProposeClocks(); len(found) != 0 {
		t.Errorf("two cameras agree against the timer: %+v", found)
	}
	alone := drawnBench(rng, 16, 63*time.Minute, func(one *Session) []time.Time { return during(rng, one, 8) })
	alone.Photos = keep(alone.Photos, func(p *Photo) bool { return p.Camera.Model == "T-24" })
	if found := alone.ProposeClocks(); len(found) != 0 {
		t.Errorf("a camera alone: %+v", found)
	}
}
