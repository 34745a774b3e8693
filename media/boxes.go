// Files made of boxes (HEIC, AVIF, CR3): where the boxes lie, what the picture
// box says of color and metadata, and what is refused before any decoder sees
// it. Everything is bounded by the bytes at hand: no count is believed.

package media

import (
	"bytes"
	"encoding/binary"
	"io"

	"rakelight/media/box"
)

// span is a stretch of a file.
type span = box.Box

// cursor reads numbers off the front of bytes.
type cursor = box.Cursor

// topBoxes lists the outermost boxes of a file. whole is false when the last
// one runs past the end, as that of a file still being copied does.
func topBoxes(f io.ReaderAt, size int64) (list []span, whole bool) {
	return box.List(f, 0, size, box.Most)
}

// pictureBox is what the header box of a HEIC or AVIF says.
type pictureBox struct {
	profile   []byte // ICC, nil = none
	primaries int    // of an nclx color box; 0 = none
	exif      span   // the EXIF item in the file, with its 4-byte prefix
	rotate    int    // quarter turns against the clock
	mirror    int    // after that: 0 = not, 1 = top and bottom change, 2 = left and right
	widest    uint32 // size of the largest picture inside, as coded
	highest   uint32
	deep      bool // some part has more than 8 bits a channel
	chroma    int  // the finest of its HEVC parts: 0 gray, 1 4:2:0, 2 4:2:2, 3 4:4:4
	alpha     bool // some part says how transparent another is
}

// The most tiles a picture is put together from: 120 megapixels of tiles of
// 512 pixels, twice.
const maxTiles = 1000

// readPictureBox reads the header box. It refuses pictures made of one another
// over and over: a few bytes could ask for hours of work.
func readPictureBox(f io.ReaderAt, size int64) (p pictureBox, err error) {
	list, whole := topBoxes(f, size)
	if !whole {
		return p, cutShort()
	}
	var meta []byte
	for _, s := range list {
		if s.Kind == "meta" {
			meta = s.Body(f)
			break
		}
	}
	if len(meta) < 4 {
		return p, damaged("it has no header box")
	}
	exif, used, extents := uint64(0), make(map[uint64]bool), map[uint64]span{}
	box.Inner(meta[4:], func(kind string, body []byte) {
		switch kind {
		case "iinf":
			var e error
			if exif, e = items(body); e != nil {
				err = e
			}
		case "iloc":
			var claimed uint64
			if extents, claimed = locations(body); claimed > maxExtents {
				err = &BrokenError{Fault: TooScattered}
			}
		case "iref":
			if e := tiles(body, used); e != nil {
				err = e
			}
		case "iprp":
			box.Inner(body, func(kind string, body []byte) {
				if kind == "ipco" {
					box.Inner(body, p.property)
				}
			})
		}
	})
	if exif != 0 {
		if s := extents[exif]; s.At >= 0 && s.Size > 4 && s.Size <= box.MaxBody && s.At <= size-s.Size {
			p.exif = s
		}
	}
	return p, err
}

// property notes a color box or a turn; the first of each kind counts, since
// those of extra pictures come after.
func (p *pictureBox) property(kind string, body []byte) {
	if kind == "irot" && len(body) > 0 && p.rotate == 0 {
		p.rotate = int(body[0] & 3)
	}
	if kind == "imir" && len(body) > 0 && p.mirror == 0 {
		p.mirror = int(body[0]&1) + 1
	}
	if kind == "ispe" {
		p.coded(itemSize(body))
	}
	if kind == "hvcC" {
		hevcSizes(body, p.coded)
		if len(body) > 17 {
			p.deep = p.deep || body[17]&7 > 0 // bits of luma above 8
			p.chroma = max(p.chroma, int(body[16]&3))
		}
	}
	if kind == "av1C" && len(body) > 2 && body[2]&0x40 != 0 {
		p.deep = true
	}
	if kind == "auxC" && (bytes.Contains(body, []byte("auxid:1")) || bytes.Contains(body, []byte("auxiliary:alpha"))) {
		p.alpha = true
	}
	if kind != "colr" || len(body) < 4 {
		return
	}
	switch string(body[:4]) {
	case "prof", "rICC":
		if p.profile == nil {
			p.profile = body[4:]
		}
	case "nclx":
		if p.primaries == 0 && len(body) >= 6 {
			p.primaries = int(binary.BigEndian.Uint16(body[4:]))
		}
	}
}

// items finds the number of the EXIF item, and refuses overlays.
func items(body []byte) (exif uint64, err error) {
	c := &cursor{B: body}
	wide := 2
	if c.Uint(4)>>24 != 0 {
		wide = 4
	}
	c.Uint(wide)
	box.Inner(c.B, func(kind string, body []byte) {
		e := &cursor{B: body}
		version := e.Uint(4) >> 24
		if kind != "infe" || version < 2 {
			return
		}
		wide := 2
		if version > 2 {
			wide = 4
		}
		id := e.Uint(wide)
		e.Uint(2)
		switch what := string(e.Take(4)); {
		case e.Short:
		case what == "Exif" && exif == 0:
			exif = id
		case what == "iovl":
			err = &UnsupportedError{Sort: Picture, Kind: "overlaid HEIC"}
		}
	})
	return exif, err
}

// tiles counts what the picture is put together from.
func tiles(body []byte, used map[uint64]bool) (err error) {
	c := &cursor{B: body}
	wide := 2
	if c.Uint(4)>>24 != 0 {
		wide = 4
	}
	box.Inner(c.B, func(kind string, body []byte) {
		if kind != "dimg" || err != nil {
			return
		}
		r := &cursor{B: body}
		r.Uint(wide)
		for range r.Uint(2) {
			id := r.Uint(wide)
			if r.Short {
				return
			}
			if used[id] {
				continue // a gain map is made from the picture itself
			}
			if used[id] = true; len(used) > maxTiles {
				err = &BrokenError{Fault: TooManyTiles, Most: maxTiles}
				return
			}
		}
	})
	return err
}

// maxExtents is far above what the tiles of any picture take. The first reader
// of metadata would walk as many as are claimed, one by one.
const maxExtents = 100_000

// locations reads where items lie, those in the file itself and in one
// stretch; claimed is how many stretches all items say they have.
func locations(body []byte) (found map[uint64]span, claimed uint64) {
	c := &cursor{B: body}
	version := c.Uint(4) >> 24
	sizes := c.Uint(2)
	offset, length, base, index := int(sizes>>12&15), int(sizes>>8&15), int(sizes>>4&15), int(sizes&15)
	wide := 2
	if version == 2 {
		wide = 4
	}
	found = make(map[uint64]span)
	for range c.Uint(wide) {
		id := c.Uint(wide)
		method := uint64(0)
		if version > 0 {
			method = c.Uint(2) & 15
		}
		c.Uint(2)
		start, n := c.Uint(base), c.Uint(2)
		claimed += n
		if version == 0 {
			index = 0
		}
		if n != 1 {
			// Skipped at once: stretches may claim to take no bytes at all.
			c.Take(int(n) * (index + offset + length))
		} else {
			c.Uint(index)
			at, size := start+c.Uint(offset), c.Uint(length)
			if method == 0 && at < 1<<62 && size < 1<<62 {
				found[id] = span{At: int64(at), Size: int64(size)}
			}
		}
		if c.Short {
			break
		}
	}
	return found, claimed
}

// turn is the EXIF orientation that does what the boxes ask for. The AVIF
// decoder leaves it to us.
func (p pictureBox) turn() int {
	return [4][3]int{{1, 4, 2}, {8, 5, 7}, {3, 2, 4}, {6, 7, 5}}[p.rotate][p.mirror]
}

// unread is what is known of a picture the decoder could not read.
func (p pictureBox) unread(err error) string {
	if p.chroma == 3 {
		return "its colors are coded as 4:4:4"
	}
	return err.Error()
}

// exifOf reads the EXIF of a HEIC or AVIF as TIFF bytes, or nil.
func (p pictureBox) exifOf(f io.ReaderAt) []byte {
	b := p.exif.Body(f)
	if len(b) < 4 {
		return nil
	}
	skip := int64(binary.BigEndian.Uint32(b)) + 4
	if skip > int64(len(b)) {
		return nil
	}
	return bytes.TrimPrefix(b[skip:], []byte("Exif\x00\x00"))
}
