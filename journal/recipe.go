// This file writes recipes as a person types them.

package journal

import (
	"strconv"
	"strings"

	"rakelight/journal/say"
)

// RecipeWords is a recipe as it is typed, "" = none is known: "3 red, 2 thinner". A
// thinner whose name does not say so is called one.
func RecipeWords(recipe []MixPart) string { return RecipeSaid(say.English(), recipe) }

// RecipeSaid is a recipe in a language: its numbers have that language's point.
func RecipeSaid(in *say.Speaker, recipe []MixPart) string {
	var out []string
	for _, one := range recipe {
		words := say.Number(strconv.FormatFloat(one.Parts, 'g', -1, 64)).In(in) + " " + one.What
		if one.Thins && !strings.Contains(strings.ToLower(one.What), "thinner") {
			words = in.Say("%s (thinner)", words)
		}
		out = append(out, words)
	}
	return strings.Join(out, ", ")
}
