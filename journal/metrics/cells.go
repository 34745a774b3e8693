// Cells: sessions sorted into kinds of work that can be compared.

package metrics

import (
	"cmp"
	"slices"

	"rakelight/journal/say"
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
	Why   Why // in LeftOut: why the cell cannot be compared
}

// strata are the timed sessions of a kind of work in both builds.
type strata [2]stratum

// cellRows pairs the cells of two lists of usable, ordered Works of one class each,
// sorted by cell, and splits them into shared ones and those left out.
func cellRows(earlier, later []*Work) (shared, leftOut []CellRow) {
	sides := [2][]*Work{earlier, later}
	place := map[Cell]int{}
	var cells []Cell
	var size [][2]int
	at := make([]int, 0, len(earlier)+len(later))
	for side, ws := range sides {
		for _, w := range ws {
			c := cellOf(w)
			p, ok := place[c]
			if !ok {
				p = len(cells)
				place[c], cells, size = p, append(cells, c), append(size, [2]int{})
			}
			at = append(at, p)
			size[p][side]++
		}
	}
	groups := make([][2][]*Work, len(cells))
	for p := range groups {
		for side := range sides {
			groups[p][side] = make([]*Work, 0, size[p][side])
		}
	}
	for side, ws := range sides {
		for i := range ws {
			p := at[side*len(earlier)+i]
			groups[p][side] = append(groups[p][side], ws[i])
		}
	}
	for p, cell := range cells {
		row := CellRow{Cell: cell}
		row.Unit, _ = CountedKind(cell.Kind)
		row.Earlier, row.Later = paceOfSessions(bySession(groups[p][0])), paceOfSessions(bySession(groups[p][1]))
		if row.Why = whyNotShared(row); row.Why.Any() {
			leftOut = append(leftOut, row)
			continue
		}
		row.Speed = row.Later.PerHour / row.Earlier.PerHour
		shared = append(shared, row)
	}
	byCell := func(a, b CellRow) int { return compareCells(a.Cell, b.Cell) }
	slices.SortFunc(shared, byCell)
	slices.SortFunc(leftOut, byCell)
	return shared, leftOut
}

// whyNotShared says what keeps a cell out of the indices: hours per part must
// exist on both sides.
func whyNotShared(r CellRow) Why {
	switch {
	case r.Earlier.N+r.Earlier.Untimed == 0:
		return onlyLater
	case r.Later.N+r.Later.Untimed == 0:
		return onlyEarlier
	case !r.Earlier.OK:
		return Because(earlierSide, r.Earlier.Why)
	case !r.Later.OK:
		return Because(laterSide, r.Later.Why)
	case r.Earlier.Parts == 0:
		return Because(earlierSide, noParts)
	case r.Later.Parts == 0:
		return Because(laterSide, noParts)
	}
	return Why{}
}

// Which side a reason is about.
const (
	earlierSide say.Key = "earlier build: %s"
	laterSide   say.Key = "later build: %s"
)

var (
	onlyLater   = Because("only in the later build")
	onlyEarlier = Because("only in the earlier build")
	noParts     = Because("no parts done")
)
