// Kinds of files that are known by their first bytes and not read: each is told
// by its name, with what to do about it.

package media

import (
	"bytes"
	"encoding/binary"
	"strings"
)

// known is one kind that is not read.
type known struct {
	sort  Sort
	name  string
	at    int    // where the mark stands
	mark  string // bytes
	again string // further bytes at more, "" = none
	more  int
}

// knownKinds are asked in order. Each mark is that of the kind's own description,
// named behind it; "libmagic" are those that no public description gives, as
// file(1) 5.44 has them.
var knownKinds = []known{
	{sort: Picture, name: "BigTIFF", mark: "II+\x00"},
	// TIFF Technical Note "BigTIFF" (Aware Systems): version 43
	{sort: Picture, name: "BigTIFF", mark: "MM\x00+"},                          // the same
	{sort: Picture, name: "JPEG 2000", mark: "\x00\x00\x00\x0cjP  \r\n\x87\n"}, // ISO/IEC 15444-1, I.5.1
	{sort: Picture, name: "JPEG 2000", mark: "\xff\x4f\xff\x51"},               // ISO/IEC 15444-1, A.4.1, A.5.1
	{sort: Picture, name: "JPEG XL", mark: "\x00\x00\x00\x0cJXL \r\n\x87\n"},   // ISO/IEC 18181-2, 9.1
	{sort: Picture, name: "JPEG XL", mark: "\xff\x0a"},                         // ISO/IEC 18181-2, A
	{sort: Picture, name: "JPEG XR", mark: "II\xbc"},                           // ITU-T T.832, A.5
	{sort: Picture, name: "PSD", mark: "8BPS"},
	// Adobe Photoshop File Formats Specification, "File Header Section"
	{sort: Picture, name: "XCF", mark: "gimp xcf"},
	// developer.gimp.org, "XCF file format", header
	{sort: Picture, name: "OpenEXR", mark: "v/1\x01"},
	// OpenEXR File Layout, "Magic Number": 20000630
	{sort: Picture, name: "Radiance HDR", mark: "#?RADIANCE"},
	// Radiance file formats, "Picture File Format"
	{sort: Picture, name: "Radiance HDR", mark: "#?RGBE"},   // the same, as some programs write it
	{sort: Picture, name: "icon", mark: "\x00\x00\x01\x00"}, // Microsoft, "Icons" (ICONDIR): type 1
	{sort: Picture, name: "QOI", mark: "qoif"},              // qoiformat.org, specification 1.0
	{sort: Picture, name: "PCX", mark: "\x0a\x05\x01"},
	// ZSoft PCX Technical Reference Manual, rev. 5: version 5, RLE
	{sort: Picture, name: "DDS", mark: "DDS "},
	// Microsoft, "Programming Guide for DDS"
	{sort: Picture, name: "FITS", mark: "SIMPLE  ="},        // FITS Standard 4.0, 4.4.1.1
	{sort: Picture, name: "DICOM", at: 128, mark: "DICM"},   // DICOM PS3.10, 7.1
	{sort: Picture, name: "DjVu", mark: "AT&TFORM"},         // DjVu3 specification, 8.1
	{sort: Picture, name: "MNG", mark: "\x8aMNG\r\n\x1a\n"}, // MNG 1.0, 4
	{sort: Picture, name: "JNG", mark: "\x8bJNG\r\n\x1a\n"}, // MNG 1.0, 5 (JNG)
	{sort: Picture, name: "SGI", mark: "\x01\xda"},
	// Silicon Graphics, "The SGI Image File Format" 0.97
	{sort: Picture, name: "Sun raster", mark: "\x59\xa6\x6a\x95"}, // Sun, rasterfile(5)
	{sort: Picture, name: "DPX", mark: "SDPX"},                    // SMPTE 268M
	{sort: Picture, name: "DPX", mark: "XPDS"},                    // the same, low bytes first
	{sort: Picture, name: "Cineon", mark: "\x80\x2a\x5f\xd7"},
	// Kodak, "Cineon Image File Format Draft"
	{sort: Picture, name: "XPM", mark: "/* XPM */"}, // Le Hors, "X PixMap Format", 1993
	{sort: Raw, name: "CRW", mark: "II\x1a\x00\x00\x00HEAPCCDR"},
	// CIFF Image Data File specification 1.0, 2
	{sort: Raw, name: "MRW", mark: "\x00MRM"},    // libmagic
	{sort: Raw, name: "X3F", mark: "FOVb"},       // libmagic
	{sort: Document, name: "PDF", mark: "%PDF-"}, // ISO 32000-1, 7.5.2
	{sort: Document, name: "PostScript", mark: "%!PS"},
	// Adobe, PostScript Language Document Structuring Conventions 3.0, 3
	{sort: Film, name: "Matroska", mark: "\x1a\x45\xdf\xa3"},        // RFC 8794, 11.2.1; RFC 9559
	{sort: Film, name: "AVI", mark: "RIFF", more: 8, again: "AVI "}, // Microsoft, "AVI RIFF File Reference"
	{sort: Film, name: "MPEG", mark: "\x00\x00\x01\xba"},            // ISO/IEC 11172-1, 2.4.3.2
	{sort: Archive, name: "ZIP", mark: "PK\x03\x04"},                // PKWARE APPNOTE.TXT, 4.3.7
	{sort: Archive, name: "7z", mark: "7z\xbc\xaf\x27\x1c"},         // 7-Zip, 7zFormat.txt
	{sort: Archive, name: "RAR", mark: "Rar!\x1a\x07"},              // RARLAB, "RAR 5.0 archive format"
	{sort: Archive, name: "gzip", mark: "\x1f\x8b"},                 // RFC 1952, 2.3.1
	{sort: Archive, name: "tar", at: 257, mark: "ustar"},
	// POSIX.1-2017, pax, "ustar Interchange Format"
}

// unread names a file that begins so and is not read.
func unread(head []byte) *UnsupportedError {
	at := func(i int, mark string) bool { return len(head) >= i && bytes.HasPrefix(head[i:], []byte(mark)) }
	for _, k := range knownKinds {
		if at(k.at, k.mark) && at(k.more, k.again) {
			return &UnsupportedError{Sort: k.sort, Kind: k.name}
		}
	}
	switch {
	case at(0, "BM") && len(head) >= 30 &&
		binary.LittleEndian.Uint32(head[14:]) < 200: // Microsoft, "Bitmap Storage"; the second header says how long it is
		return &UnsupportedError{Sort: Picture, Kind: "BMP"}
	case at(0, "P7\n"), isNetpbm(head): // pam(5)
		return &UnsupportedError{Sort: Picture, Kind: "Netpbm"}
	case isSVG(head):
		return &UnsupportedError{Sort: Drawing, Kind: "SVG"}
	}
	return &UnsupportedError{}
}

// isNetpbm reports whether a file begins with P1 to P6, a space and a number or a
// remark (pbm(5), pgm(5), ppm(5)).
func isNetpbm(head []byte) bool {
	if len(head) < 4 || head[0] != 'P' || head[1] < '1' || head[1] > '6' {
		return false
	}
	rest := bytes.TrimLeft(head[2:], " \t\r\n")
	return len(rest) < len(head)-2 && len(rest) > 0 && (rest[0] == '#' || rest[0] >= '0' && rest[0] <= '9')
}

// isSVG reports whether a text begins with the element svg (W3C, SVG 2, 5.1),
// after what may stand before a root element.
func isSVG(head []byte) bool {
	text := strings.TrimLeft(strings.TrimPrefix(string(head[:min(len(head), 8<<10)]), "\ufeff"), " \t\r\n")
	for _, between := range [][2]string{{"<?xml", "?>"}, {"<!--", "-->"}, {"<!DOCTYPE svg", ">"}} {
		for strings.HasPrefix(text, between[0]) {
			_, rest, ok := strings.Cut(text, between[1])
			if !ok {
				return between[0] == "<!DOCTYPE svg"
			}
			text = strings.TrimLeft(rest, " \t\r\n")
		}
	}
	return strings.HasPrefix(text, "<svg") || strings.HasPrefix(text, "<!DOCTYPE svg")
}
