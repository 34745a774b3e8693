// This file writes recipes as a person types them.

package journal

import (
	"strconv"
	"strings"
)

// RecipeWords is a recipe as it is typed, "" = none is known: "3 red, 2 thinner". A
// thinner whose name does not say so is called one.
func RecipeWords(recipe []MixPart) string {
	var out []string
	for _, one := range recipe {
		words := strconv.FormatFloat(one.Parts, 'g', -1, 64) + " " + one.What
		if one.Thins && !strings.Contains(strings.ToLower(one.What), "thinner") {
			words += " (thinner)"
		}
		out = append(out, words)
	}
	return strings.Join(out, ", ")
}
