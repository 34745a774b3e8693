// This file makes pictures that tell nothing but what is in them.

package judge

import (
	"bytes"
	crand "crypto/rand"
	"fmt"
	"image"
	"image/jpeg"

	"github.com/disintegration/imaging"

	"rakelight/journal"
	"rakelight/media"
)

// Every picture is shown at this size, whatever it was taken at.
const (
	width, height = 960, 720
	quality       = 88
)

// detailOf is the number of pixels across that both photos of a pair have after
// they are cropped: width, or less when one of them is small. Both are brought
// to it first, because a picture that is softer than the other one would tell
// which camera, and so which year, it comes from.
func detailOf(p *journal.BlindPair) int {
	across := func(p *journal.Photo) int { return min(p.Width, p.Height*width/height) }
	return max(4, min(width, across(p.Left), across(p.Right)))
}

// neutralOf is neutral of a photo's original.
func neutralOf(j *journal.Journal, p *journal.Photo, detail, quality int) ([]byte, error) {
	file, err := j.Original(p.Path)
	if err != nil {
		return nil, err
	}
	return neutral(file, p.Turn, detail, quality)
}

// neutral is the picture in the shape and size of all others, written anew from
// its pixels: a JPEG without any segment of words or profiles. detail is the
// pixels across it may show at most.
func neutral(path string, turn, detail, quality int) ([]byte, error) {
	img, err := media.Decode(path, media.DefaultLimits)
	if err != nil {
		return nil, err
	}
	var out image.Image = imaging.Fill(media.Upright(imaging.Clone(img), turn), detail, max(1, detail*height/width),
		imaging.Center, imaging.Lanczos)
	if detail < width {
		out = imaging.Resize(out, width, height, imaging.Lanczos)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, out, &jpeg.Options{Quality: quality}); err != nil {
		return nil, fmt.Errorf("the picture cannot be written: %w", err)
	}
	return b.Bytes(), nil
}

// random is a word of n random digits and small letters, none of which is read
// as another: it holds no vowel, and so no word either.
func random(n int) (string, error) {
	const letters = "23456789bcdfghjkmnpqrstvwxyz2345" // 32, so that each byte gives one evenly
	b := make([]byte, n)
	if _, err := crand.Read(b); err != nil {
		return "", fmt.Errorf("no random number was to be had: %w", err)
	}
	for i := range b {
		b[i] = letters[b[i]%32]
	}
	return string(b), nil
}
