// This file makes the sizes the pages show: one decoding, then down a ladder.

package media

import (
	"bytes"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"os"
	"slices"
	"sync"

	"github.com/disintegration/imaging"

	"rakelight/journal"
)

// Size is one web size as written.
type Size struct {
	Width, Height int
	Path          string
}

// quality is where artifacts vanish on photos at these widths; higher only
// makes files larger.
const quality = 82

// Sizes writes the picture src, turned upright, at each of the widths as JPEG
// files without any metadata, and returns them widest first. dst names the file
// of a width. A picture is never enlarged: widths above its own become its own,
// once.
func Sizes(src string, turn int, dst func(width int) string, widths []int) ([]Size, error) {
	data, err := os.ReadFile(src)
	if err != nil {
		return nil, err
	}
	kind, err := sniff(data[:min(32, len(data))], src)
	if err != nil {
		return nil, err
	}
	img, err := decode(bytes.NewReader(data), kind)
	if err != nil {
		return nil, err
	}
	widths = slices.Clone(widths)
	slices.Sort(widths)
	slices.Reverse(widths)
	var made []Size
	upright := image.Image(nil)
	for _, w := range widths {
		if upright == nil {
			// The first step shrinks before it turns: fewer pixels to move.
			scaled := shrink(img, w, turn)
			upright = Upright(scaled, turn)
		} else {
			upright = shrink(upright, w, 1)
		}
		b := upright.Bounds()
		if len(made) > 0 && made[len(made)-1].Width == b.Dx() {
			continue
		}
		var out bytes.Buffer
		if err := jpeg.Encode(&out, onWhite(upright), &jpeg.Options{Quality: quality}); err != nil {
			return nil, err
		}
		path := dst(w)
		if err := journal.WriteFile(path, out.Bytes()); err != nil {
			return nil, err
		}
		made = append(made, Size{b.Dx(), b.Dy(), path})
	}
	return made, nil
}

// shrink scales so that the upright picture is w wide; smaller ones stay.
func shrink(img image.Image, w, turn int) image.Image {
	b := img.Bounds()
	if turn >= 5 {
		if b.Dy() <= w {
			return img
		}
		return imaging.Resize(img, 0, w, imaging.Lanczos)
	}
	if b.Dx() <= w {
		return img
	}
	return imaging.Resize(img, w, 0, imaging.Lanczos)
}

// Upright turns the picture as EXIF orientation 1 to 8 says it is shown
// (JEITA CP-3451, p. 18).
func Upright(img image.Image, turn int) image.Image {
	switch turn {
	case 2:
		return imaging.FlipH(img)
	case 3:
		return imaging.Rotate180(img)
	case 4:
		return imaging.FlipV(img)
	case 5:
		return imaging.Transpose(img)
	case 6:
		return imaging.Rotate270(img)
	case 7:
		return imaging.Transverse(img)
	case 8:
		return imaging.Rotate90(img)
	}
	return img
}

// onWhite lays the picture on white, as paper would show it, in the pixel
// layout the encoder is quickest with.
func onWhite(img image.Image) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, img.Bounds().Dx(), img.Bounds().Dy()))
	draw.Draw(out, out.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(out, out.Bounds(), img, img.Bounds().Min, draw.Over)
	return out
}

// decoding bounds the memory of pictures decoded at once.
var decoding = &budget{left: 60_000_000, change: sync.NewCond(&sync.Mutex{})}

// budget hands out pixels. A picture larger than the whole budget goes alone.
type budget struct {
	left, out int
	change    *sync.Cond
}

func (b *budget) take(n int) {
	b.change.L.Lock()
	defer b.change.L.Unlock()
	for b.out > 0 && n > b.left {
		b.change.Wait()
	}
	b.left -= n
	b.out++
}

func (b *budget) give(n int) {
	b.change.L.Lock()
	b.left += n
	b.out--
	b.change.L.Unlock()
	b.change.Broadcast()
}
