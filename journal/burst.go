// This file folds the pictures of a burst into one: the sharpest is shown, the
// rest is a tap away. Nothing is taken away and no record is written.

package journal

import (
	"cmp"
	"math/bits"
	"slices"
	"strconv"
	"time"
)

// Two pictures are of one burst when the same camera took them at most burstGap
// apart and at most burstFingerprint of the 64 comparisons of their fingerprints differ.
// Measured on 48 pictures of real cameras: any two different ones differ in 17
// or more; the same one moved by a hundredth of its width, as by a hand, in at
// most 8.
const (
	burstGap         = 3 * time.Second // cameras tell whole seconds
	burstFingerprint = 10
)

// Bursts are the photos that belong together, those that stand alone left out:
// the shown photo first, the others by instant; by the instant of the first
// taken.
func (s *State) Bursts() [][]*Photo {
	at := map[string]int{}
	var all [][]*Photo
	for _, p := range s.photos() {
		if p.Burst == "" {
			continue
		}
		i, ok := at[p.Burst]
		if !ok {
			i = len(all)
			at[p.Burst], all = i, append(all, nil)
		}
		if p.Hash == p.Burst {
			all[i] = slices.Insert(all[i], 0, p)
		} else {
			all[i] = append(all[i], p)
		}
	}
	return all
}

// foldBursts names in each photo the one that stands for its burst.
func (s *State) foldBursts() {
	running := map[Camera][]*Photo{} // the burst each camera is in
	for _, p := range s.Photos {     // by instant
		if !p.mayBurst() {
			continue
		}
		burst := running[p.Camera]
		if len(burst) > 0 && burst[len(burst)-1].goesOn(p) && fingerprintsNear(burst[0].Fingerprint, p.Fingerprint) {
			running[p.Camera] = append(burst, p)
			continue
		}
		settleBurst(burst)
		running[p.Camera] = []*Photo{p}
	}
	for _, burst := range running {
		settleBurst(burst)
	}
}

// mayBurst reports whether enough is known of the photo: its camera, its time
// to the second, and how it looks. Frames of a series are of one moment after another.
func (p *Photo) mayBurst() bool {
	return p.Series == "" && p.Fingerprint != "" && p.mayBeFrame()
}

// goesOn reports whether the next photo of the camera belongs to one burst with
// this one. Photos that are told apart by their tags are told apart for a
// reason: the last before and the first after may look alike.
func (p *Photo) goesOn(next *Photo) bool {
	a, b := p.Tags, next.Tags
	return next.Instant.At.Sub(p.Instant.At) <= burstGap && fingerprintsNear(p.Fingerprint, next.Fingerprint) &&
		p.Width == next.Width && p.Height == next.Height &&
		a.Build == b.Build && a.Stage == b.Stage && a.Kit == b.Kit && a.Role == b.Role && a.View == b.View &&
		a.Light == b.Light &&
		slices.Equal(a.Parts, b.Parts)
}

// settleBurst lets the sharpest stand for all. One with a caption comes first:
// a person wrote under it.
func settleBurst(burst []*Photo) {
	if len(burst) < 2 {
		return
	}
	written := func(p *Photo) int { return min(len(p.Caption), 1) }
	shown := slices.MinFunc(burst, func(a, b *Photo) int {
		return cmp.Or(cmp.Compare(written(b), written(a)), cmp.Compare(b.Sharp, a.Sharp),
			a.Instant.At.Compare(b.Instant.At), cmp.Compare(a.Hash, b.Hash))
	})
	for _, p := range burst {
		p.Burst = shown.Hash
	}
}

func fingerprintsNear(a, b string) bool {
	m, errA := strconv.ParseUint(a, 16, 64)
	n, errB := strconv.ParseUint(b, 16, 64)
	return errA == nil && errB == nil && bits.OnesCount64(m^n) <= burstFingerprint
}
