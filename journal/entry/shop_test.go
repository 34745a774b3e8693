// Tests of what is said of what the work is done with.

package entry

import (
	"errors"
	"reflect"
	"testing"

	"rakelight/journal"
)

func TestRecipe(t *testing.T) {
	for _, c := range []struct {
		paints, thinner string
		want            []journal.MixPart
		words           string
	}{
		{"3 red, 1 white; 2 Thinner", "", []journal.MixPart{{What: "red", Parts: 3}, {What: "white", Parts: 1}, {What: "Thinner", Parts: 2, Thins: true}}, "3 red, 1 white, 2 Thinner"},
		{"2.5x deck gray + 1 part of sand", "1 water", []journal.MixPart{{What: "deck gray", Parts: 2.5}, {What: "sand", Parts: 1}, {What: "water", Parts: 1, Thins: true}}, "2.5 deck gray, 1 sand, 1 water (thinner)"},
		{"", "", nil, ""},
	} {
		got, err := recipe(c.paints, c.thinner)
		if err != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q and %q: %+v, %v", c.paints, c.thinner, got, err)
		}
		if words := journal.RecipeWords(got); words != c.words {
			t.Errorf("%q and %q: told as %q", c.paints, c.thinner, words)
		}
		if again, err := recipe(journal.RecipeWords(got), ""); err != nil || !reflect.DeepEqual(again, c.want) {
			t.Errorf("%q is read as %+v, %v", c.words, again, err)
		}
	}
	for _, text := range []string{"red", "three red", "3", "3x"} {
		var r *Refusal
		if got, err := recipe(text, ""); !errors.As(err, &r) || r.Reason != NoRecipe || got != nil {
			t.Errorf("%q: %+v, %v", text, got, err)
		}
	}
}
