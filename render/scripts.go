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
	words := map[say.Key]string{}
	for _, keys := range [][]say.Key{saidByScripts[""], saidByScripts[class]} {
		for _, key := range keys {
			words[key] = in.SayRaw(key)
		}
	}
	data, err := json.Marshal(words)
	if err != nil {
		panic(err) // strings alone
	}
	return string(data)
}

// saidByScripts is what the script of each class of pages says; "" is that of all.
var saidByScripts = map[string][]say.Key{
	"": {"Lamp: follows your system", "Lamp: light", "Lamp: dark"},
}
