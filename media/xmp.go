// XMP: the dates and keywords of a packet, inside a picture or in a file
// beside it.

package media

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// maxXMP is far above what programs write; edit histories make some packets
// long.
const maxXMP = 4 << 20

// xmpWanted are the properties that are kept.
var xmpWanted = map[string]bool{
	"exif:DateTimeOriginal": true, "photoshop:DateCreated": true, "xmp:CreateDate": true, "dc:subject": true,
}

// parseXMP reads a packet: properties written as attributes, as elements, and
// the items of dc:subject. What it read before an error counts.
func parseXMP(r io.Reader) (found map[string]string, keywords []string, err error) {
	found = make(map[string]string)
	d := xml.NewDecoder(io.LimitReader(r, maxXMP))
	// Packets come as UTF-8; the few others are refused rather than guessed.
	const rdf = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
	name := func(n xml.Name) string {
		if prefix, ok := xmpPrefix[n.Space]; ok {
			return prefix + ":" + n.Local
		}
		return ""
	}
	keep := func(name, text string) {
		if text = clean(text); text == "" || !xmpWanted[name] {
			return
		}
		if name == "dc:subject" {
			if len(keywords) < 1000 {
				keywords = append(keywords, text)
			}
		} else if found[name] == "" {
			found[name] = text
		}
	}
	var open []string // the property each open element is, "" = none
	for depth := 0; ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return found, keywords, nil
		}
		if err != nil {
			return found, keywords, err
		}
		switch t := token.(type) {
		case xml.StartElement:
			if depth++; depth > 100 {
				return found, keywords, errors.New("it is nested too deeply")
			}
			property := name(t.Name)
			if property == "" && t.Name.Space == rdf && t.Name.Local != "Description" && len(open) > 0 {
				property = open[len(open)-1] // a list, or an item of it
			}
			open = append(open, property)
			if t.Name.Local == "Description" && t.Name.Space == rdf {
				for _, a := range t.Attr {
					keep(name(a.Name), a.Value)
				}
			}
		case xml.EndElement:
			depth--
			open = open[:max(0, len(open)-1)]
		case xml.CharData:
			if len(open) > 0 {
				keep(open[len(open)-1], string(t))
			}
		}
	}
}

// Sidecar returns the path of the XMP file beside a picture, "" = none:
// IMG_1.dng.xmp, or IMG_1.xmp where no picture of another kind shares it.
func Sidecar(path string) string {
	stem := strings.TrimSuffix(path, filepath.Ext(path))
	for _, p := range []string{path + ".xmp", path + ".XMP", stem + ".xmp", stem + ".XMP"} {
		if info, err := os.Stat(p); err == nil && info.Mode().IsRegular() && !strings.EqualFold(filepath.Ext(path), ".xmp") {
			return p
		}
	}
	return ""
}

// addSidecar adds what the XMP file beside a picture claims.
func (f *Facts) addSidecar(path string) {
	file, err := os.Open(path)
	if err != nil {
		f.Warn = append(f.Warn, "the XMP file beside it cannot be read")
		return
	}
	defer file.Close()
	found, keywords, err := parseXMP(file)
	if err != nil {
		f.Warn = append(f.Warn, "the XMP file beside it is damaged ("+err.Error()+")")
	}
	for _, name := range []string{"exif:DateTimeOriginal", "photoshop:DateCreated", "xmp:CreateDate"} {
		if text := found[name]; text != "" {
			f.Claims.List = append(f.Claims.List, Claim{Tag: "sidecar " + name, Text: text})
		}
	}
	f.Keywords = append(f.Keywords, keywords...)
	f.Sidecar = path
}
