// Builds small pictures with chosen metadata, right or hostile, for the tests.

package media

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"
)

// field is one IFD entry to be written.
type field struct {
	tag, typ uint16
	count    uint32
	data     []byte
}

func ascii(tag uint16, s string) field {
	return field{tag, 2, uint32(len(s) + 1), append([]byte(s), 0)}
}

func long(tag uint16, n uint32) field {
	return field{tag, 4, 1, binary.LittleEndian.AppendUint32(nil, n)}
}

func ushort(tag, n uint16) field {
	return field{tag, 3, 1, []byte{byte(n), byte(n >> 8), 0, 0}}
}

// ifd writes one IFD that begins at base, and its longer values behind it.
func ifd(base uint32, next uint32, fields ...field) []byte {
	at := base + 2 + 12*uint32(len(fields)) + 4
	var dir, data []byte
	dir = binary.LittleEndian.AppendUint16(dir, uint16(len(fields)))
	for _, f := range fields {
		dir = binary.LittleEndian.AppendUint16(dir, f.tag)
		dir = binary.LittleEndian.AppendUint16(dir, f.typ)
		dir = binary.LittleEndian.AppendUint32(dir, f.count)
		if len(f.data) <= 4 {
			dir = append(dir, append(bytes.Clone(f.data), 0, 0, 0, 0)[:4]...)
			continue
		}
		dir = binary.LittleEndian.AppendUint32(dir, at+uint32(len(data)))
		data = append(data, f.data...)
	}
	return append(binary.LittleEndian.AppendUint32(dir, next), data...)
}

// block writes a TIFF block with a first IFD and an EXIF IFD.
func block(first, exif []field) []byte {
	head := []byte("II*\x00\x08\x00\x00\x00")
	withPointer := func(at uint32) []byte { return ifd(8, 0, append(append([]field{}, first...), long(0x8769, at))...) }
	at := 8 + uint32(len(withPointer(0)))
	out := append(head, withPointer(at)...)
	return append(out, ifd(at, 0, exif...)...)
}

func app1(body []byte) []byte {
	out := []byte{0xff, 0xe1, byte((len(body) + 2) >> 8), byte(len(body) + 2)}
	return append(out, body...)
}

func exifSegment(block []byte) []byte { return app1(append([]byte("Exif\x00\x00"), block...)) }

func xmpSegment(attributes, inner string) []byte {
	return app1([]byte("http://ns.adobe.com/xap/1.0/\x00" +
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` +
		`<rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:photoshop="http://ns.adobe.com/photoshop/1.0/"` +
		` xmlns:exif="http://ns.adobe.com/exif/1.0/" xmlns:dc="http://purl.org/dc/elements/1.1/" ` + attributes + `>` + inner +
		`</rdf:Description></rdf:RDF></x:xmpmeta>`))
}

// picture is a small picture whose four corners differ, so that any turn shows.
func picture(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.NRGBA{40, 40, 40, 255}
			if x < w/2 {
				c.R = 220
			}
			if y < h/2 {
				c.G = 220
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

// jpegWith is a JPEG with segments put right behind its first marker.
func jpegWith(t testing.TB, img image.Image, segments ...[]byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	out := bytes.Clone(b.Bytes()[:2])
	for _, s := range segments {
		out = append(out, s...)
	}
	return append(out, b.Bytes()[2:]...)
}

func write(t testing.TB, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}
