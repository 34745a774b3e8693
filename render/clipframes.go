// Stills of clips that have none, taken out of them by a video program where one is
// there: an extra, without which a plain card stands in its place.

package render

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/media"
)

// framesDir keeps the stills by hash. They are derived: without them they are taken
// again, where the program is.
const framesDir = ".cache/stills"

// readFrames sees to the stills of the clips that have none, by take (nil = no program is
// there), and notes which clips have one. What cannot be taken is not tried again.
func (v *view) readFrames(ctx context.Context, j *journal.Journal,
	take func(ctx context.Context, clip, jpeg string) error) error {
	v.frames = map[string]string{}
	for _, p := range v.Photos {
		if !p.Clip() || v.stillOf(p) != nil {
			continue
		}
		kept := j.Path(framesDir + "/" + p.Hash + ".jpg")
		if _, err := os.Stat(kept); err != nil && take != nil {
			if err := takeFrame(ctx, j, p, kept, take); err != nil {
				return err
			}
		}
		v.setFrame(j, p)
	}
	return nil
}

// setFrame notes the still of a clip, if one was taken.
func (v *view) setFrame(j *journal.Journal, p *journal.Photo) {
	kept := j.Path(framesDir + "/" + p.Hash + ".jpg")
	if info, err := os.Stat(kept); err == nil && info.Size() > 0 {
		v.frames[p.Hash] = kept
	}
}

// takeFrame takes one: anew from its pixels, so that it holds nothing else. An empty
// file says that there is none to be had. An error is that of a disk, or of ctx.
func takeFrame(ctx context.Context, j *journal.Journal, p *journal.Photo, kept string,
	take func(ctx context.Context, clip, jpeg string) error) error {
	original, err := j.Original(p.Path)
	if err != nil {
		return nil // it is told elsewhere
	}
	if err := disk.MkdirAll(filepath.Dir(kept), 0o755); err != nil {
		return err
	}
	raw := kept + ".raw"
	defer disk.Remove(raw)
	if err := take(ctx, original, raw); err == nil {
		_, err := media.Sizes(raw, 1, func(int) string { return kept }, []int{widths[1]})
		if err == nil {
			return nil
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	empty, err := disk.OpenFile(kept, os.O_CREATE|os.O_WRONLY|os.O_TRUNC, 0o644)
	if err != nil {
		return fmt.Errorf("%s: %w", framesDir, err)
	}
	return empty.Close()
}

// frameName is the file of a clip's still below the pages folder.
func (v *view) frameName(p *journal.Photo) string { return "photos/" + v.stem[p.Hash] + "-still.jpg" }

// placeFrames puts the stills among the pages.
func (o *output) placeFrames(v *view) error {
	var names []string
	for _, p := range v.Photos {
		if v.frames[p.Hash] != "" {
			names = append(names, v.frameName(p))
		}
	}
	if len(names) == 0 {
		return nil
	}
	foreign := o.foreign(names)
	if err := o.enlist(without(names, foreign)); err != nil {
		return err
	}
	for _, p := range v.Photos {
		kept, name := v.frames[p.Hash], v.frameName(p)
		if kept == "" {
			continue
		}
		is, err := os.Stat(kept)
		have, haveErr := os.Stat(o.path(name))
		switch {
		case foreign[name], err != nil:
			delete(v.frames, p.Hash)
			continue
		case haveErr == nil && have.Size() == is.Size():
			continue
		}
		data, err := os.ReadFile(kept)
		if err != nil {
			return err
		}
		if _, err := o.writeChanged(file{path: name, data: data}); err != nil {
			return err
		}
	}
	return nil
}
