// This file is what a build is made of, as a person plans it.

package plan

import (
	"slices"
	"time"
)

// Kinds are the stage kinds that compare across builds, in their usual order.
// "wait" is curing time: it passes, but it is never bench time.
var Kinds = []string{
	"inspect", "wash", "plan", "cut", "clean", "dry-fit", "assemble", "seam",
	"prime", "paint", "detail", "gloss", "decal", "line", "weather",
	"top-coat", "base", "repair", "wait",
}

// Build is one project, from concept to shelf.
type Build struct {
	ID       string // folder name under builds/, stable: "pilot-boat"
	Title    string
	Scale    string    // "1/48"
	Started  string    // YYYY-MM-DD, or "" when the first session tells
	Finished string    // YYYY-MM-DD, or "" while open
	ReadyBy  string    // YYYY-MM-DD, the day of the show it must be ready by, or ""
	Private  bool      // build.md says that it is for nobody else
	ShowIn   string    // the class it is shown in, in the words of the show, or ""
	Closed   string    // id of the record that says so, "" = build.md does
	Resumed  time.Time // when a person said that it goes on, after it was finished; zero = never
	Finish   string    // "painted" or "bare": what the plastic ends as
	Kits     []Kit
	Stages   []Stage
	// TotalsByClass are the Totals that name classes: {seam: {flat: 8, curved: 6}}.
	TotalsByClass map[string]map[string]int
	Totals        map[string]int // how many there are in all of what runners do not tell, by stage id or kind: 14 joins, 9 coats; in a build of several kits, of what no kit's own Totals tell
	Body          string         // Markdown below the front matter: concept, checklists
	Checklist     []CheckItem    // the task-list items of Body, in order
}

// Kit is one boxed kit, conversion set or scratch-built unit in a build.
type Kit struct {
	Title         string
	Scale         string
	Runners       []Runner
	Totals        map[string]int            // as in Build, of this kit
	TotalsByClass map[string]map[string]int // likewise
}

// Runner is a lettered frame of parts.
type Runner struct {
	Letter  string            // "A", "AA"
	Parts   []string          // part numbers: "1", "2", …; a count n means 1 to n
	Class   string            // flat, curved, small, clear, resin, …; "" = mixed
	NotUsed []string          // numbers marked not for use: never counted
	Missing []string          // numbers for use that were not in the box
	Spared  []string          // of NotUsed, those that the runner check found, and not build.md
	Classes map[string]string // part number → class, where it differs from Class
}

// Stage is one step of the order of work. ID is what records name.
type Stage struct {
	ID    string // "clean", "clean-hull": stable
	Title string
	Kind  string // one of Kinds
}

// CheckItem is one item of a task list in build.md.
type CheckItem struct {
	Section string // the heading above it, "" if none
	Text    string
	Done    bool
}

// Stage returns the stage of the build, or nil.
func (b *Build) Stage(id string) *Stage {
	for i := range b.Stages {
		if b.Stages[i].ID == id {
			return &b.Stages[i]
		}
	}
	return nil
}

// ClassOf is the class of the part of that number: its own, else the runner's.
func (r Runner) ClassOf(number string) string {
	if class, ok := r.Classes[number]; ok {
		return class
	}
	return r.Class
}

// ClassOf is the class of the part, "" when the plan has no such part.
func (b *Build) ClassOf(p PartRef) string {
	if i := max(0, p.Kit-1); i < len(b.Kits) {
		for _, r := range b.Kits[i].Runners {
			if r.Letter == p.Runner && slices.Contains(r.Parts, p.Number) {
				return r.ClassOf(p.Number)
			}
		}
	}
	return ""
}

// TellsClasses says whether the plan gives a class to any part of the kit, 0 = of
// any kit.
func (b *Build) TellsClasses(kit int) bool {
	for i, k := range b.Kits {
		if kit > 0 && kit != i+1 {
			continue
		}
		for _, r := range k.Runners {
			if r.Class != "" || len(r.Classes) > 0 {
				return true
			}
		}
	}
	return false
}
