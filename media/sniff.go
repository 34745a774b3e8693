// What kind of file the first bytes say it is. Names lie: telephones send HEIC
// as .jpg, and raw pictures begin like a TIFF.

package media

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"io"
	"path/filepath"
	"slices"
	"strings"
)

// sniff returns "jpeg", "png", "tiff", "gif", "webp", "heic", "avif", "mp4", "mov"
// or one of rawKinds, or an *UnsupportedError. The path is only asked where the bytes of
// a raw picture and a TIFF do not differ.
func sniff(f io.ReadSeeker, path string) (string, error) {
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return "", err
	}
	// The first IFD of a raw picture lies within the first 64 KB.
	head, err := io.ReadAll(io.LimitReader(f, 64<<10))
	if err != nil {
		return "", err
	}
	starts := func(s string) bool { return bytes.HasPrefix(head, []byte(s)) }
	switch {
	case starts("\xff\xd8\xff"):
		return "jpeg", nil
	case starts("\x89PNG\r\n\x1a\n"):
		return "png", nil
	case starts("II*\x00"), starts("MM\x00*"):
		if raw := rawKind(head, path); raw != "" {
			return raw, nil
		}
		return "tiff", nil
	case starts("GIF87a"), starts("GIF89a"):
		return "gif", nil
	case starts("RIFF") && len(head) >= 12 && string(head[8:12]) == "WEBP":
		return "webp", nil
	case starts("IIRO"), starts("IIRS"), starts("MMOR"):
		return "orf", nil
	case starts("IIU\x00"):
		return "rw2", nil
	case starts("FUJIFILMCCD-RAW"):
		return "raf", nil
	case len(head) >= 12 && string(head[4:8]) == "ftyp":
		kind := boxKind(head)
		if kind == strings.ToLower(kind) {
			return kind, nil
		}
		return "", &UnsupportedError{Sort: boxSorts[kind], Kind: kind}
	case isOldMovie(head):
		return "mov", nil
	}
	return "", unread(head)
}

// boxSorts is what the kinds of boxes are that are not read.
var boxSorts = map[string]Sort{"JPEG 2000": Picture, "JPEG XL": Picture,
	"HEIF with JPEG inside": Picture, "HEIF with H.264 inside": Picture, "HEIF with VVC inside": Picture}

// boxKind names a file made of boxes by its brands, the major one first: in
// small letters what is read, in capitals what is not.
func boxKind(head []byte) string {
	size := min(int(binary.BigEndian.Uint32(head)), len(head), 256)
	brands := []string{string(head[8:12])}
	for at := 16; at+4 <= size; at += 4 {
		brands = append(brands, string(head[at:at+4]))
	}
	for i, b := range brands {
		switch b {
		case "avif", "avis":
			return "avif"
		case "heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1":
			// A general picture brand may stand before the one that says more.
			if slices.Contains(brands, "avif") {
				return "avif"
			}
			if b == "mif1" || b == "msf1" {
				if other := generalKind(brands); other != "" {
					return other
				}
			}
			return "heic"
		case "crx ":
			return "cr3"
		case "qt  ":
			if i == 0 { // many an MP4 lists it among those it goes with
				return "mov"
			}
		case "jp2 ", "jpx ", "jph ": // ISO/IEC 15444
			return "JPEG 2000"
		case "jxl ": // ISO/IEC 18181-2
			return "JPEG XL"
		case "jpeg", "jpgs": // ISO/IEC 23008-12, annex H
			return "HEIF with JPEG inside"
		case "avci", "avcs": // annex E
			return "HEIF with H.264 inside"
		case "vvic", "vvis": // annex L
			return "HEIF with VVC inside"
		}
	}
	return "mp4"
}

// isOldMovie reports whether a file begins as QuickTime movies did before there
// were brands: with one of their boxes (QuickTime File Format, "Movie atoms",
// "Free space atoms", "Preview atoms").
func isOldMovie(head []byte) bool {
	if len(head) < 16 {
		return false
	}
	size := binary.BigEndian.Uint32(head)
	switch string(head[4:8]) {
	case "moov", "pnot":
		return size > 8
	case "mdat":
		return size > 8 || size < 2
	case "wide", "skip", "free":
		return size >= 8 && size < 1<<16
	}
	return false
}

// generalKind is the kind of a file of a general picture brand that is not HEIC,
// "" if it is.
func generalKind(brands []string) string {
	for _, b := range brands {
		switch b {
		case "heic", "heix", "heim", "heis", "hevc", "hevx":
			return ""
		}
	}
	for _, b := range brands {
		switch b {
		case "jpeg", "jpgs":
			return "HEIF with JPEG inside"
		case "avci", "avcs":
			return "HEIF with H.264 inside"
		case "vvic", "vvis":
			return "HEIF with VVC inside"
		}
	}
	return ""
}

// rawKind tells a raw picture from a TIFF by what its first IFD says, and
// returns "" for a TIFF.
func rawKind(head []byte, path string) string {
	if len(head) >= 10 && string(head[8:10]) == "CR" {
		return "cr2"
	}
	named := strings.TrimPrefix(strings.ToLower(filepath.Ext(path)), ".")
	if !rawKinds[named] {
		named = ""
	}
	if len(head) < 8 {
		return named // too short to say more; it will be found cut
	}
	order := byteOrder(head)
	first, _, ok := readIFD(head, order, int64(order.Uint32(head[4:])))
	if !ok {
		return named
	}
	found := make(map[uint16]uint32)
	for _, e := range first {
		found[e.tag] = e.short(order)
	}
	const (
		subfileType, compression, photometric = 0x00fe, 0x0103, 0x0106
		subIFDs, cfaPattern, dngVersion       = 0x014a, 0x828e, 0xc612
	)
	_, dng := found[dngVersion]
	_, cfa := found[cfaPattern]
	_, sub := found[subIFDs]
	packed := map[uint32]string{34713: "nef", 32767: "arw", 65535: "pef"}[found[compression]]
	switch {
	case dng:
		return "dng"
	case packed != "":
		return cmp.Or(named, packed)
	case cfa, found[photometric] == 32803, found[photometric] == 34892:
		return cmp.Or(named, "raw")
	case sub && found[subfileType]&1 == 1:
		// The first IFD is only a preview and the picture hides in a sub-IFD:
		// no scanner or editor writes a TIFF so, raw pictures do.
		return cmp.Or(named, "raw")
	}
	return named
}
