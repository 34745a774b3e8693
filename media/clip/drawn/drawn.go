// Package drawn lays out small clips for tests: one drawn film of two
// and a half seconds, a box that moves, in the file of any recorder.
//
// Start with Clip and its Bytes.
package drawn

import (
	"bytes"
	_ "embed"
	"encoding/binary"
	"slices"
	"time"
)

// base is the film: H.264 of 320 by 240 pixels, ten frames, its movie box last.
//
//go:embed base.mp4
var base []byte

// Length is how long the film is.
const Length = 2500 * time.Millisecond

// Width and Height are its pixels as they are stored.
const (
	Width  = 320
	Height = 240
)

// Clip is what a file is to say. The zero value says nothing but the film.
type Clip struct {
	Header   time.Time   // written as the movie header's time: its clock as shown, whatever the zone
	Brand    string      // four letters, "" = "isom"
	Turn     int         // EXIF orientation 1, 3, 6 or 8; 0 = 1
	Codec    string      // what its sample description claims instead of "avc1"
	Keys     [][2]string // QuickTime's metadata: name, value
	UserData [][2]string // user data of QuickTime: "day", value
	Cover    []byte      // a JPEG
	Boxes    [][]byte    // more boxes, in the movie box
	Behind   [][]byte    // more boxes, behind all
	Seed     byte        // makes files unlike that are else alike
	First    bool        // the movie box stands before the samples
}

// Box is a box with a body of some pieces.
func Box(kind string, body ...[]byte) []byte {
	all := bytes.Join(body, nil)
	return append(append(binary.BigEndian.AppendUint32(nil, uint32(8+len(all))), kind...), all...)
}

// Bytes is the file.
func (c Clip) Bytes() []byte {
	var tops [][]byte
	for rest := base; len(rest) > 0; rest = rest[len(tops[len(tops)-1]):] {
		tops = append(tops, rest[:binary.BigEndian.Uint32(rest)])
	}
	at := func(kind string) int {
		return slices.IndexFunc(tops, func(b []byte) bool { return string(b[4:8]) == kind })
	}
	brand := c.Brand
	if brand == "" {
		brand = "isom"
	}
	ftyp := Box("ftyp", []byte(brand+"\x00\x00\x02\x00"+brand+"mp42"))
	free := Box("free", []byte{c.Seed})
	mdat := tops[at("mdat")]
	moov := c.movie(tops[at("moov")])
	shift := len(ftyp) + len(free) - (len(base) - len(tops[at("mdat")]) - len(tops[at("moov")]))
	order := [][]byte{ftyp, free, mdat, moov}
	if c.First {
		shift += len(moov)
		order = [][]byte{ftyp, free, moov, mdat}
	}
	moveChunks(moov, shift)
	return bytes.Join(append(order, c.Behind...), nil)
}

// movie is the movie box with all that is to be said in it.
func (c Clip) movie(moov []byte) []byte {
	body := bytes.Clone(moov[8:])
	if udta := bytes.Index(body, []byte("udta")); udta > 0 {
		body = body[:udta-4] // the last box: what the encoder said of itself
	}
	if !c.Header.IsZero() {
		h := c.Header
		const to1970 = 2082844800
		wall := time.Date(h.Year(), h.Month(), h.Day(), h.Hour(), h.Minute(), h.Second(), 0, time.UTC)
		seconds := wall.Unix() + to1970
		for _, kind := range []string{"mvhd", "tkhd", "mdhd"} {
			i := bytes.Index(body, []byte(kind)) + 8
			binary.BigEndian.PutUint32(body[i:], uint32(seconds))
			binary.BigEndian.PutUint32(body[i+4:], uint32(seconds))
		}
	}
	if m, ok := map[int][4]int32{3: {-1, 0, 0, -1}, 6: {0, 1, -1, 0}, 8: {0, -1, 1, 0}}[c.Turn]; ok {
		i := bytes.Index(body, []byte("tkhd")) + 4 + 40
		for k, v := range m {
			binary.BigEndian.PutUint32(body[i+[4]int{0, 4, 12, 16}[k]:], uint32(v<<16))
		}
	}
	if c.Codec != "" {
		copy(body[bytes.Index(body, []byte("avc1")):], c.Codec)
	}
	extra := [][]byte{body}
	if user := c.userData(); len(user) > 0 {
		extra = append(extra, Box("udta", user))
	}
	if len(c.Keys) > 0 {
		extra = append(extra, keyed(c.Keys))
	}
	return Box("moov", append(extra, c.Boxes...)...)
}

// userData is what stands in udta: texts, and the cover in a list of items.
func (c Clip) userData() (out []byte) {
	for _, u := range c.UserData {
		head := binary.BigEndian.AppendUint16(nil, uint16(len(u[1])))
		out = append(out, Box("\xa9"+u[0], append(head, 0x15, 0xc7), []byte(u[1]))...)
	}
	if len(c.Cover) > 0 {
		out = append(out, Box("meta", make([]byte, 4), handler("mdir"),
			Box("ilst", Box("covr", Box("data", []byte{0, 0, 0, 13, 0, 0, 0, 0}, c.Cover))))...)
	}
	return out
}

// keyed is a list of items that go by their keys.
func keyed(list [][2]string) []byte {
	keys := binary.BigEndian.AppendUint32(make([]byte, 4), uint32(len(list)))
	var items [][]byte
	for i, one := range list {
		keys = append(keys, Box("mdta", []byte(one[0]))...)
		kind := string(binary.BigEndian.AppendUint32(nil, uint32(i+1)))
		items = append(items, Box(kind, Box("data", []byte{0, 0, 0, 1, 0, 0, 0, 0}, []byte(one[1]))))
	}
	return Box("meta", handler("mdta"), Box("keys", keys), Box("ilst", items...))
}

func handler(kind string) []byte { return Box("hdlr", make([]byte, 8), []byte(kind), make([]byte, 13)) }

// moveChunks adds to the offsets of the chunks.
func moveChunks(moov []byte, by int) {
	i := bytes.Index(moov, []byte("stco"))
	for n := range binary.BigEndian.Uint32(moov[i+8:]) {
		at := i + 12 + 4*int(n)
		binary.BigEndian.PutUint32(moov[at:], uint32(int(binary.BigEndian.Uint32(moov[at:]))+by))
	}
}
