// This file has the words of what a person chooses from lists, for any language.

package journal

import "rakelight/journal/say"

var (
	roleWords = map[string]say.Key{"before": "role¦before", "after": "role¦after", "progress": "role¦progress",
		"problem": "role¦problem", "finished": "role¦finished"}
	additionWords = map[string]say.Key{"addition": "addition¦addition", "reference": "addition¦reference"}
	sandingWords  = map[string]say.Key{"flat": "surface¦flat", "curved": "surface¦curved", "small": "surface¦small",
		"clear": "surface¦clear", "resin": "surface¦resin", "primed": "finish¦primed",
		"bare-matte": "finish¦bare-matte",
		"bare-gloss": "finish¦bare-gloss", "nub": "remove¦nub", "line": "remove¦line", "seam": "remove¦seam",
		"filler": "remove¦filler", "scratches": "remove¦scratches"}
)

// RoleSaid is the role of a photo in words.
func RoleSaid(role string) say.Wording { return saidOf(roleWords, role) }

// SandingSaid is a surface, a finish or what is to be removed, in words.
func SandingSaid(what string) say.Wording { return saidOf(sandingWords, what) }

// saidOf is the words of a code, or the code where the table has none.
func saidOf(table map[string]say.Key, code string) say.Wording {
	if key, ok := table[code]; ok {
		return key
	}
	return say.Own(code)
}
