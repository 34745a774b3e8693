// This file folds photos and what a person said of them.

package journal

import (
	"errors"
	"maps"
	"slices"

	"rakelight/journal/reason"
)

func (f *folding) photo(r Record) error {
	b, err := f.bodies.read(r)
	if err != nil {
		return err
	}
	if b.Hash == "" || b.Path == "" {
		return errors.New("it names no file")
	}
	if err := confinedPhoto(b.Path); err != nil {
		return err
	}
	p := &Photo{
		Hash: b.Hash, Path: b.Path, Name: b.Name, Folder: b.Folder, Size: b.Size, Format: b.Format,
		Width: b.Width, Height: b.Height, Turn: b.Turn, Camera: b.Camera, Instant: b.Instant,
		// The body may be used again: what could be changed is copied.
		Tags: b.Tags, Why: maps.Clone(b.Why), Guess: b.Guess, Record: r.ID(),
		Words: slices.Clone(b.Words), Fingerprint: b.Fingerprint, Sharp: b.Sharp, Cards: slices.Clone(b.Cards),
		Length: b.Length, Codec: b.Codec, Frame: b.Frame,
	}
	f.taggedAt[p.Hash] = append(f.taggedAt[p.Hash], b.Instant.At)
	p.Tags.Parts = slices.Clone(b.Tags.Parts)
	if first := f.photos[p.Hash]; first != nil {
		first.merge(p) // taken in on two devices
		return nil
	}
	f.photos[p.Hash] = p
	return nil
}

// merge adds what a later record of the same bytes knows better: tags that are
// unset, and a build and stage where there was none or a guess. The file stays
// the first record's.
func (p *Photo) merge(o *Photo) {
	if p.Fingerprint == "" { // the first was taken in before fingerprints were taken
		p.Fingerprint, p.Sharp = o.Fingerprint, o.Sharp
	}
	if len(p.Cards) == 0 { // the first was taken in before cards were looked for
		p.Cards = o.Cards
	}
	if o.Tags.Build != "" && (p.Tags.Build == "" || p.Guess && !o.Guess) {
		// These four belong together: a stage means nothing in another build.
		p.Tags.Build, p.Tags.Kit, p.Tags.Stage, p.Tags.Parts = o.Tags.Build, o.Tags.Kit, o.Tags.Stage, o.Tags.Parts
		p.Guess = o.Guess
		for _, name := range []string{"build", "kit", "stage", "parts"} {
			p.because(name, o.Why[name])
		}
	}
	for _, one := range []struct {
		name string
		to   *string
		from string
	}{{"role", &p.Tags.Role, o.Tags.Role}, {"view", &p.Tags.View, o.Tags.View},
		{"light", &p.Tags.Light, o.Tags.Light}} {
		if *one.to == "" && one.from != "" {
			*one.to = one.from
			p.because(one.name, o.Why[one.name])
		}
	}
}

func (p *Photo) because(name string, why reason.Why) {
	if !why.Any() {
		delete(p.Why, name)
		return
	}
	p.Why[name] = why
}

// The reasons of tags that a person gave, and of those that fell with the build they
// belonged to.
var (
	said       = reason.Why{By: reason.Said}
	otherBuild = reason.Why{By: reason.BuildChanged}
)

func (f *folding) tag(r Record) error {
	b, err := read[TagBody](r)
	if err != nil {
		return err
	}
	p := f.shown(b.Photo)
	if p == nil {
		return &absentError{"photo", b.Photo}
	}
	p.say(b.Set, b.Clear)
	if b.Alike != "" {
		why := reason.Why{By: reason.Alike, Name: b.Alike[:min(8, len(b.Alike))]}
		if b.Set.View != "" {
			p.Why["view"] = why
		}
		if b.Set.Light != "" {
			p.Why["light"] = why
		}
	}
	if b.Caption != nil {
		p.Caption = *b.Caption
	}
	return nil
}

// say lets a person's tags take the place of those there are: the empty ones of set
// stay as they are, those that clear names are unset.
func (p *Photo) say(set Tags, clear []string) {
	clears := func(name string) bool { return slices.Contains(clear, name) }
	if set.Build != "" && set.Build != p.Tags.Build || clears("build") {
		// Stage, kit and parts belong to their build: the old ones mean
		// nothing in the new.
		if p.Tags.Stage != "" {
			p.Tags.Stage, p.Why["stage"] = "", otherBuild
		}
		if p.Tags.Kit != 0 {
			p.Tags.Kit, p.Why["kit"] = 0, otherBuild
		}
		if len(p.Tags.Parts) > 0 {
			p.Tags.Parts, p.Why["parts"] = nil, otherBuild
		}
	}
	put := func(name string, to *string, value string) {
		if value != "" || clears(name) {
			*to, p.Why[name] = value, said
		}
	}
	put("build", &p.Tags.Build, set.Build)
	put("stage", &p.Tags.Stage, set.Stage)
	put("role", &p.Tags.Role, set.Role)
	put("view", &p.Tags.View, set.View)
	put("light", &p.Tags.Light, set.Light)
	if set.Kit != 0 || clears("kit") {
		p.Tags.Kit, p.Why["kit"] = set.Kit, said
	}
	if len(set.Parts) > 0 || clears("parts") {
		p.Tags.Parts, p.Why["parts"] = set.Parts, said
	}
	if set.Build != "" || set.Stage != "" || clears("build") || clears("stage") {
		p.Guess = false
	}
}

func (f *folding) aside(r Record) error {
	b, err := read[AsideBody](r)
	if err != nil {
		return err
	}
	if b.Hash == "" || b.Path == "" {
		return errors.New("it names no file")
	}
	if err := confined(b.Path, "inbox/"+AsideDir); err != nil {
		return err
	}
	f.asides[b.Hash] = Aside{b.Path, b.Hash, b.CopyOf, link(b.Why, b.OldWhy), r.ID()} // the latest place counts
	return nil
}
