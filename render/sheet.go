// Then and now: the contact sheet of all builds, a row for each kind of step.

package render

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// Sheet is then-and-now.html.
type Sheet struct {
	Frame
	Columns []SheetColumn
	Rows    []SheetRow
	Wide    bool     // more builds than a page is wide: the sheet scrolls in itself
	Some    bool     // of many builds some have a column at first
	Filters []Choice // what the sheet can be narrowed to
	Years   string   // of which there is a file of cells each, apart by spaces
	Latest  Link     // to the last column, where the sheet scrolls
	Paired  bool     // some two cells have a page
	Like    AlikeHint
}

// SheetColumn is the head of a build's column.
type SheetColumn struct {
	Tag
	ID string // its place, "" = none
}

// Choice is one list to choose from. The empty value is all of it.
type Choice struct {
	Name, Label string // in the address, and on the page
	Options     []ChoiceOption
}

// ChoiceOption is one of its lines.
type ChoiceOption struct{ Value, Words string }

// SheetRow is one kind of step.
type SheetRow struct {
	Kind, Title string
	Criteria    string // the numbers of the criteria it shows, apart by spaces
	Cells       []Cell
	Pairs       []PairLink
	All         Link // the page of the step in all builds, where some have no column
	Pace        Link // where the sessions behind the paces are
}

// Cell is one step of one build. The zero value is an empty cell.
type Cell struct {
	Tag     Tag
	Build   string // id
	Photo   string // digits of the print
	Picture Picture
	Pace    string // "23.1 parts an hour"
	N       string // "14 sessions"
	Known   Known
	Role    string // what the print shows, when that is no result: "before"
	Skill   StepSkill
	Filled  bool
}

// PairLink is the way to the comparison of two cells of a row.
type PairLink struct{ A, B, Words, Href string }

const (
	// mostColumns is how many builds of many have a column at first: as many as a
	// page of twenty stages has room for without being slow on a phone.
	mostColumns = 14
	// fewColumns is how many builds stand side by side in a wide window.
	fewColumns = 5
)

// sheetKinds are the kinds that have a print or a pace in some build.
func (v *view) sheetKinds() []string {
	var kinds []string
	for _, kind := range journal.Kinds {
		if len(v.stepBuilds(kind)) > 0 {
			kinds = append(kinds, kind)
		}
	}
	return kinds
}

// stepBuilds are the builds with a print or a pace of a kind of step.
func (v *view) stepBuilds(kind string) []*build {
	var out []*build
	for _, b := range v.order {
		if len(b.byKind[kind]) > 0 || len(b.paces(v.voice, kind)) > 0 {
			out = append(out, b)
		}
	}
	return out
}

// sheetBuilds are the builds that have anything to show.
func (v *view) sheetBuilds() []*build {
	return slices.DeleteFunc(slices.Clone(v.order), func(b *build) bool { return len(b.photos)+len(b.work) == 0 })
}

// onePerYear chooses of many builds: the first, the last begun in each year, the one
// before the latest, the latest. Of more than most those in between are thinned out
// evenly.
func onePerYear(all []*build, most int) []*build {
	if len(all) <= most {
		return all
	}
	last := len(all) - 1
	var between []*build
	for i, b := range all[1 : last-1] {
		if yearOf(b.first) != yearOf(all[i+2].first) {
			between = append(between, b)
		}
	}
	out := []*build{all[0]}
	room := most - 3
	for i := range min(room, len(between)) {
		out = append(out, between[i*len(between)/min(room, len(between))])
	}
	return append(out, all[last-1:]...)
}

func (v *view) sheet() Sheet {
	s := Sheet{Frame: v.frame("", "sheet", v.Say("Then and now"))}
	s.Script = "sheet.js"
	s.Like = v.alikeHint("")
	all := v.sheetBuilds()
	columns := all
	if len(all) > fewBuilds {
		columns = onePerYear(all, mostColumns)
		s.Some = len(columns) < len(all)
	}
	for _, b := range columns {
		s.Columns = append(s.Columns, SheetColumn{Tag: b.tag("")})
	}
	s.Wide = len(columns) > fewColumns
	if s.Wide {
		s.Latest = Link{Words: v.Say("to the latest build"), Href: "#latest"}
		s.Columns[len(s.Columns)-1].ID = "latest"
	}
	paired := columns
	if s.Some { // the others are on the pages of the steps
		paired = firstAndLatest(columns, 3)
	}
	for _, kind := range v.sheetKinds() {
		row := v.sheetRow(kind, columns, paired)
		if n := len(v.stepBuilds(kind)); len(v.order) > fewBuilds && n > 0 {
			row.All = Link{Words: v.Say("in all %d builds", n), Href: stepPage(kind)}
			if n == 1 {
				row.All.Words = v.Say("in its build")
			}
		}
		s.Rows = append(s.Rows, row)
		s.Paired = s.Paired || len(row.Pairs) > 0
	}
	s.Filters = v.sheetFilters(s.Some)
	s.Years = strings.Join(sortedKeys(v.sheetYears()), " ")
	return s
}

// sheetFilters are the ways to narrow the sheet; one that leaves no choice is left
// out.
func (v *view) sheetFilters(some bool) []Choice {
	views, lights, years := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, b := range v.sheetBuilds() {
		if year := yearOf(b.first); year != "" {
			years[year] = true
		}
		for _, photos := range b.byKind {
			for _, p := range photos {
				views[p.Tags.View], lights[p.Tags.Light] = true, true
			}
		}
	}
	var out []Choice
	add := func(name, label, all string, options []ChoiceOption) {
		if len(options) > 1 {
			out = append(out, Choice{name, label, append([]ChoiceOption{{"", all}}, options...)})
		}
	}
	var criteria, viewed, lit, when []ChoiceOption
	kinds := v.sheetKinds()
	for _, c := range journal.Criteria {
		if slices.ContainsFunc(c.Kinds, func(kind string) bool { return slices.Contains(kinds, kind) }) {
			criteria = append(criteria, ChoiceOption{fmt.Sprint(c.Number), v.criterionTitle(c)})
		}
	}
	for _, view := range journal.Views {
		if views[view] {
			viewed = append(viewed, ChoiceOption{view, capital(v.viewName(view))})
		}
	}
	for _, light := range journal.Lights {
		if lights[light] {
			lit = append(lit, ChoiceOption{light, capital(v.lightName(light))})
		}
	}
	for _, year := range sortedKeys(years) {
		when = append(when, ChoiceOption{year, year})
	}
	add("criterion", v.Say("Criterion"), v.Say("criteria¦All"), criteria)
	add("view", v.Say("View"), v.Say("view¦Any"), viewed)
	add("light", v.Say("Light"), v.Say("light¦Any"), lit)
	add("from", v.Say("Builds from"), v.Say("build¦The first"), when)
	add("to", v.Say("Builds until"), v.Say("build¦The latest"), when)
	if some {
		out = append(out, Choice{"builds", v.Say("How many builds"),
			[]ChoiceOption{{"", v.Say("About one a year")}, {"all", v.Say("builds¦All")}}})
	}
	return out
}

// sheetRow is a step in some builds, with the ways to those of its comparisons
// that are of two of the paired ones.
func (v *view) sheetRow(kind string, columns, paired []*build) SheetRow {
	row := SheetRow{Kind: kind, Title: v.kindTitle(kind), Criteria: criteriaOf(kind)}
	for _, b := range columns {
		c := v.cell(b, kind)
		if c.Pace != "" {
			row.Pace = Link{Words: v.Say("pace"), Href: "pace.html#" + kind}
		}
		row.Cells = append(row.Cells, c)
	}
	for _, p := range v.pairs() {
		shown := slices.Contains(paired, p.a.b) && slices.Contains(paired, p.b.b)
		if shown && !p.within && !p.byHand && p.kind == kind {
			row.Pairs = append(row.Pairs, PairLink{A: p.a.b.ID, B: p.b.b.ID,
				Words: v.Say("list¦%s and %s", p.a.b.named(), p.b.b.named()), Href: p.href})
		}
	}
	return row
}

// cell is a step of a build, by the print that stands for it.
func (v *view) cell(b *build, kind string) Cell {
	c := Cell{Tag: b.tag(""), Build: b.ID}
	if p := v.standing(b, kind); p != nil {
		c.Picture, c.Filled, c.Photo, c.Role = v.picture("", p, asSmall), true, v.stem[p.Hash], v.noResult(p)
	}
	if ps := b.paces(v.voice, kind); len(ps) > 0 {
		c.Pace = v.Say("%s %s an hour", v.figure(ps[0].PerHour), metrics.Many(unit(kind)))
		c.N, c.Known, c.Filled = v.count(ps[0].N, "session"), ps[0].Known, true
	}
	if c.Filled {
		c.Skill = v.stepSkill(b.ID, kind)
	}
	return c
}

// noResult says what a photo shows that shows no result, "" = a result.
func (in voice) noResult(p *journal.Photo) string {
	if isResult(p) {
		return ""
	}
	return cmp.Or(in.roleWord(p.Tags.Role), in.Say("role not tagged"))
}

// criteriaOf are the numbers of the criteria that a kind of step shows.
func criteriaOf(kind string) string {
	var out []string
	for _, c := range journal.Criteria {
		if slices.Contains(c.Kinds, kind) {
			out = append(out, fmt.Sprint(c.Number))
		}
	}
	return strings.Join(out, " ")
}
