// HEIC pixels, by libheif and libde265: LGPL-3, see NOTICE.

//go:build !noheic

package codec

import (
	_ "embed"
	"fmt"
	"image"
	"sync"
)

//go:embed heif/heif.wasm.gz
var heifCode []byte

var heifProgram = sync.OnceValues(func() (*program, error) { return compile(heifCode) })

// HEIC says whether HEIC pictures can be decoded in this build.
const HEIC = true

// What the library calls its color spaces and chroma formats.
const (
	heifYCbCr, heifRGB, heifMonochrome = 0, 1, 2
	heif420, heif422, heif444          = 1, 2, 3
)

func decodeHEIC(data []byte, l Limits) (image.Image, error) {
	p, err := heifProgram()
	if err != nil {
		return nil, err
	}
	in, err := p.start(l, l.Expected("heic", int64(len(data))))
	if err != nil {
		return nil, err
	}
	defer in.close()
	return in.heic(data, l)
}

func (in *instance) heic(data []byte, l Limits) (image.Image, error) {
	src, err := in.put(data)
	if err != nil {
		return nil, err
	}
	say, err := in.alloc(5 * 4)
	if err != nil {
		return nil, err
	}
	const sizesOnly, pixels = 1, 0
	run := func(what, out uint64) error {
		return in.call(src, uint64(len(data)), what, say, say+4, say+8, say+12, say+16, out)
	}
	if err := run(sizesOnly, 0); err != nil {
		return nil, err
	}
	var width, height, space, chroma, premultiplied uint32
	if err := in.numbers(say, &width, &height, &space, &chroma, &premultiplied); err != nil {
		return nil, err
	}
	if err := l.fits(width, height); err != nil {
		return nil, err
	}
	w, h := uint64(width), uint64(height)
	// Rows are padded to 16 bytes.
	wide := func(n uint64) uint64 { return (n + 15) &^ 15 }
	rect := image.Rect(0, 0, int(width), int(height))
	var size, yEnd, cbEnd, cw, ch uint64
	ratio := image.YCbCrSubsampleRatio444
	switch space {
	case heifYCbCr:
		switch chroma {
		case heif420:
			cw, ch, ratio = (w+1)/2, (h+1)/2, image.YCbCrSubsampleRatio420
		case heif422:
			cw, ch, ratio = (w+1)/2, h, image.YCbCrSubsampleRatio422
		case heif444:
			cw, ch = w, h
		default:
			return nil, fmt.Errorf("%w (its chroma format %d is unknown)", ErrDamaged, chroma)
		}
		yEnd = wide(w) * h
		cbEnd = yEnd + wide(cw)*ch
		size = cbEnd + wide(cw)*ch
	case heifMonochrome:
		size = wide(w) * h
	case heifRGB:
		size = wide(4*w) * h
	default:
		return nil, fmt.Errorf("%w (its color space %d is unknown)", ErrDamaged, space)
	}
	out, err := in.alloc(size)
	if err != nil {
		return nil, err
	}
	if err := run(pixels, out); err != nil {
		return nil, err
	}
	pix, err := in.take(out, size)
	if err != nil {
		return nil, err
	}
	switch {
	case space == heifYCbCr:
		return &image.YCbCr{
			Y: pix[:yEnd:yEnd], Cb: pix[yEnd:cbEnd:cbEnd], Cr: pix[cbEnd:size:size],
			SubsampleRatio: ratio, YStride: int(wide(w)), CStride: int(wide(cw)), Rect: rect,
		}, nil
	case space == heifMonochrome:
		return &image.Gray{Pix: pix, Stride: int(wide(w)), Rect: rect}, nil
	case premultiplied == 1:
		return &image.RGBA{Pix: pix, Stride: int(wide(4 * w)), Rect: rect}, nil
	}
	return &image.NRGBA{Pix: pix, Stride: int(wide(4 * w)), Rect: rect}, nil
}
