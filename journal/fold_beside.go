// This file folds files that lie beside a photo: the raw picture of the same
// shot, and XMP files that came later. All photo records were read before, so
// it does not matter which of the two files was taken in first.

package journal

import (
	"cmp"
	"errors"
	"slices"
)

// FormatXMP is the format of XMP files beside photos.
const FormatXMP = "xmp"

// shown is the photo a hash stands for: the photo itself, or the one that the
// file lies beside.
func (f *folding) shown(hash string) *Photo {
	// Each step was a photo when it was put beside another: there is no ring.
	for f.shownBy[hash] != "" {
		hash = f.shownBy[hash]
	}
	return f.photos[hash]
}

func (f *folding) beside(r Record) error {
	b, err := read[BesideBody](r)
	if err != nil {
		return err
	}
	if b.Hash == "" || b.Path == "" {
		return errors.New("it names no file")
	}
	if err := confinedPhoto(b.Path); err != nil {
		return err
	}
	p := f.shown(b.Photo)
	switch {
	case p == nil:
		return &absentError{"photo", b.Photo}
	case p.Hash == b.Hash:
		return errors.New("it puts a photo beside itself")
	}
	if slices.ContainsFunc(p.Beside, func(o Original) bool { return o.Hash == b.Hash }) {
		return nil // put there already, on another device
	}
	was := f.photos[b.Hash]
	// Two photos may have XMP files of the same bytes, which say the same of
	// both; a raw picture is of one shot.
	if b.Format != FormatXMP {
		if f.shownBy[b.Hash] != "" {
			return errors.New("it puts a file beside a second photo; it stays with the first")
		}
		f.shownBy[b.Hash] = p.Hash
	} else if was != nil {
		return errors.New("it puts a photo beside another as an XMP file")
	}
	f.log.joined = append(f.log.joined, joinedPhoto{p.Hash, p.Instant.At})
	if was != nil {
		f.log.joined = append(f.log.joined, joinedPhoto{b.Hash, was.Instant.At})
	}
	p.Beside = append(p.Beside, Original{b.Hash, b.Path, b.Name, b.Format, b.Size, link(b.Why, b.OldWhy), r.ID()})
	if was != nil {
		// It was a photo of its own: what was found out about it still counts,
		// and what lay beside it moves along.
		delete(f.photos, b.Hash)
		p.merge(was)
		p.Beside = append(p.Beside, was.Beside...)
		p.addWords(was.Words)
	}
	slices.SortFunc(p.Beside, func(a, b Original) int {
		return cmp.Or(cmp.Compare(a.Path, b.Path),
			cmp.Compare(a.Hash, b.Hash))
	})
	if b.Instant != nil && p.Instant.Source != SaidSo { // what a person says stands above every file
		p.Instant = b.Instant.inCodes()
	}
	p.addWords(b.Words)
	said := &Photo{Tags: b.Tags, Why: whys(b.TagsWhys, b.OldWhys)}
	if p.Tags.Build != "" && p.Tags.Build == b.Tags.Build && p.Tags.Stage == "" && b.Tags.Stage != "" {
		p.Tags.Stage = b.Tags.Stage
		p.because("stage", said.Why["stage"])
	}
	p.merge(said)
	return nil
}

// saidOfParts lets what a person said of a file that lies beside a photo, of its
// cards and its date, count for the photo: it is the same picture. What was said
// of the photo itself comes first.
func (f *folding) saidOfParts(records []Record, gone gone) {
	if len(f.cardSaid)+len(f.datedBy) == 0 {
		return
	}
	whole := map[string]string{}
	for _, r := range records {
		if !is[BesideBody](r) || gone.has(r) {
			continue
		}
		if b, err := read[BesideBody](r); err == nil && b.Format != FormatXMP && whole[b.Hash] == "" {
			whole[b.Hash] = b.Photo
		}
	}
	for _, part := range sortedKeys(whole) {
		to := whole[part]
		for range whole { // a ring ends somewhere
			if whole[to] == "" {
				break
			}
			to = whole[to]
		}
		if said, ok := f.cardSaid[part]; ok && f.cardsBy[to] == "" {
			f.cardSaid[to], f.cardsBy[to] = said, f.cardsBy[part]
		}
		if said, ok := f.datedBy[part]; ok {
			if _, own := f.datedBy[to]; !own {
				f.datedBy[to] = said
			}
		}
	}
}

// addWords adds keywords the photo does not have yet.
func (p *Photo) addWords(words []string) {
	for _, w := range words {
		if !slices.Contains(p.Words, w) {
			p.Words = append(p.Words, w)
		}
	}
}

// Kept returns the photo a kept file belongs to and where that file lies; ok is
// false when no photo has such bytes.
func (s *State) Kept(hash string) (p *Photo, file Original, ok bool) {
	for _, p := range s.photos() {
		if p.Hash == hash {
			return p, Original{Hash: hash, Path: p.Path, Name: p.Name, Format: p.Format, Size: p.Size,
				Record: p.Record}, true
		}
		for _, o := range p.Beside {
			if o.Hash == hash {
				return p, o, true
			}
		}
	}
	return nil, Original{}, false
}
