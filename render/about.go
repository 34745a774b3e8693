// What a page holds, in words for search engines and for who is sent its address.

package render

import "rakelight/journal/say"

// abouts are these words by the page's class. A class that is not here is told by
// its title alone.
var abouts = map[string]say.Key{
	"home":      "Builds of scale models by their photos, hours and words.",
	"build":     "Its stages in photos, with hours, parts and words.",
	"builds":    "Each with its days at the bench.",
	"sheet":     "One photo of each step of each build, in one table.",
	"compare":   "Two photos of one step side by side.",
	"pace":      "Parts an hour at each step of each build, with their ranges.",
	"skill":     "Marks and blind verdicts on the photos of each build.",
	"forecast":  "Hours and weeks left of the open builds, with their ranges.",
	"mistakes":  "What went wrong at the bench, what it took and what it taught.",
	"trials":    "Changes of method that were tried on purpose, and what came out.",
	"supplies":  "What is there, what was ordered and what is missing.",
	"search":    "Days, builds, parts, mistakes, tools, mixes and trials by their words.",
	"step":      "Photos of this step in each build.",
	"criterion": "Marks and verdicts by one criterion.",
}

// summary words the page: "Pilot boat. Its stages in photos, with hours, parts and
// words. Winter bench." title is "" for the first page.
func (v *view) summary(class, title string) string {
	words := ""
	if key, ok := abouts[class]; ok {
		words = v.Say(key)
	}
	if title == "" {
		return joinWords(" ", v.name()+".", words)
	}
	return joinWords(" ", title+".", words, v.name()+".")
}
