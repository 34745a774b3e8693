// Making a plane smaller, and into dark and light.

package card

import "rakelight/media/card/qr"

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

// halve is reduce by two, the size all others are made from.
func (p Plane) halve(out Plane) {
	for y := range out.Height {
		a := p.Pix[2*y*p.Stride:][:2*out.Width]
		b := p.Pix[(2*y+1)*p.Stride:][:2*out.Width]
		to := out.Pix[y*out.Width:][:out.Width]
		for x := range to {
			to[x] = uint8((uint32(a[2*x]) + uint32(a[2*x+1]) + uint32(b[2*x]) + uint32(b[2*x+1])) >> 2)
		}
	}
}

// threshold calls a pixel dark that is below a share of the mean of the square
// around it: light that falls off over the bench does not matter then.
func (p Plane) threshold(window int, share float64) qr.Plane {
	out := qr.Plane{Width: p.Width, Height: p.Height, Dark: make([]uint8, p.Width*p.Height)}
	w, h, half := p.Width, p.Height, max(1, window/2)
	// Sums over columns that slide down, and over them along the row: one
	// pass, and no table of the whole picture.
	columns := make([]uint32, w)
	prefix := make([]uint32, w+1)
	for y := range min(half, h) {
		for x, v := range p.Pix[y*p.Stride:][:w] {
			columns[x] += uint32(v)
		}
	}
	cut := uint64(share * 1024)
	for y := range h {
		if in := y + half; in < h {
			for x, v := range p.Pix[in*p.Stride:][:w] {
				columns[x] += uint32(v)
			}
		}
		if gone := y - half - 1; gone >= 0 {
			for x, v := range p.Pix[gone*p.Stride:][:w] {
				columns[x] -= uint32(v)
			}
		}
		for x, v := range columns {
			prefix[x+1] = prefix[x] + v
		}
		rows := min(h-1, y+half) - max(0, y-half) + 1
		row, to := p.Pix[y*p.Stride:][:w], out.Dark[y*w:][:w]
		for x, v := range row {
			x0, x1 := max(0, x-half), min(w, x+half+1)
			sum := uint64(prefix[x1] - prefix[x0])
			if uint64(v)*uint64(rows*(x1-x0))<<10 < sum*cut {
				to[x] = 1
			}
		}
	}
	return out
}
