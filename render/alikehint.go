// Where photos may be found that look alike: a hint to the builder, on pages of then and
// now, and never more than that.

package render

import "rakelight/journal"

// AlikeHint says that photos without view or light may have their like. The zero value
// says nothing.
type AlikeHint struct {
	Photos int    // without view or light, of steps that another build shows with both
	Type   string // what finds them
}

// alikeHint is the hint of a kind of step, "" = of all. It looks at tags and at no
// picture: a page depends on nothing but the state.
func (v *view) alikeHint(kind string) AlikeHint {
	if !v.mine() {
		return AlikeHint{}
	}
	n, f := 0, v.alikes()
	for _, b := range f.Builds() {
		n += f.Waiting(b, kind)
	}
	if n == 0 {
		return AlikeHint{}
	}
	return AlikeHint{Photos: n, Type: journal.Typed("rakelight alike")}
}
