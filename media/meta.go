// The two readers of metadata, and how their answers become facts. The first
// reader knows all formats; the second keeps sub-seconds as text, so that .025
// does not become .25 and frames of a burst keep their order.

package media

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/bep/imagemeta"
	"github.com/rwcarlsen/goexif/exif"
	"github.com/rwcarlsen/goexif/tiff"
)

// metadata is what the readers found: tag name → text.
type metadata struct {
	first    map[string]string // EXIF of the first reader, names as in the standard
	second   map[string]string // EXIF of the second, nil if it was not asked
	xmp      map[string]string // "exif:DateTimeOriginal", …
	turn     int
	keywords []string
	warn     []string
}

// The standard's names for what the first reader calls otherwise.
var standardName = map[string]string{"ModifyDate": "DateTime", "CreateDate": "DateTimeDigitized"}

// Only these IFDs speak of the picture: the thumbnail's and the
// interoperability IFD reuse the same numbers for other things.
var pictureIFD = map[string]bool{"IFD0": true, "IFD0/ExifIFDP": true, "IFD0/GPSInfoIFD": true}

var xmpPrefix = map[string]string{
	"http://ns.adobe.com/exif/1.0/":      "exif",
	"http://ns.adobe.com/photoshop/1.0/": "photoshop",
	"http://ns.adobe.com/xap/1.0/":       "xmp",
	"http://purl.org/dc/elements/1.1/":   "dc",
}

// read asks the first reader twice, so that an error in the XMP does not cost
// the EXIF.
func (m *metadata) read(f io.ReadSeeker, kind string) {
	m.first, m.xmp = make(map[string]string), make(map[string]string)
	m.decode(f, kind, imagemeta.EXIF|imagemeta.CONFIG, m.exifTag)
	m.decode(f, kind, imagemeta.XMP|imagemeta.CONFIG, m.xmpTag)
}

func (m *metadata) decode(f io.ReadSeeker, kind string, from imagemeta.Source, each imagemeta.HandleTagFunc) {
	defer func() {
		if r := recover(); r != nil {
			m.warn = append(m.warn, fmt.Sprintf("%v could not be read (%v)", from, r))
		}
	}()
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		m.warn = append(m.warn, err.Error())
		return
	}
	format := map[string]imagemeta.ImageFormat{"jpeg": imagemeta.JPEG, "png": imagemeta.PNG, "tiff": imagemeta.TIFF}[kind]
	// No Timeout: the reader would work on in the background with a buffer
	// that has been given back already.
	_, err := imagemeta.Decode(imagemeta.Options{
		R: f, ImageFormat: format, Sources: from,
		ShouldHandleTag: func(imagemeta.TagInfo) bool { return true },
		HandleTag:       each,
		LimitNumTags:    2000,
		LimitTagSize:    4096, // the longest text asked for is a date or a name
	})
	if err != nil {
		m.warn = append(m.warn, fmt.Sprintf("the metadata is damaged (%v)", err))
	}
}

func (m *metadata) exifTag(t imagemeta.TagInfo) error {
	if !pictureIFD[t.Namespace] {
		return nil
	}
	name := t.Tag
	if s, ok := standardName[name]; ok {
		name = s
	}
	if name == "Orientation" {
		if n, ok := t.Value.(uint16); ok && m.turn == 0 {
			m.turn = int(n)
		}
		return nil
	}
	if strings.HasPrefix(name, "SubSec") {
		return nil // a number here: 025 and 25 are the same to this reader
	}
	if text, ok := t.Value.(string); ok && m.first[name] == "" {
		m.first[name] = clean(text)
	}
	return nil
}

func (m *metadata) xmpTag(t imagemeta.TagInfo) error {
	prefix, ok := xmpPrefix[t.Namespace]
	if !ok {
		return nil
	}
	// The reader may give the name with or without its first capital.
	name := prefix + ":" + strings.ToUpper(t.Tag[:min(1, len(t.Tag))]) + t.Tag[min(1, len(t.Tag)):]
	switch v := t.Value.(type) {
	case string:
		if name == "dc:Subject" {
			m.keywords = append(m.keywords, clean(v))
		} else if m.xmp[name] == "" {
			m.xmp[name] = clean(v)
		}
	case []string:
		if name == "dc:Subject" {
			for _, one := range v {
				m.keywords = append(m.keywords, clean(one))
			}
		}
	}
	return nil
}

// clean cuts at the first NUL and trims: the first reader glues on what
// follows the end of a text.
func clean(text string) string {
	text, _, _ = strings.Cut(text, "\x00")
	return strings.TrimSpace(strings.ToValidUTF8(text, "�"))
}

// secondOpinion asks the second reader, if the walk lets the block pass.
func secondOpinion(block []byte) (found map[string]string) {
	if !walk(block) {
		return nil
	}
	defer func() {
		if recover() != nil { // it costs the second opinion only
			found = nil
		}
	}()
	x, err := exif.Decode(bytes.NewReader(block))
	if x == nil || err != nil && exif.IsCriticalError(err) {
		return nil
	}
	found = make(map[string]string)
	for _, name := range []exif.FieldName{
		exif.Make, exif.Model, exif.DateTime, exif.DateTimeOriginal, exif.DateTimeDigitized,
		exif.SubSecTime, exif.SubSecTimeOriginal, exif.SubSecTimeDigitized, exif.GPSDateStamp,
	} {
		if tag, err := x.Get(name); err == nil && tag.Format() == tiff.StringVal {
			if text, err := tag.StringVal(); err == nil {
				found[string(name)] = clean(text)
			}
		}
	}
	offsets(x, found)
	return found
}

// offsets reads the tags this reader does not know, from the EXIF IFD's own
// bytes.
func offsets(x *exif.Exif, found map[string]string) {
	pointer, err := x.Get(exif.ExifIFDPointer)
	if err != nil || pointer.Count == 0 {
		return
	}
	at, err := pointer.Int64(0)
	if err != nil || at < 0 || at >= int64(len(x.Raw)) {
		return
	}
	r := bytes.NewReader(x.Raw)
	if _, err := r.Seek(at, io.SeekStart); err != nil {
		return
	}
	order := binary.ByteOrder(binary.BigEndian)
	if x.Tiff != nil {
		order = x.Tiff.Order
	}
	dir, _, err := tiff.DecodeDir(r, order)
	if err != nil {
		return
	}
	names := map[uint16]string{0x9010: "OffsetTime", 0x9011: "OffsetTimeOriginal", 0x9012: "OffsetTimeDigitized"}
	for _, tag := range dir.Tags {
		if name := names[tag.Id]; name != "" && tag.Format() == tiff.StringVal {
			if text, err := tag.StringVal(); err == nil {
				found[name] = clean(text)
			}
		}
	}
}

// get is the first reader's answer, or the second's where it has none.
func (m *metadata) get(name string) string {
	if s := m.first[name]; s != "" {
		return s
	}
	return m.second[name]
}

// fill turns what was found into facts.
func (m *metadata) fill(f *Facts) {
	f.Warn, f.Keywords = m.warn, m.keywords
	if m.turn >= 1 && m.turn <= 8 {
		f.Turn = m.turn
	}
	f.Camera.Make, f.Camera.Model, f.Camera.Serial = m.get("Make"), m.get("Model"), m.get("SerialNumber")
	for _, t := range []struct{ date, sub, offset string }{
		{"DateTimeOriginal", "SubSecTimeOriginal", "OffsetTimeOriginal"},
		{"DateTimeDigitized", "SubSecTimeDigitized", "OffsetTimeDigitized"},
		{"DateTime", "SubSecTime", "OffsetTime"},
	} {
		text := m.get(t.date)
		if text == "" {
			continue
		}
		if other := m.second[t.date]; other != "" && other != text {
			f.Warn = append(f.Warn, fmt.Sprintf("two readings of %s: %q and %q", t.date, text, other))
		}
		f.Claims.List = append(f.Claims.List, Claim{Tag: t.date, Text: text, SubSec: m.second[t.sub], Offset: m.get(t.offset)})
	}
	for _, t := range []struct{ tag, name string }{
		{"XMP exif:DateTimeOriginal", "exif:DateTimeOriginal"},
		{"XMP photoshop:DateCreated", "photoshop:DateCreated"},
		{"XMP xmp:CreateDate", "xmp:CreateDate"},
	} {
		if text := m.xmp[t.name]; text != "" {
			f.Claims.List = append(f.Claims.List, Claim{Tag: t.tag, Text: text})
		}
	}
	if day, clock := m.get("GPSDateStamp"), m.first["GPSTimeStamp"]; day != "" && clock != "" {
		text := day + " " + clock
		f.Claims.List = append(f.Claims.List, Claim{Tag: "GPS", Text: text})
		if d, ok := parseDate(text); ok && d.clock {
			f.Claims.GPS = d.wall.Add(fraction(d.sub)).In(time.UTC)
		}
	}
}
