// What scripts say on pages: by its English, as in code and templates.

package render

import (
	"encoding/json"

	"rakelight/journal/say"
)

// scriptWords are what the scripts of a class of pages say, as JSON by the English of
// it; "" on English pages, where scripts have their words themselves.
func (in voice) scriptWords(class string) string {
	if in.IsEnglish() {
		return ""
	}
	words := map[string]string{}
	for _, class := range []string{"", class} {
		for _, key := range saidByScripts[class] {
			words[string(key)] = in.SayRaw(key)
		}
		for _, noun := range countedByScripts[class] {
			key := say.Count{Noun: noun}.Key()
			for form, text := range in.Forms(key) {
				words[form+"¦"+string(key)] = text
			}
		}
	}
	data, err := json.Marshal(words)
	if err != nil {
		panic(err) // strings alone
	}
	return string(data)
}

// saidByScripts is what the scripts of each class of pages say; "" are those of all.
var saidByScripts = map[string][]say.Key{
	"": {"Lamp: follows your system", "Lamp: light", "Lamp: dark"},
	"compare": {"Both pictures in one frame: %s; %s", "Zoomed to %d %%.", "The whole picture.", "Shown: %s.",
		"different view (%s, %s)", "different light (%s, %s)", "list¦%s and %s", "Not comparable: %s.",
		"View and light are not tagged on both photos: compare with care.",
		"The view is not tagged on both photos: compare with care.",
		"The light is not tagged on both photos: compare with care.", "Shown side by side, without figures.",
		"No two photos are picked yet. Pick two on the page Then and now, and they stand here side by side.",
		"No photo with these digits is on these pages: %s."},
	"sheet": sheetSays, "step": sheetSays,
	"flick": {"%d of %d"},
	"search": {"Show all %d", "Looking …", "These words stand in every text: add another one.",
		"Nothing found with all of these words.", "Nothing found with this word.", "Found %d: %s."},
}

var sheetSays = []say.Key{"Picked: %s; and %s. Enter opens both.", "Picked: %s. Pick another one.",
	"Nothing is picked.", "Pick", "mark %s of 4", "Shown: %s of %s in %s.", "Nothing in the journal fits."}

// countedByScripts are the nouns that they count.
var countedByScripts = map[string][]say.Noun{"sheet": {"photo", "build", "stage"}}
