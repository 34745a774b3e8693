// What was noted of the hands, by kind of work, beside its hours. It claims nothing:
// who notes a blister more often has not got more of them.

package render

import (
	"rakelight/journal"
	"rakelight/journal/say"
)

// HandsLine is one kind of work.
type HandsLine struct {
	Step, Hours, Sessions string
	Notes                 int
	What                  string // "2 sore, 1 rest"
}

func (v *view) hands() []HandsLine {
	var out []HandsLine
	for _, r := range v.HandsByKind() {
		line := HandsLine{Step: v.kindTitle(r.Kind), Hours: v.inHours(r.Hours), Sessions: v.count(r.Sessions,
			"session"),
			Notes: len(r.Entries)}
		if r.Kind == "" {
			line.Step, line.Hours, line.Sessions = v.Say("In no session"), "", ""
		}
		for _, what := range journal.HandsWhats {
			if n := r.Times[what]; n > 0 {
				line.What = joinWords(", ", line.What, v.Say("%d %s", n, v.sayTag(what, handsWords, "%s")))
			}
		}
		if n := r.Times[""]; n > 0 {
			line.What = joinWords(", ", line.What, v.Say("%d other", n))
		}
		out = append(out, line)
	}
	return out
}

var handsWords = map[string]say.Key{"sore": "hands¦sore", "blister": "hands¦blister", "cut": "hands¦cut",
	"strain": "hands¦strain", "rest": "hands¦rest"}
