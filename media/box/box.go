// Package box reads the boxes that HEIC, AVIF, CR3, MP4 and MOV are made of
// (ISO/IEC 14496-12, 4.2; "atoms" in the QuickTime File Format): where they lie,
// and the numbers in them.
//
// Start with List. Everything is bounded by the bytes at hand: no count and no
// size of a file is believed. The package knows no kind of box.
package box

import (
	"encoding/binary"
	"io"
)

// Box is a box, or another stretch of a file.
type Box struct {
	Kind  string // four letters, "" for a stretch that is no box
	Start int64  // of its header
	At    int64  // of its body
	Size  int64  // of its body, in bytes
}

// End is where the next box begins.
func (b Box) End() int64 { return b.At + b.Size }

// Most is how many boxes a picture has side by side at the most.
const Most = 1000

// MaxBody is the largest body that Body reads. A header box is a few kilobytes,
// 200 with a large profile and a grid.
const MaxBody = 4 << 20

// List lists the boxes between two places of a file, most of them at the most.
// whole is false when there is none, or the last one runs past the end, as that
// of a file still being copied does; its size is then what is there of it.
func List(f io.ReaderAt, from, to int64, most int) (list []Box, whole bool) {
	var head [16]byte
	for at := from; at < to && len(list) < most; {
		n, _ := f.ReadAt(head[:min(16, to-at)], at)
		if n < 8 {
			return list, false
		}
		length, skip := int64(binary.BigEndian.Uint32(head[:])), int64(8)
		switch {
		case length == 0:
			length = to - at
		case length == 1 && n == 16:
			length, skip = int64(binary.BigEndian.Uint64(head[8:])), 16
		}
		kind := string(head[4:8])
		if length < skip || length > to-at {
			return append(list, Box{kind, at, at + skip, max(0, to-at-skip)}), false
		}
		list = append(list, Box{kind, at, at + skip, length - skip})
		at += length
	}
	return list, len(list) > 0
}

// Body reads the body of a box, nil if it is larger than MaxBody or not there.
func (b Box) Body(f io.ReaderAt) []byte {
	if b.Size > MaxBody || b.Size < 0 {
		return nil
	}
	body := make([]byte, b.Size)
	n, err := f.ReadAt(body, b.At)
	if err != nil && n < len(body) {
		return nil
	}
	return body
}

// Inner goes through the boxes within a body, until one does not fit.
func Inner(b []byte, each func(kind string, body []byte)) {
	for len(b) >= 8 {
		n := int64(binary.BigEndian.Uint32(b))
		if n == 0 {
			n = int64(len(b))
		}
		if n < 8 || n > int64(len(b)) {
			return
		}
		each(string(b[4:8]), b[8:n])
		b = b[n:]
	}
}

// Cursor reads numbers off the front of bytes.
type Cursor struct {
	B     []byte
	Short bool // the bytes ran out
}

// Take takes n bytes off; if there are fewer, some zeros, and Short is set.
func (c *Cursor) Take(n int) []byte {
	if n < 0 || n > len(c.B) {
		c.Short, c.B = true, nil
		return make([]byte, max(0, min(n, 8)))
	}
	out := c.B[:n]
	c.B = c.B[n:]
	return out
}

// Uint takes a big-endian number of 0 to 8 bytes off.
func (c *Cursor) Uint(n int) uint64 {
	var v uint64
	for _, x := range c.Take(n) {
		v = v<<8 | uint64(x)
	}
	return v
}
