// The two readers of metadata, and how their answers become facts. The first
// reader knows all formats; the second keeps sub-seconds as text, so that .025
// does not become .25 and frames of a burst keep their order.

package media

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"github.com/bep/imagemeta"
	"github.com/rwcarlsen/goexif/exif"
	"github.com/rwcarlsen/goexif/tiff"
)

// metadata is what the readers found: tag name → text.
type metadata struct {
	first    map[string]string // EXIF of the first reader, names as in the standard
	second   map[string]string // EXIF of the second; what it did not see, of our own walk
	xmp      map[string]string // "exif:DateTimeOriginal", …
	iptc     map[string]string // "DateCreated", …
	created  string            // the creation time a PNG states as text
	turn     int
	taking   taking
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

// readAll asks all readers for what they know of the kind.
func (m *metadata) readAll(f file, size int64, kind string) error {
	if kind == "raf" {
		// Its metadata is that of the JPEG inside, whether that can be shown or not.
		list, err := previewsRAF(f, size)
		if err != nil {
			return err
		}
		f, size, kind = io.NewSectionReader(f, list[0].At, list[0].Size), list[0].Size, "jpeg"
	}
	m.second = make(map[string]string)
	var source io.ReadSeeker = f
	switch kind {
	case "png":
		m.block(pngChunk(f, size, "eXIf"), true)
	case "jpeg":
		head, err := head(f)
		if err != nil {
			return err
		}
		// The library asks for the last bytes with a seek: a reader over the
		// head answers as if the file ended there.
		source = bytes.NewReader(head)
		m.block(exifBlock(head), true)
	case "webp":
		// Some writers put the name a JPEG needs before it.
		m.block(bytes.TrimPrefix(webpChunk(f, size, "EXIF"), []byte("Exif\x00\x00")), true)
	case "heic", "avif":
		if p, err := readPictureBox(f, size); err == nil {
			m.block(p.exifOf(f), true)
			m.turn = 1
			if kind == "avif" {
				m.turn = p.turn()
			}
		}
	case "cr3":
		for _, b := range metaCR3(f, size) {
			m.block(b, false)
		}
		for name, text := range m.second {
			m.first[name] = text
		}
		return nil
	case "gif":
		return nil // it has none
	default:
		if t, ok := openTIFF(f, size); ok {
			m.own(t)
		}
		// Some raw kinds write another number where a TIFF has 42.
		source = &asTIFF{file: f}
	}
	m.read(source, kind)
	if kind == "png" {
		// The first reader looks for none there.
		return m.pngTexts(f, size)
	}
	if t, ok := openTIFF(f, size); ok && len(m.xmp) == 0 {
		return m.packet(bytes.NewReader(t.xmp())) // where the first reader does not look for it
	}
	return nil
}

// pngTexts reads what the texts of a PNG hold. A block of EXIF in hex is asked
// after the chunk made for it.
func (m *metadata) pngTexts(f file, size int64) error {
	exif, packets, created := pngMeta(f, size)
	m.block(exif, true)
	m.created = created
	for _, p := range packets {
		if err := m.packet(bytes.NewReader(p)); err != nil {
			return err
		}
	}
	return nil
}

func head(f io.ReadSeeker) ([]byte, error) {
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	return io.ReadAll(io.LimitReader(f, headBytes))
}

// block reads an EXIF block, by the second reader where it is safe, and by our
// own walk.
func (m *metadata) block(b []byte, second bool) {
	if len(b) == 0 {
		return
	}
	if second {
		for name, text := range secondOpinion(b) {
			if m.second[name] == "" {
				m.second[name] = text
			}
		}
	}
	if t, ok := openBlock(b); ok {
		m.own(t)
	}
}

// own adds what our own walk finds and no reader before it did.
func (m *metadata) own(t *tiffFile) {
	found, turn := t.texts()
	for name, text := range found {
		if m.second[name] == "" {
			m.second[name] = text
		}
	}
	if m.turn == 0 {
		m.turn = turn
	}
	m.taking.and(t.taking())
}

// asTIFF is a file with the number 42 where a TIFF has it.
type asTIFF struct {
	file
	at int64
}

func (a *asTIFF) Seek(offset int64, whence int) (int64, error) {
	at, err := a.file.Seek(offset, whence)
	a.at = at
	return at, err
}

func (a *asTIFF) Read(b []byte) (int, error) {
	n, err := a.file.Read(b)
	if a.at == 0 && n >= 4 { // the reader's buffer is larger than four bytes
		if b[0] == 'I' {
			b[2], b[3] = 42, 0
		} else {
			b[2], b[3] = 0, 42
		}
	}
	a.at += int64(n)
	return n, err
}

// formats are what the first reader calls the kinds; all raw kinds that are
// built like a TIFF are one to it.
var formats = map[string]imagemeta.ImageFormat{
	"jpeg": imagemeta.JPEG, "png": imagemeta.PNG, "tiff": imagemeta.TIFF,
	"webp": imagemeta.WebP, "heic": imagemeta.HEIF, "avif": imagemeta.AVIF,
}

// read asks the first reader once for each source, so that an error in the XMP
// does not cost the EXIF.
func (m *metadata) read(f io.ReadSeeker, kind string) {
	size := imagemeta.CONFIG
	if IsRaw(kind) {
		size = 0 // it believes counts there
	}
	m.decode(f, kind, imagemeta.EXIF|size, m.exifTag)
	m.decode(f, kind, imagemeta.XMP|size, nil)
	m.decode(f, kind, imagemeta.IPTC, m.iptcTag)
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
	format, ok := formats[kind]
	if !ok {
		format = imagemeta.DNG
	}
	// No Timeout: the reader would work on in the background with a buffer
	// that has been given back already.
	_, err := imagemeta.Decode(imagemeta.Options{
		R: f, ImageFormat: format, Sources: from,
		ShouldHandleTag: func(imagemeta.TagInfo) bool { return true },
		HandleTag:       each,
		HandleXMP:       m.packet,
		LimitNumTags:    2000,
		LimitTagSize:    4096, // the longest text asked for is a date or a name
	})
	if err != nil {
		m.warn = append(m.warn, fmt.Sprintf("the metadata is damaged (%v)", err))
	}
}

// iptcTag keeps the dates of the older caption records.
func (m *metadata) iptcTag(t imagemeta.TagInfo) error {
	if t.Source != imagemeta.IPTC {
		return nil
	}
	switch t.Tag {
	case "DateCreated", "TimeCreated", "DigitalCreationDate", "DigitalCreationTime":
		if text, ok := t.Value.(string); ok && m.iptc[t.Tag] == "" {
			m.iptc[t.Tag] = clean(text)
		}
	}
	return nil
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

// packet reads one XMP packet. A picture may have several; the first to say
// something counts.
func (m *metadata) packet(r io.Reader) error {
	found, keywords, err := parseXMP(r)
	for name, text := range found {
		if m.xmp[name] == "" {
			m.xmp[name] = text
		}
	}
	if len(m.keywords) == 0 {
		m.keywords = keywords
	}
	if err != nil {
		if said := fmt.Sprintf("the XMP is damaged (%v)", err); !slices.Contains(m.warn, said) {
			m.warn = append(m.warn, said)
		}
	}
	_, err = io.Copy(io.Discard, r) // the library wants all of it read
	return err
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
	f.Claims.Scanned = m.scanned()
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
		claim := Claim{Tag: t.date, Text: text, SubSec: m.second[t.sub], Offset: m.get(t.offset)}
		if claim.Offset == "" && m.get("DateTime") == "" {
			claim.Offset = m.get("OffsetTime") // it speaks of no other time
		}
		f.Claims.List = append(f.Claims.List, claim)
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
	for _, t := range []struct{ tag, day, clock string }{
		{"IPTC DateCreated", "DateCreated", "TimeCreated"},
		{"IPTC DigitalCreationDate", "DigitalCreationDate", "DigitalCreationTime"},
	} {
		if day := m.iptc[t.day]; day != "" {
			f.Claims.List = append(f.Claims.List, Claim{Tag: t.tag,
				Text: strings.TrimSpace(day + " " + m.iptc[t.clock])})
		}
	}
	if m.created != "" {
		f.Claims.List = append(f.Claims.List, Claim{Tag: "PNG Creation Time", Text: m.created})
	}
	if day, clock := m.get("GPSDateStamp"), m.get("GPSTimeStamp"); day != "" && clock != "" {
		text := day + " " + clock
		f.Claims.List = append(f.Claims.List, Claim{Tag: "GPS", Text: text})
		if d, ok := parseDate(text); ok && d.clock {
			f.Claims.GPS = d.wall.Add(fraction(d.sub)).In(time.UTC)
		}
	}
}
