// This file tells every word of build.md, in one place: rakelight help build.md
// prints it, and a test holds it against what is read.

package plan

import (
	"fmt"
	"strings"
)

// BuildWord is a word that build.md may hold in its front matter.
type BuildWord struct {
	Of    string // where it stands: "build", "kit", "runner", "stage"
	Word  string
	Means string // one sentence or two, no period at the end
	Shape string // as it is written
}

// BuildWords are all of them, in the order in which they are best read.
var BuildWords = []BuildWord{
	{"build", "title", "what the pages call it; it may change, the folder's name may not", "title: Pilot boat"},
	{"build", "scale", "the scale", "scale: 1/48"},
	{"build", "started", "the day it was begun; without it, the day of the first session or photo",
		"started: 2026-03-14"},
	{"build", "finished", "the day it was finished; rakelight finish says the same, and can be taken back",
		"finished: 2026-05-30"},
	{"build", "ready-by",
		"the day of the show it must be ready by; the forecast then says the chance and the hours a week it takes",
		"ready-by: 2027-05-08"},
	{"build", "show-class", "the class it is shown in, in the words of the show; it stands on the show sheet",
		"show-class: \"Ships, waterline\""},
	{"build", "finish", "what the surface ends as, painted or bare; like is compared with like. Without it: painted",
		"finish: bare"},
	{"build", "runners", "the runners of a build of one kit: a list, or letters with their parts",
		"runners: {A: \"1-24, 30\", B: 12}"},
	{"build", "kits",
		"the kits of a build of several, in the order of their numbers; the runners then stand below each",
		"kits: [{title: Hull, runners: {A: 24}}, {title: Crew, runners: {A: 8}}]"},
	{"build", "stages", "the order of work: kinds, or stages with an id and a kind. Without it: those of journal.toml",
		"stages: [cut, clean, {id: clean-hull, kind: clean}, paint]"},
	{"build", "totals",
		"how many there are in all of what the runners do not list, by stage: joins of seam, coats of prime, paint, gloss and top-coat, items of detail, decals. 0 says there are none; by class of what they are on: seam: {flat: 8, curved: 6}",
		"totals: {seam: 14, paint: 9}"},
	{"build", "private",
		"true: rakelight publish leaves no trace of the build on the pages for others. The words of a day, in builds/NAME/diary, may begin with the same word between two lines of ---",
		"private: true"},
	{"kit", "title", "what it is called", "title: Hull"},
	{"kit", "scale", "its scale, if it is another than the build's", "scale: 1/48"},
	{"kit", "runners", "its runners", "runners: {A: 24, B: 12}"},
	{"kit", "totals", "as for the build, of this kit", "totals: {decal: 32}"},
	{"runner", "letter", "its letter, as it is molded on: one to three", "letter: A"},
	{"runner", "parts", "its part numbers; a lone number n is a count and means 1 to n", "parts: \"1-24, 30\""},
	{"runner", "class",
		"what sort of parts they are: flat, curved, small, clear, resin, etched, or a word of your own. Pace is compared within a class",
		"class: flat"},
	{"runner", "classes", "parts whose class is another than the runner's", "classes: {small: \"5-8\", clear: 12}"},
	{"runner", "not-used", "numbers marked not for use in the instructions; they are never counted",
		"not-used: \"25, 26\""},
	{"runner", "missing", "numbers for use that were not in the box; they count as left to do", "missing: 7"},
	{"stage", "id", "what you type, and what records refer to: do not rename it", "id: clean-hull"},
	{"stage", "title", "what the pages call it", "title: Clean the hull"},
	{"stage", "kind", "what it compares with across builds, one of the kinds below. Without it, the id is the kind",
		"kind: clean"},
}

// BuildHelp is the whole of it in words.
func BuildHelp() string {
	var b strings.Builder
	b.WriteString(`builds/NAME/build.md holds the plan of one build. Between two lines of --- stand
words of YAML, the front matter; below it Markdown: what you want to build and why,
and check lists (- [ ] to do, - [x] done). rakelight build NAME writes one to begin
with. NAME is what you type and what records and printed cards call it.

A check list below a heading Supplies or Shopping is what the build needs: ticked is
there, open is missing. More may stand behind an item, by hand or by rakelight
supplies: - [ ] clear gel (ordered 2026-11-20; cost 4.50)
`)
	heads := map[string]string{
		"build": "The front matter", "kit": "Of each of the kits",
		"runner": "Of each of the runners, where they are a list", "stage": "Of a stage that is more than its kind",
	}
	of := ""
	for _, w := range BuildWords {
		if w.Of != of {
			of = w.Of
			fmt.Fprintf(&b, "\n%s:\n", heads[of])
		}
		fmt.Fprintf(&b, "\n  %s\n", w.Shape)
		for _, line := range wrap(w.Means+".", 74) {
			fmt.Fprintf(&b, "      %s\n", line)
		}
	}
	b.WriteString("\nThe kinds of stages:\n\n")
	for _, line := range wrap(strings.Join(Kinds, ", ")+". wait is curing: it passes, and is never bench time.", 74) {
		fmt.Fprintf(&b, "  %s\n", line)
	}
	b.WriteString("\nA word that is not known is told by rakelight check, with its line.\n")
	return b.String()
}

// wrap breaks words into lines of at most so many letters.
func wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && len(line)+1+len(word) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}
