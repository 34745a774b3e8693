// Copies for others: nothing beside pictures and sound, and those byte for byte.

package clip_test

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rakelight/media/clip"
	"rakelight/media/clip/drawn"
)

func public(t testing.TB, data []byte, times bool) ([]byte, error) {
	t.Helper()
	f := bytes.NewReader(data)
	edits, err := clip.Public(f, f.Size(), times)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := clip.Copy(&out, f, f.Size(), edits); err != nil {
		return nil, err
	}
	if out.Len() != len(data) {
		t.Fatalf("%d bytes became %d", len(data), out.Len())
	}
	return out.Bytes(), nil
}

// told is a clip that tells all there is in as many forms as there are.
func told() []byte {
	xmp := append([]byte("\xbe\x7a\xcf\xcb\x97\xa9\x42\xe8\x9c\x71\x99\x94\x91\xe3\xaf\xac"), `<x:xmpmeta exif:GPSLatitude="47,22.1N" aux:SerialNumber="SN-0042"/>`...)
	xml := `<NonRealTimeMeta><Device manufacturer="Tarrow" modelName="T-24" serialNo="SN-0042"/></NonRealTimeMeta>`
	loci := drawn.Box("loci", []byte{0, 0, 0, 0, 0x15, 0xc7}, []byte("Harbor\x00\x00\x00\x08\x8b\x33\x00\x2f\x5e\xe5\x00\x00\x00\x00earth\x00"))
	return drawn.Clip{Brand: "qt  ", Header: evening, Keys: [][2]string{
		{"com.apple.quicktime.location.ISO6709", "+47.3769+008.5417+408.0/"}, {"com.apple.quicktime.make", "Tarrow"},
		{"com.apple.quicktime.model", "T-24"}, {"com.apple.quicktime.creationdate", "2026-03-14T19:32:05+0100"}},
		UserData: [][2]string{{"xyz", "+47.3769+008.5417/"}, {"mak", "Tarrow"}, {"day", "2026-03-14T19:32:05+0100"}},
		Cover:    []byte("\xff\xd8\xff\xe1 Tarrow SN-0042 +47.3769"),
		Boxes: [][]byte{drawn.Box("uuid", xmp), drawn.Box("udta", loci),
			drawn.Box("meta", make([]byte, 4), drawn.Box("hdlr", make([]byte, 8), []byte("nrtm"), make([]byte, 13)), drawn.Box("xml ", []byte(xml)))},
		Behind: [][]byte{drawn.Box("free", []byte("SN-0042 +47.3769")), drawn.Box("uuid", []byte("0123456789abcdef Tarrow"))}}.Bytes()
}

var secrets = []string{"47.3769", "47,22", "8.5417", "Harbor", "\x2f\x5e\xe5", "Tarrow", "T-24", "SN-0042", "2026", "earth", "VideoHandler"}

// samplesOf are the bytes of the film, which lie in one piece.
func samplesOf(data []byte) []byte {
	at := bytes.Index(data, []byte("mdat"))
	return data[at+4 : at-4+int(binary.BigEndian.Uint32(data[at-4:]))]
}

func TestPublicHoldsNothingElse(t *testing.T) {
	data := told()
	for _, s := range secrets {
		if !bytes.Contains(data, []byte(s)) {
			t.Fatalf("%q is not told, so this proves nothing", s)
		}
	}
	for _, times := range []bool{false, true} {
		out, err := public(t, data, times)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range secrets {
			if bytes.Contains(out, []byte(s)) {
				t.Errorf("%q is still there", s)
			}
		}
		if !bytes.Equal(samplesOf(out), samplesOf(data)) {
			t.Error("the film is another")
		}
		c := read(t, out)
		if c.Length != drawn.Length || c.Codec != "avc1" || c.Make+c.Model+c.Serial+c.Software != "" || len(c.Created)+len(c.Covers)+len(c.XMP) != 0 {
			t.Errorf("%+v", c)
		}
		if c.Header.IsZero() == times {
			t.Errorf("times %v: %v", times, c.Header)
		}
		if again, err := public(t, out, times); err != nil || !bytes.Equal(again, out) {
			t.Error("a copy of the copy is another", err)
		}
	}
}

// trackOf is a track of a handler and a description with samples of so many bytes at
// a place.
func trackOf(handler, codec string, at, size uint32) []byte {
	u := func(n uint32) []byte { return binary.BigEndian.AppendUint32(nil, n) }
	stbl := drawn.Box("stbl", drawn.Box("stsd", u(0), u(1), drawn.Box(codec, make([]byte, 20))),
		drawn.Box("stts", u(0), u(0)), drawn.Box("stsc", u(0), u(1), u(1), u(1), u(1)),
		drawn.Box("stsz", u(0), u(size), u(1)), drawn.Box("stco", u(0), u(1), u(at)))
	return drawn.Box("trak", drawn.Box("tkhd", make([]byte, 84)), drawn.Box("mdia", drawn.Box("mdhd", make([]byte, 24)),
		drawn.Box("hdlr", make([]byte, 8), []byte(handler), make([]byte, 13)), drawn.Box("minf", stbl)))
}

// withHidden is a clip that has bytes among its samples of which no track of pictures
// speaks.
func withHidden(hidden string, boxes ...[]byte) []byte {
	data := drawn.Clip{Boxes: boxes}.Bytes()
	at := bytes.Index(data, []byte("mdat")) - 4
	size := binary.BigEndian.Uint32(data[at:])
	out := append(bytes.Clone(data[:at+int(size)]), hidden...)
	out = append(out, data[at+int(size):]...)
	binary.BigEndian.PutUint32(out[at:], size+uint32(len(hidden)))
	return out
}

func TestPublicHasNoOtherSamples(t *testing.T) {
	plain := drawn.Clip{}.Bytes()
	end := uint32(bytes.Index(plain, []byte("moov")) - 4)
	for name, data := range map[string][]byte{
		"nobody's":  withHidden("+47.3769 hidden"),
		"a clock's": withHidden("+47.3769 hidden", trackOf("tmcd", "tmcd", end, 15)),
		"places":    withHidden("+47.3769 hidden", trackOf("meta", "gpmd", end, 15)),
		"metadata":  withHidden("+47.3769 hidden", trackOf("meta", "mebx", end, 15)),
		"motion":    withHidden("+47.3769 hidden", trackOf("camm", "camm", end, 15)),
		"subtitles": withHidden("+47.3769 hidden", trackOf("sbtl", "tx3g", end, 15)),
	} {
		out, err := public(t, data, true)
		if err != nil || bytes.Contains(out, []byte("47.3769")) {
			t.Errorf("%s: %v", name, err)
		}
		for _, kind := range []string{"tmcd", "gpmd", "mebx", "camm", "sbtl"} {
			if bytes.Contains(out, []byte(kind)) {
				t.Errorf("%s: there is still a %s", name, kind)
			}
		}
		if n := len(samplesOf(plain)); err == nil && !bytes.Equal(samplesOf(out)[:n], samplesOf(plain)) {
			t.Errorf("%s: the film is another", name)
		}
	}
}

// inPieces is a clip whose further samples come in a piece: eight bytes of the film and
// what is hidden, which a track of places speaks of, or nobody.
func inPieces(hidden string, spoken bool) []byte {
	u := func(n ...uint32) (b []byte) {
		for _, one := range n {
			b = binary.BigEndian.AppendUint32(b, one)
		}
		return b
	}
	stbl := drawn.Box("stbl", drawn.Box("stsd", u(0, 1), drawn.Box("gpmd", make([]byte, 8))), drawn.Box("stts", u(0, 0)),
		drawn.Box("stsc", u(0, 0)), drawn.Box("stsz", u(0, 0, 0)), drawn.Box("stco", u(0, 0)))
	other := drawn.Box("trak", drawn.Box("tkhd", u(0, 0, 0, 2), make([]byte, 68)), drawn.Box("mdia", drawn.Box("mdhd", make([]byte, 24)),
		drawn.Box("hdlr", make([]byte, 8), []byte("meta"), make([]byte, 13)), drawn.Box("minf", stbl)))
	data := drawn.Clip{Boxes: [][]byte{extends(0), other}}.Bytes()
	piece := func(offset uint32) []byte {
		parts := [][]byte{drawn.Box("mfhd", make([]byte, 8)),
			drawn.Box("traf", drawn.Box("tfhd", u(0x20000, 1)), drawn.Box("trun", u(0x201, 2, offset, 3, 5)))}
		if spoken {
			parts = append(parts, drawn.Box("traf", drawn.Box("tfhd", u(0x20010, 2, uint32(len(hidden)))), drawn.Box("trun", u(0x1, 1, offset+8))))
		}
		return drawn.Box("moof", parts...)
	}
	data = append(data, piece(uint32(len(piece(0))+8))...)
	return append(data, drawn.Box("mdat", []byte("THE FILM"+hidden))...)
}

// What a piece holds that is of no track of pictures and sound goes, whoever speaks of it.
func TestPublicPieces(t *testing.T) {
	for _, spoken := range []bool{false, true} {
		data := inPieces("+47.3769 hidden", spoken)
		out, err := public(t, data, false)
		if err != nil || bytes.Contains(out, []byte("47.3769")) || !bytes.Contains(out, []byte("THE FILM\x00")) || bytes.Contains(out, []byte("gpmd")) {
			t.Errorf("spoken of %v: %v", spoken, err)
			continue
		}
		if n := bytes.Count(out, []byte("traf")); n != 1 {
			t.Errorf("spoken of %v: %d parts of tracks", spoken, n)
		}
		if !bytes.Equal(samplesOf(out), samplesOf(data)) {
			t.Error("the film before is another")
		}
	}
}

// withSample is a clip with some bytes of its pictures otherwise.
func withSample(text string) []byte {
	data := drawn.Clip{}.Bytes()
	copy(samplesOf(data)[40:], text)
	return data
}

// Zeros that end a box are no place to hide anything behind.
func TestPublicHasNothingBehindTheEnd(t *testing.T) {
	data := drawn.Clip{Boxes: [][]byte{append(make([]byte, 8), "+47.3769"...)}}.Bytes()
	out, err := public(t, data, true)
	if err != nil || bytes.Contains(out, []byte("47.3769")) || !bytes.Equal(samplesOf(out), samplesOf(data)) {
		t.Errorf("still there, %v", err)
	}
}

func TestNotPublished(t *testing.T) {
	many := bytes.Repeat(drawn.Box("free"), 1<<12)
	end := uint32(bytes.Index(drawn.Clip{}.Bytes(), []byte("moov")) - 4)
	for name, c := range map[string]struct {
		data []byte
		why  clip.Withheld
		kind string
	}{
		"telemetry within":  {withHidden("0123456789", trackOf("meta", "gpmd", end-20, 30)), clip.OddSamples, ""},
		"telemetry by byte": {withHidden("0123456789", trackOf("meta", "gpmd", end, 1)), clip.OddTrack, "meta"},
		"an odd codec":      {withHidden("0123456789", trackOf("vide", "gpmd", end, 10)), clip.OddTrack, "gpmd"},
		"a box":             {drawn.Clip{Boxes: [][]byte{drawn.Box("gps ", make([]byte, 8))}}.Bytes(), clip.OddBox, "gps "},
		"a box outside":     {drawn.Clip{Behind: [][]byte{drawn.Box("skid", make([]byte, 8))}}.Bytes(), clip.OddBox, "skid"},
		"odd letters":       {drawn.Clip{Behind: [][]byte{drawn.Box("\xa9\x01ab", make([]byte, 8))}}.Bytes(), clip.OddBox, "..ab"},
		"samples nowhere":   {drawn.Clip{Boxes: [][]byte{trackOf("soun", "mp4a", 2, 10)}}.Bytes(), clip.OddSamples, ""},
		"sound by the byte": {withHidden("0123456789", trackOf("soun", "sowt", end, 1)), clip.OddSamples, ""},
		"pieces elsewhere":  {fragmented(0, 4096), clip.OddSamples, ""},
		"too many boxes":    {drawn.Clip{Boxes: [][]byte{many, drawn.Box("udta", []byte("+47.3769"))}}.Bytes(), clip.OddSamples, ""},
		"too many outside":  {drawn.Clip{Behind: [][]byte{bytes.Repeat(drawn.Box("free"), 1<<16), drawn.Box("udta", []byte("+47.3769"))}}.Bytes(), clip.OddSamples, ""},
		"EXIF in pictures":  {withSample("\xff\xe1\x00\x20Exif\x00\x00II"), clip.OddPicture, ""},
		"XMP in pictures":   {withSample("http://ns.adobe.com/xap/1.0/\x00"), clip.OddPicture, ""},
		"among pictures":    {bytes.Replace(drawn.Clip{}.Bytes(), samplesOf(drawn.Clip{}.Bytes())[40:47], []byte("\x0c\x9a\x66MDPM"), 1), clip.OddPicture, ""},
	} {
		_, err := public(t, c.data, true)
		var private *clip.PrivateError
		if !errors.As(err, &private) || private.Why != c.why || private.Kind != c.kind || !strings.HasPrefix(private.Error(), "it") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// FuzzPublic: whatever the bytes, the copy is as long, and says nothing that was taken
// out.
func FuzzPublic(f *testing.F) {
	f.Add(drawn.Clip{}.Bytes())
	f.Add(told())
	f.Add(withHidden("hidden", trackOf("tmcd", "tmcd", 3000, 6)))
	f.Add(fragmented(0, 4096, 4096))
	f.Add(inPieces("hidden", true))
	f.Fuzz(func(t *testing.T, data []byte) {
		var out []byte
		var err error
		if n := held(func() { out, err = public(t, data, false) }); n > 2*clip.Memory+4*uint64(len(data)) {
			t.Fatalf("%d bytes take %d", len(data), n)
		}
		if err != nil {
			return
		}
		c, err := clip.Read(bytes.NewReader(out), int64(len(out)))
		if err != nil {
			t.Fatal(err)
		}
		if c.Make+c.Model+c.Serial+c.Software+c.ContentID != "" || len(c.Created)+len(c.Covers)+len(c.XMP)+len(c.EXIF) > 0 || !c.Header.IsZero() {
			t.Fatalf("%+v", c)
		}
	})
}

// Whoever publishes keeps copies until the rules are others: a change of what a copy may
// hold has to raise clip.Rules. Then the sum below is the new one.
func TestRulesHaveAVersion(t *testing.T) {
	sum := sha256.New()
	fmt.Fprintln(sum, "rules", clip.Rules)
	files, err := filepath.Glob("../testdata/clips/*.gz")
	if err != nil || len(files) < 6 {
		t.Fatalf("%v, %v", files, err)
	}
	all := [][]byte{told()}
	for _, name := range files {
		f, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		z, err := gzip.NewReader(f)
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(z)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, data)
	}
	for _, data := range all {
		edits, err := clip.Public(bytes.NewReader(data), int64(len(data)), false)
		fmt.Fprintln(sum, edits, err)
	}
	const want = "1e7102eea8abc6ba"
	if got := fmt.Sprintf("%x", sum.Sum(nil)[:8]); got != want {
		t.Errorf("what a copy for others may hold has changed (%s): raise clip.Rules", got)
	}
}
