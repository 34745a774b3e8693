// The time axis: the years with a bar for each month, and the builds as bands.

package past

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"net/http"
	"slices"
	"strings"
	"time"
)

// axis is what is drawn: places and widths are percents of its width.
type axis struct {
	Years  []tick
	Months []bar
	Bands  []band
	Jump   []monthLink // months that have pictures
	Height int         // pixels
	Base   int         // pixels down to which the bars reach
	Label  int         // pixels down to which year numbers stand
}

type tick struct{ At, Year string }

// bar is how much was taken in a month.
type bar struct {
	At, Width   string
	Top, Height int
	Month       string // "2021-03"
	Words       string // "March 2021, 40 pictures"
}

// band is a build or a likely one.
type band struct {
	At, Width string
	Top       int
	Name      string // beside the color, so that it is not the only sign
	NameAt    string
	NameY     int
	Anchor    string // "start", "end"
	Shade     int
	Here      bool
	Guess     bool
	Words     string
	Address   string
}

type monthLink struct{ Month, Words string }

const (
	barsHigh  = 36 // pixels
	laneApart = 27
	nameHigh  = 11   // of a band's name above it
	letter    = 0.65 // percent of the width that a letter of a name takes, where names are shown
	labelHigh = 18
)

// axis draws all groups; of is the one that is open, nil = none.
func (l *look) axis(of *group) *axis {
	var from, to time.Time
	months := map[string]int{}
	for _, p := range l.pictures {
		months[p.At.Format("2006-01")]++
		if dateless(p.Placed) {
			continue // where nothing is known nothing is stretched
		}
		if from.IsZero() || p.At.Before(from) {
			from = p.At
		}
		if p.At.After(to) {
			to = p.At
		}
	}
	if from.IsZero() {
		return nil
	}
	from = time.Date(from.Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	to = time.Date(to.Year()+1, 1, 1, 0, 0, 0, 0, time.UTC)
	place := func(at time.Time) float64 {
		return min(100, max(0, 100*float64(at.Sub(from))/float64(to.Sub(from))))
	}
	x := &axis{Base: barsHigh, Label: barsHigh + labelHigh - 4}
	step := 1 + (to.Year()-from.Year()-1)/10
	for year := from.Year(); year < to.Year(); year += step {
		x.Years = append(x.Years, tick{percent(place(time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC))), fmt.Sprint(year)})
	}
	most := 0
	for _, n := range months {
		most = max(most, n)
	}
	for _, month := range slices.Sorted(maps.Keys(months)) {
		begin, _ := time.Parse("2006-01", month) // it was written so above
		words := begin.Format("January 2006") + ", " + count(months[month], "picture")
		x.Jump = append(x.Jump, monthLink{month, words})
		if begin.Before(from) || !begin.Before(to) {
			continue
		}
		high := max(2, int(math.Round((barsHigh-4)*math.Sqrt(float64(months[month])/float64(most)))))
		at, end := place(begin), place(begin.AddDate(0, 1, 0))
		x.Months = append(x.Months, bar{percent(at), percent(end - at), barsHigh - high, high, month, words})
	}
	x.Height = x.band(l.bands(), of, place)
	return x
}

// band lays the bands below each other where they overlap, and returns the height of
// the axis.
func (x *axis) band(groups []*group, of *group, place func(time.Time) float64) int {
	var ends []float64 // of each lane
	for _, g := range groups {
		from, to := place(g.first()), place(g.last())
		to = min(100, max(to, from+0.8))
		name := g.short()
		wide := letter * float64(len([]rune(name)))
		anchor, at, begins, needs := "start", from, from, max(to, from+wide)
		if needs > 100 { // it would leave the page
			anchor, at, begins, needs = "end", to, min(from, to-wide), to
		}
		lane := slices.IndexFunc(ends, func(end float64) bool { return end+0.5 <= begins })
		if lane < 0 {
			lane, ends = len(ends), append(ends, 0)
		}
		ends[lane] = needs
		top := barsHigh + labelHigh + lane*laneApart
		x.Bands = append(x.Bands, band{At: percent(from), Width: percent(to - from),
			Top: top + nameHigh + 4, Name: name, NameAt: percent(at), NameY: top + nameHigh,
			Anchor: anchor, Shade: g.shade, Here: g == of, Guess: g.build == nil,
			Words: joined(", ", g.title(), g.span(), count(len(g.pictures), "picture")), Address: g.address()})
	}
	return barsHigh + labelHigh + len(ends)*laneApart
}

func percent(x float64) string { return strings.TrimSuffix(fmt.Sprintf("%.2f", x), ".00") + "%" }

// month leads to the evening where a month begins.
func (p *Pages) month(w http.ResponseWriter, r *http.Request) {
	a, err := p.ask(r)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	month, in := a.value("month"), map[*group]int{}
	var first *picture
	for _, one := range a.pictures {
		if one.At.Format("2006-01") == month {
			in[a.of[one]]++
		}
	}
	var best *group
	for _, g := range a.groups {
		if in[g] > in[best] {
			best = g
		}
	}
	if best == nil {
		http.Redirect(w, r, Root, http.StatusSeeOther)
		return
	}
	for _, one := range best.pictures {
		if one.At.Format("2006-01") == month {
			first = cmp.Or(first, one)
		}
	}
	http.Redirect(w, r, best.address()+"#p-"+first.id(), http.StatusSeeOther)
}
