// The years as one thin band: each build a stretch in its shade, open where it was
// put aside.

package render

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Band is the drawing with the names of what it shows.
type Band struct {
	Drawn []BandChart // wide and narrow
	Names []Tag
	All   Link   // to all builds, where not all are named
	Thin  string // what a thin line is, "" = there is none
}

// BandChart is the drawing, for wide or for narrow pages.
type BandChart struct {
	Alt, Class    string
	Width, Height string
	Base          string // where the lines of years end
	Label         string // where their words stand
	Ticks         []Tick
	Stretches     []BandStretch
}

// BandStretch is the time of a build: one path with gaps.
type BandStretch struct {
	Title, Shade string
	Least        bool // photos alone tell of it
	Path         string
}

const bandLane = 11.0 // two builds at one time lie above each other

// band draws builds from one day to another; from "" = from the first day of all.
func (v *view) band(root string, builds []*build, from, to string) Band {
	lo, hi := bandEnds(builds, from, to)
	if !(hi > lo) {
		return Band{}
	}
	var out Band
	for _, g := range geometries {
		if c := v.bandChart(builds, g, lo, hi); len(c.Stretches) > 0 {
			out.Drawn = append(out.Drawn, c)
		}
	}
	named := firstAndLatest(builds, fewBuilds)
	for _, one := range named {
		out.Names = append(out.Names, one.tag(root))
	}
	if len(named) < len(builds) {
		out.All = Link{Words: v.Say("all %d builds", len(v.order)), Href: root + buildsPage}
	}
	for _, c := range out.Drawn {
		if slices.ContainsFunc(c.Stretches, func(s BandStretch) bool { return s.Least }) {
			out.Thin = v.Say("A thin line: photos alone tell of it, and its hours are a lower bound.")
		}
	}
	return out
}

func (v *view) bandChart(builds []*build, g geometry, lo, hi float64) BandChart {
	s := scale{lo, hi, 2, g.width - 2}
	b := BandChart{Class: g.class}
	var free []float64 // by lane: where its last stretch ends
	for _, one := range builds {
		x1, x2, ok := stretchOf(one)
		if !ok || x2 < lo || x1 > hi {
			continue
		}
		x1, x2 = s.at(x1), math.Max(s.at(x2), s.at(x1)+2)
		lane := 0
		for lane < len(free) && free[lane] > x1 {
			lane++
		}
		if lane == len(free) {
			free = append(free, 0)
		}
		free[lane] = x2
		title := joinWords(", ", one.named(), v.buildSpan(one))
		if one.photosOnly() {
			title = joinWords("; ", title, v.hoursWords(one))
		}
		b.Stretches = append(b.Stretches, BandStretch{title, one.shade, one.photosOnly(),
			v.bandPath(one, s, x1, x2, 8+bandLane*float64(lane))})
	}
	bottom := 8 + bandLane*math.Max(0, float64(len(free)-1)) + 8
	b.Alt = v.Say("%s on one line of time, %s to %s; named below.", v.count(len(b.Stretches), "build"),
		v.MonthOf(dayAt(lo)), v.MonthOf(dayAt(hi)))
	b.Width, b.Height, b.Base, b.Label = num(g.width), num(bottom+18), num(bottom), num(bottom+15)
	most := 12
	if g.class == "narrow" {
		most = 6
	}
	b.Ticks = v.bandTicks(s, lo, hi, most)
	return b
}

// bandEnds are the ends of a band, in days: whole years where none are given.
func bandEnds(builds []*build, from, to string) (lo, hi float64) {
	if from != "" {
		lo, _ = daysSince(from)
		hi, _ = daysSince(to)
		return lo, hi + 1
	}
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, b := range builds {
		if x1, x2, ok := stretchOf(b); ok {
			lo, hi = math.Min(lo, x1), math.Max(hi, x2)
		}
	}
	if lo > hi {
		return 0, 0
	}
	first := time.Date(dayAt(lo).Year(), 1, 1, 0, 0, 0, 0, time.UTC)
	last := time.Date(dayAt(hi).Year()+1, 1, 1, 0, 0, 0, 0, time.UTC)
	return float64(first.Unix()) / 86400, float64(last.Unix()) / 86400
}

func stretchOf(b *build) (from, to float64, ok bool) {
	if from, ok = daysSince(b.first); !ok {
		return 0, 0, false
	}
	if to, ok = daysSince(b.last); !ok || to < from {
		to = from
	}
	return from, to, true
}

func dayAt(days float64) time.Time { return time.Unix(int64(days)*86400, 0).UTC() }

// bandPath is the stretch of a build without the times it was put aside.
func (v *view) bandPath(b *build, s scale, x1, x2, y float64) string {
	path, x := "", x1
	for _, p := range v.Pauses {
		if p.Build != b.ID || p.Until.IsZero() {
			continue
		}
		from, to := s.at(float64(p.From.Unix())/86400), s.at(float64(p.Until.Unix())/86400)
		if from > x && to > from && to < x2 {
			path += fmt.Sprintf("M%s %sH%s", num(x), num(y), num(from))
			x = to
		}
	}
	return path + fmt.Sprintf("M%s %sH%s", num(x), num(y), num(x2))
}

// bandTicks are the years, or the months of one year, so many at most.
func (v *view) bandTicks(s scale, lo, hi float64, most int) []Tick {
	var out []Tick
	first, last := dayAt(lo).Year(), dayAt(hi-1).Year()
	if first == last {
		for month := time.January; month <= time.December; month += time.Month(12 / most) {
			at := float64(time.Date(first, month, 1, 0, 0, 0, 0, time.UTC).Unix()) / 86400
			out = append(out, Tick{X: num(s.at(at)), Label: v.ShortMonth(month), Anchor: "start"})
		}
		return out
	}
	step := int(math.Ceil(float64(last-first+1) / float64(most)))
	for year := first; year <= last; year += step {
		at := float64(time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC).Unix()) / 86400
		out = append(out, Tick{X: num(s.at(at)), Label: fmt.Sprint(year), Anchor: "start"})
	}
	return out
}
