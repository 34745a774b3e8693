// The names of stages, as the trade says them.

package wording

import (
	"strings"

	"rakelight/journal"
	"rakelight/journal/say"
)

// stageNames are the kinds as headings. Some the trade calls otherwise than a command
// does: one types clean and reads Cleanup. Only titles are said so; ids and kinds never
// change.
var stageNames = map[string]say.Key{
	"inspect": "Inspect", "wash": "Wash parts", "plan": "Plan", "cut": "Cut off", "clean": "Cleanup",
	"dry-fit": "Dry fit", "assemble": "Assemble", "seam": "Seams", "prime": "Prime", "paint": "Paint",
	"detail": "Detail painting", "gloss": "Gloss", "decal": "Decals", "line": "Panel lines", "weather": "Weathering",
	"top-coat": "Top coat", "base": "Base", "repair": "Repair", "wait": "Curing",
}

// Kind is a kind of stage as a heading.
func Kind(kind string) say.Wording {
	if name := stageNames[kind]; name != "" {
		return name
	}
	return say.Own(journal.Title(kind))
}

// Stage is a stage of a build as a heading: the title a person gave it, else the trade's
// name.
func Stage(s journal.Stage) say.Wording {
	switch s.Title {
	case journal.Title(s.ID):
		return Kind(s.ID)
	case KindName(s.Kind): // so a plan may have been drafted
		return Kind(s.Kind)
	}
	return say.Own(s.Title)
}

// KindName is a kind of stage as a heading, in English.
func KindName(kind string) string { return Kind(kind).In(say.English()) }

// StageName is a stage of a build as a heading, in English.
func StageName(s journal.Stage) string { return Stage(s).In(say.English()) }

// SaysKind reports whether the name of a stage says its kind already, so that the kind
// need not stand beside it: "Clean up" does.
func SaysKind(s journal.Stage) bool {
	plain := strings.NewReplacer(" ", "", "-", "")
	said := plain.Replace(strings.ToLower(StageName(s)))
	return said == plain.Replace(strings.ToLower(KindName(s.Kind))) || said == plain.Replace(s.Kind)
}
