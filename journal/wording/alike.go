// The words of why two photos are proposed as alike.

package wording

import (
	"fmt"
	"strings"

	"rakelight/journal"
)

// AlikeBy is what speaks for two photos being alike, in a sentence or two that call it a
// guess where it is one.
func AlikeBy(p journal.AlikePair) string {
	var said, looks []string
	for _, why := range p.Why {
		percent := int(100 * why.Share)
		switch why.By {
		case journal.AlikeViewSaid:
			said = append(said, ViewName(p.Like.Tags.View))
		case journal.AlikeLightSaid:
			said = append(said, LightName(p.Like.Tags.Light))
		case journal.AlikeViewLooks:
			looks = append(looks, fmt.Sprintf("%s (%d %%)", ViewName(p.Like.Tags.View), percent))
		case journal.AlikeLightLooks:
			looks = append(looks, fmt.Sprintf("%s (%d %%)", LightName(p.Like.Tags.Light), percent))
		}
	}
	words := "By its looks, a guess: " + strings.Join(looks, ", ") + "."
	if len(said) > 0 {
		words += " Both are tagged " + strings.Join(said, ", ") + "."
	}
	return words
}

// AlikeGaps is what is not known of two photos beside the tags that the looks stand in
// for; "" = nothing.
func AlikeGaps(p journal.AlikePair) string {
	var out []string
	for _, gap := range p.Unknown {
		switch gap {
		case journal.AlikeNoDay:
			out = append(out, "the day it was taken is not known")
		case journal.AlikeNoScale:
			out = append(out, "without a bench card in both, sizes are not to be compared")
		}
	}
	return strings.Join(out, "; ")
}

// NoAlike is why no photos are proposed as alike.
func NoAlike(l journal.AlikeLack) string {
	const tell = "too little to tell by: "
	switch l.Of {
	case journal.FewTagged:
		return tell + fmt.Sprintf("photos with both view and light as tags: %d, needed are %d", l.Have, l.Need)
	case journal.FewViews:
		return tell + fmt.Sprintf("views tagged on three photos or more: %d, needed are %d", l.Have, l.Need)
	case journal.NothingOpen:
		return "no photo without view or light could stand beside a tagged one of the same stage in another build"
	}
	return "no photo looks enough like one of another build"
}

// ViewName is a view in a sentence: "left view".
func ViewName(view string) string { return view + " view" }

// LightName is a light in a sentence: "raking light".
func LightName(light string) string { return light + " light" }
