// The names of stages, as the trade says them.

package wording

import (
	"strings"

	"rakelight/journal"
)

// stageNames are the kinds that the trade calls otherwise than a command does: one
// types clean and reads Cleanup. Only titles are said so; ids and kinds never change.
var stageNames = map[string]string{
	"wash": "Wash parts", "cut": "Cut off", "clean": "Cleanup", "dry-fit": "Dry fit", "seam": "Seams",
	"detail": "Detail painting", "decal": "Decals", "line": "Panel lines", "weather": "Weathering", "wait": "Curing",
}

// KindName is a kind of stage as a heading.
func KindName(kind string) string {
	if name := stageNames[kind]; name != "" {
		return name
	}
	return journal.Title(kind)
}

// StageName is a stage of a build as a heading: the title a person gave it, else the
// trade's name.
func StageName(s journal.Stage) string {
	if s.Title == journal.Title(s.ID) {
		return KindName(s.ID)
	}
	return s.Title
}

// SaysKind reports whether the name of a stage says its kind already, so that the kind
// need not stand beside it: "Clean up" does.
func SaysKind(s journal.Stage) bool {
	plain := strings.NewReplacer(" ", "", "-", "")
	said := plain.Replace(strings.ToLower(StageName(s)))
	return said == plain.Replace(strings.ToLower(KindName(s.Kind))) || said == plain.Replace(s.Kind)
}
