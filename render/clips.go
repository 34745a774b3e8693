// Clips on pages: the browser's own player, which loads nothing until it is asked,
// with a still where one can be had.

package render

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"time"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/say"
	"rakelight/media/clip"
)

// Moving is a clip on a page.
type Moving struct {
	Src    string // address of the file, "" = it is not on these pages
	Plays  bool   // browsers play it
	Poster string // address of its still, or of a plain card
	Width  int    // pixels of the frame, upright
	Height int
	Label  string // for those who do not see it: "clip of 7.5 s: Mail seaplane, clean"
	Says   string // "Clip, 7.5 s"
	Note   string // why it is not played here, "" = it is
}

// moving is what a page shows of a clip, by addresses from the top.
type moving struct {
	src, poster string
	not         say.Key // why readers do not get it
	plays       bool
}

// played are the sample descriptions that the browsers of today play everywhere they
// run; packings are the names of others. HEVC plays where the computer has a decoder
// of its own.
var (
	played   = map[string]bool{"avc1": true, "avc3": true, "av01": true, "vp08": true, "vp09": true}
	packings = map[string]string{"hvc1": "HEVC", "hev1": "HEVC", "dvh1": "HEVC", "dvhe": "HEVC", "ap4h": "ProRes",
		"ap4x": "ProRes", "apch": "ProRes", "apcn": "ProRes", "apcs": "ProRes", "apco": "ProRes",
		"mp4v": "MPEG-4 Part 2",
		"jpeg": "motion JPEG", "mjpa": "motion JPEG", "mjpb": "motion JPEG", "s263": "H.263", "SVQ1": "Sorenson Video",
		"SVQ3": "Sorenson Video"}
)

// plainCard is the asset that stands where no still can be had.
const plainCard = "assets/clip.svg"

// movingOf is what there is to show of a clip; the zero value of a photo.
func (v *view) movingOf(p *journal.Photo) moving {
	if !p.Clip() {
		return moving{}
	}
	m := moving{poster: plainCard, plays: played[p.Codec]}
	if v.mine() {
		// The original where it lies: pages/ stands beside photos/.
		m.src = "../" + (&url.URL{Path: p.Path}).EscapedPath()
	} else {
		m.src, m.not = v.clips[p.Hash].name, v.clips[p.Hash].not
	}
	if still := v.stillOf(p); still != nil {
		m.poster = sizesOf("", v.stem[still.Hash], still.Width, still.Height).Src
	} else if v.frames[p.Hash] != "" {
		m.poster = v.frameName(p)
	}
	return m
}

// beside is how far from a clip a photo may have been taken that stands for it.
const beside = time.Minute

// stillOf is the photo that stands for a clip until it is played: its own still, else
// the nearest photo of its build of the same minute; nil is none.
func (v *view) stillOf(p *journal.Photo) *journal.Photo {
	if hasPicture(p) && !v.unshown[p.Hash].any() {
		return p
	}
	b := v.builds[p.Tags.Build]
	if b == nil || p.Instant.Doubts.Any() {
		return nil
	}
	var best *journal.Photo
	var away time.Duration
	for _, one := range b.prints {
		d := one.Instant.At.Sub(p.Instant.At).Abs()
		if d <= beside && !one.Instant.Doubts.Any() && (best == nil || d < away) {
			best, away = one, d
		}
	}
	return best
}

// clipOf is a clip for a page where root leads back to the top; nil for a photo.
func (v *view) clipOf(root string, p *journal.Photo, alt string) *Moving {
	if !p.Clip() {
		return nil
	}
	m := v.movingOf(p)
	out := &Moving{Poster: root + m.poster, Plays: m.plays && m.src != "", Width: p.Frame[0], Height: p.Frame[1],
		Label: joinWords(": ", v.clipWords(p), alt), Says: v.Say("Clip")}
	if p.Length > 0 {
		out.Says = v.Say("Clip, %s", journal.LengthOf(p.Length))
	}
	if m.src != "" {
		out.Src = root + m.src
	}
	switch name := packings[p.Codec]; {
	case m.not != "":
		out.Note = v.Say(m.not)
	case m.plays:
	case name != "":
		out.Note = v.Say("It is packed as %s, which many browsers do not play.", name)
	default:
		out.Note = v.Say("Many browsers do not play it.")
	}
	if out.Width <= 0 || out.Height <= 0 {
		out.Width, out.Height = 16, 9
	}
	return out
}

// smallClip is a clip where there is no room for a player: its still, which leads to
// its place.
func (v *view) smallClip(root string, p *journal.Photo, pic Picture) Picture {
	poster := root + v.movingOf(p).poster
	pic.Unshown, pic.Src, pic.Large = "", poster, cmp.Or(pic.Home, poster)
	pic.Width, pic.Height = p.Frame[0], p.Frame[1]
	if pic.Width <= 0 || pic.Height <= 0 {
		pic.Width, pic.Height = 16, 9
	}
	pic.Alt = joinWords(": ", v.clipWords(p), pic.Alt)
	return pic
}

// clipWords names a clip by its length.
func (in voice) clipWords(p *journal.Photo) string {
	if p.Length > 0 {
		return in.Say("clip of %s", journal.LengthOf(p.Length))
	}
	return in.Say("clip")
}

// published is a clip in the folder for readers: its file, or why there is none.
type published struct {
	name string
	not  say.Key
}

// Why readers do not get a clip.
const (
	notForOthers say.Key = "It is not shown here, since its file may say where it was taken."
	notWhole     say.Key = "It is not shown here, since its file cannot be read."
	notOurs      say.Key = "It is not shown here, since a file of somebody else’s has its name."
)

// readersClips are the clips of an edition for readers, by hash, before any was looked
// into.
func (v *view) readersClips() map[string]published {
	if v.mine() {
		return nil
	}
	clips := map[string]published{}
	for _, p := range v.Photos {
		if p.Clip() {
			clips[p.Hash] = published{name: v.clipName(p)}
		}
	}
	return clips
}

// publicClips puts the clips that readers may see into the folder, each without what it
// says beside its pictures and its sound, and tells which are left out.
func (o *output) publicClips(ctx context.Context, j *journal.Journal, v *view, r *Report) error {
	var names []string
	for _, p := range v.Photos {
		if name := v.clips[p.Hash].name; name != "" {
			names = append(names, name)
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
		name := v.clips[p.Hash].name
		if name == "" {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if foreign[name] {
			v.clips[p.Hash] = published{not: notOurs}
			continue
		}
		err := o.publicClip(j, p, name, v.Config.Public.Times)
		if err == nil {
			continue
		}
		why, ok := notPublished(err)
		if !ok {
			return err
		}
		v.clips[p.Hash] = published{not: why}
		r.Withheld = append(r.Withheld, NotPublished{p, err})
	}
	return nil
}

// notPublished tells a clip that readers do not get from trouble that concerns all of
// them, such as a full disk.
func notPublished(err error) (why say.Key, ok bool) {
	var private *clip.PrivateError
	var broken *clip.BrokenError
	var other *clip.OtherError
	switch {
	case errors.As(err, &private):
		return notForOthers, true
	case errors.Is(err, clip.ErrCut), errors.As(err, &broken), errors.As(err, &other):
		return notWhole, true
	}
	_, ok = cannotShow(err)
	return notWhole, ok
}

// NotPublished is a clip that readers do not get, and why.
type NotPublished struct {
	Clip *journal.Photo
	Why  error
}

// clipName is the file of a clip for readers. Other rules of what a copy may hold make
// another file of it, and so do times that may be seen: copies by older ones are removed
// before anything else is done.
func (v *view) clipName(p *journal.Photo) string {
	times := ""
	if v.Config.Public.Times {
		times = "-timed"
	}
	return fmt.Sprintf("photos/%s-clip%d%s.mp4", v.stem[p.Hash], clip.Rules, times)
}

// publicClip writes one, unless it is there: a file that only we write, whose bytes
// follow from the original and its name.
func (o *output) publicClip(j *journal.Journal, p *journal.Photo, name string, times bool) error {
	path := o.path(name)
	if info, err := os.Stat(path); err == nil && info.Size() == p.Size && p.Size > 0 {
		return nil
	}
	original, err := j.Original(p.Path)
	if err != nil {
		return err
	}
	f, err := os.Open(original)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	edits, err := clip.Public(f, info.Size(), times)
	if err != nil {
		return err
	}
	if err := disk.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	tmp, err := disk.CreateTemp(filepath.Dir(path), ".rakelight-*.tmp")
	if err != nil {
		return err
	}
	defer disk.Remove(tmp.Name()) // gone already when all went well
	err = clip.Copy(tmp, f, info.Size(), edits)
	// Its being there is enough from then on, so its bytes are to be durable.
	if err := errors.Join(err, tmp.Sync(), tmp.Chmod(0o644), tmp.Close()); err != nil {
		return err
	}
	o.copied.Add(1)
	return disk.Rename(tmp.Name(), path)
}

// clipFiles are the files of the clips that readers get, and the stills of all.
func (v *view) clipFiles() []string {
	var names []string
	for _, p := range v.Photos {
		if name := v.clips[p.Hash].name; name != "" {
			names = append(names, name)
		}
		if v.frames[p.Hash] != "" {
			names = append(names, v.frameName(p))
		}
	}
	return names
}
