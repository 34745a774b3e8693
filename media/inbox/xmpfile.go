// XMP files that come after their photo: an editor writes them, or a card was
// emptied in two goes. They are kept beside it, and add what it does not say.

package inbox

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/reason"
	"rakelight/media"
)

func isXMP(file string) bool { return strings.EqualFold(filepath.Ext(file), ".xmp") }

// oneDay is how far the date an XMP file states may lie from its photo's: the
// zones of the world are 26 hours apart.
const oneDay = 26 * time.Hour

// photoOfXMP finds the photo an XMP file speaks of, or says why there is none:
// one of its name from its folder, which was not taken on another day. Cameras
// count from one again, so that a name alone is not believed where the dates
// disagree; a person who names the file itself is.
func (in *Inbox) photoOfXMP(r read) (p *journal.Photo, why string) {
	s := in.j.State
	name := path.Base(r.facts.Claims.FileName)
	of := strings.ToLower(strings.TrimSuffix(name, path.Ext(name))) // "img_1", or "img_1.jpg"
	is := func(file string) bool { return strings.ToLower(file) == of || stem(file) == of }
	var named, fit []*journal.Photo
	for _, p := range s.Photos {
		mine := is(p.Name)
		for _, o := range p.Beside {
			mine = mine || o.Format != journal.FormatXMP && is(o.Name)
		}
		if !mine || p.Folder != r.Folder {
			continue
		}
		named = append(named, p)
		if dated := p.Instant.Source != journal.FileTime && p.Instant.Source != journal.TakenIn &&
			p.DatedBy == ""; dated && r.instant.Source != "" {
			if apart := p.Instant.At.Sub(r.instant.At).Abs(); apart > oneDay {
				continue
			}
		}
		fit = append(fit, p)
	}
	switch {
	case len(fit) == 1:
		return fit[0], ""
	case len(fit) == 0 && len(named) == 1 && r.Meant:
		return named[0], ""
	case len(named) == 0:
		return nil, "it is an XMP file, and no photo of its name came from its folder; it is kept with the photo once that comes"
	case len(fit) == 0:
		return nil, fmt.Sprintf("it is an XMP file that speaks of %s, but %s was taken on %s",
			r.instant.At.Format(time.DateOnly), named[0].Name, named[0].Instant.Day())
	}
	return nil, fmt.Sprintf("it is an XMP file, and %d photos bear its name; nothing in it tells which it speaks of",
		len(fit))
}

// lookXMP reads an XMP file that stands alone. Its instant is what it states
// by itself, without a source if it states none.
func (in *Inbox) lookXMP(r read, s *journal.State) read {
	facts, err := media.ReadXMP(r.Path)
	if err != nil {
		r.end = r.refused(err)
		return r
	}
	r.facts = facts
	only := facts.Claims
	only.FileName, only.FileTime = "", time.Time{}
	if i := media.Choose(only, journal.Camera{}, nil, s.ZoneAt); strings.HasPrefix(i.Source, "sidecar ") {
		r.instant = i
	}
	return r
}

// keepXMP places and records an XMP file beside its photo; then it leaves.
func (in *Inbox) keepXMP(r read) (Outcome, error) {
	p, why := in.photoOfXMP(r)
	left := "; left untouched"
	if r.Inside {
		left = "; left in the inbox"
	}
	if p == nil {
		return *r.ended(SetAside, why+left).again(nil), nil
	}
	for _, o := range p.Beside {
		if o.Hash == r.facts.Hash {
			one := *p
			one.Hash, one.Path = o.Hash, o.Path
			return in.again(r, &one), nil
		}
	}
	body := journal.BesideBody{
		Photo: p.Hash, Hash: r.facts.Hash, Name: path.Base(r.facts.Claims.FileName), Format: journal.FormatXMP,
		Size: r.facts.Size,
		Why:  reason.Link{By: reason.XMPLater}, Words: few(r.facts.Keywords),
	}
	if err := in.told(&body, p, r); err != nil {
		return *r.ended(SetAside, fmt.Sprintf("%s, which it belongs to, cannot be read (%v)%s", p.Path, cause(err),
			left)).again(err), nil
	}
	var err error
	if body.Path, err = in.j.PlaceAs(r.Path, body.Hash, p.Path, path.Ext(p.Path)+".xmp"); err != nil {
		// An earlier XMP file of the photo: each version is kept.
		body.Path, err = in.j.PlaceAs(r.Path, body.Hash, p.Path, path.Ext(p.Path)+"."+body.Hash[:8]+".xmp")
	}
	if err != nil {
		return *r.ended(SetAside, fmt.Sprintf("it could not be kept beside %s (%v)%s", p.Name, cause(err),
			left)).again(err), nil
	}
	if _, err := in.j.Append(body); err != nil {
		return Outcome{}, fmt.Errorf("no file was recorded, it stays where it is: %w", err)
	}
	kept, _, _ := in.j.State.Kept(p.Hash)
	return in.left(r, Outcome{Path: r.Shown, Status: Beside, Why: "kept beside " + p.Name, Photo: kept}), nil
}

// placeSidecar keeps the XMP file that came along with a picture beside it, and
// returns the record that tells its hash. Where it could not be kept the photo's
// reasons say so.
func (in *Inbox) placeSidecar(r read, picture, photo string, why map[string]reason.Why) []journal.Body {
	if r.facts.Sidecar == "" {
		return nil
	}
	rel, err := in.j.PlaceBeside(r.facts.Sidecar, picture)
	if os.IsNotExist(err) {
		return nil // it was kept beside the other file of the shot
	}
	var data []byte
	if err == nil {
		data, err = os.ReadFile(in.j.Path(rel))
	}
	if err != nil {
		why["sidecar"] = reason.Why{By: reason.SidecarLost, Name: cause(err).Error()}
		return nil
	}
	why["sidecar"] = reason.Why{By: reason.SidecarKept}
	return []journal.Body{journal.BesideBody{
		Photo: photo, Hash: hashOf(data), Path: rel, Name: filepath.Base(r.facts.Sidecar), Format: journal.FormatXMP,
		Size: int64(len(data)),
		Why:  reason.Link{By: reason.XMPAlong},
	}}
}

// sidecarLeaves has the inbox copy of an XMP file leave whose bytes lie beside the
// kept picture and are recorded: else they may not be durable. One that differs
// stays, and is told of as any other file.
func (in *Inbox) sidecarLeaves(r read, picture string) {
	file := r.facts.Sidecar
	if !r.Inside || r.leaving || file == "" {
		return
	}
	p, _, ok := in.j.State.Kept(r.facts.Hash)
	if !ok || !slices.ContainsFunc(p.Beside, func(o journal.Original) bool { return o.Path == picture+".xmp" }) {
		return
	}
	info, err := os.Lstat(file)
	if err != nil {
		return
	}
	here, err := os.ReadFile(file)
	if err != nil {
		return
	}
	there, err := os.ReadFile(in.j.Path(picture + ".xmp"))
	if err != nil || !bytes.Equal(here, there) {
		return
	}
	shown := path.Join(path.Dir(r.Shown), filepath.Base(file))
	// If it cannot leave it is looked at again by the next run.
	_ = in.leave(file, shown, stamp{in.opts.Now(), hashOf(here), info.Size(), info.ModTime()})
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// told fills in what the XMP file adds. Its date counts only where it would
// have counted had it come along with the picture: after what the camera wrote
// into the picture itself, before the file's name and time. So the answer does
// not depend on which of the two came first.
func (in *Inbox) told(body *journal.BesideBody, p *journal.Photo, r read) error {
	s := in.j.State
	claims, err := media.ClaimsOf(in.j.Path(p.Path))
	if err != nil {
		return err
	}
	claims.List = append(claims.List, r.facts.Claims.List...)
	claims.FileName = p.Name
	if i := media.Choose(claims, p.Camera, s.Clocks, s.ZoneAt); strings.HasPrefix(i.Source, "sidecar ") {
		body.Instant = &i
	}
	in.wordTags(body, p)
	return nil
}

// wordTags fills in the tags the body's keywords name. No instant goes in: the
// session is the fold's business.
func (in *Inbox) wordTags(body *journal.BesideBody, p *journal.Photo) {
	words := append(append([]string{}, p.Words...), body.Words...)
	tags, why, _ := in.j.State.Tag(journal.WordsOf(p.Folder, words),
		journal.Instant{Doubts: reason.Doubts{{Is: reason.NotAsked}}})
	body.Tags = tags
	for name, set := range map[string]bool{
		"build": tags.Build != "", "kit": tags.Kit != 0, "stage": tags.Stage != "", "parts": len(tags.Parts) > 0,
		"role": tags.Role != "", "view": tags.View != "", "light": tags.Light != "",
	} {
		if set && why[name].Any() {
			if body.TagsWhys == nil {
				body.TagsWhys = map[string]reason.Why{}
			}
			body.TagsWhys[name] = why[name]
		}
	}
}

func sizeIs(file string, size int64) bool {
	info, err := os.Stat(file)
	return err == nil && info.Size() == size
}
