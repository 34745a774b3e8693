// Raw pictures with the picture of the same shot, and XMP files that come
// late, in every order of arrival.

package inbox

import (
	"bytes"
	"context"
	"encoding/binary"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/journal/wording"
)

// exifTIFF is a TIFF of a camera's texts: the EXIF of a JPEG, or, with a
// preview in it, a raw picture of the openly described kind.
func exifTIFF(model, serial, taken string, preview []byte) []byte {
	type entry struct {
		tag, typ uint16
		count    uint32
		value    uint32
		text     string
	}
	text := func(tag uint16, s string) entry { return entry{tag, 2, uint32(len(s) + 1), 0, s + "\x00"} }
	exif := []entry{text(0x9003, taken)}
	if serial != "" {
		exif = append(exif, text(0xa431, serial))
	}
	first := []entry{text(0x010f, "Tarrow"), text(0x0110, model)}
	if preview != nil {
		first = append(first, entry{0x0201, 4, 1, 0, ""}, entry{0x0202, 4, 1, uint32(len(preview)), ""})
	}
	first = append(first, entry{0x8769, 4, 1, 0, ""})
	if preview != nil {
		first = append(first, entry{0xc612, 1, 4, 1, ""}) // the version
	}
	size := func(list []entry) (n uint32) {
		n = 2 + 12*uint32(len(list)) + 4
		for _, e := range list {
			if len(e.text) > 4 {
				n += uint32(len(e.text))
			}
		}
		return n
	}
	exifAt := 8 + size(first)
	previewAt := exifAt + size(exif)
	out := []byte("II*\x00\x08\x00\x00\x00")
	le := binary.LittleEndian
	put := func(list []entry) {
		texts := uint32(len(out)) + 2 + 12*uint32(len(list)) + 4
		var behind []byte
		out = le.AppendUint16(out, uint16(len(list)))
		for _, e := range list {
			out = le.AppendUint32(le.AppendUint16(le.AppendUint16(out, e.tag), e.typ), e.count)
			switch {
			case len(e.text) > 4:
				e.value = texts + uint32(len(behind))
				behind = append(behind, e.text...)
			case e.text != "":
				e.value = le.Uint32(append([]byte(e.text), 0, 0, 0))
			case e.tag == 0x8769:
				e.value = exifAt
			case e.tag == 0x0201:
				e.value = previewAt
			}
			out = le.AppendUint32(out, e.value)
		}
		out = append(le.AppendUint32(out, 0), behind...)
	}
	put(first)
	put(exif)
	return append(out, preview...)
}

// shots are a raw picture and the JPEG of the same moment.
func shots(t testing.TB, n int, taken string) (raw, shown []byte) {
	t.Helper()
	picture := shot(t, n)
	block := append([]byte("Exif\x00\x00"), exifTIFF("T-24", "", taken, nil)...)
	segment := append([]byte{0xff, 0xe1, byte((len(block) + 2) >> 8), byte(len(block) + 2)}, block...)
	return exifTIFF("T-24", "0042", taken, shot(t, n+100)), append(append(bytes.Clone(picture[:2]), segment...), picture[2:]...)
}

const shotAt = "2026:03:14 20:15:02"

func TestPairInEveryOrder(t *testing.T) {
	raw, shown := shots(t, 1, shotAt)
	for name, goes := range map[string][][]string{
		"together":      {{"IMG_1.DNG", "IMG_1.JPG"}},
		"raw first":     {{"IMG_1.DNG"}, {"IMG_1.JPG"}},
		"picture first": {{"IMG_1.JPG"}, {"img_1.dng"}},
	} {
		t.Run(name, func(t *testing.T) {
			j := bench(t)
			beside, taken := 0, 0
			for n, files := range goes {
				for _, file := range files {
					data := shown
					if strings.EqualFold(filepath.Ext(file), ".dng") {
						data = raw
					}
					drop(t, j, "pilot-boat/"+file, data)
				}
				sum := takeAll(t, j)
				beside, taken = beside+sum.Beside, taken+sum.Taken
				if len(sum.Left) != 0 {
					t.Fatalf("%+v", sum)
				}
				if n == 0 && len(goes) == 2 {
					// What a person says of the first file holds for the photo.
					if _, err := j.Append(journal.TagBody{Photo: j.State.Photos[0].Hash, Set: journal.Tags{Role: "after"}}); err != nil {
						t.Fatal(err)
					}
				}
			}
			if len(j.State.Photos) != 1 || taken+beside != 2 || originals(t, j) != 2 || len(j.State.Problems) != 0 {
				t.Fatalf("%d photos, %d taken, %d beside, %v", len(j.State.Photos), taken, beside, j.State.Problems)
			}
			p := j.State.Photos[0]
			if p.Format != "jpeg" || len(p.Beside) != 1 || p.Beside[0].Format != "dng" || p.Beside[0].Size != int64(len(raw)) || p.Tags.Build != "pilot-boat" {
				t.Errorf("%+v", p)
			}
			if len(goes) == 2 && p.Tags.Role != "after" {
				t.Error("what was said of the first file is lost")
			}
			if strings.TrimSuffix(p.Path, ".jpg") != strings.TrimSuffix(p.Beside[0].Path, ".dng") {
				t.Errorf("%s and %s do not bear one name", p.Path, p.Beside[0].Path)
			}
			for file, want := range map[string][]byte{p.Path: shown, p.Beside[0].Path: raw} {
				if got, err := os.ReadFile(j.Path(file)); err != nil || !bytes.Equal(got, want) {
					t.Errorf("%s is not byte for byte: %v", file, err)
				}
			}
			if found := j.Check(true); len(found) != 0 {
				t.Errorf("%+v", found)
			}
			if story := strings.Join(Story(p, j.State), "\n"); !strings.Contains(story, p.Beside[0].Path) || !strings.Contains(story, "the raw picture of this shot") {
				t.Error(story)
			}
			// Again: nothing new; a lost raw picture is put back.
			if err := os.Remove(j.Path(p.Beside[0].Path)); err != nil {
				t.Fatal(err)
			}
			drop(t, j, "IMG_1.DNG", raw)
			drop(t, j, "IMG_1.JPG", shown)
			if sum := takeAll(t, j); sum.Duplicate != 2 || sum.Taken+sum.Beside+len(sum.Left) != 0 || len(j.Check(true)) != 0 {
				t.Errorf("%+v, %+v", sum, j.Check(true))
			}
		})
	}
}

// Another second, folder, name or camera is another photo; so is a raw picture
// alone.
func TestNoPair(t *testing.T) {
	raw, shown := shots(t, 1, shotAt)
	later, _ := shots(t, 2, "2026:03:14 20:15:03")
	for name, files := range map[string]map[string][]byte{
		"another second": {"IMG_1.DNG": later, "IMG_1.JPG": shown},
		"another folder": {"a/IMG_1.DNG": raw, "b/IMG_1.JPG": shown},
		"another name":   {"IMG_2.DNG": raw, "IMG_1.JPG": shown},
		"another camera": {"IMG_1.DNG": exifTIFF("T-12", "", shotAt, shot(t, 5)), "IMG_1.JPG": shown},
	} {
		j := bench(t)
		for file, data := range files {
			drop(t, j, file, data)
		}
		if sum := takeAll(t, j); sum.Taken != 2 || len(j.State.Photos) != 2 {
			t.Errorf("%s: %+v, %d photos", name, sum, len(j.State.Photos))
		}
	}
}

// A crash between the bytes and the record leaves files that the next run
// takes up; a copy of both in one batch is one photo still.
func TestPairAfterACrash(t *testing.T) {
	raw, shown := shots(t, 1, shotAt)
	j := bench(t)
	path := drop(t, j, "IMG_1.JPG", shown)
	takeAll(t, j)
	p := j.State.Photos[0]
	rawPath := drop(t, j, "IMG_1.DNG", raw)
	in := New(j, Options{})
	r := in.look(in.drop(rawPath, ""), j.State)
	if _, end := in.placeBeside(r, p, reason.RawOfShot); end != nil {
		t.Fatal(end.Why)
	}
	drop(t, j, "IMG_1.JPG", shown)
	drop(t, j, "again/IMG_1.DNG", raw)
	if sum := takeAll(t, j); sum.Beside != 1 || sum.Duplicate != 2 || originals(t, j) != 2 || len(j.State.Photos) != 1 {
		t.Errorf("%+v, %d originals", sum, originals(t, j))
	}
	if exists(path) || exists(rawPath) {
		t.Error("the inbox is not clear")
	}
}

func xmpText(date, word string) []byte {
	text := strings.Replace(sidecarText, "2026-03-14T20:15:00+01:00", date, 1)
	return []byte(strings.Replace(text, ">pilot-boat<", ">"+word+"<", 1))
}

func TestLateXMP(t *testing.T) {
	j := bench(t)
	// A photo whose own date is worth more, and one that has none.
	_, dated := shots(t, 1, shotAt)
	drop(t, j, "dated.jpg", dated)
	bare := drop(t, j, "bare.jpg", shot(t, 2))
	if err := os.Chtimes(bare, time.Time{}, time.Date(2026, 3, 20, 8, 0, 0, 0, time.UTC)); err != nil {
		t.Fatal(err)
	}
	takeAll(t, j)
	xmp := xmpText("2026-03-14T21:30:00+00:00", "pilot-boat")
	drop(t, j, "dated.xmp", xmp)
	drop(t, j, "bare.jpg.xmp", xmp)
	drop(t, j, "nobody.xmp", xmp)
	drop(t, j, "broken.xmp", xmp[:len(xmp)/2])
	sum := takeAll(t, j)
	if sum.Beside != 2 || len(sum.Left) != 2 || !strings.Contains(sum.Left[1].Why, "no photo of its name") {
		t.Fatalf("%+v", sum)
	}
	for name, source := range map[string]string{"dated.jpg": "DateTimeOriginal", "bare.jpg": "sidecar xmp:CreateDate"} {
		p := j.State.FindPhoto(name)[0]
		if p.Instant.Source != source || p.Tags.Build != "pilot-boat" || p.Why["build"].By != reason.Keyword || len(p.Beside) != 1 || p.Beside[0].Path != p.Path+".xmp" {
			t.Errorf("%s: %+v", name, p)
		}
		if kept, err := os.ReadFile(j.Path(p.Path + ".xmp")); err != nil || !bytes.Equal(kept, xmp) {
			t.Errorf("%s: %v", name, err)
		}
		if story := strings.Join(Story(p, j.State), "\n"); !strings.Contains(story, "came later") {
			t.Error(story)
		}
	}
	if exists(j.Path("inbox/dated.xmp")) || !exists(j.Path("inbox/nobody.xmp")) || !exists(j.Path("inbox/broken.xmp")) {
		t.Error("the inbox holds other files than it should")
	}
	if got := j.State.FindPhoto("bare.jpg")[0].Instant.At.UTC().Format(time.DateTime); got != "2026-03-14 21:30:00" {
		t.Errorf("taken %s", got)
	}
	// The same once more, then a newer version: each version is kept.
	drop(t, j, "dated.xmp", xmp)
	if sum := takeAll(t, j); sum.Duplicate != 1 || len(sum.Left) != 2 {
		t.Errorf("%+v", sum)
	}
	drop(t, j, "dated.xmp", xmpText("2026-03-14T21:30:00+00:00", "clean"))
	if sum := takeAll(t, j); sum.Beside != 1 {
		t.Errorf("%+v", sum)
	}
	if p := j.State.FindPhoto("dated.jpg")[0]; len(p.Beside) != 2 || p.Tags.Stage != "clean" {
		t.Errorf("%+v", p)
	}
	if found := j.Check(true); len(found) != 0 {
		t.Errorf("%+v", found)
	}
}

// Cameras count from one again: a name is not believed against the date.
func TestXMPOfAnotherDay(t *testing.T) {
	j := bench(t)
	_, shown := shots(t, 1, shotAt)
	_, next := shots(t, 2, "2026:04:02 10:00:00")
	drop(t, j, "IMG_1.JPG", shown)
	takeAll(t, j)
	other := drop(t, j, "IMG_1.xmp", xmpText("2026-04-02T10:00:00Z", "hull"))
	sum := takeAll(t, j)
	if sum.Beside != 0 || len(sum.Left) != 1 || !strings.Contains(sum.Left[0].Why, "speaks of 2026-04-02") {
		t.Fatalf("%+v", sum)
	}
	if rows, err := New(j, Options{}).Lying(context.Background()); err != nil || len(rows) != 1 || !strings.Contains(wording.ToDo(rows[0].Why), "speaks of") {
		t.Errorf("%+v, %v", rows, err)
	}
	// Two of the name: the date tells. None in it: nothing does.
	drop(t, j, "later/IMG_1.JPG", next)
	takeAll(t, j)
	drop(t, j, "later/IMG_1.xmp", xmpText("2026-04-02T10:00:00Z", "hull"))
	if sum := takeAll(t, j); sum.Beside != 1 {
		t.Errorf("%+v", sum)
	}
	// Named itself, it is taken at its name.
	if sum, err := New(j, Options{}).Take(context.Background(), []string{other}, nil); err != nil || sum.Beside != 1 || exists(other) {
		t.Errorf("%+v, %v", sum, err)
	}
	if p := j.State.FindPhoto("IMG_1.JPG"); len(p) != 2 || p[0].Instant.Source != "DateTimeOriginal" {
		t.Errorf("%+v", p)
	}
}

// The raw picture's own XMP file comes with it, the photo's later.
func TestXMPOfARawPair(t *testing.T) {
	j := bench(t)
	raw, shown := shots(t, 1, shotAt)
	drop(t, j, "IMG_1.DNG", raw)
	drop(t, j, "IMG_1.JPG", shown)
	drop(t, j, "IMG_1.DNG.xmp", xmpText("2026-03-14T20:15:02Z", "pilot-boat"))
	if sum := takeAll(t, j); sum.Taken != 1 || sum.Beside != 1 || len(sum.Left) != 0 {
		t.Fatalf("%+v", sum)
	}
	p := j.State.Photos[0]
	if _, err := os.Stat(j.Path(p.Beside[0].Path + ".xmp")); err != nil || len(p.Words) != 1 || p.Tags.Build != "pilot-boat" {
		t.Errorf("%v, %v", err, p.Words)
	}
	drop(t, j, "IMG_1.xmp", xmpText("2026-03-14T20:15:02Z", "hull"))
	if sum := takeAll(t, j); sum.Beside != 1 || len(j.State.Photos[0].Words) != 2 || len(j.Check(true)) != 0 {
		t.Errorf("%+v, %v, %+v", sum, j.State.Photos[0].Words, j.Check(true))
	}
}
