// Dates in places where few look: texts of a PNG, XMP of a TIFF and in UTF-16, one
// offset for all times. What is read there is what exiftool 12.57 reads of the same
// bytes; where it is installed, it is asked.

package media

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"hash/crc32"
	"image/png"
	"os/exec"
	"strings"
	"testing"
	"unicode/utf16"
)

func pngChunkOf(kind string, body ...string) []byte {
	all := kind + strings.Join(body, "")
	out := binary.BigEndian.AppendUint32(nil, uint32(len(all)-4))
	return binary.BigEndian.AppendUint32(append(out, all...), crc32.ChecksumIEEE([]byte(all)))
}

// pngWith is a PNG with chunks before its pixels, or behind them.
func pngWith(t testing.TB, before, behind []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, picture(6, 4)); err != nil {
		t.Fatal(err)
	}
	const header, end = 8 + 25, 12
	whole := b.Bytes()
	return bytes.Join([][]byte{whole[:header], before, whole[header : len(whole)-end], behind, whole[len(whole)-end:]}, nil)
}

func deflated(text string) string {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	w.Write([]byte(text))
	w.Close()
	return b.String()
}

// profileText is a block as text, in lines of 36 bytes.
func profileText(name, block string) string {
	digits := hex.EncodeToString([]byte(block))
	out := fmt.Sprintf("\n%s\n%8d\n", name, len(block))
	for len(digits) > 0 {
		n := min(72, len(digits))
		out, digits = out+digits[:n]+"\n", digits[n:]
	}
	return out
}

// xmpWith is an XMP packet.
func xmpWith(attributes string) string {
	_, packet, _ := strings.Cut(string(xmpSegment(attributes, "")), "xap/1.0/\x00")
	return packet
}

func inUTF16(order binary.AppendByteOrder, text string) []byte {
	out := order.AppendUint16(nil, 0xfeff)
	for _, u := range utf16.Encode([]rune(text)) {
		out = order.AppendUint16(out, u)
	}
	return out
}

// tiffWithXMP is a gray TIFF with a packet under tag 700.
func tiffWithXMP(typ uint16, packet []byte) []byte {
	head := binary.LittleEndian.AppendUint32([]byte("II*\x00"), 8+16)
	return append(append(head, make([]byte, 16)...), ifd(8+16, 0,
		long(0x0100, 4), long(0x0101, 4), ushort(0x0102, 8), ushort(0x0103, 1), ushort(0x0106, 1),
		long(0x0111, 8), ushort(0x0115, 1), long(0x0116, 4), long(0x0117, 16), field{0x02bc, typ, uint32(len(packet)), packet})...)
}

func TestDatesInOddPlaces(t *testing.T) {
	const when, zoned = "2026:03:14 19:32:05", "2026-03-14T19:32:05+01:00"
	exif := string(block(nil, []field{ascii(0x9003, when)}))
	packet := xmpWith(`photoshop:DateCreated="` + zoned + `"`)
	created := pngChunkOf("tEXt", "Creation Time\x00", "Sat, 14 Mar 2026 19:32:05 +0100")
	for _, c := range []struct {
		name string
		data []byte
		tag  string // of our claim
		want string // its text, and its offset
		ask  string // exiftool's name for it
	}{
		{"EXIF chunk.png", pngWith(t, pngChunkOf("eXIf", exif), nil), "DateTimeOriginal", when, "EXIF:DateTimeOriginal"},
		{"EXIF behind the pixels.png", pngWith(t, nil, pngChunkOf("eXIf", exif)), "DateTimeOriginal", when, "EXIF:DateTimeOriginal"},
		{"EXIF as text.png", pngWith(t, pngChunkOf("tEXt", "Raw profile type exif\x00", profileText("exif", "Exif\x00\x00"+exif)), nil), "DateTimeOriginal", when, "EXIF:DateTimeOriginal"},
		{"EXIF as packed text.png", pngWith(t, nil, pngChunkOf("zTXt", "Raw profile type exif\x00\x00", deflated(profileText("exif", "Exif\x00\x00"+exif)))), "DateTimeOriginal", when, "EXIF:DateTimeOriginal"},
		{"EXIF of a JPEG as text.png", pngWith(t, pngChunkOf("zTXt", "Raw profile type APP1\x00\x00", deflated(profileText("APP1", "Exif\x00\x00"+exif))), nil), "DateTimeOriginal", when, "EXIF:DateTimeOriginal"},
		{"XMP of a JPEG as text.png", pngWith(t, pngChunkOf("zTXt", "Raw profile type APP1\x00\x00", deflated(profileText("APP1", "http://ns.adobe.com/xap/1.0/\x00"+packet))), nil), "XMP photoshop:DateCreated", zoned, "XMP-photoshop:DateCreated"},
		{"XMP as text.png", pngWith(t, pngChunkOf("zTXt", "Raw profile type xmp\x00\x00", deflated(profileText("xmp", packet))), nil), "XMP photoshop:DateCreated", zoned, "XMP-photoshop:DateCreated"},
		{"XMP.png", pngWith(t, pngChunkOf("iTXt", "XML:com.adobe.xmp\x00\x00\x00\x00\x00", packet), nil), "XMP photoshop:DateCreated", zoned, "XMP-photoshop:DateCreated"},
		{"XMP packed.png", pngWith(t, nil, pngChunkOf("iTXt", "XML:com.adobe.xmp\x00\x01\x00\x00\x00", deflated(packet))), "XMP photoshop:DateCreated", zoned, "XMP-photoshop:DateCreated"},
		{"creation time.png", pngWith(t, created, nil), "PNG Creation Time", "Sat, 14 Mar 2026 19:32:05 +0100", "PNG:CreationTime"},
		{"creation time of today's standard.png", pngWith(t, pngChunkOf("iTXt", "Creation Time\x00\x00\x00\x00\x00", zoned), nil), "PNG Creation Time", zoned, "PNG:CreationTime"},
		{"XMP.tif", tiffWithXMP(1, []byte(packet)), "XMP photoshop:DateCreated", zoned, "XMP-photoshop:DateCreated"},
		{"XMP undefined.tif", tiffWithXMP(7, []byte(packet)), "XMP photoshop:DateCreated", zoned, "XMP-photoshop:DateCreated"},
		{"XMP in UTF-16.tif", tiffWithXMP(1, inUTF16(binary.LittleEndian, packet)), "XMP photoshop:DateCreated", zoned, ""}, // exiftool wants a packet header before it,
		{"one offset.jpg", jpegWith(t, picture(6, 4), exifSegment(block(nil, []field{ascii(0x9003, when), ascii(0x9010, "+01:00")}))), "DateTimeOriginal", when + " +01:00", ""},
	} {
		path := write(t, c.name, c.data)
		f, err := Read(path)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got := find(f.Claims, c.tag)
		if said := strings.TrimSpace(got.Text + " " + got.Offset); said != c.want {
			t.Errorf("%s: %q, want %q (%q)", c.name, said, c.want, f.Warn)
		}
		if other, err := exec.Command("exiftool", "-s3", "-"+c.ask, path).Output(); err == nil && c.ask != "" {
			if text := strings.TrimSpace(string(other)); !sameDate(got.Text, text) && text != got.Text {
				t.Errorf("%s: %q, exiftool reads %q", c.name, got.Text, text)
			}
		}
	}
}

func TestXMPFileInUTF16(t *testing.T) {
	const zoned = "2026-03-14T19:32:05+01:00"
	packet := `<?xml version="1.0" encoding="UTF-16"?>` + xmpWith(`xmp:CreateDate="`+zoned+`"`)
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		data := inUTF16(order, packet)
		for _, data := range [][]byte{data, data[2:]} { // with a mark and without
			f, err := ReadXMP(write(t, "a.xmp", data))
			if err != nil || len(f.Claims.List) != 1 || f.Claims.List[0].Text != zoned {
				t.Errorf("%v: %+v, %v", order, f.Claims.List, err)
			}
		}
	}
	if _, err := ReadXMP(write(t, "a.xmp", []byte(`<?xml version="1.0" encoding="latin-1"?>`+xmpWith("")))); faultOf(err) != BadXMP {
		t.Errorf("another alphabet: %v", err)
	}
}

func FuzzPNGTexts(f *testing.F) {
	exif := string(block(nil, []field{ascii(0x9003, "2026:03:14 19:32:05")}))
	f.Add(pngWith(f, pngChunkOf("zTXt", "Raw profile type APP1\x00\x00", deflated(profileText("APP1", "Exif\x00\x00"+exif))), nil))
	f.Add(pngWith(f, pngChunkOf("iTXt", "XML:com.adobe.xmp\x00\x01\x00en\x00XMP\x00", deflated(xmpWith(""))), nil))
	f.Fuzz(func(t *testing.T, data []byte) {
		exif, xmp, created := pngMeta(bytes.NewReader(data), int64(len(data)))
		total := len(exif) + len(created)
		for _, p := range xmp {
			total += len(p)
		}
		if total > 6*maxXMP {
			t.Fatalf("%d bytes of %d", total, len(data))
		}
		parseXMP(bytes.NewReader(data))
	})
}
