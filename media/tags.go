// This file reads the metadata of a picture: one reader for all formats, and
// for JPEG a second one behind a guard.

package media

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/bep/imagemeta"
	"github.com/rwcarlsen/goexif/exif"

	"rakelight/journal"
)

// timeTags are the time stamps that are collected, with the tags that hold
// their fraction and offset.
var timeTags = []struct{ name, sub, offset string }{
	{"DateTimeOriginal", "SubSecTimeOriginal", "OffsetTimeOriginal"},
	{"DateTimeDigitized", "SubSecTimeDigitized", "OffsetTimeDigitized"},
	{"DateTime", "SubSecTime", "OffsetTime"},
}

// otherNames are names under which the first reader knows some tags.
var otherNames = map[string]string{"CreateDate": "DateTimeDigitized", "ModifyDate": "DateTime"}

// readTags fills in what the metadata says. What cannot be read is left out:
// the picture is there, only less is known of it.
func readTags(f *Facts, data []byte) {
	tags := map[string]string{}
	var gps [2]string
	format := map[string]imagemeta.ImageFormat{"jpeg": imagemeta.JPEG, "png": imagemeta.PNG, "tiff": imagemeta.TIFF}[f.Kind]
	guarded(func() {
		_, _ = imagemeta.Decode(imagemeta.Options{ // an error ends the reading; the tags before it count
			R: bytes.NewReader(data), ImageFormat: format, Sources: imagemeta.EXIF | imagemeta.XMP,
			ShouldHandleTag: func(imagemeta.TagInfo) bool { return true },
			LimitNumTags:    2000, LimitTagSize: 4096,
			HandleTag: func(t imagemeta.TagInfo) error {
				if t.Source == imagemeta.XMP {
					f.xmp(t)
					return nil
				}
				if strings.Contains(t.Namespace, "IFD1") {
					return nil // the thumbnail's own tags
				}
				name := t.Tag
				if other := otherNames[name]; other != "" {
					name = other
				}
				switch name {
				case "GPSDateStamp":
					gps[0] = fmt.Sprint(t.Value)
				case "GPSTimeStamp":
					gps[1] = fmt.Sprint(t.Value)
				}
				if text := cleanText(fmt.Sprint(t.Value)); text != "" && tags[name] == "" {
					tags[name] = text
				}
				return nil
			},
		})
	})
	if f.Kind == "jpeg" {
		guarded(func() { second(tags, data) })
	}
	f.Camera = journal.Camera{Make: tags["Make"], Model: tags["Model"], Serial: tags["BodySerialNumber"]}
	if f.Camera.Serial == "" {
		f.Camera.Serial = tags["SerialNumber"]
	}
	if n, err := strconv.Atoi(tags["Orientation"]); err == nil && n >= 1 && n <= 8 {
		f.Turn = n
	}
	for _, t := range timeTags {
		if tags[t.name] != "" {
			f.Claims.List = append(f.Claims.List, Claim{Tag: t.name, Text: tags[t.name], SubSec: tags["text "+t.sub], Offset: tags[t.offset]})
		}
	}
	f.Claims.GPS = gpsInstant(gps[0], gps[1])
}

// guarded keeps a panic in a reader from costing more than that reader's tags.
func guarded(read func()) {
	defer func() { _ = recover() }()
	read()
}

// xmp notes a date or the keywords of an XMP block.
func (f *Facts) xmp(t imagemeta.TagInfo) {
	switch {
	case strings.EqualFold(t.Tag, "DateTimeOriginal"), strings.EqualFold(t.Tag, "DateCreated"), strings.EqualFold(t.Tag, "CreateDate"):
		f.Claims.List = append(f.Claims.List, Claim{Tag: "XMP " + t.Tag, Text: cleanText(fmt.Sprint(t.Value))})
	case strings.EqualFold(t.Tag, "Subject"):
		switch v := t.Value.(type) {
		case string:
			f.Keywords = append(f.Keywords, v)
		case []string:
			f.Keywords = append(f.Keywords, v...)
		}
	}
}

// cleanText cuts at the first NUL and trims blanks.
func cleanText(s string) string {
	s, _, _ = strings.Cut(s, "\x00")
	return strings.TrimSpace(s)
}

// second reads the EXIF block with another reader: it keeps fractions of a
// second as text ("025" is not 25), and fills in what the first one missed.
func second(tags map[string]string, data []byte) {
	block := exifBlock(data)
	if block == nil || !walkable(block) {
		return
	}
	x, err := exif.Decode(bytes.NewReader(block))
	if err != nil && exif.IsCriticalError(err) {
		return
	}
	get := func(name exif.FieldName) string {
		tag, err := x.Get(name)
		if err != nil {
			return ""
		}
		s, err := tag.StringVal()
		if err != nil {
			return ""
		}
		return cleanText(s)
	}
	for _, t := range timeTags {
		tags["text "+t.sub] = get(exif.FieldName(t.sub))
		if tags[t.name] == "" {
			tags[t.name] = get(exif.FieldName(t.name))
		}
	}
	for _, name := range []exif.FieldName{exif.Make, exif.Model} {
		if tags[string(name)] == "" {
			tags[string(name)] = get(name)
		}
	}
	if tags["Orientation"] == "" {
		if tag, err := x.Get(exif.Orientation); err == nil {
			if n, err := tag.Int(0); err == nil {
				tags["Orientation"] = strconv.Itoa(n)
			}
		}
	}
}

// exifBlock finds the EXIF block of a JPEG, whatever segments come before it.
func exifBlock(data []byte) []byte {
	for i := 2; i+4 <= len(data) && data[i] == 0xff; {
		marker := data[i+1]
		if marker == 0xda || marker == 0xd9 {
			return nil
		}
		size := int(binary.BigEndian.Uint16(data[i+2:]))
		if size < 2 || i+2+size > len(data) {
			return nil
		}
		body := data[i+4 : i+2+size]
		if marker == 0xe1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")) {
			return body[6:]
		}
		i += 2 + size
	}
	return nil
}

// maxEntries is more than any camera writes into one directory.
const maxEntries = 1000

// walkable looks that a TIFF block has no directory loop and that every value
// lies inside it. The second reader loops for ever on the one and asks for
// gigabytes on the other.
func walkable(b []byte) bool {
	if len(b) < 8 {
		return false
	}
	var order binary.ByteOrder = binary.LittleEndian
	if b[0] == 'M' {
		order = binary.BigEndian
	}
	sizes := []uint64{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8}
	seen := map[uint32]bool{}
	queue := []uint32{order.Uint32(b[4:])}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		if at == 0 {
			continue
		}
		if seen[at] || uint64(at)+2 > uint64(len(b)) {
			return false
		}
		seen[at] = true
		n := int(order.Uint16(b[at:]))
		end := uint64(at) + 2 + uint64(n)*12
		if n > maxEntries || end+4 > uint64(len(b)) {
			return false
		}
		for i := range n {
			e := b[int(at)+2+12*i:]
			tag, typ, count := order.Uint16(e), order.Uint16(e[2:]), order.Uint32(e[4:])
			if int(typ) >= len(sizes) || typ == 0 || count == 0 {
				return false
			}
			size := sizes[typ] * uint64(count)
			if size > 4 && uint64(order.Uint32(e[8:]))+size > uint64(len(b)) {
				return false
			}
			if tag == 0x8769 || tag == 0x8825 || tag == 0xa005 {
				queue = append(queue, order.Uint32(e[8:]))
			}
		}
		queue = append(queue, order.Uint32(b[end:]))
	}
	return true
}

// gpsInstant joins the GPS date and time of day, which are in UTC.
func gpsInstant(date, clock string) time.Time {
	day, err := time.Parse("2006:01:02", strings.ReplaceAll(cleanText(date), "-", ":"))
	if err != nil {
		return time.Time{}
	}
	parts := strings.FieldsFunc(clock, func(r rune) bool { return r == ':' || r == ' ' || r == '[' || r == ']' || r == ',' })
	if len(parts) != 3 {
		return time.Time{}
	}
	var secs float64
	for _, p := range parts {
		v, err := rational(p)
		if err != nil {
			return time.Time{}
		}
		secs = secs*60 + v
	}
	if secs < 0 || secs >= 24*3600 {
		return time.Time{}
	}
	return day.Add(time.Duration(secs * float64(time.Second)))
}

func rational(s string) (float64, error) {
	top, bottom, has := strings.Cut(s, "/")
	a, err := strconv.ParseFloat(top, 64)
	if err != nil || !has {
		return a, err
	}
	b, err := strconv.ParseFloat(bottom, 64)
	if err != nil || b == 0 {
		return 0, fmt.Errorf("%q is no number", s)
	}
	return a / b, nil
}
