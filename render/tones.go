// The tone of each picture: what a page shows in its place until it is loaded.
//
// A tone is the mean color of the picture's smallest size, brought to one of a few
// that the style sheet knows by a class. So a page needs no style of its own and no
// picture in its text, both of which a careful host forbids, and a tone costs a page
// eleven bytes. It is worked out once for each photo.

package render

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"image/color"
	"io/fs"
	"maps"
	"os"

	"rakelight/journal"
	"rakelight/media"
)

// A tone is named by three digits, which are the steps of its brightness and of its two
// differences of color: "tone-511" is a gray. These are the values of a JPEG (ITU-T
// T.871), where equal steps look more alike than in red, green and blue.
const (
	brightSteps = 8  // of 32, from 16 to 240
	tintSteps   = 3  // of tintStep, gray in the middle
	tintStep    = 24 // wide enough for the paint of a model and narrow enough for its plastic
)

// toneOf is the class of a mean color.
func toneOf(mean color.YCbCr) string {
	tint := func(c uint8) int { return min(max((int(c)-128+tintStep*3/2)/tintStep, 0), tintSteps-1) }
	return fmt.Sprintf("tone-%d%d%d", int(mean.Y)*brightSteps/256, tint(mean.Cb), tint(mean.Cr))
}

// toneRules is the part of the style sheet that knows all tones. Words that stand in
// for a picture are readable on each.
func toneRules() []byte {
	var b bytes.Buffer
	b.WriteString("\n/* What stands in the place of a picture until it is loaded: its mean color. */\n[class^=tone-] { color: #000 }\n")
	for y := range brightSteps {
		for cb := range tintSteps {
			for cr := range tintSteps {
				bright := uint8(256/brightSteps*y + 128/brightSteps)
				red, green, blue := color.YCbCrToRGB(bright, uint8(128+tintStep*(cb-1)), uint8(128+tintStep*(cr-1)))
				ink := ""
				if lightOf(red, green, blue) < 0.21 {
					ink = "; color: #fff"
				}
				fmt.Fprintf(&b, ".tone-%d%d%d { background: #%02x%02x%02x%s }\n", y, cb, cr, red, green, blue, ink)
			}
		}
	}
	return b.Bytes()
}

// lightOf is about how much light a color sends out, of 1: the luminance of WCAG 2.2 with a
// square in the place of its curve.
func lightOf(red, green, blue uint8) float64 {
	square := func(v uint8) float64 { return float64(v) * float64(v) / (255 * 255) }
	return 0.2126*square(red) + 0.7152*square(green) + 0.0722*square(blue)
}

// tonesFile keeps the tones by photo. It is derived: without it all are worked out
// again, and are the same, since they come from files that are made the same again.
const tonesFile = ".cache/tones.json"

// tones fills v.tones. known are the tones this writer knows, nil = none yet; those
// known now come back. A picture whose smallest size is somebody else's file, or cannot
// be read, has no tone.
func (o *output) tones(ctx context.Context, j *journal.Journal, v *view, known map[string]string) (map[string]string,
	error) {
	if known == nil {
		known = readTones(j)
	}
	o.list()
	v.tones = make(map[string]string, len(v.Photos))
	fresh := false
	for _, p := range v.Photos {
		if v.unshown[p.Hash].any() {
			continue
		}
		tone := known[p.Hash]
		if tone == "" {
			if err := ctx.Err(); err != nil {
				return known, err
			}
			var err error
			if tone, err = o.tone(v, p); err != nil {
				return known, err
			}
		}
		if tone != "" {
			fresh = fresh || known[p.Hash] == ""
			known[p.Hash], v.tones[p.Hash] = tone, tone
		}
	}
	if len(known) > 2*len(v.tones)+100 { // most are of photos long gone, not only of such as are not for readers
		known, fresh = maps.Clone(v.tones), true
	}
	if !fresh {
		return known, nil
	}
	data, err := json.MarshalIndent(known, "", " ")
	if err != nil {
		return known, err
	}
	return known, journal.WriteFile(j.Path(tonesFile), append(data, '\n'))
}

// readTones are the tones that are kept, empty where none are.
func readTones(j *journal.Journal) (known map[string]string) {
	data, err := os.ReadFile(j.Path(tonesFile))
	if err != nil || json.Unmarshal(data, &known) != nil || known == nil {
		return map[string]string{}
	}
	return known
}

// tone works out one, "" = none.
func (o *output) tone(v *view, p *journal.Photo) (string, error) {
	name := sizeName(v.stem[p.Hash], widths[0])
	if !o.known.on[name] {
		return "", nil
	}
	mean, err := media.Mean(o.path(name))
	var disk *fs.PathError
	switch {
	case errors.As(err, &disk) && !errors.Is(err, fs.ErrNotExist):
		return "", err
	case err != nil:
		return "", nil // it is shown, or not, as it would be without a tone
	}
	return toneOf(mean), nil
}
