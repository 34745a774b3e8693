// Making a plane smaller, and into dark and light.

package card

import (
	"encoding/binary"
	"math"

	"rakelight/media/card/qr"
)

// reduce averages blocks of k by k pixels. Pixels left over at the right and
// bottom edges, fewer than a block, are left out.
func (p Plane) reduce(k int) Plane {
	if k <= 1 {
		return p
	}
	out := Plane{Width: p.Width / k, Height: p.Height / k, Stride: p.Width / k}
	out.Pix = make([]uint8, out.Width*out.Height)
	if k == 2 {
		p.halve(out)
		return out
	}
	sums := make([]uint32, out.Width)
	area := uint32(k * k)
	for y := range out.Height {
		clear(sums)
		for dy := range k {
			row := p.Pix[(y*k+dy)*p.Stride:][:out.Width*k]
			for x := range sums {
				var sum uint32
				for _, v := range row[x*k : x*k+k] {
					sum += uint32(v)
				}
				sums[x] += sum
			}
		}
		to := out.Pix[y*out.Width:]
		for x, sum := range sums {
			to[x] = uint8(sum / area)
		}
	}
	return out
}

// halve is reduce by two, the size all others are made from: four pixels of the
// result at once, as the lanes of one number.
func (p Plane) halve(out Plane) {
	const even = 0x00ff00ff00ff00ff
	sums := func(v uint64) uint64 { return v&even + v>>8&even }
	for y := range out.Height {
		a := p.Pix[2*y*p.Stride:][:2*out.Width]
		b := p.Pix[(2*y+1)*p.Stride:][:2*out.Width]
		to := out.Pix[y*out.Width:][:out.Width]
		for len(to) >= 4 {
			v := (sums(binary.LittleEndian.Uint64(a)) + sums(binary.LittleEndian.Uint64(b))) >> 2 & even
			v = (v | v>>8) & 0x0000ffff0000ffff
			binary.LittleEndian.PutUint32(to, uint32(v|v>>16))
			a, b, to = a[8:], b[8:], to[4:]
		}
		for x := range to {
			to[x] = uint8((uint32(a[2*x]) + uint32(a[2*x+1]) + uint32(b[2*x]) + uint32(b[2*x+1])) >> 2)
		}
	}
}

// leastDark is how far below its neighborhood's mean a pixel is dark at least: in
// dim light a share of the mean is no more than noise.
const leastDark = 10

// darks calls a pixel dark that is below a share of the mean of the cells around
// it: light that falls off over the bench does not matter then. k is how much
// smaller the picture is made, cell how large a cell is as a power of two, reach
// how many cells away the neighborhood goes.
func (s smaller) darks(k, cell, reach int, share float64) qr.Plane {
	small, means := s.by(k), s.by(k<<cell)
	w, h := means.Width, means.Height
	out := qr.Plane{Width: small.Width, Height: small.Height, Stride: small.Stride, Pix: small.Pix, Cell: cell, Rows: h}
	if w == 0 || h == 0 {
		return out
	}
	out.Cut = make([]uint8, small.Width*h)
	columns := make([]uint32, w) // sums over the rows of the neighborhood
	add := func(y int, times uint32) {
		if y >= 0 && y < h {
			for x, v := range means.Pix[y*means.Stride:][:w] {
				columns[x] += times * uint32(v)
			}
		}
	}
	const once, off = 1, ^uint32(0) // added, and taken off again
	for y := range reach {
		add(y, once)
	}
	for y := range h {
		add(y+reach, once)
		add(y-reach-1, off)
		rows := min(h-1, y+reach) - max(0, y-reach) + 1
		sum := uint32(0)
		for _, v := range columns[:min(reach, w)] {
			sum += v
		}
		to := out.Cut[y*small.Width:][:small.Width]
		for x := range w {
			if x+reach < w {
				sum += columns[x+reach]
			}
			if x-reach-1 >= 0 {
				sum -= columns[x-reach-1]
			}
			area := rows * (min(w-1, x+reach) - max(0, x-reach) + 1)
			mean := float64(sum) / float64(area)
			cut := uint8(max(0, math.Ceil(min(share*mean, mean-leastDark))))
			spread(to, x<<cell, cut)
		}
		// What is left over at the right edge goes with the last cell.
		for i := w << cell; i < len(to); i++ {
			to[i] = to[i-1]
		}
	}
	return out
}

// spread writes a value to eight places from i on, or to as many as there are.
func spread(to []uint8, i int, v uint8) {
	if i+8 <= len(to) {
		binary.LittleEndian.PutUint64(to[i:], uint64(v)*0x0101010101010101)
		return
	}
	for ; i < len(to); i++ {
		to[i] = v
	}
}
