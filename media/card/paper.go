// The paper as a measure: a photo of a whole sheet, not cut yet, shows how large
// the cards came out beside the paper they came out on, whose size is a standard.

package card

import (
	"errors"
	"fmt"
	"image"
	"math"
	"slices"
	"strings"
)

// PaperKind is a size of paper, in millimeters.
type PaperKind struct {
	Name          string
	Width, Height float64
}

// Papers are those a sheet fits: ISO 216 A4, and Letter (ANSI/ASME Y14.1, size A:
// 8.5 by 11 inches).
var Papers = []PaperKind{{"A4", 210, 297}, {"Letter", 215.9, 279.4}}

const (
	// paperError is the standard error of a sheet's side, in millimeters. ISO 216
	// lets sides between 150 and 600 mm be off by 2 mm (figure from memory):
	// rectangular, that is 2/√3.
	paperError = 1.15
	// bentBy is what a lens that bends straight lines by a hundredth at the corners
	// makes of it, as a share: measured on drawn photos (TestPaperOf).
	bentBy = 0.0035
	// sidesApart is how far the two sides may tell different sizes: beyond it what
	// was found is not the paper's edge, or it is none of these papers.
	sidesApart = 0.012
	// edgeSteps is how many places of a side are looked at, and edgeReach how far
	// beyond the cards, in the cards' millimeters.
	edgeSteps = 80
	edgeReach = 130.0
	edgeFine  = 0.2 // millimeters from one look to the next
)

// OnPaper is what the paper tells of a sheet.
type OnPaper struct {
	Sheet   string  // mark of the sheet
	Printed float64 // millimeters of paper for one of the card's
	Error   float64 // standard error of Printed
}

// PaperNamed is the paper of a name, in any letters.
func PaperNamed(name string) (PaperKind, error) {
	names := ""
	for _, k := range Papers {
		if strings.EqualFold(k.Name, name) {
			return k, nil
		}
		names += ", " + k.Name
	}
	return PaperKind{}, fmt.Errorf("%q is not a paper a sheet is printed on: %s", name, names[2:])
}

// PaperOf measures a whole sheet in a picture by the paper that a person says it
// came out on: A5 has the shape of A4, so the picture alone cannot tell. The
// cards must stand as they were printed. An error is for the person: why the
// paper tells nothing.
func PaperOf(img image.Image, kind PaperKind) (OnPaper, error) {
	p := PlaneOf(img)
	block, err := blockOf(Find(p))
	if err != nil {
		return OnPaper{}, err
	}
	var sides [4]edge // left, top, right, bottom
	for i := range sides {
		if sides[i], err = p.edgeOf(block, i); err != nil {
			return OnPaper{}, fmt.Errorf("the %s edge of the paper is not seen well: %w",
				[4]string{"left", "upper", "right", "lower"}[i], err)
		}
	}
	// Through the middle of the cards, square to the edges.
	width := (block.width + sides[0].at + sides[2].at) * math.Cos((sides[0].slope-sides[2].slope)/2)
	height := (block.height + sides[1].at + sides[3].at) * math.Cos((sides[1].slope-sides[3].slope)/2)
	w, h := kind.Width/width, kind.Height/height
	apart := math.Abs(math.Log(w / h))
	if apart > sidesApart {
		return OnPaper{},
			fmt.Errorf("the paper is %.2f times as high as wide, and %s is %.2f times: it is another, or was cut",
				height/width, kind.Name, kind.Height/kind.Width)
	}
	// Each side weighs by how surely it is known.
	u, v := math.Pow(kind.Width/paperError, 2), math.Pow(kind.Height/paperError, 2)
	out := OnPaper{Sheet: block.sheet, Printed: (w*u + h*v) / (u + v)}
	out.Error = out.Printed * math.Hypot(1/math.Sqrt(u+v), math.Hypot(bentBy, apart/2))
	return out, nil
}

// block is the cards of a sheet as they stand side by side.
type block struct {
	sheet         string
	plane         Homography // millimeters from the upper left corner of the block to pixels
	width, height float64    // millimeters
}

// blockOf finds the largest sheet among the cards and its common plane.
func blockOf(found []Found) (block, error) {
	bySheet := map[string][]Found{}
	best := ""
	for _, f := range found {
		if s := f.Card.Sheet; s != "" {
			bySheet[s] = append(bySheet[s], f)
			if len(bySheet[s]) > len(bySheet[best]) {
				best = s
			}
		}
	}
	cards := bySheet[best]
	if len(cards) < 3 {
		return block{}, errors.New("it takes three cards or more of one sheet that is not cut yet")
	}
	first, err := MeasureOf(cards[0].Corners, cards[0].Error)
	if err != nil {
		return block{}, err
	}
	back := first.Plane.Inverse()
	var seen [][2]float64 // their symbols by that of the first, in millimeters
	for _, c := range cards {
		x, y := back.At(c.Corners[0][0], c.Corners[0][1])
		seen = append(seen, [2]float64{x - SymbolX, y - SymbolY})
	}
	places, width, height, err := placesOf(seen)
	if err != nil {
		return block{}, err
	}
	var from, to [][2]float64
	for i, c := range cards {
		x, y := places[i][0], places[i][1]
		const s = SymbolSide
		from = append(from, [2]float64{x, y}, [2]float64{x + s, y}, [2]float64{x + s, y + s}, [2]float64{x, y + s})
		to = append(to, c.Corners[:]...)
	}
	out := block{sheet: best, width: width, height: height}
	if out.plane, err = homographyThrough(from, to); err != nil {
		return block{}, err
	}
	for i, f := range from {
		x, y := out.plane.At(f[0], f[1])
		if math.Hypot(x-to[i][0], y-to[i][1]) > 0.02*math.Hypot(to[i][0]-to[(i+4)%len(to)][0],
			to[i][1]-to[(i+4)%len(to)][1]) {
			return block{}, errors.New("the sheet does not lie flat")
		}
	}
	return out, nil
}

// offPlace is how far a symbol may lie from its place on the page, as the plane of
// one card tells it, in millimeters.
const offPlace = 8.0

// placesOf are the places of symbols on the block of cards they stand in, and how
// large that is, by where they lie from the first of them. The cards stand two in
// a row, or as on the page for an evening, which is then taken whole.
func placesOf(seen [][2]float64) (places [][2]float64, width, height float64, err error) {
	if places = eveningPlaces(seen); places != nil {
		return places, 2 * Width, 3 * Height, nil
	}
	left, top, right, bottom := 0.0, 0.0, 0.0, 0.0
	for _, s := range seen {
		col, row := math.Round(s[0]/Width), math.Round(s[1]/Height)
		if math.Hypot(s[0]-col*Width, s[1]-row*Height) > offPlace {
			return nil, 0, 0,
				errors.New("the cards do not stand as they were printed: it takes a sheet that is not cut yet")
		}
		places = append(places, [2]float64{col, row})
		left, right, top, bottom = min(left, col), max(right, col), min(top, row), max(bottom, row)
	}
	if right == left || bottom == top {
		return nil, 0, 0, errors.New("it takes cards beside each other and below each other")
	}
	for i, p := range places {
		places[i] = [2]float64{SymbolX + Width*(p[0]-left), SymbolY + Height*(p[1]-top)}
	}
	return places, Width * (right - left + 1), Height * (bottom - top + 1), nil
}

// eveningPlaces are the places of symbols on the page for an evening, nil if they
// do not all stand there, or no small card is among them.
func eveningPlaces(seen [][2]float64) [][2]float64 {
	var page [][2]float64
	set := EveningOf(nil, nil)
	small := map[[2]float64]bool{}
	for i, p := range Places(set) {
		at := [2]float64{p[0] + SymbolX, p[1] + SymbolY}
		if set[i].Small {
			at = [2]float64{p[0] + smallX, p[1] + smallY}
			small[at] = true
		}
		page = append(page, at)
	}
	for _, first := range page {
		var places [][2]float64
		rows, any := map[float64]bool{}, false
		for _, s := range seen {
			for _, at := range page {
				if math.Hypot(first[0]+s[0]-at[0], first[1]+s[1]-at[1]) <= offPlace && !slices.Contains(places, at) {
					places, any, rows[at[1]] = append(places, at), any || small[at], true
					break
				}
			}
		}
		if len(places) == len(seen) && any && rows[page[0][1]] && len(rows) > 2 {
			return places
		}
	}
	return nil
}

// homographyThrough finds the homography that takes points nearest to others, in
// the sense of least squares of the linear equations, which for a hundred points
// of one flat thing is near enough to that of the distances.
func homographyThrough(from, to [][2]float64) (Homography, error) {
	if len(from) < 4 || len(from) != len(to) {
		return Homography{}, errFlat
	}
	a, b := make([][]float64, 8), make([]float64, 8)
	for i := range a {
		a[i] = make([]float64, 8)
	}
	// Numbers of like size keep the equations sound.
	const unit, pixel = 100.0, 1000.0
	for i := range from {
		x, y, u, v := from[i][0]/unit, from[i][1]/unit, to[i][0]/pixel, to[i][1]/pixel
		for _, row := range [2][9]float64{{x, y, 1, 0, 0, 0, -u * x, -u * y, u},
			{0, 0, 0, x, y, 1, -v * x, -v * y, v}} {
			for r := range 8 {
				for c := range 8 {
					a[r][c] += row[r] * row[c]
				}
				b[r] += row[r] * row[8]
			}
		}
	}
	s, err := solve(a, b)
	if err != nil {
		return Homography{}, err
	}
	h := Homography{8: 1}
	copy(h[:], s)
	small := Homography{1 / unit, 0, 0, 0, 1 / unit, 0, 0, 0, 1}
	large := Homography{pixel, 0, 0, 0, pixel, 0, 0, 0, 1}
	return small.Then(h).Then(large), nil
}

// edge is an edge of the paper beside the cards: how far from them at their
// middle, and how it runs away from them, as a slope.
type edge struct{ at, slope float64 }

// edgeOf finds where the paper ends on a side of the cards: 0 left, 1 top, 2
// right, 3 bottom.
func (p Plane) edgeOf(b block, side int) (edge, error) {
	along := [4]float64{b.height, b.width, b.height, b.width}[side]
	point := func(s, d float64) (x, y float64) {
		switch side {
		case 0:
			x, y = -d, s
		case 1:
			x, y = s, -d
		case 2:
			x, y = b.width+d, s
		default:
			x, y = s, b.height+d
		}
		return b.plane.At(x, y)
	}
	var ends [][2]float64 // place along the side, distance from the cards
	for k := range edgeSteps {
		s := along * (float64(k) + 0.5) / edgeSteps
		if d, ok := p.paperEnd(func(d float64) (float64, float64) { return point(s, d) }); ok {
			ends = append(ends, [2]float64{s - along/2, d})
		}
	}
	return lineOf(ends)
}

// paperEnd walks away from the cards until the paper ends for good: what is dark
// and narrow is print.
func (p Plane) paperEnd(at func(d float64) (float64, float64)) (float64, bool) {
	var row []float64
	for d := 0.0; d <= edgeReach; d += edgeFine {
		x, y := at(d)
		v, in := p.sample(x, y)
		if !in {
			break
		}
		row = append(row, v)
	}
	const (
		clear = int(1.2 / edgeFine) // beside the line the cards are cut along
		white = int(1.6 / edgeFine) // of paper that tells how bright paper is
		past  = int(4 / edgeFine)   // all of it other than paper
	)
	if len(row) < clear+white+past {
		return 0, false
	}
	paper := slices.Clone(row[clear : clear+white])
	slices.Sort(paper)
	bright := paper[len(paper)/2]
	for i := clear + white; i+past <= len(row); i++ {
		// Light falls off slowly over the paper, and is followed.
		if math.Abs(row[i]-bright) < 0.08*bright {
			bright += 0.02 * (row[i] - bright)
		}
		beyond := row[i : i+past]
		mean := 0.0
		for _, v := range beyond[past/4:] {
			mean += v / float64(past-past/4)
		}
		if step := math.Abs(mean - bright); step < 0.15*bright {
			continue
		}
		half := (bright + mean) / 2
		other := func(v float64) bool { return (v < half) == (mean < bright) }
		if !other(row[i]) || slices.ContainsFunc(beyond, func(v float64) bool { return !other(v) }) {
			continue
		}
		// Between the two looks.
		part := 0.0
		if row[i] != row[i-1] {
			part = (half - row[i]) / (row[i] - row[i-1])
		}
		return (float64(i) + max(-1, min(0, part))) * edgeFine, true
	}
	return 0, false
}

var errEdge = errors.New("it needs a bench that is darker than paper all around, and all of the sheet in the picture")

// lineOf is the line most of the ends lie on.
func lineOf(ends [][2]float64) (edge, error) {
	const near = 0.6 // millimeters
	best, most := edge{}, 0
	for i, a := range ends {
		for _, c := range ends[i+1:] {
			if math.Abs(c[0]-a[0]) < 30 {
				continue
			}
			slope := (c[1] - a[1]) / (c[0] - a[0])
			if math.Abs(slope) > 0.05 {
				continue
			}
			line := edge{a[1] - slope*a[0], slope}
			n := 0
			for _, e := range ends {
				if math.Abs(e[1]-line.at-line.slope*e[0]) < near {
					n++
				}
			}
			if n > most {
				best, most = line, n
			}
		}
	}
	if most < edgeSteps*6/10 {
		return edge{}, errEdge
	}
	// Least squares through those that lie on it.
	var n, sx, sy, sxx, sxy float64
	for _, e := range ends {
		if math.Abs(e[1]-best.at-best.slope*e[0]) < near {
			n, sx, sy, sxx, sxy = n+1, sx+e[0], sy+e[1], sxx+e[0]*e[0], sxy+e[0]*e[1]
		}
	}
	slope := (n*sxy - sx*sy) / (n*sxx - sx*sx)
	return edge{(sy - slope*sx) / n, slope}, nil
}
