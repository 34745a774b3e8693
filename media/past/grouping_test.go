// How well evenings and builds are found in an invented past of which the truth is
// known.

package past

import (
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"
	"time"
	_ "time/tzdata" // the same zones on every computer

	"rakelight/journal"
	"rakelight/media/past/pasttest"
)

var (
	pasts    = flag.Int("pasts", 3, "invented pasts for each kind of wrong clock and layout")
	pastSeed = flag.Uint64("past-seed", 5000, "seed of the first")
)

// clocksOff are the ways in which the camera's clock is wrong.
var clocksOff = []struct {
	name  string
	fast  time.Duration
	reset bool
}{
	{"right", 0, false}, {"7 min slow", -7 * time.Minute, false}, {"an hour fast", time.Hour, false}, {"12 h fast", 12 * time.Hour, false},
	{"a year slow", -365 * 24 * time.Hour, false}, {"never set", 0, true},
}

// surveyed is the survey of an invented past, as if its files had been read.
func surveyed(t testing.TB, past *pasttest.Past) (*Survey, map[string]pasttest.Shot) {
	t.Helper()
	zone, err := time.LoadLocation(pasttest.Zone)
	if err != nil {
		t.Fatal(err)
	}
	files, shots := map[string]*file{}, map[string]pasttest.Shot{}
	root := filepath.Join(string(filepath.Separator), "past")
	for _, shot := range past.Shots {
		sum := sha256.Sum256(fmt.Append(nil, shot.Number, shot.Small))
		hash := hex.EncodeToString(sum[:])
		rng := rand.New(rand.NewPCG(shot.Number, 3))
		f := &file{path: filepath.Join(root, filepath.FromSlash(shot.Path)), Time: shot.FileTime.UnixNano(), Hash: hash, Kind: "jpeg",
			Width: shot.Width, Height: shot.Height, Turn: 1, Camera: shot.Camera, Claims: shot.Claims, Print: fmt.Sprintf("%016x", rng.Uint64())}
		for range 1024 {
			f.Cells = append(f.Cells, uint8(rng.Uint32()))
		}
		files[f.path], shots[hash] = f, shot
	}
	state := &journal.State{Zone: zone}
	return survey(state, time.Date(2026, 3, 14, 12, 0, 0, 0, zone), []string{root}, files), shots
}

// found is how well groups agree with the truth.
type found struct {
	builds, evenings, all float64 // adjusted Rand indexes; all = builds, what is of none being one more
	groups                int
	clock                 time.Duration // what the guess was off by
	guessed               bool
}

func judge(t testing.TB, past *pasttest.Past) (f found) {
	s, shots := surveyed(t, past)
	build, evening := map[string]string{}, map[string]string{}
	for _, e := range s.Evenings() {
		for _, p := range e.Pictures {
			evening[p.Hash] = e.ID
		}
	}
	all := s.Likely()
	for _, l := range all {
		for _, p := range l.Pictures {
			build[p.Hash] = l.ID
		}
	}
	var trueBuild, gotBuild, trueEvening, gotEvening, trueAll, gotAll []string
	for _, p := range s.Pictures {
		shot := shots[p.Hash]
		if shot.Build != "" {
			got := build[p.Hash]
			if got == "" {
				got = "none " + evening[p.Hash]
			}
			trueBuild, gotBuild = append(trueBuild, shot.Build), append(gotBuild, got)
		}
		if shot.Evening != "" {
			trueEvening, gotEvening = append(trueEvening, shot.Evening), append(gotEvening, evening[p.Hash])
			trueAll, gotAll = append(trueAll, shot.Build), append(gotAll, build[p.Hash])
		}
	}
	f.builds, f.evenings = pasttest.RandIndex(trueBuild, gotBuild), pasttest.RandIndex(trueEvening, gotEvening)
	f.all, f.groups = pasttest.RandIndex(trueAll, gotAll), len(all)
	for _, c := range s.Clocks {
		f.guessed, f.clock = true, c.Fast-past.Fast
		if c.Camera != past.Camera {
			t.Errorf("%v is taken for a wrong clock", c.Camera)
		}
	}
	return f
}

// Builds and evenings are found, in any layout and with any wrong clock: the bar is an
// adjusted Rand index of 0.9 and 0.95, for the middle one of all pasts of a layout. One
// folder with builds over each other, which nothing but a person can tell apart, is
// tried and told, and has no bar of its own.
func TestGroupsAreFound(t *testing.T) {
	for _, o := range []pasttest.Options{{Layout: pasttest.Flat}, {Layout: pasttest.Messy, Overlap: true}, {Layout: pasttest.Flat, Overlap: true}} {
		t.Run(fmt.Sprintf("%s, overlap %v", o.Layout, o.Overlap), func(t *testing.T) {
			t.Parallel()
			var builds, evenings, all []float64
			for k, off := range clocksOff {
				var ofKind []float64
				for i := range *pasts {
					o.Seed, o.Fast, o.Reset = *pastSeed+uint64(100*k+i), off.fast, off.reset
					f := judge(t, pasttest.Make(o))
					builds, evenings, all, ofKind = append(builds, f.builds), append(evenings, f.evenings), append(all, f.all), append(ofKind, f.builds)
					wrong := off.fast.Abs() > 6*time.Hour || off.reset
					if f.guessed && !wrong || f.guessed && f.clock.Abs() > time.Hour {
						t.Errorf("%s, seed %d: a clock is guessed off by %v", off.name, o.Seed, f.clock)
					}
				}
				t.Logf("%-12s builds %s", off.name, spread(ofKind))
			}
			t.Logf("%-12s builds %s, evenings %s; with all else as one more build %s", "all", spread(builds), spread(evenings), spread(all))
			if bar := 0.9; median(builds) < bar && (o.Layout == pasttest.Messy || !o.Overlap) || median(evenings) < 0.95 {
				t.Errorf("below the bar")
			}
		})
	}
}

func median(all []float64) float64 {
	slices.Sort(all)
	return (all[(len(all)-1)/2] + all[len(all)/2]) / 2
}

// spread is the least, the tenth part, the middle and the most of some figures.
func spread(all []float64) string {
	slices.Sort(all)
	return fmt.Sprintf("%.3f (least %.3f, tenth %.3f, most %.3f)", median(all), all[0], all[len(all)/10], all[len(all)-1])
}
