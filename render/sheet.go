// Then and now: the contact sheet of all builds, a row for each kind of step.

package render

import (
	"cmp"
	"fmt"

	"rakelight/journal"
)

// Sheet is then-and-now.html.
type Sheet struct {
	Frame
	Columns []Tag
	Rows    []SheetRow
	Wide    bool // more builds than a page is wide: the sheet scrolls in itself
}

// SheetRow is one kind of step.
type SheetRow struct {
	Kind, Title string
	Cells       []Cell
	Pairs       []PairLink
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
	Href    string // where its sessions are
	Role    string // what the print shows, when that is no result: "before"
	Pick    bool   // there is another print in the row to hold it against
	Skill   StepSkill
	Filled  bool
}

// PairLink is the way to the comparison of two cells of a row.
type PairLink struct{ A, B, Words, Href string }

// sheetKinds are the kinds that have a print or a pace in some build.
func (v *view) sheetKinds() []string {
	var kinds []string
	for _, kind := range journal.Kinds {
		for _, b := range v.order {
			if len(b.byKind[kind]) > 0 || len(paces(b.workByKind[kind])) > 0 {
				kinds = append(kinds, kind)
				break
			}
		}
	}
	return kinds
}

func (v *view) sheet() Sheet {
	s := Sheet{Frame: v.frame("", "sheet", "Then and now")}
	s.Script = "sheet.js"
	var columns []*build
	for _, b := range v.order {
		if len(b.photos) > 0 || len(b.work) > 0 {
			columns = append(columns, b)
			s.Columns = append(s.Columns, b.tag(""))
		}
	}
	s.Wide = len(columns) > 5
	for _, kind := range v.sheetKinds() {
		row := SheetRow{Kind: kind, Title: kindTitle(kind)}
		prints := 0
		for _, b := range columns {
			if len(b.byKind[kind]) > 0 {
				prints++
			}
		}
		for _, b := range columns {
			c := Cell{Tag: b.tag(""), Build: b.ID}
			if p := best(b.byKind[kind]); p != nil {
				c.Picture, c.Filled, c.Pick, c.Photo = v.picture("", p, asPrint), true, prints > 1, v.stem[p.Hash]
				if !isResult(p) {
					c.Role = cmp.Or(p.Tags.Role, "role not tagged")
				}
			}
			if ps := paces(b.workByKind[kind]); len(ps) > 0 {
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
			if !p.within && !p.byHand && p.kind == kind {
				row.Pairs = append(row.Pairs, PairLink{A: p.a.b.ID, B: p.b.b.ID,
					Words: p.a.b.named() + " and " + p.b.b.named(), Href: p.href})
			}
		}
		s.Rows = append(s.Rows, row)
	}
	return s
}
