// This file folds what a person said of pictures of the years before: by their
// bytes, whether or not they are in the journal, so that old pictures can be sorted
// before one of them is brought in.

package journal

import (
	"cmp"
	"errors"
	"maps"
	"slices"

	"rakelight/journal/reason"
)

// dated is the date that is said; First "" = none is.
func (b PastBody) dated(photo string) DatedBody {
	return DatedBody{Photo: photo, First: b.First, Last: b.Last, Said: b.Said}
}

// Check refuses what names no pictures, and days that are none.
func (b PastBody) Check() error {
	if len(b.Photos) == 0 || slices.Contains(b.Photos, "") {
		return errors.New("it names no picture")
	}
	if b.First != "" || b.Last != "" {
		return b.dated(b.Photos[0]).Check()
	}
	return nil
}

// PastSaid is what was said of a picture of the years before, the latest of each.
type PastSaid struct {
	Photo       string // hash
	Tags        Tags
	Out         bool     // it is not of the bench, and stays where it is
	Wanted      bool     // it was said to be of the bench after all
	First, Last string   // YYYY-MM-DD; "" = no date was said
	Said        string   // "spring 1998"
	Records     []string // that say so, in their order
}

// PastOf is what was said of a picture of the years before, nil = nothing was.
func (s *State) PastOf(hash string) *PastSaid {
	i, found := slices.BinarySearchFunc(s.Past, hash,
		func(one PastSaid, hash string) int { return cmp.Compare(one.Photo, hash) })
	if !found {
		return nil
	}
	return &s.Past[i]
}

// past folds what is said of pictures that need not be here.
func (f *folding) past(r Record) error {
	b, err := read[PastBody](r)
	if err != nil {
		return err
	}
	if err := b.Check(); err != nil {
		return err
	}
	if f.pasts == nil {
		f.pasts = map[string]*PastSaid{}
		for _, one := range f.state.Past {
			f.pasts[one.Photo] = &one
		}
	}
	for _, hash := range b.Photos {
		said := f.pasts[hash]
		if said == nil {
			said = &PastSaid{Photo: hash}
			f.pasts[hash] = said
		}
		said.add(b, r.ID())
		if b.First != "" {
			f.datedBy[hash] = given{b.dated(hash), r.ID()}
		}
	}
	return nil
}

// add takes in what one more record says.
func (p *PastSaid) add(b PastBody, record string) {
	one := Photo{Tags: p.Tags, Why: reason.Whys{}}
	one.say(b.Set, b.Clear)
	p.Tags = one.Tags
	if b.Out != nil {
		p.Out, p.Wanted = *b.Out, !*b.Out
	}
	if b.First != "" {
		p.First, p.Last, p.Said = b.First, b.Last, b.Said
	}
	if len(p.Records) == 0 || p.Records[len(p.Records)-1] != record { // it may name a picture twice
		p.Records = append(slices.Clip(p.Records), record)
	}
}

// settlePast leaves in the state what was said of pictures, by their hashes.
func (f *folding) settlePast() {
	if f.pasts == nil {
		return
	}
	f.state.Past = make([]PastSaid, 0, len(f.pasts))
	for _, hash := range slices.Sorted(maps.Keys(f.pasts)) {
		f.state.Past = append(f.state.Past, *f.pasts[hash])
	}
}

// tagPast tags the kept photos among them.
func (f *folding) tagPast(r Record) error {
	b, err := read[PastBody](r)
	if err != nil || b.Check() != nil {
		return nil // the other pass told of it
	}
	for _, hash := range b.Photos {
		if p := f.shown(hash); p != nil {
			p.say(b.Set, b.Clear)
		}
	}
	return nil
}

// speaksOfKept reports whether a record of the years before names a photo that is
// kept, or lies beside one.
func (s *State) speaksOfKept(r Record) bool {
	b, err := read[PastBody](r)
	if err != nil {
		return true
	}
	named := make(map[string]bool, len(b.Photos))
	for _, hash := range b.Photos {
		named[hash] = true
	}
	return slices.ContainsFunc(s.photos(), func(p *Photo) bool {
		return named[p.Hash] || slices.ContainsFunc(p.Beside, func(o Original) bool { return named[o.Hash] })
	})
}
