// The years: every build on one time axis.

package render

import (
	"fmt"
	"math"
	"time"
)

// Stretch is a build on the time axis, in words.
type Stretch struct {
	Tag     Tag
	Span    string // "March 2021 to May 2022"
	From    string // for machines, "" = unknown
	To      string
	State   string // "finished", "on the bench", "put aside since …"
	Hours   string // "41.2 h in 30 sessions"
	Picture Picture
}

// daysSince counts days as a date axis needs them; ok is false for what is no
// full or partial date.
func daysSince(date string) (float64, bool) {
	for _, layout := range []string{time.DateOnly, "2006-01", "2006"} {
		if t, err := time.Parse(layout, date); err == nil {
			return float64(t.Unix()) / 86400, true
		}
	}
	return 0, false
}

// yearCharts draws the builds as bars from their first to their last day.
func (v *view) yearCharts() []Chart {
	type bar struct {
		b      *build
		lo, hi float64
	}
	var bars []bar
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, b := range v.order {
		from, ok := daysSince(b.first)
		if !ok {
			continue
		}
		to, ok := daysSince(b.last)
		if !ok || to < from {
			to = from
		}
		bars = append(bars, bar{b, from, to})
		lo, hi = math.Min(lo, from), math.Max(hi, to)
	}
	if len(bars) == 0 {
		return nil
	}
	first := time.Unix(int64(lo)*86400, 0).UTC().Year()
	last := time.Unix(int64(hi)*86400, 0).UTC().Year() + 1
	start := func(year int) float64 {
		return float64(time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC).Unix()) / 86400
	}
	alt := fmt.Sprintf("%s from %d to %d on one time axis; the list below says the same.", count(len(bars), "build"), first, last-1)
	var out []Chart
	for _, g := range geometries {
		g.row, g.right = 46, 20
		s := scale{start(first), start(last), g.left + 6, g.width - g.right}
		c := g.chart(alt, "Year", len(bars))
		most := 12.0
		if g.class == "narrow" {
			most = 5
		}
		step := int(math.Ceil(float64(last-first) / most))
		for year := first; year <= last; year += step {
			c.Ticks = append(c.Ticks, Tick{X: num(s.at(start(year))), Label: fmt.Sprint(year), Anchor: "middle"})
		}
		c.Ticks[0].Anchor = "start"
		for i, one := range bars {
			y := g.top + float64(i)*g.row + 32
			x1, x2 := s.at(one.lo), math.Max(s.at(one.hi), s.at(one.lo)+3) // a day is still seen
			m := Mark{
				Label: one.b.named(), LabelX: num(x1), LabelY: num(y - 12), Shade: one.b.shade,
				X1: num(x1), X2: num(x2), Y: num(y), Bar: true, Hollow: one.b.Finished == "",
			}
			// A label that would leave the drawing on the right ends with its bar.
			if room := s.x1 - x1; float64(len(m.Label))*8 > room {
				m.LabelX, m.Value = num(math.Max(s.x0, s.x1-float64(len(m.Label))*8)), ""
			}
			for _, p := range v.Pauses {
				if p.Build != one.b.ID {
					continue
				}
				until := p.Until
				if until.IsZero() {
					until = v.today
				}
				from, to := float64(p.From.Unix())/86400, float64(until.Unix())/86400
				if to > from && from < one.hi {
					m.Gaps = append(m.Gaps, Gap{num(s.at(math.Max(from, one.lo))), num(s.at(math.Min(to, one.hi)))})
				}
			}
			if one.b.Finished == "" {
				m.Open = fmt.Sprintf("M%s %sl6 6l-6 6", num(x2+4), num(y-6))
			}
			c.Marks = append(c.Marks, m)
		}
		out = append(out, c)
	}
	return out
}

// stretches are the builds of the axis as a list, oldest first.
func (v *view) stretches(root string) []Stretch {
	var out []Stretch
	for _, b := range v.order {
		out = append(out, Stretch{
			Tag: b.tag(root), Span: monthSpan(b.first, b.last), From: b.first, To: b.last,
			State: v.stateOf(b), Hours: hoursWords(b), Picture: v.picture(root, v.portrait(b.photos), asPrint),
		})
	}
	return out
}

// stateOf says how a build stands.
func (v *view) stateOf(b *build) string {
	switch p := v.Paused(b.ID); {
	case b.Finished != "":
		return "finished " + dayOf(b.Finished)
	case p != nil:
		return "put aside since " + day(p.From.In(v.zone()))
	case b.first == "":
		return "not begun"
	}
	return "on the bench"
}

func (v *view) zone() *time.Location {
	if v.Zone == nil {
		return time.UTC
	}
	return v.Zone
}

// hoursWords says the bench time of a build with its sessions.
func hoursWords(b *build) string {
	total, n := 0.0, 0
	for _, w := range b.work {
		total += w.Hours
		n++
	}
	if n == 0 {
		return "no bench time yet"
	}
	return fmt.Sprintf("%s in %s", hours(total), count(n, "session"))
}
