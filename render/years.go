// The years: every build on one time axis.

package render

import (
	"cmp"
	"fmt"
	"math"
	"time"
	"unicode/utf8"

	"rakelight/journal"
	"rakelight/journal/say"
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

// yearBar is a build as a bar, from its first to its last day.
type yearBar struct {
	b      *build
	lo, hi float64 // as daysSince counts
}

// yearBars are the builds whose first day is known.
func yearBars(builds []*build) (bars []yearBar) {
	for _, b := range builds {
		from, ok := daysSince(b.first)
		if !ok {
			continue
		}
		to, ok := daysSince(b.last)
		if !ok || to < from {
			to = from
		}
		bars = append(bars, yearBar{b, from, to})
	}
	return bars
}

// yearCharts draws builds as bars on an axis of whole years.
func (v *view) yearCharts(builds []*build) []Chart {
	bars := yearBars(builds)
	if len(bars) == 0 {
		return nil
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, one := range bars {
		lo, hi = math.Min(lo, one.lo), math.Max(hi, one.hi)
	}
	first := time.Unix(int64(lo)*86400, 0).UTC().Year()
	last := time.Unix(int64(hi)*86400, 0).UTC().Year() + 1
	alt := v.Say("%s from %d to %d on one time axis; the list below says the same.", v.count(len(bars), "build"),
		first, last-1)
	var out []Chart
	for _, g := range geometries {
		g.row, g.right = 54, 20
		s := scale{newYear(first), newYear(last), g.left + 6, g.width - g.right}
		c := g.chart(alt, v.Say("Year"), len(bars))
		c.Ticks = yearTicks(s, first, last, g.class)
		for i, one := range bars {
			c.Marks = append(c.Marks, v.yearMark(one, s, g.width, g.top+float64(i)*g.row+32))
		}
		out = append(out, c)
	}
	return out
}

// newYear is the first day of a year, as daysSince counts.
func newYear(year int) float64 {
	return float64(time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC).Unix()) / 86400
}

// yearTicks are the years below the axis: every one, or as many as there is room for.
func yearTicks(s scale, first, last int, class string) (ticks []Tick) {
	most := 12.0
	if class == "narrow" {
		most = 5
	}
	step := int(math.Ceil(float64(last-first) / most))
	for year := first; year <= last; year += step {
		ticks = append(ticks, Tick{X: num(s.at(newYear(year))), Label: fmt.Sprint(year), Anchor: "middle"})
	}
	ticks[0].Anchor = "start"
	return ticks
}

// yearMark is a bar at the height y of a drawing so wide, with what stands at it.
func (v *view) yearMark(one yearBar, s scale, width, y float64) Mark {
	x1, x2 := s.at(one.lo), math.Max(s.at(one.hi), s.at(one.lo)+3) // a day is still seen
	m := Mark{
		Label: one.b.named(), LabelX: num(x1), LabelY: num(y - 12), Shade: one.b.shade,
		X1: num(x1), X2: num(x2), Y: num(y), Bar: true, Hollow: one.b.Finished == "", Least: one.b.photosOnly(),
	}
	// A label begins with its bar; without room for it, it ends with its
	// bar; a title longer than that has the whole drawing.
	switch wide := textWidth(m.Label); {
	case x1+wide <= width:
	case x2 >= wide:
		m.LabelX, m.LabelAnchor = num(x2), "end"
	default:
		m.LabelX = num(math.Max(0, width-wide))
	}
	below := notesBelow{y: y + 18, width: width, free: math.Inf(-1)}
	if m.Least {
		below.add(x1, v.Say("by photos alone"))
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
		switch {
		case to > from && from < one.hi && (one.b.gone == nil || !p.Until.IsZero()):
			x := s.at(math.Max(from, one.lo))
			m.Gaps = append(m.Gaps, Gap{num(x), num(s.at(math.Min(to, one.hi)))})
			below.add(x, v.Say("put aside"))
		case p.Until.IsZero() && one.b.gone != nil:
			below.add(x2, v.of(journal.WhySaid(p.Why)))
		case p.Until.IsZero() && one.b.Finished == "":
			below.add(x2, v.Say("put aside")) // since its last day: at the arrow
		}
	}
	m.Notes = below.notes
	if one.b.open() {
		m.Open = fmt.Sprintf("M%s %sl6 6l-6 6", num(x2+4), num(y-6))
	}
	return m
}

// notesBelow are words below a bar, from left to right, none over another.
type notesBelow struct {
	y, width, free float64 // no word stands right of free
	notes          []Note
}

// add puts words where they belong, or nowhere where others stand there.
func (n *notesBelow) add(x float64, words string) {
	if x < n.free {
		return
	}
	note := Note{Words: words, X: num(x), Y: num(n.y)}
	n.free = x + textWidth(words) + 6
	if x+textWidth(words) > n.width {
		note.X, note.Anchor = num(n.width), "end"
	}
	n.notes = append(n.notes, note)
}

// textWidth is about how wide a chart's words are, in pixels: the letters of the
// sans face at the size of labels, its fallbacks being fitted to it.
func textWidth(words string) float64 { return 6.4 * float64(utf8.RuneCountInString(words)) }

// stretches are builds of the axis as a list, in their order.
func (v *view) stretches(root string, builds []*build) []Stretch {
	var out []Stretch
	for _, b := range builds {
		out = append(out, Stretch{
			Tag: b.tag(root), Span: v.buildSpan(b), From: b.first, To: b.last,
			State: v.stateOf(b), Hours: v.hoursWords(b), Picture: v.picture(root, v.portrait(b.prints), asPrint),
		})
	}
	return out
}

// span is the time line of a build in words. What is remembered from outside of
// it, or without a day to draw it at, is said beside it.
func (in voice) buildSpan(b *build) string {
	span := in.monthSpan(b.first, b.last)
	if b.from.Said+b.to.Said != "" {
		span = in.spanSaid(b.from, b.to)
	}
	total, from, to := 0.0, "", ""
	for _, s := range b.sessions {
		// A date known to the year or month lies outside when all of it does.
		n := len(s.Date)
		if s.Known != journal.Remembered || s.Doubt.Any() || s.Kind == "wait" || n == 0 ||
			b.first != "" && s.Date >= b.first[:min(n, len(b.first))] && s.Date <= b.last[:min(n, len(b.last))] {
			continue
		}
		total += s.Hours()
		if from == "" || s.Date < from {
			from = s.Date
		}
		to = max(to, s.Date)
	}
	if from == "" {
		return span
	}
	when := in.dayOf(from)
	if to != from {
		when = in.Say("dates¦%s to %s", when, in.dayOf(to))
	}
	return joinWords("; ", span, in.Say("%s remembered, %s", in.inHours(total), when))
}

// spanSaid is a span of which a person said an end: "spring 1998 to May 2001".
func (in voice) spanSaid(from, to journal.When) string {
	a, b := cmp.Or(from.Said, in.monthOf(from.Date)), cmp.Or(to.Said, in.monthOf(to.Date))
	if a == b || b == "" {
		return a
	}
	return in.Say("dates¦%s to %s", a, b)
}

// open reports whether a build is on the bench, or put aside until it goes on.
func (b *build) open() bool { return b.Finished == "" && !b.untold && b.gone == nil }

// why says why a build was put aside, and whether in the words of a person.
func (v *view) why(p *journal.Pause) (words string, own bool) {
	said := journal.WhySaid(p.Why)
	_, own = said.(say.Own)
	return v.of(said), own
}

// goneOn says what became of a build that was given away or scrapped, and when.
func (v *view) goneOn(p *journal.Pause) string {
	day := v.day(p.From.In(v.zone()))
	if p.Answer() == journal.Scrapped {
		return v.Say("scrapped on %s", day)
	}
	return v.Say("given away on %s", day)
}

// stateOf says how a build stands.
func (v *view) stateOf(b *build) string {
	switch p := v.Paused(b.ID); {
	case b.Finished != "":
		return v.Say("finished %s", v.dayOf(b.Finished))
	case b.gone != nil:
		return v.goneOn(p)
	case p != nil:
		return v.Say("put aside since %s", v.day(p.From.In(v.zone())))
	case b.first == "" && len(b.sessions) == 0:
		return v.Say("not started")
	case b.untold && b.seen.Date == "":
		return v.Say("what became of it is not said")
	case b.untold:
		return v.Say("last photo %s; what became of it is not said", cmp.Or(b.seen.Said, v.monthOf(b.seen.Date)))
	}
	return v.Say("on the bench")
}

func (v *view) zone() *time.Location {
	if v.Zone == nil {
		return time.UTC
	}
	return v.Zone
}

// hoursWords says the bench time of a build with its sessions, or what photos tell of it.
func (in voice) hoursWords(b *build) string {
	switch {
	case len(b.work) > 0:
	case b.glimpse.Least > 0:
		return in.Say("at least %s, by groups of photos", in.inHours(b.glimpse.Least.Hours()))
	case b.glimpse.Evenings > 0 && b.Finished != "":
		return in.Say("no bench time known")
	default:
		return in.Say("no bench time yet")
	}
	return in.Say("%s in %s", in.benchTime(b.work), in.count(len(b.work), "dative¦session"))
}
