// This file counts mistakes: by kind, by build, on the parts done.

package journal

import (
	"cmp"
	"slices"
	"time"

	"rakelight/journal/metrics"
)

// Slips returns the mistakes of each kind by build, beside the counted parts
// of the build. A kind never noted in a build counts 0 there; builds without
// counted parts are left out.
func (s *State) Slips() []metrics.Slips {
	out := s.slips()
	for i := range out {
		out[i].Claimed = s.Claims().made[claim{of: "mistakes", part: out[i].Kind}]
	}
	return out
}

// AllSlips returns all mistakes by build.
func (s *State) AllSlips() metrics.Slips {
	all := allSlips(s.slips())
	all.Claimed = s.Claims().made[claim{of: "mistakes"}]
	return all
}

// slips are Slips before anything is claimed.
func (s *State) slips() []metrics.Slips {
	parts := map[string]float64{}
	for _, w := range s.Work("") {
		if unit, _ := metrics.CountedKind(w.Kind); unit == "part" && w.Counted {
			parts[w.Build] += w.Parts
		}
	}
	kinds := map[string]bool{}
	count := map[[2]string]float64{}
	for _, m := range s.Mistakes {
		kinds[m.Kind] = true
		count[[2]string{m.Kind, m.Build}]++
	}
	var out []metrics.Slips
	for kind := range kinds {
		one := metrics.Slips{Kind: kind}
		for _, b := range s.Builds {
			if parts[b.ID] > 0 {
				one.Builds = append(one.Builds, b.ID)
				one.Counts, one.Parts = append(one.Counts, count[[2]string{kind, b.ID}]), append(one.Parts, parts[b.ID])
			}
		}
		out = append(out, one)
	}
	slices.SortFunc(out, func(a, b metrics.Slips) int { return cmp.Compare(a.Kind, b.Kind) })
	return out
}

// allSlips adds the kinds of Slips up.
func allSlips(slips []metrics.Slips) metrics.Slips {
	var all metrics.Slips
	for _, one := range slips {
		if all.Counts == nil {
			all = metrics.Slips{Builds: one.Builds, Parts: one.Parts, Counts: make([]float64, len(one.Counts))}
		}
		for i, n := range one.Counts {
			all.Counts[i] += n
		}
	}
	return all
}

// SlipKind is what is known of one kind of mistake.
type SlipKind struct {
	metrics.Slips
	Mistakes []Mistake // by instant
	In       []string  // ids of the builds it happened in, each once, in the order it came up
	Lost     time.Duration
}

// SlipKinds returns the kinds of mistake, the most frequent first.
func (s *State) SlipKinds() []SlipKind {
	var out []SlipKind
	for _, one := range s.Slips() {
		k := SlipKind{Slips: one}
		for _, m := range s.Mistakes {
			if m.Kind != one.Kind {
				continue
			}
			k.Mistakes, k.Lost = append(k.Mistakes, m), k.Lost+m.Lost
			if !slices.Contains(k.In, m.Build) {
				k.In = append(k.In, m.Build)
			}
		}
		out = append(out, k)
	}
	slices.SortStableFunc(out, func(a, b SlipKind) int { return cmp.Compare(len(b.Mistakes), len(a.Mistakes)) })
	return out
}
