// Pictures that a scanner wrote: when they were scanned is not when they were taken.

package media

import (
	"strings"
	"time"

	"rakelight/journal"
)

// taking is what a file tells of how the picture came to be.
type taking struct {
	exposed bool   // it states an exposure: a camera took it
	source  int64  // FileSource, 0 = not said
	program string // Software
}

// Values of FileSource (Exif 2.3, CIPA DC-008, 4.6.5, tag A300 hex).
const (
	filmScanner  = 1
	printScanner = 2
	camera       = 3
)

// exposures are the tags that only a camera can fill in: ExposureTime, FNumber,
// ISOSpeedRatings, ExposureBiasValue, FocalLength (Exif 2.3, 4.6.5).
var exposures = []uint16{0x829a, 0x829d, 0x8827, 0x9204, 0x920a}

// taking reads what the picture's own IFDs tell.
func (t *tiffFile) taking() (how taking) {
	for _, d := range t.directories() {
		if d.where != "first" && d.where != "exif" {
			continue
		}
		for _, tag := range exposures {
			_, has := d.entries[tag]
			how.exposed = how.exposed || has
		}
		if e, ok := d.entries[0xa300]; ok && e.count == 1 && how.source == 0 {
			how.source = int64(e.value[0]) // one byte, UNDEFINED
		}
		if e, ok := d.entries[0x0131]; ok && e.typ == 2 && how.program == "" {
			how.program = clean(string(t.bytes(e, 200)))
		}
	}
	return how
}

// and adds what another block of the file tells.
func (t *taking) and(o taking) {
	t.exposed = t.exposed || o.exposed
	if t.source == 0 {
		t.source = o.source
	}
	if t.program == "" {
		t.program = o.program
	}
}

// scanned reports whether a scanner wrote the file. Where it does not say so, a
// picture without any exposure is taken for a scan that names a scanner or a program
// for scanning, or tells when it was digitized and not when it was taken (common
// practice of such programs, no source).
func (m *metadata) scanned() bool {
	switch how := m.taking; {
	case how.source == filmScanner || how.source == printScanner:
		return true
	case how.source == camera || how.exposed:
		return false
	default:
		names := strings.ToLower(m.get("Make") + " " + m.get("Model") + " " + how.program)
		return strings.Contains(names, "scan") || m.get("DateTimeDigitized") != "" && m.get("DateTimeOriginal") == ""
	}
}

// ofScanning reports whether a date that a scan states is that of the scanning. One
// that differs from when it was digitized was put in by somebody who knew it.
func (r *reading) ofScanning(c Claims) bool {
	switch r.source {
	case journal.FromName, journal.FromGPS:
		return false
	case "DateTimeDigitized", "DateTime", "XMP xmp:CreateDate":
		return true
	}
	for _, one := range c.List {
		if one.Tag == "DateTimeDigitized" || one.Tag == "DateTime" || one.Tag == "XMP xmp:CreateDate" {
			d, ok := parseDate(one.Text)
			return !ok || d.wall.Sub(r.wall).Abs() < 24*time.Hour
		}
	}
	return false
}
