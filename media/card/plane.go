// Making a plane smaller, and into dark and light.

package card

import (
	"encoding/binary"

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
	cut := int64(share * 1024)
	none := make([]uint8, w)
	for y := range h {
		in, gone := none, none
		if at := y + half; at < h {
			in = p.Pix[at*p.Stride:][:w]
		}
		if at := y - half - 1; at >= 0 {
			gone = p.Pix[at*p.Stride:][:w]
		}
		var sum uint32
		for x := range columns {
			c := columns[x] + uint32(in[x]) - uint32(gone[x])
			columns[x] = c
			sum += c
			prefix[x+1] = sum
		}
		rows := min(h-1, y+half) - max(0, y-half) + 1
		row, to := p.Pix[y*p.Stride:][:w], out.Dark[y*w:][:w]
		for x := range min(half, w) {
			to[x] = dark(row[x], rows*min(w, x+half+1), prefix[min(w, x+half+1)], cut)
		}
		if w > 2*half {
			// Most of the row, without a branch: where light and dark mix,
			// none could be foreseen.
			area := rows * (2*half + 1)
			left, right := prefix[:w-2*half], prefix[2*half+1:]
			row, to := row[half:][:len(right)], to[half:][:len(right)]
			for x, r := range right {
				to[x] = dark(row[x], area, r-left[x], cut)
			}
		}
		for x := max(half, w-half); x < w; x++ {
			to[x] = dark(row[x], rows*(w-x+half), prefix[w]-prefix[x-half], cut)
		}
	}
	return out
}

// dark is 1 for a value below cut/1024 of the mean of area pixels.
func dark(v uint8, area int, sum uint32, cut int64) uint8 {
	return uint8(uint64(int64(v)*int64(area)<<10-int64(sum)*cut) >> 63)
}
