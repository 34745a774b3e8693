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
	"sync"
	"testing"
	"time"
	_ "time/tzdata" // the same zones on every computer

	"rakelight/journal"
	"rakelight/media/past/pasttest"
)

var (
	pasts    = flag.Int("pasts", 1, "invented pasts for each kind of wrong clock and layout")
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

// seeing is what the pictures of a past look like.
type seeing string

const (
	bySight seeing = "drawn"   // as pasttest draws them
	blind   seeing = "blind"   // nothing is known of it
	random  seeing = "nothing" // it has nothing to do with what is on them
)

var colorsSeen sync.Map // pasttest.Sight → colors

// colors are those of a shot of the past with a seed.
func (how seeing) colors(shot pasttest.Shot, seed uint64) []byte {
	sight := pasttest.Sight{Else: 1 + rand.New(rand.NewPCG(seed, shot.Number)).Uint64N(500)}
	switch how {
	case blind:
		return nil
	case bySight:
		sight = shot.Sight(seed)
	}
	if c, ok := colorsSeen.Load(sight); ok {
		return c.([]byte)
	}
	c := colorsOf(sight.Draw())
	colorsSeen.Store(sight, c)
	return c
}

// surveyed is the survey of an invented past, as if its files had been read.
func surveyed(t testing.TB, o pasttest.Options, how seeing) (*pasttest.Past, *Survey, map[string]pasttest.Shot) {
	t.Helper()
	zone, err := time.LoadLocation(pasttest.Zone)
	if err != nil {
		t.Fatal(err)
	}
	past := pasttest.Make(o)
	files, shots := map[string]*file{}, map[string]pasttest.Shot{}
	root := filepath.Join(string(filepath.Separator), "past")
	for _, shot := range past.Shots {
		sum := sha256.Sum256(fmt.Append(nil, shot.Number, shot.Small))
		hash := hex.EncodeToString(sum[:])
		rng := rand.New(rand.NewPCG(shot.Number, 3))
		f := &file{path: filepath.Join(root, filepath.FromSlash(shot.Path)), Time: shot.FileTime.UnixNano(), Hash: hash, Kind: "jpeg",
			Width: shot.Width, Height: shot.Height, Turn: 1, Camera: shot.Camera, Claims: shot.Claims, Print: fmt.Sprintf("%016x", rng.Uint64()), Colors: how.colors(shot, o.Seed)}
		for range 1024 {
			f.Cells = append(f.Cells, uint8(rng.Uint32()))
		}
		files[f.path], shots[hash] = f, shot
	}
	state := &journal.State{Zone: zone}
	return past, survey(state, time.Date(2026, 3, 14, 12, 0, 0, 0, zone), []string{root}, files), shots
}

// found is how well groups agree with the truth.
type found struct {
	builds, evenings, all float64 // adjusted Rand indexes; all = builds, what is of none being one more
	groups                int
	clock                 time.Duration // what the guess was off by
	guessed               bool
}

func judge(t testing.TB, o pasttest.Options, how seeing) (f found) {
	past, s, shots := surveyed(t, o, how)
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

// Builds and evenings are found, in any layout, with any wrong clock and with other
// habits: the bar is an adjusted Rand index of 0.9 and 0.95, for the middle one of all
// pasts of a kind. Of one folder with builds over each other it is tried and told, and has
// no bar of its own. Pictures whose looks say nothing are no worse than those that were
// not seen.
func TestGroupsAreFound(t *testing.T) {
	type kind struct {
		o    pasttest.Options
		how  seeing
		bar  float64
		like string // the least is that of another kind
	}
	middle := map[string]float64{}
	for _, k := range []kind{
		{pasttest.Options{Layout: pasttest.Flat}, bySight, 0.9, ""},
		{pasttest.Options{Layout: pasttest.Flat}, blind, 0.9, ""},
		{pasttest.Options{Layout: pasttest.Flat}, random, 0, "flat, blind"},
		{pasttest.Options{Layout: pasttest.Messy, Overlap: true}, bySight, 0.9, ""},
		{pasttest.Options{Layout: pasttest.Flat, Overlap: true}, bySight, 0, ""},
		{pasttest.Options{Layout: pasttest.Flat, Overlap: true}, blind, 0, ""},
		{pasttest.Options{Layout: pasttest.Flat, Mornings: true}, bySight, 0, ""},
		{pasttest.Options{Layout: pasttest.Flat, Mornings: true}, blind, 0, ""},
	} {
		name := string(k.o.Layout)
		if k.o.Overlap {
			name += ", two at one time"
		}
		if k.o.Mornings {
			name += ", mornings"
		}
		name += ", " + string(k.how)
		if *pasts == 1 && k.bar == 0 && k.like == "" {
			continue // they are told where there are more
		}
		t.Run(name, func(t *testing.T) {
			builds, evenings := groupsFound(t, k.o, k.how)
			if middle[name] = builds; builds < max(k.bar, middle[k.like]-0.01) || evenings < 0.95 {
				t.Errorf("below the bar")
			}
		})
	}
}

// groupsFound judges pasts with any wrong clock; the middle of how well builds and
// evenings are found.
func groupsFound(t *testing.T, o pasttest.Options, how seeing) (middleBuilds, middleEvenings float64) {
	var builds, evenings, all []float64
	for k, off := range clocksOff {
		var ofKind []float64
		for i := range *pasts {
			o.Seed, o.Fast, o.Reset = *pastSeed+uint64(100*k+i), off.fast, off.reset
			f := judge(t, o, how)
			builds, evenings, all, ofKind = append(builds, f.builds), append(evenings, f.evenings), append(all, f.all), append(ofKind, f.builds)
			wrong := off.fast.Abs() > 6*time.Hour || off.reset
			if f.guessed && !wrong || f.guessed && f.clock.Abs() > time.Hour {
				t.Errorf("%s, seed %d: a clock is guessed off by %v", off.name, o.Seed, f.clock)
			}
		}
		t.Logf("%-12s builds %s", off.name, spread(ofKind))
	}
	t.Logf("%-12s builds %s, evenings %s; with all else as one more build %s", "all", spread(builds), spread(evenings), spread(all))
	return median(builds), median(evenings)
}

func median(all []float64) float64 {
	slices.Sort(all)
	return (all[(len(all)-1)/2] + all[len(all)/2]) / 2
}

// spread is the least, the tenth part, the middle and the most of some figures.
func spread(all []float64) string {
	slices.Sort(all)
	met, _ := slices.BinarySearch(all, 0.9)
	return fmt.Sprintf("%.3f (least %.3f, tenth %.3f, most %.3f, %d of %d at least 0.9)", median(all), all[0], all[len(all)/10],
		all[len(all)-1], len(all)-met, len(all))
}
