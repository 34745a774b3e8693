// Which colors a picture holds: a few numbers by which evenings of one build look
// more alike than those of two.

package past

import (
	"image"
	"math"
)

// The colors of a picture are its shares of gray in steps of brightness, and of hues in
// two strengths, each as the root of its share (so that their differences are a
// Hellinger distance), of 255. What is in the middle counts more.
const (
	grays, hues, strengths = 5, 12, 2
	colorBins              = grays + hues*strengths

	colorSide = 48   // pixels of the longer side, after making smaller
	faint     = 7.0  // chroma below which a pixel is gray, of 128
	strong    = 26.0 // chroma from which its hue is strong
)

// colorsOf are the colors of a picture; nil = it is but a line.
func colorsOf(img image.Image) []byte {
	small := shrink(img)
	if len(small) == 0 || len(small[0]) == 0 {
		return nil
	}
	whiten(small)
	var share [colorBins]float64
	sum := 0.0
	for y, row := range small {
		for x, c := range row {
			dx, dy := (float64(x)+0.5)/float64(len(row))-0.5, (float64(y)+0.5)/float64(len(small))-0.5
			w := math.Exp(-(dx*dx + dy*dy) / (2 * 0.25 * 0.25))
			sum += w
			spreadColor(&share, c, w)
		}
	}
	out := make([]byte, colorBins)
	for i := range out {
		out[i] = uint8(math.Round(255 * math.Sqrt(share[i]/sum)))
	}
	return out
}

// brightest is the share of pixels that are darker than what is taken for white.
const brightest = 0.97

// whiten takes out the color of the light: of each of red, green and blue, what is
// brightest in the picture becomes as bright as that of green.
func whiten(rows [][][3]float64) {
	var white [3]float64
	for i := range white {
		var of [256]int
		n := 0
		for _, row := range rows {
			for _, c := range row {
				of[uint8(c[i])]++
				n++
			}
		}
		v := 255
		for over := of[v]; float64(over) <= (1-brightest)*float64(n) && v > 0; over += of[v] {
			v--
		}
		white[i] = float64(v) + 5 // of a black picture nothing is taken out
	}
	for _, row := range rows {
		for x := range row {
			for i := range white {
				row[x][i] = min(255, row[x][i]*white[1]/white[i])
			}
		}
	}
}

// spreadColor gives the weight of one pixel to the bins around its color.
func spreadColor(share *[colorBins]float64, c [3]float64, w float64) {
	y := 0.299*c[0] + 0.587*c[1] + 0.114*c[2]
	cb, cr := 0.564*(c[2]-y), 0.713*(c[0]-y)
	chroma := math.Hypot(cb, cr)
	colored := between(chroma, faint/2, faint*3/2)
	deep := between(chroma, strong/2, strong*3/2)
	at := y / 255 * (grays - 1)
	i := min(int(at), grays-2)
	share[i] += w * (1 - colored) * (1 - (at - float64(i)))
	share[i+1] += w * (1 - colored) * (at - float64(i))
	turn := (math.Atan2(cr, cb)/(2*math.Pi) + 1) * hues
	k := int(turn)
	part := turn - float64(k)
	for s, of := range [strengths]float64{1 - deep, deep} {
		share[grays+s*hues+k%hues] += w * colored * of * (1 - part)
		share[grays+s*hues+(k+1)%hues] += w * colored * of * part
	}
}

// between is 0 up to a, 1 from b, and a straight line from one to the other.
func between(x, a, b float64) float64 { return max(0, min(1, (x-a)/(b-a))) }

// shrink is the picture by the mean of blocks, rows of red, green, blue of 255.
func shrink(img image.Image) [][][3]float64 {
	b := img.Bounds()
	k := max(1, (max(b.Dx(), b.Dy())+colorSide-1)/colorSide)
	rows := make([][][3]float64, b.Dy()/k)
	for y := range rows {
		rows[y] = make([][3]float64, b.Dx()/k)
		for x := range rows[y] {
			var sum [3]float64
			for dy := range k {
				for dx := range k {
					r, g, bl, _ := img.At(b.Min.X+x*k+dx, b.Min.Y+y*k+dy).RGBA()
					sum[0] += float64(r)
					sum[1] += float64(g)
					sum[2] += float64(bl)
				}
			}
			for i := range sum {
				rows[y][x][i] = sum[i] / float64(k*k) / 257
			}
		}
	}
	return rows
}
