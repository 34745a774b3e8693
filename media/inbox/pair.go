// Raw pictures and the pictures of the same shot that can be shown: one photo
// with two files, in whatever order they come.

package inbox

import (
	"fmt"
	"path"
	"strings"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/media"
)

// stem is a file name without its ending, as cameras number their shots: in
// any case of letters.
func stem(name string) string {
	return strings.ToLower(strings.TrimSuffix(name, path.Ext(name)))
}

// pairs reports whether a format may be the shown half of a pair: cameras write
// these two beside a raw picture.
func pairs(format string) bool { return format == "jpeg" || format == "heic" }

// partnerOf is the kept photo of the same shot as the picture read, or nil: the
// same name but for the ending, from the same folder, of the same camera, taken
// in the same second by its own clock, one raw and the other not. Names alone
// would not do: cameras count from one again.
func (in *Inbox) partnerOf(r read, photos map[string]*journal.Photo) *journal.Photo {
	f := r.facts
	raw := media.IsRaw(f.Kind)
	if !raw && !pairs(f.Kind) || r.instant.Source != exifTime || f.Camera.Model == "" {
		return nil
	}
	var best *journal.Photo
	for _, p := range photos {
		if stem(p.Name) != stem(path.Base(f.Claims.FileName)) || p.Folder != r.Folder ||
			!p.Camera.Same(f.Camera) ||
			p.Instant.Source != exifTime || second(p.Instant.Wall) != second(r.instant.Wall) {
			continue
		}
		if raw && pairs(p.Format) && !hasRaw(p) || !raw && media.IsRaw(p.Format) {
			if best == nil || p.Hash < best.Hash {
				best = p
			}
		}
	}
	return best
}

// exifTime is the one claim both files of a shot state.
const exifTime = "DateTimeOriginal"

// second is a wall time without what is smaller than a second.
func second(wall string) string { return wall[:min(len(wall), len("2006:01:02 15:04:05"))] }

func hasRaw(p *journal.Photo) bool {
	for _, o := range p.Beside {
		if media.IsRaw(o.Format) {
			return true
		}
	}
	return false
}

// placeBeside keeps a raw picture, or what moves of a shot, beside its photo. The
// first record is that file's.
func (in *Inbox) placeBeside(r read, p *journal.Photo, why reason.Kin) (add []journal.Body, end *Outcome) {
	f := r.facts
	rel, err := in.placeLike(r, p.Path)
	if err != nil {
		return nil, r.ended(SetAside, fmt.Sprintf("it could not be kept beside %s (%v); left untouched", p.Name,
			cause(err))).again(err)
	}
	body := besideBody(p.Hash, &journal.Photo{Hash: f.Hash, Path: rel, Name: path.Base(f.Claims.FileName),
		Format: f.Kind, Size: f.Size}, why)
	// The picture's own XMP file may be the raw one's as well; a second one is
	// kept with the raw picture.
	var sidecar []journal.Body
	if f.Sidecar != "" && !strings.EqualFold(stem(path.Base(f.Sidecar)), stem(p.Name)) {
		whys := map[string]reason.Why{}
		if sidecar = in.placeSidecar(r, rel, p.Hash, whys); whys["sidecar"].By == reason.SidecarKept {
			body.Words = few(f.Keywords)
			in.wordTags(&body, p)
		}
	}
	return append([]journal.Body{body}, sidecar...), nil
}

// placeLike keeps a file under the name of another of the same shot, or under
// one of its own where that name is taken.
func (in *Inbox) placeLike(r read, kept string) (string, error) {
	f := r.facts
	rel, err := in.j.PlaceAs(r.Path, f.Hash, kept, media.Extension(f.Kind))
	if err != nil {
		return in.j.Place(r.Path, f.Hash, r.instant.At, media.Extension(f.Kind))
	}
	return rel, nil
}

// besideBody puts a raw picture, a clip, or what was a photo of its own, beside a
// photo.
func besideBody(photo string, raw *journal.Photo, why reason.Kin) journal.BesideBody {
	return journal.BesideBody{Photo: photo, Hash: raw.Hash, Path: raw.Path, Name: raw.Name, Format: raw.Format,
		Size: raw.Size, Why: reason.Link{By: why}}
}

// photoOf is a photo as its record will make it, as far as others are compared
// with it.
func photoOf(b journal.PhotoBody) *journal.Photo {
	return &journal.Photo{
		Hash: b.Hash, Path: b.Path, Name: b.Name, Folder: b.Folder, Size: b.Size, Format: b.Format, Width: b.Width,
		Height: b.Height,
		Turn:   b.Turn, Camera: b.Camera, Instant: b.Instant, Fingerprint: b.Fingerprint,
		Length: b.Length, Codec: b.Codec, Frame: b.Frame,
	}
}
