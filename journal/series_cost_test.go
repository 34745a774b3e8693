// What it costs to find series, also in photos that nearly are one.

package journal

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// culled is a long series of which a share of the frames was thrown away.
func culled(share float64, n int) *drawn {
	d := &drawn{rng: rand.New(rand.NewPCG(1, 1))}
	for i := 0; len(d.photos) < n; i++ {
		if d.rng.Float64() >= share {
			d.shot(float64(20*i), "00ff00ff00ff00ff")
		}
	}
	return d
}

// TestCulledSeriesCostsLittle counts what is looked at: of four times as many photos
// about four times as much, and not sixteen times.
func TestCulledSeriesCostsLittle(t *testing.T) {
	looks := func(n int) float64 {
		photos := culled(0.2, n).photos
		return testing.AllocsPerRun(1, func() { seriesAmong(photos) })
	}
	if few, many := looks(1000), looks(4000); many > 8*few {
		t.Errorf("%.0f allocations of 1,000 photos, %.0f of 4,000", few, many)
	}
}

func BenchmarkSeriesCulled(b *testing.B) {
	for _, share := range []float64{0, 0.1, 0.2, 0.3, 0.5} {
		for _, n := range []int{5000, 20000} {
			b.Run(fmt.Sprintf("%.0f%%/%d", 100*share, n), func(b *testing.B) {
				d := culled(share, n)
				for b.Loop() {
					s := &State{Photos: d.photos, Zone: time.UTC}
					s.foldSeries()
					b.ReportMetric(float64(len(s.Series)), "series")
				}
			})
		}
	}
}
