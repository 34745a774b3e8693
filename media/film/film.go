// Package film writes pictures one after another as a film: motion JPEG in an AVI,
// which editors of films open without any other program.
//
// Start with NewWriter. The file is that of Microsoft's "AVI RIFF File Reference"
// (AVI 1.0): a header, one stream of pictures, and an index at the end. It has no sound,
// no moment, and no word in it, so the same pictures give the same bytes.
package film

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"io"
)

// ErrTooLarge says that a film would be larger than its format, or those that read
// it, can hold.
var ErrTooLarge = errors.New("the film would be larger than 2 GB, which players of this format do not read")

// most is where an AVI ends: lengths have 32 bits, and many readers take them as signed.
const most = 1<<31 - 1<<20

// Rate is how many pictures a second are shown: Frames in Seconds.
type Rate struct{ Frames, Seconds uint32 }

// Writer writes a film. It holds one picture and the index: 16 bytes for each.
type Writer struct {
	to            io.WriteSeeker
	width, height int
	rate          Rate
	at            int64 // bytes written
	index         bytes.Buffer
	frames        uint32
	largest       uint32 // bytes of the largest picture
	err           error
}

// Places in the file, in bytes: the header has one length whatever is in it.
const (
	riffSize    = 4
	totalFrames = 48
	buffer      = 60
	length      = 140
	streamBuf   = 144
	moviSize    = 216
	movi        = 220 // of the letters "movi", which the index counts from
	headerSize  = 224
)

// NewWriter begins a film of pictures so many pixels wide and high. The caller closes
// to; what is written is a film only after Close.
func NewWriter(to io.WriteSeeker, width, height int, rate Rate) (*Writer, error) {
	if width <= 0 || height <= 0 || width > 1<<15 || height > 1<<15 || rate.Frames == 0 || rate.Seconds == 0 {
		return nil, fmt.Errorf("no film is %d by %d pixels, %d pictures in %d seconds", width, height, rate.Frames,
			rate.Seconds)
	}
	w := &Writer{to: to, width: width, height: height, rate: rate}
	w.write(w.header())
	return w, w.err
}

// header is the head of the file; the counts in it are set by Close.
func (w *Writer) header() []byte {
	var b bytes.Buffer
	text := func(s string) { b.WriteString(s) }
	long := func(all ...uint32) {
		for _, n := range all {
			_ = binary.Write(&b, binary.LittleEndian, n) // a buffer takes all
		}
	}
	short := func(all ...uint16) {
		for _, n := range all {
			_ = binary.Write(&b, binary.LittleEndian, n)
		}
	}
	wide, high := uint32(w.width), uint32(w.height)
	text("RIFF")
	long(0)
	text("AVI LIST")
	long(192)
	text("hdrlavih")
	micro := uint64(w.rate.Seconds) * 1e6 / uint64(w.rate.Frames)
	const hasIndex = 0x10
	long(56, uint32(micro), 0, 0, hasIndex, 0, 0, 1, 0, wide, high, 0, 0, 0, 0)
	text("LIST")
	long(116)
	text("strlstrh")
	long(56)
	text("vidsMJPG")
	long(0)
	short(0, 0)
	long(0, w.rate.Seconds, w.rate.Frames, 0, 0, 0, 0xffffffff, 0)
	short(0, 0, uint16(w.width), uint16(w.height))
	text("strf")
	long(40, 40, wide, high)
	short(1, 24)
	text("MJPG")
	long(3*wide*high, 0, 0, 0, 0)
	text("LIST")
	long(0)
	text("movi")
	return b.Bytes()
}

// Add shows a picture, a JPEG of the film's size, so many times.
func (w *Writer) Add(picture []byte, times int) error {
	is, err := jpeg.DecodeConfig(bytes.NewReader(picture))
	if err != nil {
		return err
	}
	if is.Width != w.width || is.Height != w.height {
		return fmt.Errorf("a picture of %d by %d in a film of %d by %d", is.Width, is.Height, w.width, w.height)
	}
	for range times {
		if w.at+int64(len(picture))+int64(w.index.Len())+64 > most {
			return ErrTooLarge
		}
		offset := uint32(w.at - movi)
		w.chunk("00dc", picture)
		const keyFrame = 0x10
		w.index.WriteString("00dc")
		for _, n := range []uint32{keyFrame, offset, uint32(len(picture))} {
			_ = binary.Write(&w.index, binary.LittleEndian, n)
		}
		w.frames++
		w.largest = max(w.largest, uint32(len(picture)))
	}
	return w.err
}

// AddImage is Add of a picture that is not a JPEG yet.
func (w *Writer) AddImage(img image.Image, quality, times int) error {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
		return err
	}
	return w.Add(b.Bytes(), times)
}

// Close writes the index and the counts. A film without a picture is an error.
func (w *Writer) Close() error {
	if w.err == nil && w.frames == 0 {
		w.err = errors.New("a film without a picture")
	}
	end := w.at // of the pictures
	w.chunk("idx1", w.index.Bytes())
	all := w.at
	for _, one := range []struct {
		at int64
		n  uint32
	}{
		{riffSize, uint32(all - 8)}, {totalFrames, w.frames}, {buffer, w.largest}, {length, w.frames},
		{streamBuf, w.largest}, {moviSize, uint32(end - movi)},
	} {
		if w.err == nil {
			_, w.err = w.to.Seek(one.at, io.SeekStart)
		}
		w.write(binary.LittleEndian.AppendUint32(nil, one.n))
	}
	if w.err == nil {
		_, w.err = w.to.Seek(all, io.SeekStart)
	}
	return w.err
}

// chunk writes a chunk, which begins at an even place.
func (w *Writer) chunk(name string, data []byte) {
	w.write(binary.LittleEndian.AppendUint32([]byte(name), uint32(len(data))))
	w.write(data)
	if len(data)%2 == 1 {
		w.write([]byte{0})
	}
}

func (w *Writer) write(data []byte) {
	if w.err != nil {
		return
	}
	n, err := w.to.Write(data)
	w.at, w.err = w.at+int64(n), err
}
