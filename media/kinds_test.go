// Files that are whole and of a kind that is not read: each is told by its name,
// none is called damaged.

package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// beginningsOf are the first bytes of files of other kinds. Where no source stands,
// they were written by ImageMagick 6.9.11 and named by file(1) 5.44.
var beginningsOf = []struct {
	name string
	sort Sort
	kind string
	head string
}{
	{"a.tif", Picture, "BigTIFF", "II\x2b\x00\x08\x00\x00\x00"},
	{"a.tif", Picture, "BigTIFF", "MM\x00\x2b\x00\x08\x00\x00"}, // BigTIFF note: byte offset size 8
	{"a.bmp", Picture, "BMP", "BM\x8a\x77\x01\x00\x00\x00\x00\x00\x8a\x00\x00\x00\x7c\x00\x00\x00\xc8\x00\x00\x00\xa0\x00\x00\x00\x01\x00\x18\x00"},
	{"a.psd", Picture, "PSD", "8BPS\x00\x01\x00\x00\x00\x00\x00\x00\x00\x03\x00\x00\x00\xa0"},
	{"a.jp2", Picture, "JPEG 2000", "\x00\x00\x00\x0cjP  \r\n\x87\n\x00\x00\x00\x14ftypjp2 "},
	{"a.j2k", Picture, "JPEG 2000", "\xff\x4f\xff\x51\x00\x2f\x00\x00"},
	{"a.jxl", Picture, "JPEG XL", "\x00\x00\x00\x0cJXL \r\n\x87\n\x00\x00\x00\x14ftypjxl "}, // ISO/IEC 18181-2, 9.1
	{"a.jxl", Picture, "JPEG XL", "\xff\x0a\xfa\x7f\x01\x90"},                               // libjxl, doc/format_overview.md
	{"a.jxr", Picture, "JPEG XR", "II\xbc\x01\x20\x00\x00\x00"},                             // IANA media type image/jxr
	{"a.ico", Picture, "icon", "\x00\x00\x01\x00\x01\x00\xc8\xa0"},
	{"a.exr", Picture, "OpenEXR", "\x76\x2f\x31\x01\x02\x00\x00\x00"},
	{"a.hdr", Picture, "Radiance HDR", "#?RADIANCE\nFORMAT=32-bit_rle_rgbe\n"},
	{"a.pcx", Picture, "PCX", "\x0a\x05\x01\x08\x00\x00\x00\x00"},
	{"a.fits", Picture, "FITS", "SIMPLE  =                    T"},
	{"a.dds", Picture, "DDS", "DDS \x7c\x00\x00\x00"},
	{"a.mng", Picture, "MNG", "\x8aMNG\r\n\x1a\n\x00\x00\x00\x1cMHDR"},
	{"a.jng", Picture, "JNG", "\x8bJNG\r\n\x1a\n\x00\x00\x00\x10JHDR"},
	{"a.ppm", Picture, "Netpbm", "P6\n200 160\n255\n"},
	{"a.pbm", Picture, "Netpbm", "P4\n200 160\n"},
	{"a.sgi", Picture, "SGI", "\x01\xda\x00\x02\x00\x03"},
	{"a.xpm", Picture, "XPM", "/* XPM */\nstatic char *a[] = {"},
	{"a.xcf", Picture, "XCF", "gimp xcf v011\x00"},
	{"a.dcm", Picture, "DICOM", strings.Repeat("\x00", 128) + "DICM\x02\x00"},
	{"a.heif", Picture, "HEIF with JPEG inside", "\x00\x00\x00\x18ftypmif1\x00\x00\x00\x00mif1jpeg"}, // ISO/IEC 23008-12, H.2
	{"a.heif", Picture, "HEIF with H.264 inside", "\x00\x00\x00\x14ftypavci\x00\x00\x00\x00mif1"},    // E.2
	{"a.svg", Drawing, "SVG", "<?xml version=\"1.0\"?>\n<!-- a hull -->\n<svg xmlns=\"http://www.w3.org/2000/svg\"/>"},
	{"a.svg", Drawing, "SVG", "\xef\xbb\xbf<svg/>"},
	{"a.pdf", Document, "PDF", "%PDF-1.4\n%\xe2\xe3"},
	{"a.eps", Document, "PostScript", "%!PS-Adobe-3.0 EPSF-3.0\n"},
	{"a.crw", Raw, "CRW", "II\x1a\x00\x00\x00HEAPCCDR\x02\x00\x01\x00"}, // CIFF specification 1.0, 2
	{"a.mrw", Raw, "MRW", "\x00MRM\x00\x01\x00\x00\x00PRD"},             // exiftool 12.57, MinoltaRaw.pm
	{"a.x3f", Raw, "X3F", "FOVb\x00\x00\x02\x00"},                       // exiftool 12.57, SigmaRaw.pm
	{"a.avi", Film, "AVI", "RIFF\x00\x10\x00\x00AVI LIST"},              // exiftool 12.57, RIFF.pm
	{"a.mkv", Film, "Matroska", "\x1a\x45\xdf\xa3\x9f\x42"},
	{"a.zip", Archive, "ZIP", "PK\x03\x04\x14\x00"},
	{"a.tar", Archive, "tar", "hull.png" + strings.Repeat("\x00", 249) + "ustar  \x00"},
	{"a.txt", NoPicture, "", "Pilot boat, 1/48"},
	{"a.xml", NoPicture, "", "<?xml version=\"1.0\"?>\n<list/>"},
	{"a.txt", NoPicture, "", "P6 of the kit: the hull"}, // no number behind it
}

func TestKindsThatAreNotRead(t *testing.T) {
	for _, c := range beginningsOf {
		_, err := Read(write(t, c.name, append([]byte(c.head), make([]byte, 600)...)))
		var not *UnsupportedError
		if !errors.As(err, &not) || not.Sort != c.sort || not.Kind != c.kind {
			t.Errorf("%s %.8q: %+v, want %s", c.name, c.head, err, c.kind)
			continue
		}
		said := not.Say("left in the inbox")
		if c.kind != "" && (!strings.Contains(said, c.kind) || c.sort != Film && !strings.Contains(said, "drop")) {
			t.Errorf("%s: %q says neither its kind nor what to do", c.name, said)
		}
	}
}

// tiffOf is a TIFF of 4 by 4 pixels with these tags changed.
func tiffOf(bits, photometric, values, packing, planar, format uint16) []byte {
	fields := []field{
		long(0x0100, 4), long(0x0101, 4), ushort(0x0102, bits), ushort(0x0103, packing), ushort(0x0106, photometric),
		long(0x0111, 8), ushort(0x0115, values), long(0x0116, 4), long(0x0117, 16*uint32(values)*uint32(bits)/8), ushort(0x011c, planar),
	}
	if format != 0 {
		fields = append(fields, ushort(0x0153, format))
	}
	head := binary.LittleEndian.AppendUint32([]byte("II*\x00"), 8+512)
	return append(append(head, make([]byte, 512)...), ifd(8+512, 0, fields...)...)
}

// The numbers are those of TIFF 6.0 and its supplements; ImageMagick and libtiff
// read every one of them.
func TestWholeTIFFsAreNotCalledDamaged(t *testing.T) {
	for _, c := range []struct {
		trait string
		data  []byte
	}{
		{"ink colors", tiffOf(8, 5, 4, 1, 1, 0)},
		{"CIELAB colors", tiffOf(8, 8, 3, 1, 1, 0)},
		{"YCbCr colors", tiffOf(8, 6, 3, 1, 1, 0)},
		{"JPEG packing", tiffOf(8, 6, 3, 7, 1, 0)},
		{"Zstandard packing", tiffOf(8, 2, 3, 50000, 1, 0)},
		{"floating-point values", tiffOf(32, 1, 1, 1, 1, 3)},
		{"signed values", tiffOf(16, 1, 1, 1, 1, 2)},
		{"32 bits a value", tiffOf(32, 1, 1, 1, 1, 1)},
		{"12 bits a value", tiffOf(12, 1, 1, 1, 1, 0)},
		{"colors in planes apart", tiffOf(8, 2, 3, 1, 2, 0)},
	} {
		_, err := Read(write(t, "a.tif", c.data))
		var not *UnsupportedError
		if !errors.As(err, &not) || not.Kind != "TIFF" || not.Trait != c.trait {
			t.Errorf("%v, want TIFF with %s", err, c.trait)
		}
	}
	if _, err := Read(write(t, "a.tif", tiffOf(8, 1, 1, 1, 1, 0))); err != nil {
		t.Errorf("gray: %v", err)
	}
}

// A HEIC that its own library reads and the decoder here does not: the words leave
// open who is to blame, and name the way out.
func TestWholeHEICIsNotCalledDamaged(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("testdata", "packed", "c444.heic"))
	if err != nil {
		t.Fatal(err)
	}
	_, err = decode(bytes.NewReader(data), "heic", DefaultLimits)
	var broken *BrokenError
	if errors.As(err, new(*NoPictureError)) {
		t.Skip("built without the decoder")
	}
	if !errors.As(err, &broken) || broken.Fault != Undecodable || !strings.Contains(err.Error(), "4:4:4") || !strings.Contains(err.Error(), "JPEG") {
		t.Error(err)
	}
}

// Old raw kinds that are built like a TIFF are kept like the others.
func TestOldRawKinds(t *testing.T) {
	for _, end := range []string{"erf", "mef", "mos", "kdc", "dcr", "srf", "3fr"} {
		f, err := Read(write(t, "a."+end, rawTIFF(t, "*\x00")))
		if err != nil || f.Kind != end || f.Height != 800 {
			t.Errorf("%s: %+v, %v", end, f.Kind, err)
		}
	}
}

func FuzzSniff(f *testing.F) {
	for _, c := range beginningsOf {
		f.Add([]byte(c.head))
	}
	f.Add(tiffOf(8, 5, 4, 1, 1, 0))
	f.Fuzz(func(t *testing.T, data []byte) {
		kind, err := sniff(bytes.NewReader(data), "a")
		var not *UnsupportedError
		if (err == nil) == (kind == "") || err != nil && (!errors.As(err, &not) || (not.Kind == "") != (not.Sort == NoPicture)) {
			t.Fatalf("%q, %v", kind, err)
		}
		if kind == "tiff" {
			tiffTrait(bytes.NewReader(data))
			if tiffBlock(bytes.NewReader(data), image.Config{Width: 2, Height: 2}) < 0 {
				t.Fatal("a strip of less than nothing")
			}
		}
	})
}
