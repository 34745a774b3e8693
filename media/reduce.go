// The first step down for large JPEGs: the decoder's own luma and chroma are
// averaged by a whole number before any colour is made of them. What is left
// is resized well; the average of whole blocks costs nothing it could see.

package media

import (
	"image"
	"runtime"
	"sync"
)

// reduce averages blocks of k by k pixels, with k as large as leaves at least
// twice the width asked for, so that the resizer behind still has its say. It
// returns the picture itself where there is nothing to gain.
func reduce(img image.Image, width, turn int) image.Image {
	p, ok := img.(*image.YCbCr)
	if !ok {
		return img
	}
	w := p.Rect.Dx()
	if turn >= 5 {
		w = p.Rect.Dy()
	}
	k := w / max(1, 2*width)
	if k < 2 && w >= 3*width {
		k = 2 // at one and a half times the width there is no difference to see
	}
	if k < 2 {
		return img
	}
	var sx, sy int // pixels a chroma value stands for
	switch p.SubsampleRatio {
	case image.YCbCrSubsampleRatio444:
		sx, sy = 1, 1
	case image.YCbCrSubsampleRatio422:
		sx, sy = 2, 1
	case image.YCbCrSubsampleRatio420:
		sx, sy = 2, 2
	default:
		return img
	}
	if k%sx != 0 || k%sy != 0 || p.Rect.Min != (image.Point{}) {
		if k--; k < 2 || k%sx != 0 || k%sy != 0 || p.Rect.Min != (image.Point{}) {
			return img
		}
	}
	ow, oh := p.Rect.Dx()/k, p.Rect.Dy()/k // a rest of under k pixels is left out
	if ow == 0 || oh == 0 {
		return img
	}
	out := image.NewYCbCr(image.Rect(0, 0, ow, oh), image.YCbCrSubsampleRatio444)
	average(out.Y, out.YStride, p.Y, p.YStride, ow, oh, k, k)
	average(out.Cb, out.CStride, p.Cb, p.CStride, ow, oh, k/sx, k/sy)
	average(out.Cr, out.CStride, p.Cr, p.CStride, ow, oh, k/sx, k/sy)
	return out
}

// average fills a plane of w by h with the rounded means of blocks of kx by ky.
func average(dst []uint8, dstStride int, src []uint8, srcStride, w, h, kx, ky int) {
	if kx == 1 && ky == 1 {
		for y := range h {
			copy(dst[y*dstStride:y*dstStride+w], src[y*srcStride:])
		}
		return
	}
	var wait sync.WaitGroup
	parts := min(h, runtime.GOMAXPROCS(0))
	for part := range parts {
		wait.Go(func() {
			sums := make([]uint32, w)
			n := uint32(kx * ky)
			for y := part * h / parts; y < (part+1)*h/parts; y++ {
				clear(sums)
				for dy := range ky {
					row := src[(y*ky+dy)*srcStride:][:w*kx]
					switch kx {
					case 1:
						for x, v := range row {
							sums[x] += uint32(v)
						}
					case 2:
						for x := range sums {
							sums[x] += uint32(row[2*x]) + uint32(row[2*x+1])
						}
					default:
						for x := range sums {
							for _, v := range row[x*kx : x*kx+kx] {
								sums[x] += uint32(v)
							}
						}
					}
				}
				to := dst[y*dstStride:][:w]
				for x, s := range sums {
					to[x] = uint8((s + n/2) / n)
				}
			}
		})
	}
	wait.Wait()
}
