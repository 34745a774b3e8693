// Why something is not there, as a sentence that can be said in any language.

package metrics

import (
	"fmt"

	"rakelight/journal/say"
)

// Why is why a number is not there, or what to mind about one that is: a sentence
// without its period. The zero value says nothing. Two may be compared by ==.
type Why struct {
	key  say.Key
	args [3]any // nil behind the last
}

// Because is the Why of a key with at most three arguments.
func Because(key say.Key, args ...any) Why {
	w := Why{key: key}
	if copy(w.args[:], args) < len(args) {
		panic("metrics: a why with too many arguments") // a fault in this program, which its tests find
	}
	return w
}

// Any reports whether it says anything.
func (w Why) Any() bool { return w.key != "" }

// In says it in a language.
func (w Why) In(s *say.Speaker) string {
	if !w.Any() {
		return ""
	}
	n := 0
	for n < len(w.args) && w.args[n] != nil {
		n++
	}
	return s.Say(w.key, w.args[:n]...)
}

// String says it in English.
func (w Why) String() string { return w.In(say.English()) }

// tooFew is why there are too few of something to tell.
func tooFew(why Why) Why { return Because("too few to tell: %s", why) }

// signed is a number with its sign, with so many digits behind its point.
func signed(x float64, digits int) say.Number { return say.Number(fmt.Sprintf("%+.*f", digits, x)) }

// Many is what was done, by its name and in the plural: "parts" for "part".
func Many(unit string) say.Wording {
	if key, ok := manyWords[unit]; ok {
		return key
	}
	return say.Own(unit + "s")
}

// One is what one done is, behind "per": "part".
func One(unit string) say.Wording {
	if key, ok := oneWords[unit]; ok {
		return key
	}
	return say.Own(unit)
}

var (
	manyWords = map[string]say.Key{"part": "parts", "join": "joins", "coat": "coats", "item": "items",
		"decal": "decals", "piece": "pieces"}
	oneWords = map[string]say.Key{"part": "per¦part", "join": "per¦join", "coat": "per¦coat", "item": "per¦item",
		"decal": "per¦decal", "piece": "per¦piece"}
)
