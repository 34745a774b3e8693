// Clips: what photos of the same camera tell of their times, and clips that are
// what moves of a photo.

package inbox

import (
	"bytes"
	"io"
	"os"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/media"
)

// dated is when a clip was taken, with what the photos know that its camera took.
func (in *Inbox) dated(f media.Facts, photos map[string]*journal.Photo, s *journal.State) journal.Instant {
	c := f.Claims
	for _, p := range photos {
		if f.Camera.Model != "" && p.Camera.Same(f.Camera) {
			c.Others.Add(p)
		}
	}
	return media.Choose(c, f.Camera, s.Clocks, s.ZoneAt)
}

// The moving part of a shot lasts some seconds, and begins as long before it.
const (
	longestMoving  = 6 * time.Second
	aroundTheShot  = 10 * time.Second
	searchedForAny = 1 << 20 // bytes at the beginning of a photo, where its metadata lies
)

// shotOf is the kept photo that a clip is the moving part of, or the kept clip
// that moves for a photo; nil is none. Either both state one name of their own
// (telephones give one to the two), or they have the same file name but for the
// ending, from the same folder, of the same camera, within seconds.
func (in *Inbox) shotOf(r read, photos map[string]*journal.Photo) *journal.Photo {
	f := r.facts
	isClip := journal.IsClip(f.Kind)
	if !isClip && !pairs(f.Kind) || isClip && f.Length > longestMoving || r.instant.Doubts.Any() {
		return nil
	}
	var best *journal.Photo
	for _, p := range photos {
		if p.Clip() == isClip || isClip && (!pairs(p.Format) || hasMoving(p)) ||
			!isClip && time.Duration(p.Length)*time.Millisecond > longestMoving ||
			p.Folder != r.Folder || !p.Camera.Same(f.Camera) || p.Instant.Doubts.Any() ||
			p.Instant.At.Sub(r.instant.At).Abs() > aroundTheShot {
			continue
		}
		named := strings.EqualFold(stem(p.Name), stem(f.Claims.FileName)) && f.Camera.Model != ""
		if (named || in.shareName(r, p, isClip)) && (best == nil || p.Hash < best.Hash) {
			best = p
		}
	}
	return best
}

// shareName reports whether a clip's own name stands in the photo.
func (in *Inbox) shareName(r read, p *journal.Photo, isClip bool) bool {
	kept, err := in.j.Original(p.Path)
	if err != nil {
		return false
	}
	photo, moving := r.Path, kept
	if isClip {
		photo, moving = kept, r.Path
	}
	name := media.MovingName(moving)
	if len(name) < 16 { // shorter ones may stand anywhere
		return false
	}
	f, err := os.Open(photo)
	if err != nil {
		return false
	}
	defer f.Close()
	head, err := io.ReadAll(io.LimitReader(f, searchedForAny))
	return err == nil && bytes.Contains(head, []byte(name))
}

func hasMoving(p *journal.Photo) bool {
	for _, o := range p.Beside {
		if journal.IsClip(o.Format) {
			return true
		}
	}
	return false
}
