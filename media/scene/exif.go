// Package scene draws the invented bench photos of the demo and of the tests,
// and writes them as JPEG files with a real EXIF block, as a camera would.
package scene

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"math"
	"slices"
	"time"

	"github.com/disintegration/imaging"
)

// Exif is what the invented camera writes.
type Exif struct {
	Make, Model, Serial string
	At                  time.Time // the wall clock, as written
	Offset              string    // "+01:00"; "" leaves the tag out
	SubSec              string
	Orientation         int // 1 to 8; 0 is 1
	HasGPS              bool
	Lat, Lon            float64
}

// WriteJPEG encodes img with the EXIF block. With an orientation other than 1
// the stored pixels are turned, so that a viewer that applies it sees img
// upright.
func WriteJPEG(w io.Writer, img image.Image, e Exif) error {
	var picture bytes.Buffer
	if err := jpeg.Encode(&picture, stored(img, e.Orientation), &jpeg.Options{Quality: 88}); err != nil {
		return err
	}
	block := append([]byte("Exif\x00\x00"), e.tiff()...)
	if len(block) > 0xffff-2 {
		return fmt.Errorf("an EXIF block of %d bytes does not fit a JPEG segment", len(block))
	}
	head := []byte{0xff, 0xd8, 0xff, 0xe1, 0, 0}
	binary.BigEndian.PutUint16(head[4:], uint16(len(block)+2))
	for _, part := range [][]byte{head, block, picture.Bytes()[2:]} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// stored is the inverse of the display operation of each orientation.
func stored(img image.Image, turn int) image.Image {
	switch turn {
	case 2:
		return imaging.FlipH(img)
	case 3:
		return imaging.Rotate180(img)
	case 4:
		return imaging.FlipV(img)
	case 5:
		return imaging.Transpose(img)
	case 6:
		return imaging.Rotate90(img)
	case 7:
		return imaging.Transverse(img)
	case 8:
		return imaging.Rotate270(img)
	}
	return img
}

// entry is one TIFF tag; data longer than four bytes goes behind the directory.
type entry struct {
	tag, typ uint16
	count    uint32
	data     []byte
}

func ascii(tag uint16, s string) entry {
	return entry{tag, 2, uint32(len(s) + 1), append([]byte(s), 0)}
}

func short(tag uint16, v int) entry {
	return entry{tag, 3, 1, binary.LittleEndian.AppendUint16(nil, uint16(v))}
}

func long(tag uint16, v int) entry {
	return entry{tag, 4, 1, binary.LittleEndian.AppendUint32(nil, uint32(v))}
}

func rationals(tag uint16, pairs ...uint32) entry {
	var data []byte
	for _, v := range pairs {
		data = binary.LittleEndian.AppendUint32(data, v)
	}
	return entry{tag, 5, uint32(len(pairs) / 2), data}
}

// tiff writes the directories one behind the other: main, Exif, GPS.
func (e Exif) tiff() []byte {
	stamp := e.At.Format("2006:01:02 15:04:05")
	sub := []entry{ascii(0x9003, stamp), ascii(0x9004, stamp)}
	if e.Offset != "" {
		sub = append(sub, ascii(0x9010, e.Offset), ascii(0x9011, e.Offset), ascii(0x9012, e.Offset))
	}
	if e.SubSec != "" {
		sub = append(sub, ascii(0x9291, e.SubSec))
	}
	if e.Serial != "" {
		sub = append(sub, ascii(0xa431, e.Serial))
	}
	main := []entry{ascii(0x010f, e.Make), ascii(0x0110, e.Model), short(0x0112, max(1, e.Orientation)), ascii(0x0132, stamp)}
	size := func(entries []entry) int {
		n := 2 + 12*len(entries) + 4
		for _, en := range entries {
			if len(en.data) > 4 {
				n += len(en.data) + len(en.data)%2
			}
		}
		return n
	}
	pointers := 1
	if e.HasGPS {
		pointers = 2
	}
	subAt := 8 + size(main) + 12*pointers
	main = append(main, long(0x8769, subAt))
	var gps []entry
	if e.HasGPS {
		main = append(main, long(0x8825, subAt+size(sub)))
		gps = e.gps()
	}
	out := []byte("II*\x00\x08\x00\x00\x00")
	for _, dir := range [][]entry{main, sub, gps} {
		if len(dir) > 0 {
			out = appendDir(out, dir)
		}
	}
	return out
}

func appendDir(out []byte, entries []entry) []byte {
	slices.SortFunc(entries, func(a, b entry) int { return int(a.tag) - int(b.tag) })
	le := binary.LittleEndian
	at := len(out) + 2 + 12*len(entries) + 4
	out = le.AppendUint16(out, uint16(len(entries)))
	var behind []byte
	for _, e := range entries {
		out = le.AppendUint16(out, e.tag)
		out = le.AppendUint16(out, e.typ)
		out = le.AppendUint32(out, e.count)
		if len(e.data) <= 4 {
			out = append(out, e.data...)
			out = append(out, make([]byte, 4-len(e.data))...)
			continue
		}
		out = le.AppendUint32(out, uint32(at+len(behind)))
		behind = append(behind, e.data...)
		if len(e.data)%2 == 1 {
			behind = append(behind, 0)
		}
	}
	out = le.AppendUint32(out, 0)
	return append(out, behind...)
}

func (e Exif) gps() []entry {
	ref := func(v float64, pos, neg string) string {
		if v < 0 {
			return neg
		}
		return pos
	}
	degrees := func(tag uint16, v float64) entry {
		v = math.Abs(v)
		d, m := math.Floor(v), math.Floor(v*60)-60*math.Floor(v)
		return rationals(tag, uint32(d), 1, uint32(m), 1, uint32(math.Round((v*3600-d*3600-m*60)*100)), 100)
	}
	utc := e.At.UTC()
	return []entry{
		ascii(1, ref(e.Lat, "N", "S")), degrees(2, e.Lat), ascii(3, ref(e.Lon, "E", "W")), degrees(4, e.Lon),
		rationals(7, uint32(utc.Hour()), 1, uint32(utc.Minute()), 1, uint32(utc.Second()), 1), ascii(0x1d, utc.Format("2006:01:02")),
	}
}
