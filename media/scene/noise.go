// Seeded chance and the precomputed noise sheet all textures read from.

package scene

import "sync"

// chance is a splitmix64 stream. It is our own so that a Shot keeps its bytes
// when the standard library changes its generators.
type chance uint64

func (c *chance) next() uint64 {
	*c += 0x9e3779b97f4a7c15
	z := uint64(*c)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// unit returns a number in [0,1).
func (c *chance) unit() float64 { return float64(c.next()>>11) / (1 << 53) }

// span returns a number in [a,b).
func (c *chance) span(a, b float64) float64 { return a + (b-a)*c.unit() }

const (
	sheetSize  = 512 // texels; a power of two so that wrapping is one AND
	sheetMask  = sheetSize - 1
	sheetShift = sheetSize << 12
)

// sheet is a tiling field of cloudy noise in [0,1] with mean near a half, its
// slope for bump effects, and white noise of mean 0 for sensor grain.
type sheet struct {
	v, dx, dy [sheetSize * sheetSize]float32
	grain     [sheetSize * sheetSize]float32
}

// noise is built once: it costs more than a whole small picture.
var noise = sync.OnceValue(func() *sheet {
	s := new(sheet)
	c := chance(20260314)
	amp := 1.0
	total := 0.0
	for cells := 8; cells <= 256; cells *= 2 {
		grid := make([]float64, cells*cells)
		for i := range grid {
			grid[i] = c.unit()
		}
		step := sheetSize / cells
		for y := range sheetSize {
			gy, fy := y/step, smooth(0, 1, float64(y%step)/float64(step))
			for x := range sheetSize {
				gx, fx := x/step, smooth(0, 1, float64(x%step)/float64(step))
				x1, y1 := (gx+1)%cells, (gy+1)%cells
				a := lerp(grid[gy*cells+gx], grid[gy*cells+x1], fx)
				b := lerp(grid[y1*cells+gx], grid[y1*cells+x1], fx)
				s.v[y*sheetSize+x] += float32(amp * lerp(a, b, fy))
			}
		}
		total += amp
		amp *= 0.58
	}
	for i, v := range s.v {
		// The sum of octaves huddles round one half; stretch it over the range.
		s.v[i] = float32(clamp01((float64(v)/total-0.5)*2.1 + 0.5))
	}
	for y := range sheetSize {
		for x := range sheetSize {
			i := y*sheetSize + x
			s.dx[i] = s.v[y*sheetSize+(x+1)&sheetMask] - s.v[y*sheetSize+(x-1)&sheetMask]
			s.dy[i] = s.v[((y+1)&sheetMask)*sheetSize+x] - s.v[((y-1)&sheetMask)*sheetSize+x]
			s.grain[i] = float32(c.unit() + c.unit() + c.unit() - 1.5)
		}
	}
	return s
})

// at reads the noise between texels; u and v are in texels and wrap.
func (s *sheet) at(u, v float64) float64 {
	// Shifted by whole sheets into the positive, truncation is the floor.
	u, v = u+sheetShift, v+sheetShift
	x, y := int(u), int(v)
	tu, tv := float32(u-float64(x)), float32(v-float64(y))
	x, y = x&sheetMask, y&sheetMask
	x1 := (x + 1) & sheetMask
	top, low := s.v[y*sheetSize:][:sheetSize], s.v[(y+1)&sheetMask*sheetSize:][:sheetSize]
	a := top[x] + (top[x1]-top[x])*tu
	b := low[x] + (low[x1]-low[x])*tu
	return float64(a + (b-a)*tv)
}

// slope reads the slope at the nearest texel.
func (s *sheet) slope(u, v float64) (float64, float64) {
	i := (int(v+sheetShift)&sheetMask)<<9 + int(u+sheetShift)&sheetMask
	return float64(s.dx[i]), float64(s.dy[i])
}
