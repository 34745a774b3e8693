// What a journal claims, and of which build.

package journal

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"rakelight/journal/metrics"
)

// benches is a journal of builds of twelve evenings each; pace is parts an hour of
// each build in cleaning and in seams, and share the part of the evenings that go to
// seams.
func benches(paces [][2]float64, share float64) *State {
	rng := rand.New(rand.NewPCG(11, 5))
	s := &State{Config: Config{Name: "Bench"}, Zone: time.UTC}
	for b, pace := range paces {
		id := fmt.Sprintf("boat-%d", b)
		begun := time.Date(2020+b, 3, 1, 19, 0, 0, 0, time.UTC)
		s.Builds = append(s.Builds, &Build{ID: id, Title: id, Started: begun.Format(time.DateOnly)})
		for i := range 24 {
			kind, of := "clean", 0
			if float64(i%12) < 12*share {
				kind, of = "seam", 1
			}
			at := begun.AddDate(0, 0, i)
			done := pace[of] * (0.9 + 0.2*rng.Float64())
			s.Sessions = append(s.Sessions, &Session{ID: fmt.Sprintf("dev/%d-%d", b, i), Build: id, Stage: kind, Kind: kind,
				Start: at, End: at.Add(time.Hour), Net: time.Hour, Date: at.Format(time.DateOnly), Known: Measured,
				Bare: int(done), Counted: true})
		}
	}
	s.scatter = scatterOf(s.Work(""))
	return s
}

// Words of change are of the latest build alone, the whole comes before its parts,
// and a comparison of less than half of the hours is not claimed of the build.
func TestClaimsAreOfTheLatestBuild(t *testing.T) {
	s := benches([][2]float64{{20, 20}, {20, 20}, {40, 40}, {80, 80}}, 0.5)
	c := s.Claims()
	if c.Build.ID != "boat-3" || c.Before.ID != "boat-2" || c.Since.Verdict() != metrics.Faster ||
		c.Beside.Verdict() != metrics.Faster || c.Kinds["clean"].Verdict() != metrics.Faster {
		t.Errorf("%s against %s: %s, %s, %s", c.Build.ID, c.Before.ID, c.Since.Verdict(), c.Beside.Verdict(), c.Kinds["clean"].Verdict())
	}
	if got := s.SpeedSince(s.Builds[3]); got.Verdict() != metrics.Faster {
		t.Errorf("asked for by the build: %s", got.Verdict())
	}
	for _, b := range s.Builds[:3] {
		if got := s.SpeedSince(b); got.Claimed {
			t.Errorf("%s is claimed to be %s", b.ID, got.Verdict())
		}
	}
	if got := s.Speed(s.Builds[0], s.Builds[3]); got.Claimed {
		t.Error("a pair that is not in the family is claimed")
	}
	for _, l := range s.Learnings(s.Builds[1]) {
		if l.Claimed {
			t.Errorf("learning of an earlier build is claimed: %+v", l)
		}
	}
}

func TestNothingIsClaimedWhereNothingChanged(t *testing.T) {
	c := benches([][2]float64{{20, 20}, {20, 20}, {20, 20}}, 0.5).Claims()
	if len(c.made) > 0 {
		t.Errorf("%v", c.made)
	}
}

// The build got faster at seams alone, and seams are a quarter of its hours; the rest
// of it stands beside nothing.
func TestClaimsRestOnHalfOfTheHours(t *testing.T) {
	s := benches([][2]float64{{20, 20}, {20, 60}}, 0.25)
	for _, one := range s.Sessions {
		if one.Build == "boat-0" && one.Kind == "clean" {
			one.Kind, one.Stage = "cut", "cut"
		}
	}
	c := s.Claims()
	if !(c.Since.Coverage < leastShare) || !c.Since.Tested || c.Since.Claimed {
		t.Errorf("covers %v, p %v, claimed %v", c.Since.Coverage, c.Since.PValue, c.Since.Claimed)
	}
	if c.Kinds["seam"].Verdict() != metrics.Faster {
		t.Errorf("seams alone: %s, p %v", c.Kinds["seam"].Verdict(), c.Kinds["seam"].PValue)
	}
}
