// What a file says of itself in words: user data of QuickTime and of telephones,
// lists of items with and without keys, XML of video cameras.

package clip

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"rakelight/media/box"
)

// userData reads udta (QuickTime File Format, "User data atoms").
func (r *reader) userData(b box.Box) {
	for _, in := range r.inside(b.At, b.End()) {
		switch in.Kind {
		case "\xa9mak", "\xa9mod", "\xa9swr", "\xa9day", "\xa9too", "\xa9fmt":
			r.say(strings.TrimPrefix(in.Kind, "\xa9"), quickTimeText(r.read(in, mostText)))
		case "meta":
			r.meta(in)
		case "CNTH": // a picture with its EXIF, as some cameras put it beside
			for _, deeper := range r.inside(in.At, in.End()) {
				if deeper.Kind == "CNDA" && len(r.clip.Stills) < mostTracks {
					r.clip.Stills = append(r.clip.Stills, deeper)
					r.cover(deeper)
				}
			}
		case "thmb":
			r.thumbnail(in)
		case "XMP_":
			if len(r.clip.XMP) < mostTracks {
				r.clip.XMP = append(r.clip.XMP, in)
			}
		}
	}
}

// say notes a text under a name that several forms share.
func (r *reader) say(name, text string) {
	c := r.clip
	text = strings.TrimSpace(strings.Trim(text, "\x00"))
	if text == "" {
		return
	}
	set := func(to *string) {
		if *to == "" {
			*to = text
		}
	}
	switch name {
	case "mak", "com.apple.quicktime.make", "com.android.manufacturer":
		set(&c.Make)
	case "mod", "com.apple.quicktime.model", "com.android.model":
		set(&c.Model)
	case "swr", "too", "com.apple.quicktime.software", "com.android.version":
		set(&c.Software)
	case "com.apple.quicktime.content.identifier":
		set(&c.ContentID)
	case "com.apple.quicktime.creationdate":
		if len(c.Created) < mostTracks {
			c.Created = append(c.Created, Stamp{CreationDate, text})
		}
	case "day":
		if len(r.days) < mostTracks {
			r.days = append(r.days, text)
		}
	}
}

// quickTimeText reads a text of user data: pieces with two bytes of length and two
// of language, of which the first counts. A language below 0x400 is one of the
// Macintosh, whose script is then that of plain letters.
func quickTimeText(body []byte) string {
	if len(body) < 4 {
		return ""
	}
	n, language := int(binary.BigEndian.Uint16(body)), binary.BigEndian.Uint16(body[2:])
	if n > len(body)-4 {
		// Some write the text alone.
		return asText(body)
	}
	text := body[4 : 4+n]
	if language >= 0x400 && language != 0x7fff {
		return asText(text)
	}
	if utf8.Valid(text) {
		return string(text)
	}
	return strings.ToValidUTF8(string(text), "�")
}

// asText is UTF-8, or UTF-16 that begins with its mark.
func asText(b []byte) string {
	if len(b) >= 2 && (b[0] == 0xfe && b[1] == 0xff || b[0] == 0xff && b[1] == 0xfe) {
		order := binary.ByteOrder(binary.BigEndian)
		if b[0] == 0xff {
			order = binary.LittleEndian
		}
		return utf16Text(b[2:], order)
	}
	return strings.ToValidUTF8(string(b), "�")
}

func utf16Text(b []byte, order binary.ByteOrder) string {
	units := make([]uint16, len(b)/2)
	for i := range units {
		units[i] = order.Uint16(b[2*i:])
	}
	return string(utf16.Decode(units))
}

// meta reads a box of metadata. QuickTime's is a plain box, that of ISO has four
// bytes before what is in it.
func (r *reader) meta(b box.Box) {
	at := b.At
	if head := r.read(b, 8); len(head) == 8 && string(head[4:8]) != "hdlr" {
		at += 4
	}
	list := r.inside(at, b.End())
	handler := ""
	for _, in := range list {
		switch in.Kind {
		case "hdlr":
			if head := r.read(in, 12); len(head) == 12 {
				handler = string(head[8:12])
			}
		case "keys":
			r.readKeys(in)
		}
	}
	for _, in := range list {
		switch in.Kind {
		case "ilst":
			for _, item := range r.inside(in.At, in.End()) {
				r.item(item, handler == "mdta")
			}
		case "xml ":
			if handler == "nrtm" {
				r.nonRealTime(r.read(in, mostXML))
			}
		}
	}
	r.keys = nil
}

// readKeys reads the names that the items of a list go by (QuickTime File Format,
// "Metadata item keys atom").
func (r *reader) readKeys(b box.Box) {
	c := &box.Cursor{B: r.read(b, mostTable)}
	c.Uint(4)
	for range c.Uint(4) {
		n := int(c.Uint(4)) - 8
		c.Take(4)
		name := c.Take(n)
		if c.Short || len(r.keys) == mostInside {
			return
		}
		r.keys = append(r.keys, string(name[:min(len(name), 256)]))
	}
}

// item reads an item: by its place among the keys, or by its four letters.
func (r *reader) item(b box.Box, keyed bool) {
	name := strings.TrimPrefix(b.Kind, "\xa9")
	if keyed {
		i := int64(binary.BigEndian.Uint32([]byte(b.Kind)))
		if i < 1 || i > int64(len(r.keys)) {
			return
		}
		name = r.keys[i-1]
	}
	for _, in := range r.inside(b.At, b.End()) {
		if in.Kind != "data" {
			continue
		}
		head := r.read(in, 8)
		if len(head) < 8 {
			continue
		}
		value := box.Box{At: in.At + 8, Size: in.Size - 8}
		switch binary.BigEndian.Uint32(head) & 0xffffff {
		case 1:
			r.say(name, asText(r.read(value, mostText)))
		case 2:
			r.say(name, utf16Text(r.read(value, mostText), binary.BigEndian))
		case 13, 14: // JPEG, PNG
			r.cover(value)
		case 0:
			if name == "covr" {
				r.cover(value)
			}
		}
	}
}

// cover notes a picture of the clip's own, if it begins as one does.
func (r *reader) cover(b box.Box) {
	const most = 16
	head := r.read(b, 8)
	if len(r.clip.Covers) < most &&
		(bytes.HasPrefix(head, []byte("\xff\xd8\xff")) || bytes.HasPrefix(head, []byte("\x89PNG\r\n\x1a\n"))) {
		r.clip.Covers = append(r.clip.Covers, box.Box{Start: b.At, At: b.At, Size: b.Size})
	}
}

// thumbnail looks for a picture behind the few bytes that cameras put before it.
func (r *reader) thumbnail(b box.Box) {
	head := r.read(b, 64)
	if i := int64(bytes.Index(head, []byte("\xff\xd8\xff"))); i >= 0 {
		r.cover(box.Box{At: b.At + i, Size: b.Size - i})
	}
}

// nonRealTime reads the XML that video cameras write beside the movie: when it was
// made, and by what (SMPTE ST 377 calls it non-real-time metadata; its names as
// such files have them).
func (r *reader) nonRealTime(text []byte) {
	d := xml.NewDecoder(bytes.NewReader(bytes.TrimRight(text, "\x00")))
	const most = 2000
	for range most {
		token, err := d.RawToken()
		if err != nil {
			return
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		attr := func(name string) string {
			for _, a := range e.Attr {
				if a.Name.Local == name {
					return strings.TrimSpace(a.Value[:min(len(a.Value), mostText)])
				}
			}
			return ""
		}
		set := func(to *string, text string) {
			if *to == "" {
				*to = text
			}
		}
		switch e.Name.Local {
		case "CreationDate":
			if text := attr("value"); text != "" && len(r.clip.Created) < mostTracks {
				r.clip.Created = append(r.clip.Created, Stamp{NonRealTime, text})
			}
		case "Device":
			set(&r.clip.Make, attr("manufacturer"))
			set(&r.clip.Model, attr("modelName"))
			set(&r.clip.Serial, attr("serialNo"))
		}
	}
}

// The names of boxes that hold what other formats do.
var (
	xmpName   = []byte("\xbe\x7a\xcf\xcb\x97\xa9\x42\xe8\x9c\x71\x99\x94\x91\xe3\xaf\xac") // XMP Specification Part 3
	canonName = []byte("\x85\xc0\xb6\x87\x82\x0f\x11\xe0\x81\x11\xf4\xce\x46\x2b\x6a\x48") // as CR3 files have it
)

// uuid reads a box that bears its name in its first sixteen bytes.
func (r *reader) uuid(b box.Box) {
	name := r.read(b, 16)
	if len(name) < 16 {
		return
	}
	body := box.Box{Start: b.Start, At: b.At + 16, Size: b.Size - 16}
	const most = 16
	switch {
	case bytes.Equal(name, xmpName) && len(r.clip.XMP) < most:
		r.clip.XMP = append(r.clip.XMP, body)
	case bytes.Equal(name, canonName):
		for _, in := range r.inside(body.At, body.End()) {
			if (in.Kind == "CMT1" || in.Kind == "CMT2") && len(r.clip.EXIF) < most {
				r.clip.EXIF = append(r.clip.EXIF, in)
			}
		}
	}
}
