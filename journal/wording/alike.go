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
	var said, looks, out []string
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
		case journal.AlikeFramed:
			out = append(out,
				fmt.Sprintf("Framed and lit alike, no more than a guess (%d %%)%s.", percent, untagged(p.Like)))
		}
	}
	if len(looks) > 0 {
		out = append(out, "By its looks, a guess: "+strings.Join(looks, ", ")+".")
	}
	if len(said) > 0 {
		out = append(out, "Both are tagged "+strings.Join(said, ", ")+".")
	}
	return strings.Join(out, " ")
}

// untagged says what nobody tagged of a photo.
func untagged(p *journal.Photo) string {
	switch {
	case p.Tags.View == "" && p.Tags.Light == "":
		return "; view and light are not tagged"
	case p.Tags.View == "":
		return "; the view is not tagged"
	case p.Tags.Light == "":
		return "; the light is not tagged"
	}
	return ""
}

// AlikeTags are view and light of a photo as far as they are tagged: "left view, raking
// light"; "" = neither.
func AlikeTags(t journal.Tags) string {
	var out []string
	if t.View != "" {
		out = append(out, ViewName(t.View))
	}
	if t.Light != "" {
		out = append(out, LightName(t.Light))
	}
	return strings.Join(out, ", ")
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

// someTagged is how many tagged photos are enough to tell most views by.
const someTagged = 20

// NoAlike is why no photos are proposed as alike.
func NoAlike(l journal.AlikeLack) string {
	if l.Of == journal.NothingOpen {
		return "no photo without view or light could stand beside one of the same stage in another build"
	}
	words := "no photo looks enough like one of another build"
	if l.Tagged < someTagged {
		words += fmt.Sprintf("; more are found once some have both view and light as tags: %d, better %d",
			l.Tagged, someTagged)
	}
	return words
}

// ViewName is a view in a sentence: "left view".
func ViewName(view string) string { return view + " view" }

// LightName is a light in a sentence: "raking light".
func LightName(light string) string { return light + " light" }
