// Readers that do not come back, and pictures inside pictures that claim more
// than the whole.

package media

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"rakelight/media/box"
	"rakelight/media/patience"
)

// stalling is a file that answers up to a place, and beyond it not before it is
// let go.
type stalling struct {
	*bytes.Reader
	from    int64
	release chan struct{}
}

func (s *stalling) Read(b []byte) (int, error) {
	if at := s.Size() - int64(s.Len()); at+int64(len(b)) > s.from {
		<-s.release
	}
	return s.Reader.Read(b)
}

// burning is a file whose reader keeps a processor busy beyond a place, until it
// is let go.
type burning struct {
	*bytes.Reader
	from    int64
	release atomic.Bool
}

func (s *burning) Read(b []byte) (int, error) {
	if at := s.Size() - int64(s.Len()); at+int64(len(b)) > s.from {
		for !s.release.Load() {
		}
	}
	return s.Reader.Read(b)
}

// TestDiskThatDoesNotAnswer: the caller goes on and may try again; others of the
// kind are read meanwhile, until two wait.
func TestDiskThatDoesNotAnswer(t *testing.T) {
	was := giveUp
	defer func() { giveUp = was }()
	whole := jpegWith(t, picture(1200, 900))
	if len(whole) < 20<<10 {
		t.Fatalf("only %d bytes", len(whole))
	}
	release := make(chan struct{})
	var busy *BusyError
	for range patience.Most {
		if _, err := decode(bytes.NewReader(whole), "jpeg", DefaultLimits); err != nil {
			t.Fatalf("another of the kind: %v", err)
		}
		giveUp.Wait = 20 * time.Millisecond
		stuck := &stalling{bytes.NewReader(whole), 16 << 10, release}
		if _, err := decode(stuck, "jpeg", DefaultLimits); !errors.As(err, &busy) || busy.Want != Disk {
			t.Fatal(err)
		}
		giveUp = was
	}
	if _, err := decode(bytes.NewReader(whole), "jpeg", DefaultLimits); !errors.As(err, &busy) || busy.Want != Reader {
		t.Errorf("a third of the kind: %v", err)
	}
	var other bytes.Buffer
	if err := png.Encode(&other, picture(20, 10)); err != nil {
		t.Fatal(err)
	}
	if _, err := decode(bytes.NewReader(other.Bytes()), "png", DefaultLimits); err != nil {
		t.Errorf("another kind: %v", err)
	}
	close(release)
	for waiting.Stuck("jpeg") > 0 {
		time.Sleep(time.Millisecond)
	}
	if _, err := decode(bytes.NewReader(whole), "jpeg", DefaultLimits); err != nil {
		t.Errorf("after their end: %v", err)
	}
	if room.free != room.all || room.lost != 0 {
		t.Errorf("%d of %d bytes of room given back, %d lost", room.free, room.all, room.lost)
	}
}

// TestSlowPicture: one whose reading takes too much of the processor's time is
// refused for good, with that reason.
func TestSlowPicture(t *testing.T) {
	was := giveUp
	giveUp.Work = time.Millisecond
	defer func() { giveUp = was }()
	slow := &burning{Reader: bytes.NewReader(jpegWith(t, picture(1200, 900))), from: 16 << 10}
	_, err := decode(slow, "jpeg", DefaultLimits)
	giveUp = was
	slow.release.Store(true)
	var broken *BrokenError
	if !errors.As(err, &broken) || broken.Fault != TooSlow || broken.Cut {
		t.Fatal(err)
	}
	for waiting.Stuck("jpeg") > 0 {
		time.Sleep(time.Millisecond)
	}
}

// hevcConfig is a decoder configuration whose parameter set claims a size.
func hevcConfig(width, height uint32) []byte {
	var out []byte
	at := 0
	put := func(v uint64, n int) {
		for i := n - 1; i >= 0; i-- {
			if at%8 == 0 {
				out = append(out, 0)
			}
			out[at/8] |= byte(v>>i&1) << (7 - at%8)
			at++
		}
	}
	golomb := func(v uint64) {
		n := 0
		for v+1 >= 1<<(n+1) {
			n++
		}
		put(0, n)
		put(v+1, n+1)
	}
	put(0, 4) // the video parameter set
	put(1, 3) // one layer more
	put(1, 1)
	for range 12 {
		put(0xa5, 8)
	}
	put(3, 2) // the layer has a profile and a level
	put(0, 14)
	for range 12 {
		put(0x5a, 8)
	}
	golomb(0)
	golomb(1)
	golomb(uint64(width))
	golomb(uint64(height))
	put(0, 8)
	unit := append([]byte{33 << 1, 1}, out...)
	body := append(make([]byte, 22), 1, 33, 0, 1)
	return append(binary.BigEndian.AppendUint16(body, uint16(len(unit))), unit...)
}

func TestPartsLargerThanTheWhole(t *testing.T) {
	for _, size := range [][2]uint32{{512, 512}, {4096, 3072}, {65535, 65535}, {1 << 30, 1}} {
		var got [2]uint32
		hevcSizes(hevcConfig(size[0], size[1]), func(w, h uint32) { got = [2]uint32{w, h} })
		if got != size {
			t.Errorf("read %v, want %v", got, size)
		}
	}
	for _, c := range []struct {
		whole [2]int
		parts [][]byte // bodies of hvcC
		ok    bool
	}{
		{[2]int{4032, 3024}, [][]byte{hevcConfig(512, 512)}, true},
		{[2]int{4032, 3024}, [][]byte{hevcConfig(4032, 3024)}, true},
		{[2]int{100, 80}, [][]byte{hevcConfig(512, 512)}, true},
		{[2]int{4032, 3024}, [][]byte{hevcConfig(512, 512), hevcConfig(16384, 16384)}, false},
		{[2]int{100, 80}, [][]byte{hevcConfig(8192, 4320)}, false},
		{[2]int{100, 80}, [][]byte{hevcConfig(65535, 1)}, false},
	} {
		var p pictureBox
		for _, part := range c.parts {
			p.property("hvcC", part)
		}
		if err := p.check(c.whole[0], c.whole[1]); (err == nil) != c.ok {
			t.Errorf("%v with parts up to %d by %d: %v", c.whole, p.widest, p.highest, err)
		}
	}
	// By the size property of an item as well.
	var p pictureBox
	p.property("ispe", append(make([]byte, 4), 0, 0, 0x80, 0, 0, 0, 0x80, 0))
	if p.check(100, 100) == nil {
		t.Error("an item of 32768 by 32768 in 100 by 100 passed")
	}
}

// TestCodedSizesOfRealFiles: what real files say of their parts lies near what
// they say of the whole, and none of them is refused.
func TestCodedSizesOfRealFiles(t *testing.T) {
	read := 0
	var paths []string
	for _, pattern := range []string{
		filepath.Join(moduleDir(t, "github.com/bep/imagemeta"), "testdata", "images", "*.*"), filepath.Join("codec", "testdata", "*.*"),
	} {
		list, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		paths = append(paths, list...)
	}
	for _, path := range paths {
		switch strings.ToLower(filepath.Ext(path)) {
		case ".heic", ".heif", ".avif":
		default:
			continue
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		p, err := readPictureBox(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			continue
		}
		kind, err := sniff(bytes.NewReader(data), path)
		if err != nil {
			continue
		}
		sets := 0
		if kind == "heic" {
			list, _ := topBoxes(bytes.NewReader(data), int64(len(data)))
			for _, s := range list {
				if s.Kind != "meta" {
					continue
				}
				box.Inner(s.Body(bytes.NewReader(data))[4:], func(kind string, body []byte) {
					if kind != "iprp" {
						return
					}
					box.Inner(body, func(_ string, body []byte) {
						box.Inner(body, func(kind string, body []byte) {
							if kind == "hvcC" {
								hevcSizes(body, func(w, h uint32) {
									if sets++; w < 16 || h < 16 || w > 8192 || h > 8192 {
										t.Errorf("%s: a parameter set of %d by %d", path, w, h)
									}
								})
							}
						})
					})
				})
			}
		}
		c, err := boxConfig(io.NewSectionReader(bytes.NewReader(data), 0, int64(len(data))), kind)
		if err == nil && c.Width > 0 {
			if read++; p.widest == 0 || kind == "heic" && sets == 0 {
				t.Errorf("%s: no size of its parts", path)
			}
			t.Logf("%s: %d by %d, largest part %d by %d", filepath.Base(path), c.Width, c.Height, p.widest, p.highest)
		} else if err != nil && faultOf(err) == PartTooLarge {
			t.Errorf("%s: %v", path, err)
		}
	}
	if read < 6 {
		t.Errorf("only %d files were read", read)
	}
}
