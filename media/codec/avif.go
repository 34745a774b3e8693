// AVIF pixels, by libavif and aom: BSD-2, see NOTICE.

package codec

import (
	_ "embed"
	"image"
	"sync"
)

//go:embed avif/decode.wasm.gz
var avifCode []byte

var avifProgram = sync.OnceValues(func() (*program, error) { return compile(avifCode) })

func decodeAVIF(data []byte, l Limits) (image.Image, error) {
	p, err := avifProgram()
	if err != nil {
		return nil, err
	}
	in, err := p.start(l, l.Expected("avif", int64(len(data))))
	if err != nil {
		return nil, err
	}
	defer in.close()
	return in.avif(data, l)
}

func (in *instance) avif(data []byte, l Limits) (image.Image, error) {
	src, err := in.put(data)
	if err != nil {
		return nil, err
	}
	say, err := in.alloc(4*4 + 8) // four numbers, and how long the frame is shown
	if err != nil {
		return nil, err
	}
	const sizesOnly, pixels, firstFrame = 1, 0, 0
	run := func(what, out uint64) error {
		return in.call(src, uint64(len(data)), what, firstFrame, say, say+4, say+8, say+12, say+16, out)
	}
	if err := run(sizesOnly, 0); err != nil {
		return nil, err
	}
	var width, height, depth uint32
	if err := in.numbers(say, &width, &height, &depth); err != nil {
		return nil, err
	}
	if err := l.fits(width, height); err != nil {
		return nil, err
	}
	each := uint64(4)
	if depth > 8 {
		each = 8
	}
	size := uint64(width) * uint64(height) * each
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
	rect := image.Rect(0, 0, int(width), int(height))
	if depth <= 8 {
		return &image.RGBA{Pix: pix, Stride: 4 * int(width), Rect: rect}, nil
	}
	for i := 0; i+1 < len(pix); i += 2 { // the library writes low bytes first
		pix[i], pix[i+1] = pix[i+1], pix[i]
	}
	return &image.RGBA64{Pix: pix, Stride: 8 * int(width), Rect: rect}, nil
}
