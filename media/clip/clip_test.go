// Tests of the parser: what clips say, how files are laid out, what is broken.

package clip_test

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"

	"rakelight/media/clip"
	"rakelight/media/clip/drawn"
)

func read(t testing.TB, data []byte) *clip.Clip {
	t.Helper()
	c, err := clip.Read(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

var evening = time.Date(2026, 3, 14, 18, 32, 5, 0, time.UTC)

func TestRead(t *testing.T) {
	c := read(t, drawn.Clip{Header: evening, Brand: "qt  ", Turn: 6, Keys: [][2]string{
		{"com.apple.quicktime.creationdate", "2026-03-14T19:32:05+0100"},
		{"com.apple.quicktime.model", "K 1"}, {"com.apple.quicktime.make", "A"},
		{"com.apple.quicktime.content.identifier", "7A-1"}},
		UserData: [][2]string{{"day", "2026-03-14"}}}.Bytes())
	if !c.QuickTime || c.Length != drawn.Length || c.Turn != 6 || c.Width != drawn.Height || c.Height != drawn.Width ||
		c.Codec != "avc1" || c.Sound || c.Fragmented || c.Make != "A" || c.Model != "K 1" || c.ContentID != "7A-1" ||
		!c.Header.Equal(evening) {
		t.Errorf("%+v", c)
	}
	if want := []clip.Stamp{{Tag: clip.CreationDate, Text: "2026-03-14T19:32:05+0100"},
		{Tag: clip.UserDay, Text: "2026-03-14"}}; !reflect.DeepEqual(c.Created, want) {
		t.Errorf("%+v", c.Created)
	}
	for turn := range 9 {
		if turn == 0 || turn == 3 || turn == 6 || turn == 8 {
			if got := read(t, drawn.Clip{Turn: turn}.Bytes()).Turn; got != max(turn, 1) {
				t.Errorf("turn %d is read %d", turn, got)
			}
		}
	}
}

// The movie box may come first or last, and boxes may state their size in 64 bits.
func TestLayouts(t *testing.T) {
	first := drawn.Clip{Header: evening, First: true}.Bytes()
	if c := read(t, first); c.Length != drawn.Length || !c.Header.Equal(evening) {
		t.Errorf("%+v", c)
	}
	data := drawn.Clip{Header: evening}.Bytes()
	at := bytes.Index(data, []byte("moov")) - 4
	size := binary.BigEndian.Uint32(data[at:])
	wide := append(append(bytes.Clone(data[:at]), 0, 0, 0, 1), "moov"...)
	wide = binary.BigEndian.AppendUint64(wide, uint64(size)+8)
	wide = append(wide, data[at+8:]...)
	if c := read(t, wide); c.Length != drawn.Length {
		t.Errorf("%+v", c)
	}
	toEnd := bytes.Clone(data)
	binary.BigEndian.PutUint32(toEnd[at:], 0)
	if c := read(t, toEnd); c.Length != drawn.Length {
		t.Errorf("%+v", c)
	}
	// A movie from before there were brands.
	old := data[binary.BigEndian.Uint32(data):]
	if c := read(t, old); !c.QuickTime {
		t.Errorf("%+v", c)
	}
}

// Times of version 1 are of 64 bits, and the beginnings of clocks say nothing.
func TestHeaderTimes(t *testing.T) {
	data := drawn.Clip{Header: evening}.Bytes()
	at := bytes.Index(data, []byte("mvhd")) - 4
	old := data[at : at+int(binary.BigEndian.Uint32(data[at:]))]
	c := old[12:]
	body := append([]byte{1, 0, 0, 0}, binary.BigEndian.AppendUint64(nil, uint64(binary.BigEndian.Uint32(c)))...)
	body = append(body, make([]byte, 8)...)
	body = append(body, c[8:12]...)
	body = binary.BigEndian.AppendUint64(body, uint64(binary.BigEndian.Uint32(c[12:])))
	body = append(body, c[16:]...)
	moov := bytes.Index(data, []byte("moov")) - 4
	inside := append(drawn.Box("mvhd", body), data[moov+8+len(old):]...)
	wide := append(bytes.Clone(data[:moov]), drawn.Box("moov", inside)...)
	if got := read(t, wide); !got.Header.Equal(evening) || got.Length != drawn.Length {
		t.Errorf("%+v", got)
	}
	for _, nothing := range []time.Time{{}, time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)} {
		if got := read(t, drawn.Clip{Header: nothing}.Bytes()); !got.Header.IsZero() {
			t.Errorf("%v is a time: %v", nothing, got.Header)
		}
	}
}

// fragmented is a movie in pieces: none of its samples stands in the movie box.
func fragmented(mehd uint32, durations ...uint32) []byte {
	data := drawn.Clip{Header: evening, Boxes: [][]byte{extends(mehd)}}.Bytes()
	for _, kind := range []string{"mvhd", "mdhd"} { // the length is not known yet
		binary.BigEndian.PutUint32(data[bytes.Index(data, []byte(kind))+20:], 0)
	}
	for i, d := range durations {
		tfhd := drawn.Box("tfhd", []byte{0, 0, 0, 0x08, 0, 0, 0, 1}, binary.BigEndian.AppendUint32(nil, d))
		trun := drawn.Box("trun", []byte{0, 0, 0, 1, 0, 0, 0, 4, 0, 0, 0, 0})
		if i%2 == 1 { // each sample says so itself
			run := []byte{0, 0, 3, 1, 0, 0, 0, 4, 0, 0, 0, 0}
			for range 4 {
				run = append(binary.BigEndian.AppendUint32(run, d), 0, 0, 0, 9)
			}
			tfhd, trun = drawn.Box("tfhd", []byte{0, 0, 0, 0, 0, 0, 0, 1}), drawn.Box("trun", run)
		}
		data = append(data, drawn.Box("moof", drawn.Box("mfhd", make([]byte, 8)), drawn.Box("traf", tfhd, trun))...)
		data = append(data, drawn.Box("mdat", []byte("samples"))...)
	}
	return data
}

func extends(mehd uint32) []byte {
	trex := drawn.Box("trex", []byte{0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0})
	if mehd == 0 {
		return drawn.Box("mvex", trex)
	}
	return drawn.Box("mvex", drawn.Box("mehd", make([]byte, 4), binary.BigEndian.AppendUint32(nil, mehd)), trex)
}

func TestFragments(t *testing.T) {
	const scale = 16384 // of the track
	for _, c := range []struct {
		mehd      uint32
		durations []uint32
		want      time.Duration
	}{
		{7250, nil, 7250 * time.Millisecond},                            // said
		{0, []uint32{scale / 4, scale / 4, scale / 2}, 4 * time.Second}, // summed: 1 + 1 + 2 s
		{0, nil, 0},
	} {
		got := read(t, fragmented(c.mehd, c.durations...))
		if !got.Fragmented || got.Length != c.want {
			t.Errorf("%v: %v", c, got.Length)
		}
	}
}

// A file that ends anywhere is cut, and never half a clip; but where what is cut
// off are whole boxes behind the movie, nobody can tell.
func TestCut(t *testing.T) {
	for _, first := range []bool{false, true} {
		data := drawn.Clip{Header: evening, First: first, UserData: [][2]string{{"day", "2026"}}}.Bytes()
		for n := range len(data) {
			_, err := clip.Read(bytes.NewReader(data[:n]), int64(n))
			if !errors.Is(err, clip.ErrCut) {
				t.Fatalf("movie first %v: of %d bytes, %d give %v", first, len(data), n, err)
			}
		}
	}
	// Samples to the end of the file: the table says where the last ones begin.
	data := drawn.Clip{First: true}.Bytes()
	at := bytes.Index(data, []byte("mdat")) - 4
	binary.BigEndian.PutUint32(data[at:], 0)
	if _, err := clip.Read(bytes.NewReader(data[:at+8]), int64(at+8)); !errors.Is(err, clip.ErrCut) {
		t.Error(err)
	}
}

// What a telephone puts behind a clip cuts nothing off; a box that is not whole does.
func TestNotesBehindAClip(t *testing.T) {
	data := drawn.Clip{Header: evening}.Bytes()
	for _, notes := range []string{"\x00\x00\x00\x05noteof a maker", "\x12\x34\x56\x78\x00\x01\x02\x03 more"} {
		both := append(bytes.Clone(data), notes...)
		if c, err := clip.Read(bytes.NewReader(both), int64(len(both))); err != nil || c.Width == 0 {
			t.Errorf("%q: %v", notes, err)
		}
	}
	both := append(bytes.Clone(data), "\x00\x00\x01\x00free, cut"...)
	if _, err := clip.Read(bytes.NewReader(both), int64(len(both))); !errors.Is(err, clip.ErrCut) {
		t.Error(err)
	}
}

func TestOthers(t *testing.T) {
	sound := bytes.Replace(drawn.Clip{}.Bytes(), []byte("vide"), []byte("soun"), 1)
	packed := drawn.Box("moov", drawn.Box("cmov", make([]byte, 20)))
	for name, data := range map[string][]byte{"no track of pictures": sound, "a header packed in an unknown way": packed} {
		_, err := clip.Read(bytes.NewReader(data), int64(len(data)))
		var other *clip.OtherError
		if !errors.As(err, &other) || other.Trait != name {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A header that is packed says the same; one that is packed twice, or grows without
// end, is none.
func TestPackedHeader(t *testing.T) {
	pack := func(moov []byte) []byte {
		var z bytes.Buffer
		w := zlib.NewWriter(&z)
		w.Write(moov)
		w.Close()
		return drawn.Box("moov", drawn.Box("cmov", drawn.Box("dcom", []byte("zlib")),
			drawn.Box("cmvd", binary.BigEndian.AppendUint32(nil, uint32(len(moov))), z.Bytes())))
	}
	data := drawn.Clip{Header: evening, Turn: 3, UserData: [][2]string{{"mak", "A"}}, Cover: []byte("\xff\xd8\xff")}.Bytes()
	at := bytes.Index(data, []byte("moov")) - 4
	once := append(bytes.Clone(data[:at]), pack(data[at:])...)
	if c := read(t, once); !c.Header.Equal(evening) || c.Length != drawn.Length || c.Turn != 3 || c.Make != "A" || len(c.Covers) > 0 {
		t.Errorf("%+v", c)
	}
	for _, moov := range [][]byte{pack(pack(data[at:])), pack(drawn.Box("moov", make([]byte, 40<<20)))} {
		twice := append(bytes.Clone(data[:at]), moov...)
		var other *clip.OtherError
		if _, err := clip.Read(bytes.NewReader(twice), int64(len(twice))); !errors.As(err, &other) {
			t.Error(err)
		}
	}
}

// What video cameras say in XML, what stands under item names, covers.
func TestSaid(t *testing.T) {
	xml := `<?xml version="1.0"?><NonRealTimeMeta><CreationDate value="2026-03-14T19:32:05+01:00"/>` +
		`<Device manufacturer="B" modelName="C 2" serialNo="77"/></NonRealTimeMeta>`
	beside := drawn.Box("meta", make([]byte, 4), drawn.Box("hdlr", make([]byte, 8), []byte("nrtm"), make([]byte, 13)), drawn.Box("xml ", make([]byte, 0), []byte(xml)))
	cover := []byte("\xff\xd8\xff\xe0 no real one")
	c := read(t, drawn.Clip{Boxes: [][]byte{beside}, Cover: cover}.Bytes())
	if c.Make != "B" || c.Model != "C 2" || c.Serial != "77" || len(c.Created) != 1 ||
		c.Created[0] != (clip.Stamp{Tag: clip.NonRealTime, Text: "2026-03-14T19:32:05+01:00"}) {
		t.Errorf("%+v", c)
	}
	if len(c.Covers) != 1 || c.Covers[0].Size != int64(len(cover)) {
		t.Errorf("%+v", c.Covers)
	}
}

// held is how much more memory is taken, over all of a call.
func held(call func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	call()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// Files that ask for much get little.
func TestMemory(t *testing.T) {
	huge := make([]byte, 40<<20)
	long := drawn.Box("\xa9day", binary.BigEndian.AppendUint32(nil, 0xffff15c7), huge)
	many := bytes.Repeat(drawn.Box("free"), 4<<20/8)
	keys := drawn.Box("meta", drawn.Box("hdlr", make([]byte, 8), []byte("mdta"), make([]byte, 13)),
		drawn.Box("keys", []byte{0, 0, 0, 0, 0xff, 0xff, 0xff, 0xff}, bytes.Repeat(drawn.Box("mdta"), 1<<19)))
	deep := []byte{}
	for range 3000 {
		deep = drawn.Box("udta", drawn.Box("meta", make([]byte, 4), deep))
	}
	for name, data := range map[string][]byte{
		"a long text":    drawn.Clip{Boxes: [][]byte{drawn.Box("udta", long)}}.Bytes(),
		"many boxes":     append(drawn.Clip{}.Bytes(), many...),
		"many inside":    drawn.Clip{Boxes: [][]byte{drawn.Box("udta", many)}}.Bytes(),
		"many keys":      drawn.Clip{Boxes: [][]byte{keys}}.Bytes(),
		"boxes in boxes": drawn.Clip{Boxes: [][]byte{deep}}.Bytes(),
		"large tables":   drawn.Clip{Boxes: [][]byte{drawn.Box("trak", drawn.Box("mdia", drawn.Box("minf", drawn.Box("stbl", drawn.Box("co64", huge)))))}}.Bytes(),
	} {
		if n := held(func() { clip.Read(bytes.NewReader(data), int64(len(data))) }); n > clip.Memory {
			t.Errorf("%s: %d MB", name, n>>20)
		}
	}
}

// FuzzRead: whatever the bytes, an answer within the bound, and never an answer
// beside an error.
func FuzzRead(f *testing.F) {
	f.Add(drawn.Clip{}.Bytes())
	f.Add(drawn.Clip{Header: evening, Brand: "qt  ", Keys: [][2]string{{"com.apple.quicktime.creationdate", "2026"}},
		UserData: [][2]string{{"day", "x"}, {"xyz", "+47.1+8.2/"}}, Cover: []byte("\xff\xd8\xff"), First: true}.Bytes())
	f.Add(fragmented(0, 4096, 4096))
	f.Add(fragmented(700))
	f.Fuzz(func(t *testing.T, data []byte) {
		var c *clip.Clip
		var err error
		if n := held(func() { c, err = clip.Read(bytes.NewReader(data), int64(len(data))) }); n > clip.Memory {
			t.Fatalf("%d bytes take %d", len(data), n)
		}
		if (c == nil) == (err == nil) {
			t.Fatal(c, err)
		}
		if c == nil {
			return
		}
		if c.Length < 0 || c.Turn < 1 || c.Turn > 8 || c.Width <= 0 || c.Height <= 0 || len(c.Codec) > 4 ||
			!c.Header.IsZero() && (c.Header.Year() < 1904 || c.Header.Year() > 2100) || strings.ContainsRune(c.Make, 0) {
			t.Fatalf("%+v", c)
		}
		for _, b := range append(append(c.Covers, c.XMP...), c.EXIF...) {
			if b.At < 0 || b.Size < 0 || b.End() > int64(len(data)) {
				t.Fatalf("%+v of %d", b, len(data))
			}
		}
	})
}

// What a file says over and over is not all kept.
func TestSaidOverAndOver(t *testing.T) {
	var keys [][2]string
	for range 1000 {
		keys = append(keys, [2]string{"com.apple.quicktime.creationdate", "2026-03-14T19:32:05+0100"})
	}
	c := read(t, drawn.Clip{Keys: keys, UserData: [][2]string{{"day", "2026"}}, Boxes: [][]byte{drawn.Box("udta", bytes.Repeat(drawn.Box("XMP_"), 1000))}}.Bytes())
	if n := len(c.Created); n < 2 || n > 128 {
		t.Errorf("%d times", n)
	}
	if n := len(c.XMP); n < 1 || n > 128 {
		t.Errorf("%d packets", n)
	}
}
