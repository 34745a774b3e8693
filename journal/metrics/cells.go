// Cells: sessions sorted into kinds of work that can be compared.

package metrics

import (
	"cmp"
	"slices"
)

// Cell is one kind of work on one class of part to one finish: inside a cell a
// part of one build is worth a part of another.
type Cell struct{ Kind, Class, Finish string }

func cellOf(w *Work) Cell { return Cell{w.Kind, w.Class, w.Finish} }

func compareCells(a, b Cell) int {
	if c := cmp.Compare(a.Kind, b.Kind); c != 0 {
		return c
	}
	if c := cmp.Compare(a.Class, b.Class); c != 0 {
		return c
	}
	return cmp.Compare(a.Finish, b.Finish)
}

// CellRow is one cell of a comparison, both builds side by side.
type CellRow struct {
	Cell
	Unit           string  // what one done is, from CountedKind; "" for an unknown kind
	Earlier, Later Pace    // zero value with Why where a build has nothing in the cell
	Speed          float64 // later pace over earlier pace; 0 in LeftOut
	// Share of the later build's counted hours that lie in this cell.
	Share float64
	Why   string // in LeftOut: why the cell cannot be compared
}

// strata are the timed sessions of a cell in both builds.
type strata [2]stratum

// cellRows pairs the cells of two lists of usable, ordered Works of one class each,
// sorted by cell, and splits them into shared ones and those left out. of has the sessions
// of the shared ones.
func cellRows(earlier, later []Work, on [2]*calendar) (shared, leftOut []CellRow, of map[Cell]strata) {
	sides := [2][]Work{earlier, later}
	place := map[Cell]int{}
	var cells []Cell
	var size [][2]int
	at := make([]int, 0, len(earlier)+len(later))
	for side, ws := range sides {
		for i := range ws {
			c := cellOf(&ws[i])
			p, ok := place[c]
			if !ok {
				p = len(cells)
				place[c], cells, size = p, append(cells, c), append(size, [2]int{})
			}
			at = append(at, p)
			size[p][side]++
		}
	}
	groups := make([][2][]Work, len(cells))
	for p := range groups {
		for side := range sides {
			groups[p][side] = make([]Work, 0, size[p][side])
		}
	}
	for side, ws := range sides {
		for i := range ws {
			p := at[side*len(earlier)+i]
			groups[p][side] = append(groups[p][side], ws[i])
		}
	}
	of = make(map[Cell]strata, len(cells))
	for p, cell := range cells {
		row := CellRow{Cell: cell}
		row.Unit, _ = CountedKind(cell.Kind)
		sessions := [2][]Work{bySession(groups[p][0]), bySession(groups[p][1])}
		row.Earlier, row.Later = paceOfSessions(sessions[0]), paceOfSessions(sessions[1])
		if row.Why = whyNotShared(row); row.Why != "" {
			leftOut = append(leftOut, row)
			continue
		}
		row.Speed = row.Later.PerHour / row.Earlier.PerHour
		shared = append(shared, row)
		of[cell] = strata{on[0].stratumOf(sessions[0]), on[1].stratumOf(sessions[1])}
	}
	byCell := func(a, b CellRow) int { return compareCells(a.Cell, b.Cell) }
	slices.SortFunc(shared, byCell)
	slices.SortFunc(leftOut, byCell)
	return shared, leftOut, of
}

// judgeable moves the shared cells that rest on one evening on a side to those
// left out, unless there would be none left: why says then what keeps the first
// from being judged.
func judgeable(shared, leftOut []CellRow, of map[Cell]strata) (kept, out []CellRow, why string) {
	out = leftOut
	for _, r := range shared {
		if why := whyNotJudged(r, of[r.Cell]); why != "" {
			r.Why, r.Speed = why, 0
			out = append(out, r)
			continue
		}
		kept = append(kept, r)
	}
	if len(kept) == 0 && len(shared) > 0 {
		return shared, leftOut, whyNotJudged(shared[0], of[shared[0].Cell])
	}
	slices.SortStableFunc(out, func(a, b CellRow) int { return compareCells(a.Cell, b.Cell) })
	return kept, out, ""
}

// whyNotJudged says what keeps the scatter of a cell from showing.
func whyNotJudged(r CellRow, of strata) string {
	if min(r.Earlier.Evenings, r.Later.Evenings) < 2 {
		return "one evening on a side: nothing shows its scatter"
	}
	for _, s := range of {
		for _, l := range s.loads {
			if len(s.loads) > 1 && !(s.sumOut-l.parts > 0) {
				return "all parts of a side done on one evening: nothing shows its scatter"
			}
		}
	}
	return ""
}

// whyNotShared says what keeps a cell out of the indices: hours per part must
// exist on both sides.
func whyNotShared(r CellRow) string {
	switch {
	case r.Earlier.N+r.Earlier.Untimed == 0:
		return "only in the later build"
	case r.Later.N+r.Later.Untimed == 0:
		return "only in the earlier build"
	case !r.Earlier.OK:
		return "earlier build: " + r.Earlier.Why
	case !r.Later.OK:
		return "later build: " + r.Later.Why
	case r.Earlier.Parts == 0:
		return "earlier build: no parts done"
	case r.Later.Parts == 0:
		return "later build: no parts done"
	}
	return ""
}
