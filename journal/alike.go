// This file keeps and folds what a person said of two photos that look alike: yes,
// they belong beside each other, or no. Nothing pairs photos but such a yes.

package journal

import (
	"cmp"
	"errors"
	"slices"
)

// Alike is two photos of which a person said whether they show a step from the same
// view and under the same light.
type Alike struct {
	A, B   string // hashes of the photos, A the smaller
	Not    bool   // they do not, and are never proposed again
	Record string
}

func orderOfAlikes(a, b Alike) int { return cmp.Or(cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B)) }

// alikeOf are two photos in the order in which they are kept.
func alikeOf(a, b string) Alike { return Alike{A: min(a, b), B: max(a, b)} }

// AlikeOf is what a person said of two photos, whichever comes first. A Record of ""
// means that nobody said anything.
func (s *State) AlikeOf(a, b *Photo) Alike {
	if i, found := slices.BinarySearchFunc(s.Alikes, alikeOf(a.Hash, b.Hash), orderOfAlikes); found {
		return s.Alikes[i]
	}
	return Alike{}
}

// alike folds a record: the latest of two photos counts.
func (f *folding) alike(r Record) error {
	b, err := read[AlikeBody](r)
	if err != nil {
		return err
	}
	x, y := f.shown(b.A), f.shown(b.B)
	switch {
	case x == nil:
		return &absentError{"photo", b.A}
	case y == nil:
		return &absentError{"photo", b.B}
	case x == y:
		return errors.New("it puts a photo beside itself")
	}
	one := alikeOf(x.Hash, y.Hash)
	one.Not, one.Record = b.Not, r.ID()
	i, found := slices.BinarySearchFunc(f.state.Alikes, one, orderOfAlikes)
	if found {
		f.state.Alikes[i] = one
		return nil
	}
	f.state.Alikes = slices.Insert(f.state.Alikes, i, one)
	return nil
}

// AlikePair is two photos that are proposed as alike: a guess, and nothing follows
// from it until a person says yes.
type AlikePair struct {
	Photo   *Photo  // whose view or light nobody said
	Like    *Photo  // of another build, mostly with its view and light
	Kind    string  // of the step both are of
	Sure    float64 // 0 to 1: how likely both show it from one view and under one light
	Why     []AlikeWhy
	Unknown []AlikeGap
}

// Tells reports whether Like has a view or a light as a tag that Photo lacks.
func (p AlikePair) Tells() bool {
	a, b := p.Photo.Tags, p.Like.Tags
	return a.View == "" && b.View != "" || a.Light == "" && b.Light != ""
}

// AlikeWhy is one reason why two photos are proposed.
type AlikeWhy struct {
	By    AlikeBy
	Share float64 // of AlikeViewLooks and AlikeLightLooks: how far, of AlikeFramed: how likely alike, 0 to 1
}

// AlikeBy is what speaks for two photos being alike.
type AlikeBy string

// What may speak for two photos being alike.
const (
	AlikeStep       AlikeBy = "step"        // both are of steps of one kind
	AlikeViewSaid   AlikeBy = "view-said"   // both have the same view as a tag
	AlikeViewLooks  AlikeBy = "view-looks"  // Photo looks like photos of that view
	AlikeLightSaid  AlikeBy = "light-said"  // both have the same light as a tag
	AlikeLightLooks AlikeBy = "light-looks" // Photo looks like photos under that light
	AlikeFramed     AlikeBy = "framed"      // both are framed and lit alike: nothing surer speaks for it
	AlikeCards      AlikeBy = "cards"       // both show a bench card, which gives them one scale
)

// AlikeGap is something that is not known of two photos that are proposed.
type AlikeGap string

// What may not be known of two photos that are proposed.
const (
	AlikeNoView  AlikeGap = "view"  // nobody said from where one of them was taken
	AlikeNoLight AlikeGap = "light" // nor under which light
	AlikeNoDay   AlikeGap = "day"   // the day it was taken is not known
	AlikeNoScale AlikeGap = "scale" // not both show a bench card: sizes cannot be told
)

// AlikeLack is why no photos are proposed as alike.
type AlikeLack struct {
	Of     AlikeWant
	Tagged int // of NoneAlike: photos of which view and light are said
}

// AlikeWant is what may be missing for photos to be proposed as alike.
type AlikeWant string

// What may be missing.
const (
	NothingOpen AlikeWant = "nothing open" // no photo lacks view or light of a step that another build shows
	NoneAlike   AlikeWant = "none alike"   // nothing: no photo is like another one surely enough
)
