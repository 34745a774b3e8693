// From read files to recorded photos: the one place that writes, in the order
// bytes, record, inbox copy.

package inbox

import (
	"context"
	"fmt"
	"path"
	"slices"

	"rakelight/journal"
	"rakelight/journal/disk"
	"rakelight/journal/reason"
	"rakelight/journal/wording"
	"rakelight/media"
)

// keeping is one batch on its way from read files to recorded photos.
type keeping struct {
	in     *Inbox
	files  []*filed                  // as they came
	kept   map[string]*journal.Photo // recorded pictures by hash, a raw one beside a photo as one of its own would be
	photos map[string]*journal.Photo // recorded photos and those of this batch, by hash: where partners and originals are looked for
	placed map[string]bool           // hashes of the pictures of this batch
}

// filed is one file of a batch.
type filed struct {
	read
	as  as
	add []journal.Body // records that say so
	at  string         // where its bytes lie, below the journal folder
	out Outcome        // once it is settled
}

// as is what a file is kept as.
type as int

const (
	settled as = iota // its outcome is known
	aPhoto
	aRaw   // a raw picture, or what moves of a shot, beside its photo
	aCopy  // a smaller copy of a kept photo, to be set aside
	aTwin  // the same picture as another file of the batch
	anXMP  // an XMP file that came alone: after the photos, which may be its own
	aWhole // a file whose beginning is a kept photo
)

// keep places, records and clears a few files, and says what became of each.
// On an error the files of the batch that had no outcome yet stay as they
// were; what was placed is found again by its hash.
func (in *Inbox) keep(ctx context.Context, batch []read) ([]Outcome, error) {
	turn, err := in.j.Intake(ctx)
	if err != nil {
		return nil, err
	}
	defer turn.End()
	k := in.newKeeping(batch)
	k.place()
	err = k.record()
	if err == nil {
		k.leave()
		k.settleTwins()
		err = k.keepXMPs()
	}
	return k.outcomes(), err
}

// newKeeping begins a batch with what is recorded by now: another process may
// have recorded the same photos since they were read.
func (in *Inbox) newKeeping(batch []read) *keeping {
	k := &keeping{in: in, kept: in.recorded(), photos: in.j.State.PhotosByHash(), placed: map[string]bool{}}
	for _, r := range batch {
		k.files = append(k.files, &filed{read: r})
	}
	return k
}

// recorded are the pictures of the journal by hash: photos, and what lies beside
// them except XMP files.
func (in *Inbox) recorded() map[string]*journal.Photo {
	kept := in.j.State.PhotosByHash()
	for _, p := range in.j.State.Photos {
		for _, o := range p.Beside {
			if o.Format != journal.FormatXMP {
				one := *p
				one.Hash, one.Path, one.Name, one.Size, one.Format = o.Hash, o.Path, o.Name, o.Size, o.Format
				kept[o.Hash] = &one
			}
		}
	}
	return kept
}

// place decides what each file is kept as, and places the bytes of those that
// are new.
func (k *keeping) place() {
	for _, f := range k.bareLast() {
		hash := f.facts.Hash
		damaged, isDamaged := k.in.j.State.DamagedBytes(hash)
		switch {
		case f.end != nil && f.leaving:
			f.settle(k.in.endLeaving(f.read))
		case f.end != nil:
			f.settle(*f.end)
		case k.kept[hash] != nil:
			f.settle(k.in.again(f.read, k.kept[hash]))
		case f.facts.Kind == journal.FormatXMP:
			f.as = anXMP
		case k.placed[hash]:
			f.as = aTwin
		case isDamaged:
			f.settle(*f.ended(SetAside,
				fmt.Sprintf("these are the damaged bytes of %s, which was repaired; left untouched",
					damaged.Path)))
		default:
			k.placeNew(f)
		}
	}
}

// bareLast are the files, pictures without camera data and clips at the end: the
// original may lie beside its copy, under a later name, and the photos tell what the
// times of clips mean.
func (k *keeping) bareLast() []*filed {
	var with, without []*filed
	for _, f := range k.files {
		if f.end == nil && (bare(f.facts) || journal.IsClip(f.facts.Kind)) {
			without = append(without, f)
		} else {
			with = append(with, f)
		}
	}
	return append(with, without...)
}

// placeNew is for a picture that is not recorded yet.
func (k *keeping) placeNew(f *filed) {
	if part := k.beginningOf(f); part != nil {
		k.placeWhole(f, part)
		return
	}
	if original := k.in.originalOf(f.facts, k.photos); original != nil && !f.Meant {
		k.planAside(f, original)
		return
	}
	if journal.IsClip(f.facts.Kind) {
		f.instant = k.in.dated(f.facts, k.photos, k.in.j.State)
	}
	partner := k.in.partnerOf(f.read, k.photos)
	if partner != nil && media.IsRaw(f.facts.Kind) {
		k.placeBeside(f, partner, reason.RawOfShot)
		return
	}
	if partner == nil {
		partner = k.in.shotOf(f.read, k.photos)
	}
	if partner != nil && journal.IsClip(f.facts.Kind) {
		k.placeBeside(f, partner, reason.MovingShot)
		return
	}
	k.placePhoto(f, partner)
}

// planAside notes where a smaller copy of a kept photo is moved to. The record
// comes first, then the move.
func (k *keeping) planAside(f *filed, original *journal.Photo) {
	body := journal.AsideBody{Hash: f.facts.Hash, CopyOf: original.Hash, Why: copyOf(f.facts, original)}
	said := wording.Link(body.Why)
	if f.Inside {
		to, err := k.in.j.AsidePath(f.Shown)
		if err != nil {
			f.settle(*f.notAside(said, err))
			return
		}
		body.Path = to
		f.add = append(f.add, body)
	}
	f.as, f.out.Why, f.at = aCopy, said, body.Path
}

// placePhoto keeps a picture as a photo of its own; its partner, if there is one,
// is the raw picture of the shot, or what moves of it, which came first.
func (k *keeping) placePhoto(f *filed, partner *journal.Photo) {
	add, end := k.in.place(f.read, partner)
	if end != nil {
		f.settle(*end)
		return
	}
	body := add[0].(journal.PhotoBody)
	k.new(f, aPhoto, body.Path, add)
	k.photos[body.Hash] = photoOf(body)
	if partner != nil {
		k.photos[body.Hash].Beside = []journal.Original{{Hash: partner.Hash, Format: partner.Format}}
		delete(k.photos, partner.Hash)
		why := reason.RawOfShot
		if partner.Clip() {
			why = reason.MovingShot
		}
		f.add = append(f.add, besideBody(body.Hash, partner, why))
	}
}

// placeBeside keeps a raw picture, or what moves of a shot, beside its photo.
func (k *keeping) placeBeside(f *filed, partner *journal.Photo, why reason.Kin) {
	add, end := k.in.placeBeside(f.read, partner, why)
	if end != nil {
		f.settle(*end)
		return
	}
	body := add[0].(journal.BesideBody)
	k.new(f, aRaw, body.Path, add)
	with := *partner // the state's own is nobody's to change
	with.Beside = append(slices.Clip(with.Beside), journal.Original{Hash: body.Hash, Format: body.Format})
	k.photos[with.Hash] = &with
}

// new notes that a file's bytes are placed.
func (k *keeping) new(f *filed, as as, at string, add []journal.Body) {
	f.as, f.at, f.add = as, at, append(f.add, add...)
	k.placed[f.facts.Hash] = true
}

// record appends the records of all files in one write.
func (k *keeping) record() error {
	var add []journal.Body
	for _, f := range k.bareLast() {
		add = append(add, f.add...)
	}
	if _, err := k.in.j.AppendAll(add); err != nil {
		k.holdBack()
		return fmt.Errorf("no photo was recorded, all stay where they are: %w", err)
	}
	return nil
}

// holdBack is the outcome of all files that have none, when the journal could
// not be written.
func (k *keeping) holdBack() {
	for _, f := range k.files {
		if f.as != settled {
			o := f.ended(SetAside, "the journal could not be written; left untouched")
			o.retry = held
			f.settle(*o)
		}
	}
}

// leave has the inbox copies of what is recorded by now leave.
func (k *keeping) leave() {
	for _, f := range k.files {
		p, _, _ := k.in.j.State.Kept(f.facts.Hash)
		o := Outcome{Path: f.Shown, Photo: p}
		switch f.as {
		case aPhoto:
			o.Status = Taken
		case aWhole:
			o.Status, o.Notice, o.Why = Taken, true, f.out.Why
		case aRaw:
			o.Status, o.Why = Beside, "one photo with "+nameOf(p)
		case aCopy:
			f.settle(k.in.setAside(f.read, f.at, f.out.Why))
			continue
		default:
			continue
		}
		f.settle(k.in.left(f.read, o))
		k.in.sidecarLeaves(f.read, f.at)
	}
}

// nameOf is the name a photo came under; p may be nil.
func nameOf(p *journal.Photo) string {
	if p == nil {
		return "a photo that was taken back"
	}
	return p.Name
}

// settleTwins is for the same picture under another name in one batch.
func (k *keeping) settleTwins() {
	kept := k.in.recorded()
	for _, f := range k.files {
		if f.as != aTwin {
			continue
		}
		if p := kept[f.facts.Hash]; p != nil {
			f.settle(k.in.again(f.read, p))
		} else {
			f.settle(*f.ended(SetAside,
				"the same picture under another name could not be kept; left untouched").again(nil))
		}
	}
}

// keepXMPs keeps XMP files beside their photos, one after the other.
func (k *keeping) keepXMPs() error {
	for _, f := range k.files {
		if f.as != anXMP {
			continue
		}
		o, err := k.in.keepXMP(f.read)
		if err != nil {
			k.holdBack()
			return err
		}
		f.settle(o)
	}
	return nil
}

func (f *filed) settle(o Outcome) { f.as, f.out = settled, o }

func (k *keeping) outcomes() []Outcome {
	list := make([]Outcome, len(k.files))
	for i, f := range k.files {
		list[i] = f.out
	}
	return list
}

// place tags a photo and puts its bytes under photos/, beside those of the raw
// picture of the same shot if there is one. The first record is the photo's.
func (in *Inbox) place(r read, partner *journal.Photo) (add []journal.Body, end *Outcome) {
	defer func() {
		if p := recover(); p != nil {
			end = r.ended(SetAside, fmt.Sprintf("keeping it failed inside (%v); left untouched", p))
		}
	}()
	f := r.facts
	tags, why, guess := Tag(f, r.instant, r.Folder, in.j.State)
	if f.Picture.Any() {
		why["picture"] = f.Picture
	}
	if f.Color.Any() {
		why["color"] = f.Color
	}
	toPhotos := func() (string, error) {
		if partner != nil {
			return in.placeLike(r, partner.Path)
		}
		return in.j.Place(r.Path, f.Hash, r.instant.At, media.Extension(f.Kind))
	}
	rel, err := toPhotos()
	if err != nil && in.dropSizes(f) {
		rel, err = toPhotos() // on a full disk the original comes before what can be made again
	}
	if err != nil {
		return nil, r.notKept(err)
	}
	beside := in.placeSidecar(r, rel, f.Hash, why)
	return append([]journal.Body{journal.PhotoBody{
		Hash: f.Hash, Path: rel, Name: path.Base(f.Claims.FileName), Folder: r.Folder, Size: f.Size,
		Format: f.Kind, Width: f.Width, Height: f.Height, Turn: f.Turn, Camera: f.Camera,
		Instant: r.instant, Tags: tags, Why: why, Guess: guess,
		Words: few(f.Keywords), Fingerprint: f.Look.Fingerprint, Sharp: f.Look.Sharp, Cards: f.Cards,
		Length: f.Length.Milliseconds(), Codec: f.Codec, Frame: f.Frame,
	}}, beside...), nil
}

// dropSizes removes the sizes that were written while the file was read, and
// reports whether there were any.
func (in *Inbox) dropSizes(f media.Facts) bool {
	dropped := false
	if in.opts.SizePath != nil {
		for _, width := range in.opts.Widths {
			dropped = disk.Remove(in.opts.SizePath(f, width)) == nil || dropped
		}
	}
	return dropped
}

// notKept is the outcome of a file whose bytes could not be placed: it is the
// disk's fault, not the file's.
func (d Dropped) notKept(err error) *Outcome {
	return d.ended(SetAside, fmt.Sprintf("it could not be kept (%v); left untouched", cause(err))).again(err)
}

// few bounds the keywords that go into a record: some programs write hundreds.
func few(keywords []string) []string {
	var out []string
	for _, word := range keywords {
		if len(word) <= 100 && len(out) < 40 {
			out = append(out, word)
		}
	}
	return out
}
