// Where photos may be found that look alike: a hint to the builder, on pages of then and
// now, and never more than that.

package render

import (
	"slices"

	"rakelight/journal"
)

// AlikeHint says that photos without view or light may have their like. The zero value
// says nothing.
type AlikeHint struct {
	Photos int    // of the steps that are shown, without view or light
	Type   string // what finds them
}

// alikeHint is the hint of a kind of step, "" = of all. It looks at tags and at no
// picture: a page depends on nothing but the state.
func (v *view) alikeHint(kind string) AlikeHint {
	if !v.mine() {
		return AlikeHint{}
	}
	f := v.alikes()
	if !slices.ContainsFunc(f.Builds(), func(b *journal.Build) bool { return f.Waiting(b, kind) > 0 }) {
		return AlikeHint{} // none is looked for
	}
	n := 0
	untagged := func(p *journal.Photo) bool { return p.Tags.View == "" || p.Tags.Light == "" }
	for _, b := range v.order {
		for of, photos := range b.byKind {
			if kind == "" || of == kind {
				n += len(keepPhotos(photos, untagged))
			}
		}
	}
	return AlikeHint{Photos: n, Type: journal.Typed("rakelight alike")}
}
