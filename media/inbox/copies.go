// Smaller copies of kept photos, as messengers send them: the same picture,
// fewer pixels, all that the camera wrote taken out. They are set aside, never
// deleted, and a person can take them in all the same.

package inbox

import (
	"fmt"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/media"
)

// bare reports whether the picture lost all that a camera writes, as a copy
// sent by a messenger does. A copy that still tells its camera is no messenger's
// and may be the only one with its time.
func bare(f media.Facts) bool {
	return f.Camera == (journal.Camera{}) && len(f.Claims.List) == 0 && f.Claims.GPS.IsZero()
}

// originalOf is the kept photo that the picture is a smaller copy of, or nil.
// Fingerprints suggest it; the kept original itself, opened, decides. One that cannot
// be opened decides nothing.
func (in *Inbox) originalOf(f media.Facts, photos map[string]*journal.Photo) *journal.Photo {
	if !bare(f) || f.Look.Fingerprint == "" || journal.IsClip(f.Kind) {
		return nil
	}
	var best *journal.Photo
	for _, p := range photos {
		// A picture of a few pixels fewer is a crop, not a copy; and a copy is
		// of the same shape, up to rounding.
		shape := p.Width*f.Height - p.Height*f.Width
		if p.Clip() || p.Width < f.Width*11/10 || max(shape, -shape) > max(p.Width, p.Height)*2 ||
			media.FingerprintDistance(p.Fingerprint, f.Look.Fingerprint) > media.CopyFingerprint {
			continue
		}
		file, err := in.j.Original(p.Path)
		if err != nil {
			continue
		}
		look, err := media.LookAt(file, p.Turn)
		if err != nil || !look.Copies(f.Look) {
			continue
		}
		if best == nil || p.Width > best.Width || p.Width == best.Width && p.Hash < best.Hash {
			best = p
		}
	}
	return best
}

// setAside moves a copy out of the way to there, and says why; a file elsewhere stays.
func (in *Inbox) setAside(r read, to, why string) Outcome {
	if !r.Inside {
		return *r.ended(Copy, why+"; left untouched: name it itself to take it in all the same")
	}
	if err := r.unchanged(); err != nil {
		return *r.notAside(why, err)
	}
	if err := in.j.MoveAside(r.Shown, to); err != nil {
		return *r.notAside(why, err)
	}
	return *r.ended(Copy, fmt.Sprintf("%s; moved to %s (%s takes it in all the same)", why, to,
		journal.Typed("rakelight take %s", to)))
}

func (d Dropped) notAside(why string, err error) *Outcome {
	return d.ended(SetAside, fmt.Sprintf("%s; it could not be set aside (%v); left in the inbox", why,
		cause(err))).again(err)
}

// copyOf is why a copy is set aside.
func copyOf(f media.Facts, p *journal.Photo) reason.Link {
	return reason.Link{By: reason.SmallerCopy, Width: f.Width, Height: f.Height, Of: p.Hash, Name: p.Name,
		OfWide: p.Width, OfHigh: p.Height}
}
