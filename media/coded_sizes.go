// How large the pictures inside a HEIC or AVIF claim to be, each by itself: the
// whole may claim a small size and be put together from tiles that ask the
// decoder for gigabytes. Read from the header box and from the parameter sets in
// it, before any decoder sees the file. Parameter sets hidden among the pixels
// are not looked for: there the limit on the decoder's memory holds.

package media

import (
	"encoding/binary"
	"fmt"
)

// coded notes the size of a picture inside.
func (p *pictureBox) coded(width, height uint32) {
	if uint64(width)*uint64(height) >= uint64(p.widest)*uint64(p.highest) {
		p.widest, p.highest = width, height
	}
}

// check refuses pictures inside that are out of proportion to the whole. A
// crop may show half of what is coded, and small wholes have tiles that reach
// over their edges.
func (p *pictureBox) check(width, height int) error {
	const small, times = 4 << 20, 2
	one := uint64(p.widest) * uint64(p.highest)
	if one > max(small, times*uint64(width)*uint64(height)) || p.widest > uint32(DefaultLimits.Side) ||
		p.highest > uint32(DefaultLimits.Side) || one > uint64(DefaultLimits.Pixels) {
		return &BrokenError{Fault: PartTooLarge, Width: width, Height: height,
			Detail: fmt.Sprintf("%d by %d", p.widest, p.highest)}
	}
	return nil
}

// hevcSizes reads the sizes out of the parameter sets of a decoder
// configuration (ISO/IEC 14496-15, 8.3.3.1).
func hevcSizes(body []byte, each func(width, height uint32)) {
	c := &cursor{B: body}
	c.Take(22)
	const sequence = 33
	for range c.Uint(1) {
		kind := c.Uint(1) & 63
		for range c.Uint(2) {
			unit := c.Take(int(c.Uint(2)))
			if c.Short {
				return
			}
			if kind == sequence {
				if w, h, ok := sequenceSize(unit); ok {
					each(w, h)
				}
			}
		}
	}
}

// sequenceSize reads the size of a sequence parameter set (ITU-T H.265,
// 7.3.2.2).
func sequenceSize(unit []byte) (width, height uint32, ok bool) {
	if len(unit) < 3 {
		return 0, 0, false
	}
	b := &bitReader{b: unescaped(unit[2:])}
	b.skip(4)
	layers := b.read(3)
	b.skip(1)
	b.skip(88 + 8) // profile and level
	var profile, level [8]bool
	for i := range layers {
		profile[i], level[i] = b.read(1) == 1, b.read(1) == 1
	}
	if layers > 0 {
		b.skip(2 * int(8-layers))
	}
	for i := range layers {
		if profile[i] {
			b.skip(88)
		}
		if level[i] {
			b.skip(8)
		}
	}
	b.golomb()
	if b.golomb() == 3 { // chroma
		b.skip(1)
	}
	width, height = b.golomb(), b.golomb()
	return width, height, !b.short
}

// unescaped takes out the bytes that keep start codes from appearing.
func unescaped(b []byte) []byte {
	out := make([]byte, 0, len(b))
	zeros := 0
	for _, v := range b {
		if zeros >= 2 && v == 3 {
			zeros = 0
			continue
		}
		if out = append(out, v); v == 0 {
			zeros++
		} else {
			zeros = 0
		}
	}
	return out
}

// bitReader reads single bits, the highest of a byte first.
type bitReader struct {
	b     []byte
	at    int
	short bool
}

func (b *bitReader) skip(n int) { b.at += n }

func (b *bitReader) read(n int) (v uint32) {
	for range n {
		if b.at >= 8*len(b.b) {
			b.short = true
			return 0
		}
		v = v<<1 | uint32(b.b[b.at/8]>>(7-b.at%8))&1
		b.at++
	}
	return v
}

// golomb reads a number of the kind that is as long as it is large.
func (b *bitReader) golomb() uint32 {
	n := 0
	for b.read(1) == 0 {
		if n++; b.short || n > 31 {
			b.short = true
			return 0
		}
	}
	return uint32(1)<<n - 1 + b.read(n)
}

// itemSize reads an image size property.
func itemSize(body []byte) (width, height uint32) {
	if len(body) < 12 {
		return 0, 0
	}
	return binary.BigEndian.Uint32(body[4:]), binary.BigEndian.Uint32(body[8:])
}
