// WebP, GIF, HEIC and AVIF: their sizes, their pixels, and the chunks of a
// WebP.

package media

import (
	"bufio"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"io"
	"strings"

	"github.com/bep/imagemeta"
	"golang.org/x/image/webp"

	"rakelight/media/codec"
	"rakelight/media/patience"
)

// firstFrame decodes the first frame of a GIF, laid on the canvas of its size.
func firstFrame(f io.Reader, c image.Config) (image.Image, error) {
	img, err := gif.Decode(bufio.NewReader(f))
	if err != nil {
		return nil, err
	}
	canvas := image.Rect(0, 0, c.Width, c.Height)
	if img.Bounds() == canvas {
		return img, nil
	}
	whole := image.NewNRGBA(canvas)
	draw.Draw(whole, img.Bounds(), img, img.Bounds().Min, draw.Src)
	return whole, nil
}

// webpChunk returns the body of the first chunk of a kind, or nil. Only the
// headers of the others are read: metadata comes behind the pixels.
func webpChunk(f io.ReaderAt, size int64, kind string) []byte {
	var head [8]byte
	for at := int64(12); at <= size-8; {
		if n, _ := f.ReadAt(head[:], at); n < len(head) {
			return nil
		}
		s := span{At: at + 8, Size: int64(binary.LittleEndian.Uint32(head[4:]))}
		if string(head[:4]) == kind {
			if s.Size > size-s.At {
				return nil
			}
			return s.Body(f)
		}
		at += 8 + s.Size + s.Size&1 // bodies are padded to whole words
	}
	return nil
}

// webpConfig reads the size, and refuses films.
func webpConfig(f file) (image.Config, error) {
	size, err := sizeOf(f)
	if err != nil {
		return image.Config{}, err
	}
	if flags := webpChunk(f, size, "VP8X"); len(flags) > 0 && flags[0]&2 != 0 {
		return image.Config{}, &UnsupportedError{Sort: Picture, Kind: "animated WebP"}
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return image.Config{}, err
	}
	return webp.DecodeConfig(bufio.NewReader(f))
}

// webpDecode decodes the pixels. Lossy ones come as luma from 16 to 235 and
// chroma from 16 to 240, but in a type whose full range is 0 to 255: left so,
// white would be gray.
func webpDecode(f io.Reader) (image.Image, error) {
	img, err := webp.Decode(bufio.NewReaderSize(f, 64<<10))
	if err != nil {
		return nil, err
	}
	switch p := img.(type) {
	case *image.YCbCr:
		return studio(p, nil), nil
	case *image.NYCbCrA:
		return studio(&p.YCbCr, p), nil
	}
	return img, nil
}

// studio turns luma and chroma of the narrow range (ITU-R BT.601) into RGB.
func studio(p *image.YCbCr, alpha *image.NYCbCrA) *image.NRGBA {
	b := p.Rect
	out := image.NewNRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	clamp := func(v int32) uint8 { return uint8(max(0, min(255, (v+1<<15)>>16))) }
	for y := b.Min.Y; y < b.Max.Y; y++ {
		row := out.Pix[(y-b.Min.Y)*out.Stride:]
		for x := b.Min.X; x < b.Max.X; x++ {
			c := p.COffset(x, y)
			// 255/219, 255/224·1.402 and so on, times 65536.
			l := 76309 * (int32(p.Y[p.YOffset(x, y)]) - 16)
			u, v := int32(p.Cb[c])-128, int32(p.Cr[c])-128
			px := row[4*(x-b.Min.X):]
			px[0], px[1], px[2], px[3] = clamp(l+104597*v), clamp(l-25675*u-53279*v), clamp(l+132201*u), 255
			if alpha != nil {
				px[3] = alpha.A[alpha.AOffset(x, y)]
			}
		}
	}
	return out
}

// boxConfig reads the size of a HEIC or AVIF as its decoder gives it, and
// refuses what must not reach the decoder. The decoder's own way to the size
// fails on files of real telephones.
func boxConfig(f file, kind string) (image.Config, error) {
	size, err := sizeOf(f)
	if err != nil {
		return image.Config{}, err
	}
	p, err := readPictureBox(f, size)
	if err != nil {
		return image.Config{}, err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return image.Config{}, err
	}
	format := imagemeta.HEIF
	if kind == "avif" {
		format = imagemeta.AVIF
	}
	got, err := imagemeta.Decode(imagemeta.Options{R: f, ImageFormat: format, Sources: imagemeta.CONFIG,
		LimitNumTags: 2000, LimitTagSize: 4096})
	if err != nil {
		return image.Config{}, err
	}
	c := image.Config{ColorModel: color.YCbCrModel, Width: got.ImageConfig.Width, Height: got.ImageConfig.Height}
	if kind == "avif" && p.rotate%2 == 1 {
		c.Width, c.Height = c.Height, c.Width // turned by the reader, not by the decoder
	}
	return c, p.check(c.Width, c.Height)
}

// No HEIC or AVIF of a camera is larger; the whole file lies in memory while
// it is decoded.
const maxBoxed = 128 << 20

// boxDecode reads the pixels of a HEIC or AVIF; gone as waitFor's.
func boxDecode(f file, kind string, c image.Config, at *place) (img image.Image, gone, err error) {
	data, err := io.ReadAll(io.LimitReader(f, maxBoxed+1))
	if err != nil {
		return nil, nil, err
	}
	if len(data) > maxBoxed {
		return nil, nil, &BrokenError{Fault: FileTooLarge, Most: maxBoxed}
	}
	l := codec.For(c.Width * c.Height)
	p, err := readPictureBox(f, int64(len(data)))
	if err != nil {
		return nil, nil, err
	}
	l.Deep = p.deep
	img, gone, err = waitFor(kind, patience.Budget{Work: l.Budget(), Wait: l.Budget()}, at,
		func(*patience.Meter) (image.Image, error) {
			return codec.Decode(kind, data, l)
		})
	switch {
	case errors.Is(err, codec.ErrLeftOut):
		err = &NoPictureError{NoDecoder}
	case errors.Is(err, codec.ErrMemory):
		err = &BrokenError{Fault: TooMuch, Kind: kind, Width: c.Width, Height: c.Height, Detail: strings.ToUpper(kind),
			Needs: int64(l.Expected(kind, int64(len(data)))), Most: codec.MaxMemory}
	case errors.Is(err, codec.ErrDamaged):
		err = &BrokenError{Fault: Undecodable, Kind: kind, Detail: p.unread(err)}
	}
	return img, gone, err
}
