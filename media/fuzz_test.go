// Fuzz targets, one a parser. Seeds are the sample files of the readers' own
// sources, and small files of our own.

package media

import (
	"bytes"
	"encoding/binary"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// seeds adds the first bytes of the sample files with these endings.
func seeds(f *testing.F, endings ...string) {
	dir := filepath.Join(moduleDir(f, "github.com/bep/imagemeta"), "testdata")
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		for _, end := range endings {
			if strings.HasSuffix(path, end) {
				data, err := os.ReadFile(path)
				if err != nil {
					return err
				}
				f.Add(data[:min(len(data), 32<<10)])
			}
		}
		return nil
	})
	if err != nil {
		f.Fatal(err)
	}
}

func FuzzPictureBox(f *testing.F) {
	seeds(f, ".heic", ".heif", ".avif")
	f.Add(boxed("meta", make([]byte, 4), boxed("iprp", boxed("ipco", boxed("irot", []byte{1}), boxed("colr", []byte("nclx\x00\x0c\x00\x0d"))))))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := readPictureBox(bytes.NewReader(data), int64(len(data)))
		if err == nil {
			if n := p.turn(); n < 1 || n > 8 {
				t.Fatalf("turn %d", n)
			}
			p.exifOf(bytes.NewReader(data))
		}
	})
}

func FuzzPreview(f *testing.F) {
	seeds(f, ".dng", ".nef", ".arw", ".cr2", ".pef")
	f.Add(rawTIFF(f, "*\x00"))
	f.Add(rawCR3(f))
	f.Add(rawRAF(f))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, kind := range []string{"raw", "cr3", "raf"} {
			p, ok, err := findPreview(bytes.NewReader(data), int64(len(data)), kind)
			if ok && err == nil && (p.at < 0 || p.size <= 0 || p.at+p.size > int64(len(data)) || p.width <= 0 || p.height <= 0) {
				t.Fatalf("%s: a preview out of the file: %+v of %d", kind, p, len(data))
			}
		}
		metaCR3(bytes.NewReader(data), int64(len(data)))
	})
}

func FuzzTIFFWalk(f *testing.F) {
	f.Add(block(goodFirst, goodExif))
	f.Add(rawTIFF(f, "*\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, ok := openBlock(data)
		if !ok {
			return
		}
		if list := file.directories(); len(list) > maxDirectories {
			t.Fatalf("%d directories", len(list))
		}
		if _, turn := file.texts(); turn < 0 || turn > 8 {
			t.Fatalf("turn %d", turn)
		}
	})
}

func FuzzXMP(f *testing.F) {
	f.Add([]byte(`<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:subject><rdf:Bag><rdf:li>a</rdf:li></rdf:Bag></dc:subject></rdf:Description></rdf:RDF>`))
	f.Fuzz(func(t *testing.T, data []byte) {
		found, words, _ := parseXMP(bytes.NewReader(data))
		for _, text := range found {
			if text == "" || text != strings.TrimSpace(text) {
				t.Fatalf("%q", text)
			}
		}
		if len(words) > 1000 {
			t.Fatal("too many keywords")
		}
	})
}

// FuzzContainers reads whatever a file says it is, as a whole.
func FuzzContainers(f *testing.F) {
	seeds(f, ".webp", ".png", ".dng", ".avif", ".heic", ".tif")
	f.Add([]byte("GIF89a\x01\x00\x01\x00\x00\x00\x00;"))
	f.Fuzz(func(t *testing.T, data []byte) {
		r := bytes.NewReader(data)
		kind, err := sniff(r, "a")
		if err != nil {
			return
		}
		facts, err := readFacts(r, kind)
		if err == nil && (facts.Turn < 1 || facts.Turn > 8 || !facts.Picture.Any() && facts.Width <= 0) {
			t.Fatalf("%+v", facts)
		}
	})
}

// TestAbsurdClaims are small files that ask for much.
func TestAbsurdClaims(t *testing.T) {
	huge := binary.BigEndian.AppendUint32(nil, 1<<32-1)
	tiles := append(binary.BigEndian.AppendUint16(nil, 1), binary.BigEndian.AppendUint16(nil, 3000)...)
	for i := range 3000 {
		tiles = binary.BigEndian.AppendUint16(tiles, uint16(i+2))
	}
	item := func(kind string) []byte {
		return boxed("infe", []byte{2, 0, 0, 0, 0, 1, 0, 0}, []byte(kind+"\x00"))
	}
	ftyp := boxed("ftyp", []byte("heic\x00\x00\x00\x00mif1heic"))
	// Items that claim 65,535 stretches of no bytes each.
	empty := append([]byte{0, 0, 0, 0, 0, 0, 0xea, 0x60}, bytes.Repeat([]byte{0, 1, 0, 0, 0xff, 0xff}, 60_000)...)
	for name, c := range map[string]struct {
		data []byte
		why  string
	}{
		"pieces":         {append(bytes.Clone(ftyp), boxed("meta", make([]byte, 4), boxed("iloc", empty))...), "pieces"},
		"4 GB box":       {append(bytes.Clone(ftyp), append(bytes.Clone(huge), "meta"...)...), "halfway"},
		"many tiles":     {append(bytes.Clone(ftyp), boxed("meta", make([]byte, 4), boxed("iref", make([]byte, 4), boxed("dimg", tiles)))...), "tiles"},
		"overlay":        {append(bytes.Clone(ftyp), boxed("meta", make([]byte, 4), boxed("iinf", []byte{0, 0, 0, 0, 0, 1}, item("iovl")))...), "overlaid"},
		"no header":      {append(bytes.Clone(ftyp), boxed("mdat", make([]byte, 40))...), "no header"},
		"huge WebP":      {append([]byte("RIFF\x16\x00\x00\x00WEBPVP8X\x0a\x00\x00\x00\x00\x00\x00\x00"), 255, 255, 255, 255, 255, 255), "damaged"},
		"huge GIF":       {[]byte("GIF89a\xff\xff\xff\xff\x00\x00\x00;"), "more than is safe"},
		"preview beyond": {append([]byte("II*\x00\x08\x00\x00\x00"), ifd(8, 0, long(0xc612, 1), long(0x0201, 1<<31), long(0x0202, 1<<31))...), "halfway"},
	} {
		_, err := Read(write(t, "a.jpg", c.data))
		if err == nil || !strings.Contains(err.Error(), c.why) {
			t.Errorf("%s: %v, want a word of %q", name, err, c.why)
		}
	}
	// A file of nothing but beginnings of JPEGs costs little and gives nothing.
	many := append([]byte("II*\x00\x08\x00\x00\x00"), ifd(8, 0, long(0xc612, 1))...)
	many = append(many, bytes.Repeat([]byte("\xff\xd8\xff"), 1<<20)...)
	if f, err := Read(write(t, "a.dng", many)); err != nil || f.Width != 0 {
		t.Errorf("%+v, %v", f, err)
	}
}
