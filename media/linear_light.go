// Making pictures smaller in linear light. Averaging stored values makes fine
// bright detail too dark: lines of one pixel lose more than half their light, and
// real photos up to 3.5 %. Done this way it costs a sixth more than averaging the
// stored values, a few parts in a hundred of a whole import (TestLight and
// BenchmarkLight measure both).

package media

import (
	"image"
	"image/color"
	"math"
	"runtime"
	"sync"
)

// light is a picture in linear light: red, green and blue, 0 to 65535, row by
// row. It is opaque.
type light struct {
	w, h int
	pix  []uint16
}

// lightOf reads a picture, on white where it is transparent, and averages blocks
// of k by k pixels on the way; a rest of under k pixels is left out. The curves
// are own's, or sRGB's if it is nil. img is one of the types plain gives.
func lightOf(img image.Image, k int, own *colors) *light {
	var curves [3][256]uint32
	for i := range 256 {
		for c := range 3 {
			v := decodeSRGB(float64(i) / 255)
			if own != nil {
				v = own.linear[c][i]
			}
			curves[c][i] = uint32(math.Round(65535 * v))
		}
	}
	b := img.Bounds()
	k = max(1, min(k, b.Dx(), b.Dy())) // a picture may be one pixel high
	l := &light{w: b.Dx() / k, h: b.Dy() / k}
	l.pix = make([]uint16, 3*l.w*l.h)
	area := uint32(k * k)
	inBands(l.h, func(from, to int) {
		row := make([]uint8, 3*l.w*k)
		sums := make([]uint32, 3*l.w)
		for y := from; y < to; y++ {
			clear(sums)
			for dy := range k {
				rowOf(img, y*k+dy, row)
				in := row
				for x := 0; x < len(sums); x += 3 {
					r, g, b := sums[x], sums[x+1], sums[x+2]
					for range k {
						r, g, b = r+curves[0][in[0]], g+curves[1][in[1]], b+curves[2][in[2]]
						in = in[3:]
					}
					sums[x], sums[x+1], sums[x+2] = r, g, b
				}
			}
			out := l.pix[3*l.w*y:]
			for i, s := range sums {
				out[i] = uint16((s + area/2) / area)
			}
		}
	})
	return l
}

// rowOf writes the colors of a row, counted from the top, as bytes; as many as
// there is room for.
func rowOf(img image.Image, y int, out []uint8) {
	switch p := img.(type) {
	case *image.YCbCr:
		at := p.Rect.Min
		at.Y += y
		luma := p.Y[p.YOffset(at.X, at.Y):]
		chroma := p.COffset(at.X, at.Y)
		half := 0
		switch p.SubsampleRatio {
		case image.YCbCrSubsampleRatio420, image.YCbCrSubsampleRatio422:
			half = 1
		}
		plain := at.X == 0 && (half == 1 || p.SubsampleRatio == image.YCbCrSubsampleRatio444)
		for x := 0; 3*x < len(out); x++ {
			c := chroma + x>>half
			if !plain {
				c = p.COffset(at.X+x, at.Y)
			}
			out[3*x], out[3*x+1], out[3*x+2] = color.YCbCrToRGB(luma[x], p.Cb[c], p.Cr[c])
		}
	case *image.Gray:
		from := p.Pix[y*p.Stride:]
		for x := 0; 3*x < len(out); x++ {
			out[3*x], out[3*x+1], out[3*x+2] = from[x], from[x], from[x]
		}
	case *image.RGBA:
		from := p.Pix[y*p.Stride:]
		for x := 0; 3*x < len(out); x++ {
			px := from[4*x : 4*x+4]
			white := 255 - px[3]
			out[3*x], out[3*x+1], out[3*x+2] = px[0]+white, px[1]+white, px[2]+white
		}
	case *image.NRGBA:
		from := p.Pix[y*p.Stride:]
		for x := 0; 3*x < len(out); x++ {
			px := from[4*x : 4*x+4]
			a := uint32(px[3])
			for c := range 3 {
				out[3*x+c] = uint8((uint32(px[c])*a + 255*(255-a) + 127) / 255)
			}
		}
	}
}

// blockOf is the size of the blocks averaged before the resizing proper: as large
// as leaves at least twice the size asked for, or one and a half times it, where
// there is no difference to see either.
func blockOf(size, asked int) int {
	k := size / max(1, 2*asked)
	if k < 2 && size >= 3*asked {
		k = 2
	}
	return max(1, k)
}

// inBands does rows in as many bands as there are processors.
func inBands(n int, each func(from, to int)) {
	parts := max(1, min(n, runtime.GOMAXPROCS(0)))
	var wait sync.WaitGroup
	for i := range parts {
		wait.Go(func() { each(i*n/parts, (i+1)*n/parts) })
	}
	wait.Wait()
}

// tap is what one value of the result is made of.
type tap struct {
	at      int
	weights []float32
}

// lanczosTaps are the weights from n values to m, three lobes wide.
func lanczosTaps(n, m int) []tap {
	taps := make([]tap, m)
	ratio := float64(n) / float64(m)
	wide := max(1, ratio)
	for i := range taps {
		mid := (float64(i)+0.5)*ratio - 0.5
		from, to := max(0, int(math.Ceil(mid-3*wide))), min(n-1, int(mid+3*wide))
		taps[i] = tap{from, make([]float32, 0, to-from+1)}
		sum := 0.0
		weight := func(at int) float64 {
			d := math.Pi * (float64(at) - mid) / wide
			if d == 0 {
				return 1
			}
			return 3 * math.Sin(d) * math.Sin(d/3) / (d * d)
		}
		for at := from; at <= to; at++ {
			sum += weight(at)
		}
		for at := from; at <= to; at++ {
			taps[i].weights = append(taps[i].weights, float32(weight(at)/sum))
		}
	}
	return taps
}

func to16(v float32) uint16 { return uint16(max(0, min(65535, v+0.5))) }

// resize makes the picture w by h.
func (l *light) resize(w, h int) *light {
	across := &light{w, l.h, make([]uint16, 3*w*l.h)}
	taps := lanczosTaps(l.w, w)
	inBands(l.h, func(from, to int) {
		for y := from; y < to; y++ {
			out := across.pix[3*w*y:]
			for x, t := range taps {
				var r, g, b float32
				in := l.pix[3*(y*l.w+t.at):]
				for _, v := range t.weights {
					r, g, b = r+v*float32(in[0]), g+v*float32(in[1]), b+v*float32(in[2])
					in = in[3:]
				}
				out[3*x], out[3*x+1], out[3*x+2] = to16(r), to16(g), to16(b)
			}
		}
	})
	down := &light{w, h, make([]uint16, 3*w*h)}
	taps = lanczosTaps(l.h, h)
	inBands(h, func(from, to int) {
		sums := make([]float32, 3*w)
		for y := from; y < to; y++ {
			clear(sums)
			for i, v := range taps[y].weights {
				for x, n := range across.pix[3*w*(taps[y].at+i):][:3*w] {
					sums[x] += v * float32(n)
				}
			}
			out := down.pix[3*w*y:]
			for x, v := range sums {
				out[x] = to16(v)
			}
		}
	})
	return down
}

// turnTo turns linear colors into those of sRGB.
func (l *light) turnTo(m matrix) {
	for px := l.pix; len(px) >= 3; px = px[3:] {
		r, g, b := float64(px[0]), float64(px[1]), float64(px[2])
		for c := range 3 {
			px[c] = to16(float32(m[c][0]*r + m[c][1]*g + m[c][2]*b))
		}
	}
}

// stored is the picture as sRGB values.
func (l *light) stored() *image.NRGBA {
	out := image.NewNRGBA(image.Rect(0, 0, l.w, l.h))
	table := encoded()
	for i, px := 0, l.pix; len(px) >= 3; i, px = i+4, px[3:] {
		for c := range 3 {
			out.Pix[i+c] = table[(uint32(px[c])*(fine-1)+32767)/65535]
		}
		out.Pix[i+3] = 255
	}
	return out
}
