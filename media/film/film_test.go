// A film is read back by the reference of its format, chunk by chunk, with nothing of
// what wrote it.

package film

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"io"
	"os"
	"path/filepath"
	"testing"
)

// chunk is a piece of a RIFF file: its name, where its data begins, and the data; lists
// have a kind and pieces of their own.
type chunk struct {
	name, kind string
	at         int
	data       []byte
	in         []chunk
}

// riff reads chunks as the reference tells: four letters, a length of 32 bits, the
// data, and a byte more where the length is odd.
func riff(t *testing.T, data []byte, from int) (all []chunk) {
	t.Helper()
	for at := 0; at < len(data); {
		if at+8 > len(data) {
			t.Fatalf("a chunk begins at %d and has no head", from+at)
		}
		n := int(binary.LittleEndian.Uint32(data[at+4:]))
		if at+8+n > len(data) {
			t.Fatalf("the chunk at %d is %d bytes long, beyond its end", from+at, n)
		}
		c := chunk{name: string(data[at : at+4]), at: from + at + 8, data: data[at+8 : at+8+n]}
		if c.name == "RIFF" || c.name == "LIST" {
			c.kind = string(c.data[:4])
			c.in = riff(t, c.data[4:], c.at+4)
		}
		all = append(all, c)
		at += 8 + n + n%2
	}
	return all
}

func long(data []byte, at int) int { return int(binary.LittleEndian.Uint32(data[at:])) }

func plain(w, h int, shade uint8) image.Image {
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = shade + uint8(i%7)
	}
	return img
}

func TestFilmIsAsTheReferenceSays(t *testing.T) {
	t.Parallel()
	f, err := os.Create(filepath.Join(t.TempDir(), "a.avi"))
	if err != nil {
		t.Fatal(err)
	}
	w, err := NewWriter(f, 64, 36, Rate{2, 1})
	if err != nil {
		t.Fatal(err)
	}
	shades, times := []uint8{20, 120, 220}, []int{4, 1, 1}
	for i, s := range shades {
		if err := w.AddImage(plain(64, 36, s), 90, times[i]); err != nil {
			t.Fatal(err)
		}
	}
	if err := errors.Join(w.Close(), f.Close()); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(f.Name())
	if err != nil {
		t.Fatal(err)
	}
	file := riff(t, data, 0)
	if len(file) != 1 || file[0].name != "RIFF" || file[0].kind != "AVI " || len(file[0].in) != 3 {
		t.Fatalf("%d chunks, the first %q %q", len(file), file[0].name, file[0].kind)
	}
	hdrl, movi, idx := file[0].in[0], file[0].in[1], file[0].in[2]
	if hdrl.kind != "hdrl" || movi.kind != "movi" || idx.name != "idx1" {
		t.Fatalf("%q, %q, %q", hdrl.kind, movi.kind, idx.name)
	}
	// AVIMAINHEADER
	avih := hdrl.in[0]
	if avih.name != "avih" || len(avih.data) != 56 || long(avih.data, 0) != 500000 || long(avih.data, 12) != 0x10 || long(avih.data, 16) != 6 ||
		long(avih.data, 24) != 1 || long(avih.data, 32) != 64 || long(avih.data, 36) != 36 {
		t.Errorf("avih: %q %v", avih.name, avih.data)
	}
	// AVISTREAMHEADER and BITMAPINFOHEADER
	strl := hdrl.in[1]
	if strl.kind != "strl" || len(strl.in) != 2 {
		t.Fatalf("strl: %+v", strl)
	}
	strh, strf := strl.in[0], strl.in[1]
	if strh.name != "strh" || len(strh.data) != 56 || string(strh.data[:8]) != "vidsMJPG" || long(strh.data, 20) != 1 || long(strh.data, 24) != 2 || long(strh.data, 32) != 6 {
		t.Errorf("strh: %q %v", strh.name, strh.data)
	}
	if right, bottom := binary.LittleEndian.Uint16(strh.data[52:]), binary.LittleEndian.Uint16(strh.data[54:]); right != 64 || bottom != 36 {
		t.Errorf("rcFrame: %d, %d", right, bottom)
	}
	if strf.name != "strf" || len(strf.data) != 40 || long(strf.data, 0) != 40 || long(strf.data, 4) != 64 || long(strf.data, 8) != 36 || string(strf.data[16:20]) != "MJPG" {
		t.Errorf("strf: %q %v", strf.name, strf.data)
	}
	if len(movi.in) != 6 || len(idx.data) != 6*16 {
		t.Fatalf("%d pictures, %d bytes of index", len(movi.in), len(idx.data))
	}
	largest := 0
	for i, c := range movi.in {
		entry := idx.data[16*i:]
		// Offsets count from the letters "movi" to the chunk's own head.
		at := movi.at + long(entry, 8)
		if c.name != "00dc" || string(entry[:4]) != "00dc" || long(entry, 4) != 0x10 || at != c.at-8 || long(entry, 12) != len(c.data) || at%2 != 0 {
			t.Errorf("picture %d: %q at %d, in the index at %d with %d bytes of %d", i, c.name, c.at-8, at, long(entry, 12), len(c.data))
		}
		img, err := jpeg.Decode(bytes.NewReader(c.data))
		if err != nil {
			t.Fatal(err)
		}
		shade := shades[max(0, i-3)]
		if got := color.GrayModel.Convert(img.At(0, 0)).(color.Gray).Y; got < shade-6 || got > shade+12 {
			t.Errorf("picture %d has shade %d, not %d", i, got, shade)
		}
		largest = max(largest, len(c.data))
	}
	if long(avih.data, 28) != largest || long(strh.data, 36) != largest {
		t.Errorf("the largest picture has %d bytes, the header says %d and %d", largest, long(avih.data, 28), long(strh.data, 36))
	}
}

// The same pictures give the same bytes; what is no picture of the film is refused; an
// error of the disk comes back; a film without pictures is none.
func TestFilmRefuses(t *testing.T) {
	t.Parallel()
	var files [2]memory
	for i := range files {
		w, err := NewWriter(&files[i], 32, 18, Rate{1, 2})
		if err := errors.Join(err, w.AddImage(plain(32, 18, 50), 80, 3), w.Close()); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(files[0].data, files[1].data) {
		t.Error("two films of the same pictures differ")
	}
	w, err := NewWriter(&memory{}, 32, 18, Rate{1, 1})
	if err != nil {
		t.Fatal(err)
	}
	if w.AddImage(plain(32, 20, 50), 80, 1) == nil || w.Add([]byte("no picture"), 1) == nil || w.Close() == nil {
		t.Error("a picture of another size, no picture, or no film was taken")
	}
	for _, r := range []Rate{{0, 1}, {1, 0}} {
		if _, err := NewWriter(&memory{}, 32, 18, r); err == nil {
			t.Errorf("%v was taken", r)
		}
	}
	full := &memory{room: 500}
	w, err = NewWriter(full, 32, 18, Rate{1, 1})
	if err := errors.Join(err, w.AddImage(plain(32, 18, 50), 80, 2)); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("a full disk: %v", err)
	}
	if err := w.Close(); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("at the end: %v", err)
	}
	large, err := NewWriter(&memory{}, 32, 18, Rate{1, 1})
	if err != nil {
		t.Fatal(err)
	}
	large.at = most
	if err := large.AddImage(plain(32, 18, 50), 80, 1); !errors.Is(err, ErrTooLarge) {
		t.Errorf("too large: %v", err)
	}
}

// memory is a file in memory with so much room; 0 is enough for all.
type memory struct {
	data []byte
	at   int
	room int
}

func (m *memory) Write(p []byte) (int, error) {
	if m.room > 0 && m.at+len(p) > m.room {
		return 0, io.ErrShortWrite
	}
	if need := m.at + len(p); need > len(m.data) {
		m.data = append(m.data, make([]byte, need-len(m.data))...)
	}
	copy(m.data[m.at:], p)
	m.at += len(p)
	return len(p), nil
}

func (m *memory) Seek(offset int64, whence int) (int64, error) {
	m.at = int(offset)
	return offset, nil
}
