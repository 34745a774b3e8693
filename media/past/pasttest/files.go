// Files of an invented past: small pictures, each of its own, as cameras and messengers
// write them.

package pasttest

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"rakelight/media/scene"
)

// Sizes of the files' pictures, pixels: they are read quickly, and a messenger's copy is
// smaller as one of a large picture would be.
const (
	wide, high           = 320, 240
	smallWide, smallHigh = 200, 150
)

// Write writes the files of the past into a folder. What a reading finds in them is
// what the shots claim.
func (p *Past) Write(dir string) error {
	for _, s := range p.Shots {
		data, err := s.File()
		if err != nil {
			return err
		}
		name := filepath.Join(dir, filepath.FromSlash(s.Path))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(name, data, 0o644); err != nil {
			return err
		}
		if err := os.Chtimes(name, s.FileTime, s.FileTime); err != nil {
			return err
		}
	}
	return nil
}

// File is the file of a shot, the same bytes for the same shot.
func (s Shot) File() ([]byte, error) {
	w, h := wide, high
	if s.Small {
		w, h = smallWide, smallHigh
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, s.Draw(w, h), &jpeg.Options{Quality: 80}); err != nil {
		return nil, err
	}
	data := b.Bytes()
	if s.Small {
		return data, nil
	}
	return append(append(bytes.Clone(data[:2]), s.exif()...), data[2:]...), nil
}

// Draw draws what the shot shows: patches of light, others for each number.
func (s Shot) Draw(w, h int) image.Image {
	rng := rand.New(rand.NewPCG(s.Number, 15))
	var light [10][11]float64
	for y := range light {
		for x := range light[y] {
			light[y][x] = float64(40 + rng.IntN(170))
		}
	}
	hue := [3]float64{0.7 + 0.3*rng.Float64(), 0.7 + 0.3*rng.Float64(), 0.7 + 0.3*rng.Float64()}
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			fx, fy := float64(x)*9/float64(w), float64(y)*8/float64(h)
			i, k := int(fx), int(fy)
			fx, fy = fx-float64(i), fy-float64(k)
			v := (light[k][i]*(1-fx)+light[k][i+1]*fx)*(1-fy) + (light[k+1][i]*(1-fx)+light[k+1][i+1]*fx)*fy
			img.SetRGBA(x, y, color.RGBA{uint8(v * hue[0]), uint8(v * hue[1]), uint8(v * hue[2]), 255})
		}
	}
	return img
}

// claim is what the file states under a tag, "" = nothing.
func (s Shot) claim(tag string) (text, offset string) {
	for _, c := range s.Claims.List {
		if c.Tag == tag {
			return c.Text, c.Offset
		}
	}
	return "", ""
}

// exif is the EXIF of the file, as a segment: what scene writes for a camera, or less.
func (s Shot) exif() []byte {
	text, offset := s.claim("DateTimeOriginal")
	if at, err := time.Parse(exifTime, text); err == nil {
		var b bytes.Buffer
		e := scene.Exif{Make: s.Camera.Make, Model: s.Camera.Model, Serial: s.Camera.Serial, At: at, Offset: offset}
		if err := scene.WriteJPEG(&b, image.NewGray(image.Rect(0, 0, 1, 1)), e); err == nil {
			size := binary.BigEndian.Uint16(b.Bytes()[4:])
			return b.Bytes()[2 : 4+int(size)]
		}
	}
	changed, _ := s.claim("DateTime")
	digitized, _ := s.claim("DateTimeDigitized")
	return segment([]entry{{0x010f, s.Camera.Make}, {0x0110, s.Camera.Model}, {0x0132, changed}}, digitized)
}

// entry is a text in the first directory.
type entry struct {
	tag  uint16
	text string
}

// segment is an EXIF segment of some texts, in the layout of JEITA CP-3451: the second
// directory holds when the picture was digitized, if that is told.
func segment(texts []entry, digitized string) []byte {
	var dir, data []byte
	n := 0
	for _, t := range texts {
		if t.text != "" {
			n++
		}
	}
	if digitized != "" {
		n++
	}
	const head = 8
	end := uint32(head + 2 + 12*n + 4)
	put := func(to []byte, tag, kind uint16, count, value uint32) []byte {
		to = binary.BigEndian.AppendUint16(to, tag)
		to = binary.BigEndian.AppendUint16(to, kind)
		to = binary.BigEndian.AppendUint32(to, count)
		return binary.BigEndian.AppendUint32(to, value)
	}
	text := func(to []byte, tag uint16, s string, base uint32) []byte {
		value := base + uint32(len(data))
		data = append(data, s...)
		data = append(data, 0)
		if len(s) < 4 { // it stands in the entry itself
			var b [4]byte
			copy(b[:], s)
			value = binary.BigEndian.Uint32(b[:])
		}
		return put(to, tag, 2, uint32(len(s)+1), value)
	}
	dir = binary.BigEndian.AppendUint16(dir, uint16(n))
	for _, t := range texts {
		if t.text != "" {
			dir = text(dir, t.tag, t.text, end)
		}
	}
	if digitized == "" {
		dir = binary.BigEndian.AppendUint32(dir, 0)
	} else {
		at := end + uint32(len(data))
		dir = binary.BigEndian.AppendUint32(put(dir, 0x8769, 4, 1, at), 0)
		second := binary.BigEndian.AppendUint16(nil, 1)
		second = put(second, 0x9004, 2, uint32(len(digitized)+1), at+2+12+4)
		data = append(append(data, binary.BigEndian.AppendUint32(second, 0)...), digitized...)
		data = append(data, 0)
	}
	body := append([]byte("Exif\x00\x00MM\x00*\x00\x00\x00\x08"), append(dir, data...)...)
	return append(binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(body)+2)), body...)
}
