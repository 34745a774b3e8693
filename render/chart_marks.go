// Charts of marks over time: every raw mark at the day of its photo, and where
// a photo was marked again, what it got then.

package render

import (
	"fmt"
	"math"
	"strings"
	"time"

	"rakelight/journal"
)

// Plot is a chart of marks: scores upward, days to the right.
type Plot struct {
	Alt, Class, Width, Height string
	Left, Right               string // where score lines begin and end
	Scores                    []Tick // X is the height of the line
	Top, Bottom, Baseline     string
	Ticks                     []Tick // years
	Title, TitleX, TitleY     string // what goes upward
	Dots                      []Dot
	Names                     []Note // of the builds, above their marks
}

// Dot is marks of a build that were not given again, or one that was and the
// second one of the same photo; of many marks all of a build.
type Dot struct {
	Shade, Point string
	Again        string // path of the second mark, "" = not marked again
	Drift        string // path from the first to the second
}

// marked is a photo with its marks on a criterion.
type marked struct {
	b     *build
	at    float64 // days
	first int
	again int // −1 = none
}

// manyMarks is how many marks are drawn one by one. Of more, those of a build that
// would lie on each other are drawn once: nobody could tell them apart.
const manyMarks = 200

// spotOf is a place in a chart of marks, with what stands there.
type spotOf struct {
	b     *build
	place [2]int
	again int
}

// markPlots draw the marks of the journal's owner on a criterion of some builds.
func (v *view) markPlots(c journal.Criterion, tallies map[photoOn]*tally, builds []*build) []Plot {
	var all []marked
	for _, b := range builds {
		for _, p := range b.photos {
			t := tallies[photoOn{p.Hash, c.Number}]
			if t == nil || p.Instant.At.IsZero() {
				continue
			}
			var scores []int
			for _, m := range t.marks {
				if !m.NA {
					scores = append(scores, m.Score)
				}
			}
			if len(scores) == 0 {
				continue
			}
			one := marked{b: b, at: float64(p.Instant.At.Unix()) / 86400, first: scores[0], again: -1}
			if len(scores) > 1 {
				one.again = scores[1]
			}
			all = append(all, one)
		}
	}
	if len(all) == 0 {
		return nil
	}
	var out []Plot
	for _, g := range geometries {
		out = append(out, v.plotMarks(c, all, g))
	}
	return out
}

func (in voice) plotMarks(c journal.Criterion, all []marked, g geometry) Plot {
	const row, top, bottom, left = 26.0, 46.0, 28.0, 26.0
	foot := top + row*journal.TopScore
	x := yearScale(all, left+14, g.width-18)
	y := func(score int) float64 { return foot - row*float64(score) }
	p := Plot{
		Alt: in.altOfMarks(c, all), Class: g.class, Width: num(g.width), Height: num(foot + 14 + bottom),
		Left: num(left), Right: num(g.width - 4), Top: num(top - 10), Bottom: num(foot + 10),
		Baseline: num(foot + 14 + 18),
		Title:    in.Say("Marks, 0 to 4, at the day of the photo"), TitleX: "4", TitleY: "13",
	}
	if len(all) > manyMarks {
		p.Title = in.Say("Marks, 0 to 4, at the day; alike ones once") // a phone has room for so much
	}
	for score := range journal.TopScore + 1 {
		p.Scores = append(p.Scores, Tick{X: num(y(score)), Label: fmt.Sprint(score), Anchor: num(y(score) + 5)})
	}
	years := in.yearTicks(x.lo, x.hi, g.width/70)
	for _, t := range years {
		p.Ticks = append(p.Ticks, Tick{X: num(x.at(t.at)), Label: t.word, Anchor: "middle"})
	}
	// Marks of one place would hide each other: each further one stands a
	// little to the right.
	taken := map[[2]int]int{}
	drawn := map[spotOf]bool{}
	for _, m := range all {
		px := x.at(m.at)
		spot := [2]int{int(math.Round(px / 8)), m.first}
		again := m.again
		if again == m.first {
			again = -1 // drawn as one that was not given again
		}
		if same := (spotOf{m.b, spot, again}); len(all) <= manyMarks || !drawn[same] {
			drawn[same] = true
		} else {
			continue
		}
		px += 9 * float64(taken[spot])
		taken[spot]++
		px = math.Min(px, g.width-8)
		d := Dot{Shade: m.b.shade, Point: point(m.b.shape, px, y(m.first))}
		if m.again >= 0 && m.again != m.first {
			d.Again = point(m.b.shape, px, y(m.again))
			d.Drift = fmt.Sprintf("M%s %sV%s", num(px), num(y(m.first)), num(y(m.again)))
		}
		plain := d.Drift == "" && (len(p.Dots) == 0 || p.Dots[len(p.Dots)-1].Drift == "")
		if n := len(p.Dots); n > 0 && p.Dots[n-1].Shade == d.Shade && (plain || len(all) > manyMarks) {
			last := &p.Dots[n-1] // one path for all of a build, which thousands of marks make lighter
			last.Point, last.Again, last.Drift = last.Point+d.Point, last.Again+d.Again, last.Drift+d.Drift
			continue
		}
		p.Dots = append(p.Dots, d)
	}
	p.Names = plotNames(all, x, g.width)
	return p
}

// plotNames puts each build's name above its marks, where there is room: the
// last one first, since the page speaks of it, then the others from the left.
func plotNames(all []marked, x scale, width float64) []Note {
	type named struct {
		note     Note
		from, to float64
	}
	var names []named
	for i, m := range all {
		if i > 0 && all[i-1].b == m.b {
			continue
		}
		px := math.Max(4, x.at(m.at)-5)
		need := 7.2 * float64(len(m.b.Title))
		note := Note{Words: m.b.Title, X: num(px), Y: "30"}
		if px+need > width { // it ends with the drawing
			px = width - 4 - need
			note.X, note.Anchor = num(width-4), "end"
		}
		names = append(names, named{note, px, px + need + 12})
	}
	var out []Note
	free := 0.0
	for i, n := range names {
		last := names[len(names)-1]
		if n.from >= free && (n.to <= last.from || i == len(names)-1) {
			out, free = append(out, n.note), n.to
		}
	}
	return out
}

func yearScale(all []marked, x0, x1 float64) scale {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, m := range all {
		lo, hi = math.Min(lo, m.at), math.Max(hi, m.at)
	}
	return scale{lo, math.Max(hi, lo+30), x0, x1}
}

// yearTicks are the first days of the years in a span of days, or of months
// where it holds fewer than two years.
func (in voice) yearTicks(lo, hi float64, most float64) []tickAt {
	from := time.Unix(int64(lo*86400), 0).UTC()
	var out []tickAt
	days := func(t time.Time) float64 { return float64(t.Unix()) / 86400 }
	for y := from.Year(); ; y++ {
		d := days(time.Date(y, 1, 1, 0, 0, 0, 0, time.UTC))
		if d > hi {
			break
		}
		if d >= lo {
			out = append(out, tickAt{d, fmt.Sprint(y)})
		}
	}
	if len(out) < 2 {
		out = nil
		for m := time.Date(from.Year(), from.Month(), 1, 0, 0, 0, 0, time.UTC); days(m) <= hi; m = m.AddDate(0, 1, 0) {
			if days(m) >= lo {
				out = append(out, tickAt{days(m), in.tickMonth(m)})
			}
		}
	}
	if len(out) == 0 {
		return []tickAt{{lo, in.tickMonth(from)}}
	}
	every := int(math.Ceil(float64(len(out)) / math.Max(1, most)))
	var some []tickAt
	for i := 0; i < len(out); i += every {
		some = append(some, out[i])
	}
	return some
}

// altOfMarks says the marks in words.
func (in voice) altOfMarks(c journal.Criterion, all []marked) string {
	if len(all) > manyMarks {
		return in.Say("Marks on %s over time: %d of them; the table has their means, build by build.", in.criterion(c), len(all))
	}
	var builds []string
	for i, m := range all {
		mark := fmt.Sprint(m.first)
		if m.again >= 0 {
			mark = in.Say("%d then %d", m.first, m.again)
		}
		if n := len(builds) - 1; i > 0 && all[i-1].b == m.b {
			builds[n] += ", " + mark
		} else {
			builds = append(builds, in.Say("%s: %s", m.b.named(), mark))
		}
	}
	return in.Say("Marks on %s over time; %s.", in.criterion(c), strings.Join(builds, "; "))
}
