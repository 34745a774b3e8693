// A copy for others: the same pictures and the same sound, and nothing beside them.
//
// Every box is of one of three sorts. What holds pictures and sound together stays,
// with the names and times in it blanked; what may say where, when or with what it
// was taken becomes free space of the same size, all zeros, so that no offset moves;
// and where there is anything else there is no copy. Tracks of anything else go.
// Bytes among the samples that no kept track speaks of become zeros as well.

package clip

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"io"
	"slices"

	"rakelight/media/box"
)

// Rules is the version of what Public lets stand. Whoever keeps copies makes them anew
// once it is another (TestRulesHaveAVersion tells when to raise it).
const Rules = 2

// Edit is a stretch of a file that is to be written otherwise: Bytes, then zeros.
type Edit struct {
	At, Size int64
	Bytes    []byte
}

// PrivateError says why there is no copy for others.
type PrivateError struct {
	Why  Withheld
	Kind string // four letters of the box or track
}

// Withheld is why there is no copy for others.
type Withheld int

// The reasons of a PrivateError.
const (
	OddBox     Withheld = iota // a box of a kind that may say where it was taken
	OddTrack                   // a track of what is neither picture nor sound
	OddSamples                 // what is picture and sound cannot be told from what else is there
	OddPicture                 // a place, or a time, is written into the pictures themselves
)

func (e *PrivateError) Error() string {
	switch e.Why {
	case OddTrack:
		return "it has a track of " + e.Kind + ", which may say where it was taken"
	case OddSamples:
		return "its pictures and its sound cannot be told from what else may be in the file"
	case OddPicture:
		return "its camera wrote more than pictures among them"
	}
	return "it has a box " + e.Kind + ", which may say where it was taken"
}

// Public says what is to be written otherwise in a copy for others; times keeps the
// times in headers. The edits are in order and do not overlap. Errors are those of
// Read, or *PrivateError.
func Public(f io.ReaderAt, size int64, times bool) ([]Edit, error) {
	if _, err := Read(f, size); err != nil {
		return nil, err
	}
	w := &withheld{reader: reader{f: f, size: size, clip: &Clip{}}, times: times, stays: map[uint64]bool{}}
	tops, _ := box.List(f, 0, size, mostTop)
	if !reach(tops, 0, size) {
		return nil, &PrivateError{Why: OddSamples}
	}
	if err := w.boxes(tops, outside); err != nil {
		return nil, err
	}
	if w.fragmented && !w.fragmentSamples(tops) {
		return nil, &PrivateError{Why: OddSamples}
	}
	if err := w.gaps(tops); err != nil {
		return nil, err
	}
	slices.SortFunc(w.edits, func(a, b Edit) int { return cmp.Compare(a.At, b.At) })
	return w.edits, nil
}

// withheld is a file being looked through.
type withheld struct {
	reader
	times      bool
	fragmented bool
	edits      []Edit
	stays      map[uint64]bool // the tracks that stay, by their numbers
	samples    []box.Box       // stretches of samples that stay
	others     []box.Box       // and of those that do not
	tables     tables    // of the track being looked through
}

// What may stand in which box: the kinds that are gone into, with what may stand in
// them, and those that stay as they are. ISO/IEC 14496-12, 14496-15, and the
// QuickTime File Format.
type place map[string]place

var (
	stays   = place{}
	outside place
	coding  = place{"avcC": stays, "hvcC": stays, "av1C": stays, "vpcC": stays, "esds": stays, "colr": stays,
		"pasp": stays, "clap": stays, "fiel": stays, "btrt": stays, "gama": stays, "chan": stays, "wave": stays,
		"dOps": stays, "dac3": stays, "dec3": stays, "mdcv": stays, "clli": stays, "dvcC": stays, "dvvC": stays,
		"amve": stays, "lhvC": stays, "hvcE": stays, "vexu": stays, "chnl": stays, "pcmC": stays, "damr": stays,
		"d263": stays, "jp2h": stays, "glbl": stays, "srat": stays}
)

func init() {
	table := place{"stsd": coding, "stts": stays, "ctts": stays, "cslg": stays, "stss": stays, "stps": stays,
		"stsc": stays, "stsz": stays, "stco": stays, "co64": stays, "sdtp": stays, "sgpd": stays, "sbgp": stays,
		"subs": stays}
	data := place{"dref": stays}
	inner := place{"vmhd": stays, "smhd": stays, "hdlr": stays, "dinf": data, "stbl": table}
	of := place{"mdhd": stays, "hdlr": stays, "minf": inner, "elng": stays}
	track := place{"tkhd": stays, "edts": {"elst": stays}, "tref": stays, "mdia": of, "tapt": stays, "load": stays,
		"clip": stays, "matt": stays}
	outside = place{"ftyp": stays, "styp": stays, "mdat": stays, "sidx": stays, "pdin": stays,
		"mfra": {"tfra": stays, "mfro": stays},
		"moov": {"mvhd": stays, "iods": stays, "clip": stays, "trak": track,
			"mvex": {"mehd": stays, "trex": stays}},
		"moof": {"mfhd": stays, "traf": {"tfhd": stays, "tfdt": stays, "trun": stays, "sdtp": stays, "sgpd": stays,
			"sbgp": stays, "saiz": stays, "saio": stays, "subs": stays}}}
}

// freed are the boxes that become free space wherever they stand: what is said of a
// clip in words, by whoever, what is free already, and clocks of those who send.
var freed = []string{"udta", "meta", "uuid", "XMP_", "free", "skip", "wide", "prft", "emsg", "pnot", "PICT", "meco"}

// boxes looks through boxes side by side.
func (w *withheld) boxes(list []box.Box, may place) error {
	for _, b := range list {
		within, ok := may[b.Kind]
		switch {
		case slices.Contains(freed, b.Kind):
			w.free(b)
			continue
		case !ok:
			return &PrivateError{OddBox, shown(b.Kind)}
		}
		if err := w.box(b, within); err != nil {
			return err
		}
	}
	return nil
}

// box looks through one that may stay.
func (w *withheld) box(b box.Box, within place) error {
	switch b.Kind {
	case "mvhd", "tkhd", "mdhd":
		w.untimed(b)
	case "hdlr":
		// Behind type and kind stand who made it, and the name that it gave itself.
		const said = 12
		if b.Size > said {
			w.edits = append(w.edits, Edit{At: b.At + said, Size: b.Size - said})
		}
	case "stsd":
		return w.descriptions(b)
	case "moof":
		w.fragmented = true
	case "trak":
		return w.keptTrack(b, within)
	case "dref":
		return w.references(b)
	case "stsz", "stsc", "stco", "co64":
		w.tables.set(b)
	}
	if len(within) == 0 {
		return nil
	}
	return w.boxesIn(b.At, b.End(), within)
}

// boxesIn looks through those between two places. All of them have to be seen: what
// nobody looked at is not published.
func (w *withheld) boxesIn(from, to int64, may place) error {
	list := w.inside(from, to)
	if !reach(list, from, to) {
		return &PrivateError{Why: OddSamples}
	}
	return w.boxes(w.withoutEnd(list), may)
}

// reach reports whether boxes fill a stretch but for the zeros that may end it.
func reach(list []box.Box, from, to int64) bool {
	if len(list) > 0 {
		from = list[len(list)-1].End()
	}
	const head = 8
	return to-from < head
}

// free makes a box free space of its size.
func (w *withheld) free(b box.Box) {
	head := make([]byte, b.At-b.Start)
	if n, _ := w.f.ReadAt(head, b.Start); n < len(head) {
		return
	}
	copy(head[4:], "free")
	w.edits = append(w.edits, Edit{At: b.Start, Size: b.End() - b.Start, Bytes: head})
}

// untimed takes the two times out of a header.
func (w *withheld) untimed(b box.Box) {
	wide := int64(4)
	if head := w.read(b, 1); len(head) == 1 && head[0] == 1 {
		wide = 8
	}
	if !w.times && b.Size >= 4+2*wide {
		w.edits = append(w.edits, Edit{At: b.At + 4, Size: 2 * wide})
	}
}

// keptTrack looks through a track: of pictures and of sound it stays. Any other, such as
// a clock's, of places or of motion, goes: its samples become zeros, since no track that
// stays speaks of them.
func (w *withheld) keptTrack(b box.Box, may place) error {
	w.tables = tables{}
	if handler := w.handlerOf(b); handler != "vide" && handler != "soun" {
		return w.otherTrack(b, handler)
	}
	for _, in := range w.inside(b.At, b.End()) {
		if in.Kind == "tkhd" {
			t := &track{}
			t.header(w.read(in, 96))
			w.stays[t.id] = true
		}
	}
	if err := w.boxesIn(b.At, b.End(), may); err != nil {
		return err
	}
	samples, ok := w.tables.samples(w.f)
	if !ok {
		return &PrivateError{Why: OddSamples}
	}
	w.samples = append(w.samples, samples...)
	return nil
}

// otherTrack takes out a track whose samples can be told from the pictures and the sound.
func (w *withheld) otherTrack(b box.Box, handler string) error {
	w.findTables(b, 0)
	samples, ok := w.tables.samples(w.f)
	if !ok {
		return &PrivateError{OddTrack, shown(handler)}
	}
	w.others = append(w.others, samples...)
	w.free(b)
	return nil
}

// findTables finds the tables of a track that goes.
func (w *withheld) findTables(b box.Box, deep int) {
	for _, in := range w.inside(b.At, b.End()) {
		if w.tables.set(in); deep < 3 && (in.Kind == "mdia" || in.Kind == "minf" || in.Kind == "stbl") {
			w.findTables(in, deep+1)
		}
	}
}

// references looks that a track's data lie in the file itself: a reference to another
// names folders and disks.
func (w *withheld) references(b box.Box) error {
	list := w.inside(b.At+8, b.End())
	if !reach(list, b.At+8, b.End()) || slices.ContainsFunc(list, func(in box.Box) bool { return in.Size > 4 }) {
		return &PrivateError{OddBox, "dref"}
	}
	return nil
}

func (w *withheld) handlerOf(b box.Box) (handler string) {
	for _, in := range w.inside(b.At, b.End()) {
		if in.Kind != "mdia" {
			continue
		}
		for _, deeper := range w.inside(in.At, in.End()) {
			if head := w.read(deeper, 12); deeper.Kind == "hdlr" && len(head) == 12 {
				handler = string(head[8:12])
			}
		}
	}
	return handler
}

// descriptions looks through sample descriptions: how large their fixed part is goes
// by what they are of.
func (w *withheld) descriptions(b box.Box) error {
	list := w.inside(b.At+8, b.End())
	if !reach(list, b.At+8, b.End()) {
		return &PrivateError{OddBox, "stsd"}
	}
	for _, in := range list {
		fixed := int64(0)
		switch {
		case slices.Contains(pictureCodecs, in.Kind):
			fixed = 78
			w.edits = append(w.edits, Edit{At: in.At + 12, Size: min(4, max(0, in.Size-12))}, // the maker of the coder
				Edit{At: in.At + 42, Size: min(32, max(0, in.Size-42))}) // its name
		case slices.Contains(soundCodecs, in.Kind):
			fixed = 28
			w.edits = append(w.edits, Edit{At: in.At + 12, Size: min(4, max(0, in.Size-12))})
			head := append(w.read(in, 10), make([]byte, 10)...)
			switch binary.BigEndian.Uint16(head[8:]) { // QuickTime's later versions
			case 1:
				fixed = 44
			case 2:
				fixed = 64
			}
		default:
			return &PrivateError{OddTrack, shown(in.Kind)}
		}
		if fixed > in.Size {
			continue
		}
		if err := w.boxesIn(in.At+fixed, in.End(), coding); err != nil {
			return err
		}
	}
	return nil
}

// withoutEnd leaves out the zero bytes that end a QuickTime description, and makes zeros
// of whatever stands behind them.
func (w *withheld) withoutEnd(list []box.Box) []box.Box {
	return slices.DeleteFunc(list, func(b box.Box) bool {
		is := b.Kind == "\x00\x00\x00\x00"
		if is && b.Size > 0 {
			w.edits = append(w.edits, Edit{At: b.At, Size: b.Size})
		}
		return is
	})
}

// The sample descriptions that are known to hold pictures and sound.
var (
	pictureCodecs = []string{"avc1", "avc3", "hvc1", "hev1", "av01", "vp08", "vp09", "mp4v", "s263", "jpeg", "mjpa",
		"mjpb", "apch", "apcn", "apcs", "apco", "ap4h", "ap4x", "dvh1", "dvhe", "SVQ1", "SVQ3", "rle ", "png ", "raw ",
		"cvid"}
	soundCodecs = []string{"mp4a", "samr", "sawb", "sowt", "twos", "lpcm", "raw ", "in24", "in32", "fl32", "fl64",
		"ipcm", "ulaw", "alaw", "alac", "Opus", "ac-3", "ec-3", "ima4", "QDM2", ".mp3", "fLaC", "NONE"}
)

// gaps makes zeros of what lies among the samples and belongs to no track that stays.
func (w *withheld) gaps(tops []box.Box) error {
	byPlace := func(a, b box.Box) int { return cmp.Compare(a.At, b.At) }
	slices.SortFunc(w.samples, byPlace)
	slices.SortFunc(w.others, byPlace)
	if w.mixed() {
		return &PrivateError{Why: OddSamples}
	}
	rest := w.samples
	for _, b := range tops {
		if b.Kind != "mdat" {
			continue
		}
		at := b.At
		for len(rest) > 0 && rest[0].At < b.End() {
			s := rest[0]
			if s.At < b.At || s.End() > b.End() {
				return &PrivateError{Why: OddSamples}
			}
			w.gap(at, s.At)
			at, rest = max(at, s.End()), rest[1:]
		}
		w.gap(at, b.End())
	}
	if len(rest) > 0 {
		return &PrivateError{Why: OddSamples}
	}
	return nil
}

// mixed reports whether samples that go lie within some that stay.
func (w *withheld) mixed() bool {
	rest, end := w.samples, int64(0)
	for _, o := range w.others {
		for len(rest) > 0 && rest[0].At <= o.At {
			end, rest = max(end, rest[0].End()), rest[1:]
		}
		if o.Size > 0 && (o.At < end || len(rest) > 0 && rest[0].At < o.End()) {
			return true
		}
	}
	return false
}

func (w *withheld) gap(from, to int64) {
	if to > from {
		w.edits = append(w.edits, Edit{At: from, Size: to - from})
	}
}

// shown is a kind as it may be told.
func shown(kind string) string {
	return string(bytes.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '.'
		}
		return r
	}, []byte(kind)))
}

// inPictures are how what cameras write among their pictures begins: the name of
// unregistered user data that AVCHD cameras use for time, place and settings (its last
// bytes, and the mark behind it; as exiftool knows it, no public source), and in the
// pictures of motion JPEG those of EXIF (CIPA DC-008, 4.7.2) and XMP (XMP Specification
// Part 3, 1.1.3).
var inPictures = [][]byte{[]byte("\x0c\x9a\x66MDPM"), []byte("Exif\x00\x00"), []byte("http://ns.adobe.com/x")}

// longestMark is the longest of them.
const longestMark = len("http://ns.adobe.com/x")

// Copy writes a file with its edits made. Errors are *PrivateError, or those of either
// side.
func Copy(to io.Writer, f io.ReaderAt, size int64, edits []Edit) error {
	room := make([]byte, min(1<<20, size))
	end := []byte{} // of the last piece, as long as a mark less one
	for at := int64(0); at < size; {
		piece := room[:min(int64(len(room)), size-at)]
		if n, err := f.ReadAt(piece, at); n < len(piece) {
			return cmp.Or(err, io.ErrUnexpectedEOF)
		}
		for len(edits) > 0 && edits[0].At+edits[0].Size <= at {
			edits = edits[1:]
		}
		for _, e := range edits {
			if e.At >= at+int64(len(piece)) {
				break
			}
			e.make(piece, at)
		}
		end = append(end, piece...)
		if slices.ContainsFunc(inPictures, func(mark []byte) bool { return bytes.Contains(end, mark) }) {
			return &PrivateError{Why: OddPicture}
		}
		end = append(end[:0], end[max(0, len(end)-longestMark+1):]...)
		if _, err := to.Write(piece); err != nil {
			return err
		}
		at += int64(len(piece))
	}
	return nil
}

// make makes the edit in a piece of the file that begins at.
func (e Edit) make(piece []byte, at int64) {
	from, to := max(0, e.At-at), min(int64(len(piece)), e.At+e.Size-at)
	clear(piece[from:to])
	for i, b := range e.Bytes {
		if where := e.At + int64(i) - at; where >= 0 && where < int64(len(piece)) {
			piece[where] = b
		}
	}
}
