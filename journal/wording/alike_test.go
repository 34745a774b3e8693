// Tests of the words of photos that look alike.

package wording

import (
	"testing"

	"rakelight/journal"
)

// What only is framed and lit alike says so, what nobody tagged is named, and what is tagged
// is no guess.
func TestAlikeBy(t *testing.T) {
	framed := journal.AlikeWhy{By: journal.AlikeFramed, Share: 0.625}
	for _, c := range []struct {
		like journal.Tags
		why  []journal.AlikeWhy
		want string
	}{
		{journal.Tags{}, []journal.AlikeWhy{framed},
			"Framed and lit alike, no more than a guess (62 %); view and light are not tagged."},
		{journal.Tags{View: "left"}, []journal.AlikeWhy{{By: journal.AlikeViewSaid}, framed},
			"Framed and lit alike, no more than a guess (62 %); the light is not tagged. Both are tagged left view."},
		{journal.Tags{View: "left", Light: "raking"}, []journal.AlikeWhy{{By: journal.AlikeViewSaid}, {By: journal.AlikeLightLooks, Share: 0.9}},
			"By its looks, a guess: raking light (90 %). Both are tagged left view."},
	} {
		pair := journal.AlikePair{Photo: &journal.Photo{}, Like: &journal.Photo{Tags: c.like}, Why: c.why}
		if got := AlikeBy(pair); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	few, enough := NoAlike(journal.AlikeLack{Of: journal.NoneAlike, Tagged: 3}), NoAlike(journal.AlikeLack{Of: journal.NoneAlike, Tagged: 300})
	if few == enough || few != enough+"; more are found once some have both view and light as tags: 3, better 20" {
		t.Errorf("%q, %q", few, enough)
	}
}
