// Reading files: kinds, facts, hostile metadata, damage, bombs.

package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/image/tiff"
)

var goodExif = []field{
	ascii(0x9003, "2026:03:14 19:32:05"), ascii(0x9011, "+01:00"), ascii(0x9291, "025"), ascii(0xa431, "77-1"),
}

var goodFirst = []field{ascii(0x010f, "Tarrow"), ascii(0x0110, "T-24"), ushort(0x0112, 6), ascii(0x0132, "2026:03:15 08:00:00")}

func find(c Claims, tag string) Claim {
	for _, one := range c.List {
		if one.Tag == tag {
			return one
		}
	}
	return Claim{}
}

func TestReadFacts(t *testing.T) {
	exif := exifSegment(block(goodFirst, goodExif))
	xmp := xmpSegment(`xmp:CreateDate="2026-03-14" photoshop:DateCreated="2026-03-14T19:32:05+01:00"`,
		`<dc:subject><rdf:Bag><rdf:li>pilot-boat</rdf:li><rdf:li>clean</rdf:li></rdf:Bag></dc:subject>`)
	for name, segments := range map[string][][]byte{"exif first": {exif, xmp}, "xmp first": {xmp, exif}} {
		t.Run(name, func(t *testing.T) {
			f, err := Read(write(t, "no date.bin", jpegWith(t, picture(40, 20), segments...)))
			if err != nil {
				t.Fatal(err)
			}
			if f.Kind != "jpeg" || f.Turn != 6 || f.Width != 20 || f.Height != 40 || len(f.Hash) != 64 || f.Size == 0 {
				t.Errorf("facts %+v", f)
			}
			if f.Camera.Make != "Tarrow" || f.Camera.Model != "T-24" || f.Camera.Serial != "77-1" {
				t.Errorf("camera %+v", f.Camera)
			}
			want := Claim{"DateTimeOriginal", "2026:03:14 19:32:05", "025", "+01:00"}
			if got := find(f.Claims, want.Tag); got != want {
				t.Errorf("claim %+v, want %+v", got, want)
			}
			if got := find(f.Claims, "DateTime").Text; got != "2026:03:15 08:00:00" {
				t.Errorf("DateTime %q", got)
			}
			if got := find(f.Claims, "XMP xmp:CreateDate").Text; got != "2026-03-14" {
				t.Errorf("xmp date %q", got)
			}
			if strings.Join(f.Keywords, ",") != "pilot-boat,clean" {
				t.Errorf("keywords %q", f.Keywords)
			}
		})
	}
}

func TestHostileExif(t *testing.T) {
	loop := append([]byte("II*\x00\x08\x00\x00\x00"), ifd(8, 26, ushort(0x0112, 1))...)
	loop = append(loop, ifd(26, 8, ushort(0x0112, 1))...)
	cases := map[string]struct {
		block   []byte
		refused bool // by the walk before the second reader
		date    bool // found all the same
	}{
		"good":                {block(goodFirst, goodExif), false, true},
		"two IFDs in a loop":  {loop, true, false},
		"count wraps around":  {block(goodFirst, []field{{0x9003, 4, 1<<30 + 1, []byte{1, 0, 0, 0}}, goodExif[1]}), true, false},
		"empty tag":           {block(goodFirst, append([]field{{0x9000, 7, 0, nil}}, goodExif...)), true, true},
		"value past the end":  {block(goodFirst, append(append([]field{}, goodExif...), field{0xa432, 2, 4000, []byte{0xff, 0xff, 0, 0}})), true, true},
		"cut within a header": {[]byte("II*\x00\x08"), true, false},
	}
	for name, c := range cases {
		t.Run(name, func(t *testing.T) {
			if walk(c.block) == c.refused {
				t.Errorf("walk passes = %v", !c.refused)
			}
			f, err := Read(write(t, "a.jpg", jpegWith(t, picture(8, 8), exifSegment(c.block))))
			if err != nil {
				t.Fatal(err)
			}
			if got := find(f.Claims, "DateTimeOriginal").Text == "2026:03:14 19:32:05"; got != c.date {
				t.Errorf("date found = %v, warnings %q", got, f.Warn)
			}
		})
	}
	many := append([]byte("II*\x00\x08\x00\x00\x00"), make([]byte, 2+12*1200+4)...)
	binary.LittleEndian.PutUint16(many[8:], 1200)
	for i := range 1200 {
		copy(many[10+12*i:], []byte{0x12, 1, 3, 0, 1, 0, 0, 0})
	}
	if walk(many) {
		t.Error("a block of 1200 entries passes")
	}
}

func TestKinds(t *testing.T) {
	var p, tf bytes.Buffer
	if err := png.Encode(&p, picture(6, 4)); err != nil {
		t.Fatal(err)
	}
	if err := tiff.Encode(&tf, picture(6, 4), nil); err != nil {
		t.Fatal(err)
	}
	box := func(brands string) []byte {
		b := binary.BigEndian.AppendUint32(nil, uint32(8+len(brands)))
		return append(append(b, "ftyp"...), brands...)
	}
	for _, c := range []struct {
		name string
		data []byte
		kind string // read, or "" …
		not  string // … of this unsupported kind, "none" = no picture
	}{
		{"a.heic", jpegWith(t, picture(6, 4)), "jpeg", ""},
		{"a.jpg", p.Bytes(), "png", ""},
		{"a.txt", tf.Bytes(), "tiff", ""},
		{"a.jpg", box("jp2 \x00\x00\x00\x00jp2 "), "", "JPEG 2000"},
		{"a.jpg", []byte("a shopping list"), "", "none"},
	} {
		f, err := Read(write(t, c.name, c.data))
		var un *UnsupportedError
		switch {
		case c.kind != "":
			if err != nil || f.Kind != c.kind || f.Width != 6 || f.Height != 4 {
				t.Errorf("%s: %+v, %v; want %s", c.name, f, err, c.kind)
			}
		case !errors.As(err, &un), un.Kind != strings.TrimSuffix(c.not, "none"):
			t.Errorf("%s: %v, want unsupported %s", c.name, err, c.not)
		}
	}
	if got := (&UnsupportedError{Sort: Film, Kind: "AVI"}).Say("left untouched"); got != "not yet: AVI clips are left untouched" {
		t.Error(got)
	}
}

// pngHeader is a PNG that claims a size and has no pixels.
func pngHeader(w, h uint32) []byte {
	chunk := append([]byte("IHDR"), binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, w), h)...)
	chunk = append(chunk, 8, 2, 0, 0, 0)
	out := append([]byte("\x89PNG\r\n\x1a\n"), 0, 0, 0, 13)
	out = append(out, chunk...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(chunk))
}

func TestBombsAndDamage(t *testing.T) {
	whole := jpegWith(t, picture(200, 100))
	for _, c := range []struct {
		name string
		data []byte
		cut  bool
		why  string
	}{
		{"bomb", pngHeader(40000, 40000), false, "more than is safe"},
		{"wide bomb", pngHeader(30001, 10), false, "more than is safe"},
		{"many pixels", pngHeader(12000, 11000), false, "more than is safe"},
		{"cut", whole[:len(whole)/2], true, "ends halfway"},
		{"no end", whole[:len(whole)-2], true, "ends halfway"},
		{"tail of zeros", append(bytes.Clone(whole[:len(whole)/2]), make([]byte, 5000)...), true, "ends halfway"},
		{"only a header", pngHeader(10, 10), true, "ends halfway"},
		{"empty", nil, true, "empty"},
	} {
		_, err := Read(write(t, "a.jpg", c.data))
		var broken *BrokenError
		if !errors.As(err, &broken) || broken.Cut != c.cut || !strings.Contains(broken.Error(), c.why) {
			t.Errorf("%s: %v (%+v)", c.name, err, broken)
		}
	}
	// Behind the end there may be anything: telephones append films.
	if _, err := Read(write(t, "a.jpg", append(bytes.Clone(whole), "more"...))); err != nil {
		t.Error(err)
	}
}

func TestEveryCutIsFound(t *testing.T) {
	whole := jpegWith(t, picture(40, 40), exifSegment(block(goodFirst, goodExif)))
	dir := t.TempDir()
	for n := 1; n < len(whole); n += 7 {
		path := filepath.Join(dir, "a.jpg")
		if err := os.WriteFile(path, whole[:n], 0o644); err != nil {
			t.Fatal(err)
		}
		if f, err := Read(path); err == nil || f.Hash != "" {
			t.Fatalf("cut at %d of %d: read as %+v", n, len(whole), f)
		}
	}
}

func FuzzFacts(f *testing.F) {
	for _, path := range samples(f) {
		data, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data[:min(len(data), 64<<10)])
	}
	f.Add(exifSegment(block(goodFirst, goodExif)))
	f.Fuzz(func(t *testing.T, data []byte) {
		r := bytes.NewReader(data)
		kind, err := sniff(r, "a")
		if err != nil {
			return
		}
		got, err := readFacts(r, kind)
		if err != nil {
			if got.Kind != "" || got.Claims.List != nil {
				t.Fatalf("an error and facts: %+v", got)
			}
			return
		}
		if got.Turn < 1 || got.Turn > 8 || got.Width <= 0 || got.Height <= 0 {
			t.Fatalf("facts %+v", got)
		}
		for _, c := range got.Claims.List {
			if strings.ContainsRune(c.Text, 0) || c.Text != strings.TrimSpace(c.Text) {
				t.Fatalf("claim %q", c.Text)
			}
		}
	})
}
