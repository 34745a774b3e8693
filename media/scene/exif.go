// Storing a picture the way a camera does: JPEG with an EXIF block.

package scene

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"math"
	"time"
)

// Exif is what the camera writes beside the picture. Empty fields are left out
// of the file.
type Exif struct {
	Make, Model, Serial string
	At                  time.Time // wall clock as written; its own zone is not stored
	Offset              string    // "+01:00", or "" = tag absent
	SubSec              string    // digits after the second
	Orientation         int       // 1..8; 0 = 1
	Lat, Lon            float64   // degrees, north and east positive; written only if HasGPS
	HasGPS              bool
}

// jpegQuality is what cameras of the middle class use.
const jpegQuality = 90

// WriteJPEG encodes img with an EXIF block in the layout of JEITA CP-3451. With
// an Orientation other than 1 the stored pixels are turned, so that a viewer
// which applies the tag sees img upright. An Orientation outside 0..8 is an
// error, and nothing is written.
func WriteJPEG(w io.Writer, img image.Image, e Exif) error {
	if e.Orientation == 0 {
		e.Orientation = 1
	}
	if e.Orientation < 1 || e.Orientation > 8 {
		return fmt.Errorf("orientation %d is not one of 1 to 8; no picture written", e.Orientation)
	}
	stored := stow(img, e.Orientation)
	block, err := exifBlock(e, stored.Bounds())
	if err != nil {
		return err
	}
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, stored, &jpeg.Options{Quality: jpegQuality}); err != nil {
		return fmt.Errorf("encode the picture: %w", err)
	}
	b := buf.Bytes()
	// The block goes between the start marker and the first table.
	for _, part := range [][]byte{b[:2], block, b[2:]} {
		if _, err := w.Write(part); err != nil {
			return fmt.Errorf("write the picture: %w", err)
		}
	}
	return nil
}

// stow turns img into the raster a camera held that way would have stored: row
// 0 of the file is the side the tag names first, column 0 the second.
func stow(img image.Image, orientation int) image.Image {
	if orientation == 1 {
		return img
	}
	b := img.Bounds()
	w, h := b.Dx(), b.Dy()
	src, ok := img.(*image.RGBA)
	if !ok {
		src = image.NewRGBA(b)
		for y := b.Min.Y; y < b.Max.Y; y++ {
			for x := b.Min.X; x < b.Max.X; x++ {
				src.Set(x, y, img.At(x, y))
			}
		}
	}
	sw, sh := w, h
	if orientation >= 5 {
		sw, sh = h, w
	}
	dst := image.NewRGBA(image.Rect(0, 0, sw, sh))
	for r := range sh {
		for c := range sw {
			var x, y int // where stored row r, column c lies in the upright picture
			switch orientation {
			case 2: // row 0 top, column 0 right
				x, y = w-1-c, r
			case 3: // bottom, right
				x, y = w-1-c, h-1-r
			case 4: // bottom, left
				x, y = c, h-1-r
			case 5: // left, top
				x, y = r, c
			case 6: // right, top
				x, y = w-1-r, c
			case 7: // right, bottom
				x, y = w-1-r, h-1-c
			case 8: // left, bottom
				x, y = r, h-1-c
			}
			i, o := src.PixOffset(b.Min.X+x, b.Min.Y+y), dst.PixOffset(c, r)
			copy(dst.Pix[o:o+4], src.Pix[i:i+4])
		}
	}
	return dst
}

// TIFF field types and the tags we write.
const (
	typeASCII    = 2
	typeShort    = 3
	typeLong     = 4
	typeRational = 5
	typeUndef    = 7
	typeByte     = 1

	tagMake         = 0x010f
	tagModel        = 0x0110
	tagOrientation  = 0x0112
	tagDateTime     = 0x0132
	tagExifIFD      = 0x8769
	tagGPSIFD       = 0x8825
	tagExifVersion  = 0x9000
	tagOriginal     = 0x9003
	tagDigitized    = 0x9004
	tagOffsetOrig   = 0x9011
	tagSubSecOrig   = 0x9291
	tagColorSpace   = 0xa001
	tagPixelX       = 0xa002
	tagPixelY       = 0xa003
	tagBodySerial   = 0xa431
	tagGPSVersion   = 0x0000
	tagGPSLatRef    = 0x0001
	tagGPSLat       = 0x0002
	tagGPSLonRef    = 0x0003
	tagGPSLon       = 0x0004
	maxBlock        = 0xffff - 2 // an APP1 segment counts its own length field
	exifTime        = "2006:01:02 15:04:05"
	entrySize       = 12
	inlineValueSize = 4
)

// field is one directory entry with its value as bytes. dir names the
// directory an offset field points to.
type field struct {
	tag, kind uint16
	count     uint32
	value     []byte
	dir       []field
}

var order16 = binary.BigEndian

func ascii(tag uint16, s string) field {
	return field{tag: tag, kind: typeASCII, count: uint32(len(s) + 1), value: append([]byte(s), 0)}
}

func short(tag uint16, v int) field {
	return field{tag: tag, kind: typeShort, count: 1, value: order16.AppendUint16(nil, uint16(v))}
}

func long(tag uint16, v uint32) field {
	return field{tag: tag, kind: typeLong, count: 1, value: order16.AppendUint32(nil, v)}
}

// angle writes degrees, minutes and hundredths of seconds.
func angle(tag uint16, deg float64) field {
	hundredths := uint32(math.Round(math.Abs(deg) * 360000))
	var v []byte
	for _, p := range [][2]uint32{{hundredths / 360000, 1}, {hundredths / 6000 % 60, 1}, {hundredths % 6000, 100}} {
		v = order16.AppendUint32(v, p[0])
		v = order16.AppendUint32(v, p[1])
	}
	return field{tag: tag, kind: typeRational, count: 3, value: v}
}

// exifBlock returns the whole APP1 segment.
func exifBlock(e Exif, size image.Rectangle) ([]byte, error) {
	sub := []field{{tag: tagExifVersion, kind: typeUndef, count: 4, value: []byte("0231")}}
	var root []field
	if e.Make != "" {
		root = append(root, ascii(tagMake, e.Make))
	}
	if e.Model != "" {
		root = append(root, ascii(tagModel, e.Model))
	}
	root = append(root, short(tagOrientation, e.Orientation))
	if !e.At.IsZero() {
		at := e.At.Format(exifTime)
		root = append(root, ascii(tagDateTime, at))
		sub = append(sub, ascii(tagOriginal, at), ascii(tagDigitized, at))
		if e.Offset != "" {
			sub = append(sub, ascii(tagOffsetOrig, e.Offset))
		}
		if e.SubSec != "" {
			sub = append(sub, ascii(tagSubSecOrig, e.SubSec))
		}
	}
	sub = append(sub, short(tagColorSpace, 1), long(tagPixelX, uint32(size.Dx())), long(tagPixelY, uint32(size.Dy())))
	if e.Serial != "" {
		sub = append(sub, ascii(tagBodySerial, e.Serial))
	}
	root = append(root, field{tag: tagExifIFD, kind: typeLong, count: 1, dir: sub})
	if e.HasGPS {
		ns, ew := "N", "E"
		if e.Lat < 0 {
			ns = "S"
		}
		if e.Lon < 0 {
			ew = "W"
		}
		root = append(root, field{tag: tagGPSIFD, kind: typeLong, count: 1, dir: []field{
			{tag: tagGPSVersion, kind: typeByte, count: 4, value: []byte{2, 3, 0, 0}},
			ascii(tagGPSLatRef, ns), angle(tagGPSLat, e.Lat), ascii(tagGPSLonRef, ew), angle(tagGPSLon, e.Lon),
		}})
	}
	const header = 8
	tiff := append([]byte("MM\x00*"), 0, 0, 0, header)
	tiff = append(tiff, directory(root, header)...)
	body := append([]byte("Exif\x00\x00"), tiff...)
	if len(body) > maxBlock {
		return nil, errors.New("the camera's texts are too long for one EXIF block; no picture written")
	}
	out := order16.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2))
	return append(out, body...), nil
}

// directory lays out a directory that starts at offset at: its entries, the
// values too long for an entry, then the directories it points to. Entries
// must be sorted by tag already.
func directory(fs []field, at int) []byte {
	head := order16.AppendUint16(nil, uint16(len(fs)))
	tail := at + 2 + entrySize*len(fs) + 4
	var data []byte
	for _, f := range fs {
		head = order16.AppendUint16(head, f.tag)
		head = order16.AppendUint16(head, f.kind)
		head = order16.AppendUint32(head, f.count)
		v := f.value
		if f.dir != nil {
			v = order16.AppendUint32(nil, uint32(tail+len(data)))
			data = append(data, directory(f.dir, tail+len(data))...)
		} else if len(v) > inlineValueSize {
			if len(v)%2 == 1 {
				v = append(v, 0) // values start on even offsets
			}
			o := order16.AppendUint32(nil, uint32(tail+len(data)))
			data = append(data, v...)
			v = o
		}
		head = append(head, v...)
		head = append(head, make([]byte, inlineValueSize-len(v))...)
	}
	head = order16.AppendUint32(head, 0) // no further directory
	return append(head, data...)
}
