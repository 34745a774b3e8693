// Then and now: the contact sheet of all builds, a row for each kind of step.

package render

import (
	"cmp"
	"fmt"
	"slices"

	"rakelight/journal"
)

// Sheet is then-and-now.html.
type Sheet struct {
	Frame
	Columns []Tag
	Rows    []SheetRow
	Wide    bool // more builds than a page is wide: the sheet scrolls in itself
	Some    bool // only the first and the latest builds have a column
}

// SheetRow is one kind of step.
type SheetRow struct {
	Kind, Title string
	Cells       []Cell
	Pairs       []PairLink
	All         Link // the page of the step in all builds, where some have no column
}

// Cell is one step of one build. The zero value is an empty cell.
type Cell struct {
	Tag     Tag
	Build   string // id
	Photo   string // digits of the print
	Kind    string // of the step
	Picture Picture
	Pace    string // "23.1 parts an hour"
	N       string // "14 sessions"
	Known   Known
	Href    string // where its sessions are
	Role    string // what the print shows, when that is no result: "before"
	Pick    bool   // there is another print in the row to hold it against
	Skill   StepSkill
	Filled  bool
}

// PairLink is the way to the comparison of two cells of a row.
type PairLink struct{ A, B, Words, Href string }

// fewColumns is how many builds stand side by side of many: as many as fit a wide
// window, so that the latest is seen at once.
const fewColumns = 5

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
		if len(b.byKind[kind]) > 0 || len(b.paces(kind)) > 0 {
			out = append(out, b)
		}
	}
	return out
}

func (v *view) sheet() Sheet {
	s := Sheet{Frame: v.frame("", "sheet", "Then and now")}
	s.Script = "sheet.js"
	var all []*build
	for _, b := range v.order {
		if len(b.photos) > 0 || len(b.work) > 0 {
			all = append(all, b)
		}
	}
	columns := all
	if len(all) > fewBuilds {
		columns = firstAndLatest(all, fewColumns)
		s.Some = true
	}
	for _, b := range columns {
		s.Columns = append(s.Columns, b.tag(""))
	}
	s.Wide = len(columns) > 5
	for _, kind := range v.sheetKinds() {
		row := v.sheetRow(kind, columns)
		if n := len(v.stepBuilds(kind)); s.Some && n > 0 {
			row.All = Link{Words: "in all " + count(n, "build"), Href: stepPage(kind)}
			if n == 1 {
				row.All.Words = "in its build"
			}
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}

// sheetRow is a step in some builds, with the ways to those of its comparisons
// that are of two of them.
func (v *view) sheetRow(kind string, columns []*build) SheetRow {
	row := SheetRow{Kind: kind, Title: kindTitle(kind)}
	prints := 0
	for _, b := range columns {
		if len(b.byKind[kind]) > 0 {
			prints++
		}
	}
	for _, b := range columns {
		c := Cell{Tag: b.tag(""), Build: b.ID, Kind: kind}
		if p := best(b.byKind[kind]); p != nil {
			c.Picture, c.Filled, c.Pick, c.Photo = v.picture("", p, asPrint), true, prints > 1, v.stem[p.Hash]
			if !isResult(p) {
				c.Role = cmp.Or(p.Tags.Role, "role not tagged")
			}
		}
		if ps := b.paces(kind); len(ps) > 0 {
			c.Pace = fmt.Sprintf("%s %s an hour", figure(ps[0].PerHour), plural(unit(kind)))
			c.N, c.Known, c.Filled = count(ps[0].N, "session"), ps[0].Known, true
			c.Href = "pace.html#" + kind
		}
		if c.Filled {
			c.Skill = v.stepSkill(b.ID, kind)
		}
		row.Cells = append(row.Cells, c)
	}
	for _, p := range v.pairs() {
		shown := slices.Contains(columns, p.a.b) && slices.Contains(columns, p.b.b)
		if shown && !p.within && !p.byHand && p.kind == kind {
			row.Pairs = append(row.Pairs, PairLink{A: p.a.b.ID, B: p.b.b.ID,
				Words: p.a.b.named() + " and " + p.b.b.named(), Href: p.href})
		}
	}
	return row
}
