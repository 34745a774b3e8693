// Rows of builds: their plans, their pauses, the words of their days.

package export

import (
	"time"

	"rakelight/journal"
)

// Build is a row of builds.
type Build struct {
	ID        string                    `json:"id" doc:"name of its folder below builds; other tables name it so"`
	Title     string                    `json:"title,omitempty" doc:"as shown"`
	Scale     string                    `json:"scale,omitempty" doc:"1/48"`
	Started   string                    `json:"started,omitempty" doc:"day, where build.md says it"`
	Finished  string                    `json:"finished,omitempty" doc:"day; absent = open"`
	ReadyBy   string                    `json:"ready-by,omitempty" doc:"day of the show it must be ready by"`
	ShowClass string                    `json:"show-class,omitempty" doc:"the class it is shown in, in the words of the show"`
	Closed    string                    `json:"closed,omitempty" doc:"record that says so; absent = build.md does"`
	Resumed   time.Time                 `json:"resumed,omitzero" doc:"when it was said to go on after it was finished"`
	Finish    string                    `json:"finish,omitempty" doc:"what the plastic ends as: painted, bare"`
	Kits      []Kit                     `json:"kits,omitempty" doc:"list of {title, scale, totals, totals-by-class, runners: list of {letter, parts, class, classes, not-used, missing, spared}}; spared = those of not-used that the runner check found"`
	Stages    []Stage                   `json:"stages,omitempty" doc:"list of {id, title, kind}, in the order of work"`
	Totals    map[string]int            `json:"totals,omitempty" doc:"how many there are in all of what runners do not tell, by stage"`
	ByClass   map[string]map[string]int `json:"totals-by-class,omitempty" doc:"those of totals that name classes, by stage and class"`
	Checklist []Check                   `json:"checklist,omitempty" doc:"list of {section, text, done}"`
	Body      string                    `json:"body,omitempty" doc:"the words of build.md, Markdown"`
	Private   bool                      `json:"private,omitempty" doc:"build.md says that it is for nobody else"`
}

// Kit is a kit of a build.
type Kit struct {
	Title   string                    `json:"title,omitempty"`
	Scale   string                    `json:"scale,omitempty"`
	Runners []Runner                  `json:"runners,omitempty"`
	Totals  map[string]int            `json:"totals,omitempty"`
	ByClass map[string]map[string]int `json:"totals-by-class,omitempty"`
}

// Runner is a runner of a kit.
type Runner struct {
	Letter  string            `json:"letter"`
	Parts   []string          `json:"parts,omitempty"`
	Class   string            `json:"class,omitempty"`
	NotUsed []string          `json:"not-used,omitempty"`
	Missing []string          `json:"missing,omitempty"`
	Spared  []string          `json:"spared,omitempty"`
	Classes map[string]string `json:"classes,omitempty"`
}

// Stage is a stage of a build.
type Stage struct {
	ID    string `json:"id"`
	Title string `json:"title"`
	Kind  string `json:"kind"`
}

// Check is an item of a check list.
type Check struct {
	Section string `json:"section,omitempty"`
	Text    string `json:"text"`
	Done    bool   `json:"done,omitempty"`
}

func buildRow(b *journal.Build) Build {
	row := Build{ID: b.ID, Title: b.Title, Scale: b.Scale, Started: b.Started, Finished: b.Finished, Closed: b.Closed,
		Resumed: b.Resumed, ReadyBy: b.ReadyBy, ShowClass: b.ShowIn, Finish: b.Finish, Totals: b.Totals,
		ByClass: b.TotalsByClass, Body: b.Body, Private: b.Private}
	for _, k := range b.Kits {
		kit := Kit{Title: k.Title, Scale: k.Scale, Totals: k.Totals, ByClass: k.TotalsByClass}
		for _, r := range k.Runners {
			kit.Runners = append(kit.Runners, Runner(r))
		}
		row.Kits = append(row.Kits, kit)
	}
	for _, s := range b.Stages {
		row.Stages = append(row.Stages, Stage(s))
	}
	for _, c := range b.Checklist {
		row.Checklist = append(row.Checklist, Check(c))
	}
	return row
}

// Pause is a row of pauses.
type Pause struct {
	Build   string    `json:"build" doc:"id of the build"`
	From    time.Time `json:"from" doc:"when it was put aside"`
	Until   time.Time `json:"until,omitzero" doc:"when it was taken up again; absent while it is not"`
	Why     string    `json:"why,omitempty" doc:"as typed"`
	Next    string    `json:"next,omitempty" doc:"what is next, as typed"`
	Waiting string    `json:"waiting,omitempty" doc:"what it waits for, as typed"`
	Photo   string    `json:"photo,omitempty" doc:"hash of the photo of the card that says it"`
}

func pauseRow(p journal.Pause) Pause { return Pause(p) }

// Day is a row of diary.
type Day struct {
	Build string `json:"build" doc:"id of the build"`
	Date  string `json:"date" doc:"the day"`
	Title string `json:"title,omitempty" doc:"its first heading"`
	Body  string `json:"body,omitempty" doc:"the words below it, Markdown"`

	Private bool `json:"private,omitempty" doc:"its file says that it is for nobody else"`
}

func dayRow(d journal.DiaryDay) Day { return Day(d) }
