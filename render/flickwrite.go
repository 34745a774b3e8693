// Making the frames of flick-throughs, once.

package render

import (
	"context"
	"errors"
	"image"
	"io/fs"
	"math"
	"os"
	"slices"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/media/card"
)

// flick makes the frames of v's flick-throughs that do not exist yet. One that cannot
// be made is told in v.unflicked, and its photo is shown as it is.
func (o *output) flick(ctx context.Context, j *journal.Journal, v *view) (made int, err error) {
	var missing []flickFrame
	var names []string
	width := frameWide
	for _, f := range v.flicks() {
		for _, one := range f.frames {
			if name := sizeName(one.stem, width); !o.haveAll([]string{name}) && !slices.Contains(names, name) {
				missing, names = append(missing, one), append(names, name)
			}
		}
	}
	if len(missing) == 0 {
		return 0, nil
	}
	foreign := o.foreign(names)
	if err := o.enlist(without(names, foreign)); err != nil {
		return 0, err
	}
	edges := map[string]float64{}
	for n, one := range missing {
		if err := ctx.Err(); err != nil {
			return made, err
		}
		if foreign[names[n]] {
			v.unflicked[one.stem] = true
			continue
		}
		err := o.flickFrame(j, v, one, names[n], edges)
		if _, shown := cannotShow(err); shown {
			v.unflicked[one.stem] = true
		} else if err != nil {
			return made, err
		} else {
			made++
		}
		o.tell(n+1, len(missing), "pictures of flick-throughs")
	}
	return made, nil
}

// flickFrame makes one frame, from the largest of the photo's web sizes: it is upright,
// in sRGB, larger than the frame, and a tenth of the work of the original.
func (o *output) flickFrame(j *journal.Journal, v *view, one flickFrame, name string, edges map[string]float64) error {
	laid, src, turn, err := o.nearest(j, v, one)
	if err != nil {
		return err
	}
	if one.like != nil {
		laid.Gain, err = v.evened(o, one, edges)
		if err != nil {
			return err
		}
	}
	_, err = laid.Write(src, turn, func(int) string { return o.path(name) }, []int{laid.Width})
	return err
}

// nearest is a frame's picture as laid from the file it is made of.
func (o *output) nearest(j *journal.Journal, v *view, one flickFrame) (laid media.Laid, src string, turn int,
	err error) {
	p := one.photo
	have := fileWidths(p.Width)
	src, laid = o.path(sizeName(v.stem[p.Hash], have[len(have)-1])), one.laid
	if _, err := os.Stat(src); errors.Is(err, fs.ErrNotExist) {
		src, err := j.Original(p.Path)
		return laid, src, p.Turn, err
	}
	by := float64(min(have[len(have)-1], p.Width)) / float64(p.Width)
	laid.From = laid.From.Then(card.Homography{by, 0, 0, 0, by, 0, 0, 0, 1})
	return laid, src, 1, nil
}

// evened is the correction that brings the light of a frame half of the way to that of
// the picture it is to be like.
func (v *view) evened(o *output, one flickFrame, edges map[string]float64) (card.Correction, error) {
	var lights [2]float64
	for i, p := range [2]*journal.Photo{one.photo, one.like} {
		light, known := edges[p.Hash]
		if !known {
			img, err := media.Decode(o.path(sizeName(v.stem[p.Hash], fileWidths(p.Width)[0])), media.DefaultLimits)
			if err != nil {
				return card.Correction{}, err
			}
			light = edgeLight(img)
			edges[p.Hash] = light
		}
		lights[i] = light
	}
	if g := v.gray(one.like); g.Why == "" {
		lights[1] += g.Gain.Stops()
	}
	return evenBy(lights[0], lights[1]), nil
}

// evenBy is half of what two lights differ by, in stops, and half a stop at most.
func evenBy(is, like float64) card.Correction {
	const most = 0.5
	by := math.Exp2(min(max((like-is)/2, -most), most))
	return card.Correction{Red: by, Green: by, Blue: by}
}

// edgeLight is how light the bench is around the work: the median of the outer eighth
// of a picture, in stops.
func edgeLight(img image.Image) float64 {
	b := img.Bounds()
	dx, dy := max(1, b.Dx()/8), max(1, b.Dy()/8)
	var counts [256]int
	total := 0
	for y := b.Min.Y; y < b.Max.Y; y += 2 {
		for x := b.Min.X; x < b.Max.X; x += 2 {
			if x >= b.Min.X+dx && x < b.Max.X-dx && y >= b.Min.Y+dy && y < b.Max.Y-dy {
				continue
			}
			r, g, bl, _ := img.At(x, y).RGBA()
			counts[(299*r+587*g+114*bl)/1000>>8]++
			total++
		}
	}
	middle, n := 0, 0
	for ; middle < 255 && 2*(n+counts[middle]) < total; middle++ {
		n += counts[middle]
	}
	v := max(float64(middle)/255, 0.02) // black has no stops
	if v <= 0.04045 {
		v /= 12.92
	} else {
		v = math.Pow((v+0.055)/1.055, 2.4)
	}
	return math.Log2(v)
}
