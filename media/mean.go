// The mean color of a picture.

package media

import (
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
)

// Mean is the mean of all pixels of a JPEG file that Sizes wrote, in the file's own
// values: what is left of the picture where it is blurred to one spot. An error is of
// the file system, or says that the file is none of those.
func Mean(path string) (color.YCbCr, error) {
	f, err := os.Open(path)
	if err != nil {
		return color.YCbCr{}, err
	}
	defer f.Close()
	img, err := jpeg.Decode(f)
	if err != nil {
		return color.YCbCr{}, fmt.Errorf("%s: %w", path, err)
	}
	b := img.Bounds()
	var at func(x, y int) color.YCbCr
	switch img := img.(type) {
	case *image.YCbCr:
		at = img.YCbCrAt
	case *image.Gray:
		at = func(x, y int) color.YCbCr { return color.YCbCr{Y: img.GrayAt(x, y).Y, Cb: 128, Cr: 128} }
	default:
		return color.YCbCr{}, fmt.Errorf("%s: not a picture of three colors or of grays", path)
	}
	var sum [3]int
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := at(x, y)
			sum[0], sum[1], sum[2] = sum[0]+int(c.Y), sum[1]+int(c.Cb), sum[2]+int(c.Cr)
		}
	}
	n := b.Dx() * b.Dy() // not 0: the decoder refuses such
	mean := func(sum int) uint8 { return uint8((sum + n/2) / n) }
	return color.YCbCr{Y: mean(sum[0]), Cb: mean(sum[1]), Cr: mean(sum[2])}, nil
}
