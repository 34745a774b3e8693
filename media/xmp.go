// XMP: the dates and keywords of a packet, inside a picture or in a file
// beside it.

package media

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode/utf16"

	"rakelight/journal"
)

// maxXMP is far above what programs write; edit histories make some packets
// long.
const maxXMP = 4 << 20

const rdfSpace = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"

// xmpWanted are the properties that are kept.
var xmpWanted = map[string]bool{
	"exif:DateTimeOriginal": true, "photoshop:DateCreated": true, "xmp:CreateDate": true, "dc:subject": true,
}

// parseXMP reads a packet: properties written as attributes, as elements, and
// the items of dc:subject. What it read before an error counts.
func parseXMP(r io.Reader) (found map[string]string, keywords []string, err error) {
	found = make(map[string]string)
	d := xml.NewDecoder(asUTF8(io.LimitReader(r, maxXMP)))
	// A packet of UTF-16 is UTF-8 by now, whatever it says of itself; the few
	// others are refused rather than guessed.
	d.CharsetReader = func(charset string, in io.Reader) (io.Reader, error) {
		if strings.HasPrefix(strings.ToLower(charset), "utf-16") {
			return in, nil
		}
		return nil, fmt.Errorf("its characters are %s", charset)
	}
	const rdf = rdfSpace
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

// asUTF8 reads a packet of UTF-16 as UTF-8: one that begins with a byte order mark,
// or with a sign of ASCII beside a zero (XMP specification part 1, 7.3.2; XML 1.0,
// appendix F).
func asUTF8(r io.Reader) io.Reader {
	b := bufio.NewReader(r)
	head, _ := b.Peek(2)
	var order binary.ByteOrder
	switch {
	case len(head) < 2:
		return b
	case head[0] == 0xfe && head[1] == 0xff, head[0] == 0 && head[1] != 0:
		order = binary.BigEndian
	case head[0] == 0xff && head[1] == 0xfe, head[0] != 0 && head[1] == 0:
		order = binary.LittleEndian
	default:
		return b
	}
	data, err := io.ReadAll(b) // r is limited
	if err != nil {
		return bytes.NewReader(nil)
	}
	units := make([]uint16, len(data)/2)
	for i := range units {
		units[i] = order.Uint16(data[2*i:])
	}
	return strings.NewReader(strings.TrimPrefix(string(utf16.Decode(units)), "\ufeff"))
}

// Sidecar returns the path of the XMP file beside a picture, "" = none:
// IMG_1.dng.xmp, or IMG_1.xmp where no picture of another kind shares it.
func Sidecar(path string) string {
	stem := strings.TrimSuffix(path, filepath.Ext(path))
	for _, p := range []string{path + ".xmp", path + ".XMP", stem + ".xmp", stem + ".XMP"} {
		if info, err := os.Stat(p); err == nil && info.Mode().IsRegular() &&
			!strings.EqualFold(filepath.Ext(path), ".xmp") {
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
	f.Claims.List = append(f.Claims.List, sidecarClaims(found)...)
	f.Keywords = append(f.Keywords, keywords...)
	f.Sidecar = path
}

// ReadXMP reads an XMP file that stands alone: its bytes' hash and size, the
// dates and keywords it states. Errors are *BrokenError, *UnsupportedError for
// what is no XMP, or those of the file system.
func ReadXMP(path string) (Facts, error) {
	data, info, err := readSmall(path, maxXMP)
	if err != nil {
		return Facts{}, err
	}
	if len(data) == 0 {
		return Facts{}, &BrokenError{Fault: Empty, Cut: true}
	}
	if text, err := io.ReadAll(asUTF8(bytes.NewReader(data))); err != nil || !bytes.Contains(text, []byte(rdfSpace)) {
		return Facts{}, &UnsupportedError{}
	}
	found, keywords, err := parseXMP(bytes.NewReader(data))
	if err != nil {
		// The parser words an end within an element in its own way.
		return Facts{}, &BrokenError{Fault: BadXMP, Detail: err.Error(),
			Cut: strings.Contains(err.Error(), "unexpected EOF")}
	}
	sum := sha256.Sum256(data)
	f := Facts{Hash: hex.EncodeToString(sum[:]), Size: int64(len(data)), Kind: journal.FormatXMP, Keywords: keywords}
	f.Claims = Claims{List: sidecarClaims(found), FileName: filepath.Base(path), FileTime: info.ModTime(),
		Read: time.Now()}
	return f, nil
}

// readSmall reads a whole regular file that may not be larger than most.
func readSmall(path string, most int64) ([]byte, os.FileInfo, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, nil, &UnsupportedError{}
	}
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		err = &BrokenError{Fault: FileTooLarge, Most: most}
	}
	return data, info, err
}

// sidecarClaims are the dates of an XMP file beside a picture.
func sidecarClaims(found map[string]string) (list []Claim) {
	for _, name := range []string{"exif:DateTimeOriginal", "photoshop:DateCreated", "xmp:CreateDate"} {
		if text := found[name]; text != "" {
			list = append(list, Claim{Tag: "sidecar " + name, Text: text})
		}
	}
	return list
}
