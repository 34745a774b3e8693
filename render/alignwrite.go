// Making the pictures of photos laid over each other, once, and measuring by
// what light their cards are seen, once too.

package render

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"os"

	"rakelight/journal"
	"rakelight/media"
	"rakelight/media/card"
)

// grayed is what the card of a photo tells of its light.
type grayed struct {
	Gain card.Correction `json:"gain"`
	Why  string          `json:"why,omitempty"` // why it tells nothing, "" = it does
}

// grayOf reads the correction of a photo from its gray steps.
func grayOf(g card.Gray, err error) grayed {
	if err != nil {
		return grayed{Why: err.Error()}
	}
	c := g.Correction()
	// Four figures say more than any eye sees, and come out alike everywhere.
	for _, v := range []*float64{&c.Red, &c.Green, &c.Blue} {
		*v = math.Round(*v*1e4) / 1e4
	}
	if tint := max(c.Red/c.Green, c.Blue/c.Green, c.Green/c.Red, c.Green/c.Blue); math.Abs(c.Stops()) > mostStops ||
		tint > mostTint {
		return grayed{Why: "the card's paper is so far from white that something else may have been measured"}
	}
	return grayed{Gain: c}
}

// gray is what was measured of a photo.
func (v *view) gray(p *journal.Photo) grayed {
	if g, ok := v.grays[p.Hash]; ok {
		return g
	}
	return grayed{Why: "the card's paper was not measured"}
}

// graysFile keeps what was measured. It is derived: without it all is measured
// again, with the same result.
const graysFile = ".cache/grays.json"

// grayPhotos are the photos whose light may be corrected: those of pairs and of
// flick-throughs.
func (v *view) grayPhotos() []*journal.Photo {
	var out []*journal.Photo
	for _, p := range v.pairs() {
		out = append(out, p.a.photo, p.b.photo)
	}
	for _, b := range v.order {
		out = append(out, v.flickPhotos(b)...)
	}
	return out
}

// measureGrays fills v.grays for all photos of which the light may be corrected and
// that show a card.
func (o *output) measureGrays(ctx context.Context, j *journal.Journal, v *view) error {
	old, now := knownGrays(j), map[string]grayed{}
	for _, p := range v.grayPhotos() {
		r := card.Best(v.State, p)
		if r == nil {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		key := grayKey(p, r)
		g, ok := now[key]
		if !ok {
			g, ok = old[key]
		}
		if !ok {
			var err error
			if g, err = measuredGray(j, p, r); err != nil {
				return err
			}
		}
		now[key], v.grays[p.Hash] = g, g
	}
	if !v.mine() {
		maps.Copy(now, old) // the builder's own pages have more pairs
	}
	if maps.Equal(old, now) {
		return nil
	}
	data, err := json.MarshalIndent(now, "", " ")
	if err != nil {
		return err
	}
	return journal.WriteFile(j.Path(graysFile), append(data, '\n'))
}

// knownGrays are what was measured before, by grayKey. What cannot be read as such is
// measured anew.
func knownGrays(j *journal.Journal) map[string]grayed {
	known := map[string]grayed{}
	if data, err := os.ReadFile(j.Path(graysFile)); err == nil {
		if json.Unmarshal(data, &known) != nil {
			clear(known)
		}
	}
	return known
}

// grayKey names a card in a photo, with all that is measured by.
func grayKey(p *journal.Photo, r *card.Ruler) string {
	return fmt.Sprintf("1 %s %v %v", p.Hash, r.Seen.Corners, r.Seen.Error)
}

// measuredGray is what the card of a photo tells of its light, or why it tells nothing;
// an error is one of the disk.
func measuredGray(j *journal.Journal, p *journal.Photo, r *card.Ruler) (grayed, error) {
	measured, err := grayAt(j, p, r)
	var disk *os.PathError
	if why, shown := cannotShow(err); shown {
		err = errors.New(why.words)
	} else if errors.As(err, &disk) {
		return grayed{}, err
	}
	return grayOf(measured, err), nil
}

// grayAt measures the gray step of the card in a photo's original.
func grayAt(j *journal.Journal, p *journal.Photo, r *card.Ruler) (card.Gray, error) {
	file, err := j.Original(p.Path)
	if err != nil {
		return card.Gray{}, err
	}
	return media.GrayOf(file, card.CornersOf(r.Seen), r.Seen.Error)
}

// lay makes the pictures of v's pairs that do not exist yet. What cannot be
// made is told in v.unlaid and stays as taken.
func (o *output) lay(ctx context.Context, j *journal.Journal, v *view) (made int, err error) {
	var missing []*lay
	for _, l := range v.lays() {
		if !o.haveAll(l.files()) {
			missing = append(missing, l)
		}
	}
	if len(missing) == 0 {
		return 0, nil
	}
	// A list of the names beforehand, so that a crash forgets no file.
	var names []string
	for _, l := range missing {
		names = append(names, l.files()...)
	}
	foreign := o.foreign(names)
	if err := o.enlist(without(names, foreign)); err != nil {
		return 0, err
	}
	for n, l := range missing {
		for i, p := range l.photos {
			if err := ctx.Err(); err != nil {
				return made, err
			}
			dst := func(width int) string { return o.path(sizeName(l.stem[i], width)) }
			var sizes []media.Size
			wanted := o.notReady(nil, l.stem[i], fileWidths(l.laid[i].Width), foreign)
			if len(wanted) == 0 {
				continue
			}
			file, err := j.Original(p.Path)
			if err == nil {
				sizes, err = l.laid[i].Write(file, p.Turn, dst, wanted)
			}
			made += len(sizes)
			if why, shown := cannotShow(err); shown {
				v.unlaid[l.stem[0]] = v.Say("the %s one cannot be read: %s", sideNames[i], v.unshownWords(why))
				break
			} else if err != nil {
				return made, err
			}
		}
		o.tell(n+1, len(missing), "pictures laid over each other")
	}
	return made, nil
}

// lays are the pairs laid over each other, in the order of the pairs.
func (v *view) lays() []*lay {
	var out []*lay
	for _, p := range v.pairs() {
		if l, _ := v.layOf(p); l != nil && v.unlaid[l.stem[0]] == "" {
			out = append(out, l)
		}
	}
	return out
}

// files are the names of the files of both pictures, below the pages folder.
func (l *lay) files() []string {
	var names []string
	for i, stem := range l.stem {
		for _, w := range fileWidths(l.laid[i].Width) {
			names = append(names, sizeName(stem, w))
		}
	}
	return names
}

// laidPair is the pair laid over each other as its page shows it, or why not.
func (v *view) laidPair(p pair, sides [2]CompareSide) (*LaidPair, string) {
	l, why := v.layOf(p)
	if l == nil {
		return nil, why
	}
	if why := v.unlaid[l.stem[0]]; why != "" {
		return nil, v.notLaid(why)
	}
	out := &LaidPair{Done: l.done}
	for i := range l.laid {
		pic := sizesOf(top, l.stem[i], l.laid[i].Width, l.laid[i].Height)
		pic.Sizes, pic.Eager, pic.Alt = asHalf, true, v.Say("%s, laid over the other picture", sides[i].Picture.Alt)
		pic.Tone, pic.Second = sides[i].Picture.Tone, i > 0
		out.Pictures[i] = pic
	}
	return out, ""
}
