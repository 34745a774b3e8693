// How a build went: its stages as rows on one time axis, as they were really worked on,
// one after the other, side by side, and once more.

package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
)

// WentPart says when each stage of a build was worked on.
type WentPart struct {
	Charts []WentChart
	Lines  []WentLine
	Again  string   // the stages that were taken up once more, "" = none
	Key    []string // what the marks stand for
}

// WentChart is the drawing, for wide pages or for narrow ones.
type WentChart struct {
	Title, Alt            string
	Class, Width, Height  string
	Top, Bottom, Baseline string
	Ticks                 []Tick
	Aside                 []WentPause
	Rows                  []WentRow
}

// WentPause is a stretch in which the build was put aside.
type WentPause struct{ X, Width, Height, Y, Words, WordsX, WordsY, Anchor string }

// WentRow is a stage: a thin line from its first to its last day, and a mark for each
// session.
type WentRow struct {
	Label, LabelX, LabelY string
	Lines                 []string // paths
	Marks                 []WentMark
}

// WentMark is the path of a session's mark.
type WentMark struct {
	Path   string
	Hollow bool // of another kit than the first
}

// WentLine is a stage in the list beside the drawing.
type WentLine struct {
	Stage           Link
	Kit             string
	From, To        string
	Sessions, Hours string
	Again           string // "after prime, on 15 May 2025", "" = never
}

// worked is a session as the drawing has it.
type worked struct {
	stage, kit int
	at         float64 // days
	again      bool    // taken up after a later stage had begun
	s          *journal.Session
}

// went says how a build went; nothing where fewer than two stages have days.
func (v *view) went(b *build) WentPart {
	all := workedOn(b)
	stages := map[int]bool{}
	for _, one := range all {
		stages[one.stage] = true
	}
	if len(stages) < 2 {
		return WentPart{}
	}
	p := WentPart{Lines: v.wentLines(b, all), Key: v.wentKey(b, all)}
	var again []string
	for _, line := range p.Lines {
		if line.Again != "" {
			again = append(again, joinWords(", ", v.low(line.Stage.Words), line.Kit))
		}
	}
	if len(again) > 0 {
		p.Again = v.Say("Taken up again after a later stage had begun: %s.", strings.Join(again, "; "))
	}
	for _, g := range geometries {
		p.Charts = append(p.Charts, v.wentChart(g, b, all, p))
	}
	return p
}

// workedOn are the sessions of a build that have a day and a stage, in time order.
func workedOn(b *build) []worked {
	var all []worked
	for _, s := range b.sessions {
		stage := slices.IndexFunc(b.Stages, func(st journal.Stage) bool { return st.ID == s.Stage })
		day, err := time.Parse(time.DateOnly, s.Date)
		if stage < 0 || err != nil {
			continue
		}
		one := worked{stage: stage, kit: s.Kit, at: float64(day.Unix()) / 86400, s: s}
		if !s.Start.IsZero() {
			one.at += s.Start.Sub(s.Start.Truncate(24*time.Hour)).Hours() / 24
		}
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, z worked) int { return cmp.Compare(a.at, z.at) })
	type row struct{ stage, kit int }
	begun := map[row]bool{}
	later := map[row]bool{} // a later stage of that kit began since its first session
	for i, one := range all {
		own := row{one.stage, one.kit}
		all[i].again = later[own]
		begun[own] = true
		for other := range begun {
			later[other] = later[other] || other.stage < one.stage && other.kit == one.kit
		}
	}
	return all
}

// wentLines are the stages that were worked on, kit by kit.
func (v *view) wentLines(b *build, all []worked) []WentLine {
	var lines []WentLine
	for i, st := range b.Stages {
		for kit := range len(b.Kits) + 1 {
			own := keepWorked(all, func(one worked) bool { return one.stage == i && one.kit == kit })
			if len(own) == 0 {
				continue
			}
			line := WentLine{Stage: Link{Words: v.stageTitle(&st), Href: "#stage-" + fileName(st.ID)},
				From: v.dayOf(own[0].s.Date), To: v.dayOf(own[len(own)-1].s.Date), Sessions: v.count(len(own),
					"session")}
			if len(b.Kits) > 1 {
				line.Kit = v.kitName(b, kit)
			}
			var net time.Duration
			for _, one := range own {
				net += one.s.Net
				if one.again && line.Again == "" {
					line.Again = v.againAfter(b, all, one)
				}
			}
			line.Hours = v.inHours(net.Hours())
			lines = append(lines, line)
		}
	}
	return lines
}

// againAfter says after which stage an earlier one was taken up again, and when.
func (v *view) againAfter(b *build, all []worked, again worked) string {
	after := -1
	for _, one := range all {
		if one.s == again.s {
			break
		}
		if one.kit == again.kit && one.stage > again.stage {
			after = one.stage
		}
	}
	if after < 0 {
		return ""
	}
	return v.Say("after %s, on %s", v.low(v.stageTitle(&b.Stages[after])), v.dayOf(again.s.Date))
}

func keepWorked(all []worked, good func(worked) bool) []worked {
	var out []worked
	for _, one := range all {
		if good(one) {
			out = append(out, one)
		}
	}
	return out
}

// wentKey says what the marks stand for, where they differ.
func (v *view) wentKey(b *build, all []worked) []string {
	var key []string
	if len(b.Kits) > 1 {
		key = append(key, v.Say("filled: %s", v.kitName(b, 1)), v.Say("hollow: %s", v.kitName(b, 2)))
	}
	if slices.ContainsFunc(all, func(one worked) bool { return one.again }) {
		key = append(key, v.Say("diamond: taken up again"))
	}
	if slices.ContainsFunc(v.Pauses, func(p journal.Pause) bool { return p.Build == b.ID && !p.Ended() }) {
		key = append(key, v.Say("pale: put aside"))
	}
	return key
}

// wentChart draws it. A narrow drawing has the name of a stage above its row.
func (v *view) wentChart(g geometry, b *build, all []worked, p WentPart) WentChart {
	lo, hi := all[0].at, all[len(all)-1].at
	hi = math.Max(hi, lo+7)
	pad := 0.02 * (hi - lo)
	lo, hi = lo-pad, hi+pad
	open := v.Paused(b.ID) != nil && b.gone == nil
	left, row, line := 170.0, 30.0, 15.0
	if g.class == "narrow" {
		left, row, line = g.left+2, 44, 34
	}
	right := g.width - 8
	if open {
		right -= 90 // where the work stopped
	}
	s := scale{lo, hi, left + 8, right}
	rows := wentStages(all)
	top := 22.0
	bottom := top + float64(len(rows))*row
	c := WentChart{Title: v.Say("When each stage of %s was worked on", b.Title), Class: g.class, Width: num(g.width),
		Height: num(bottom + 28), Top: num(top), Bottom: num(bottom), Baseline: num(bottom + 18)}
	c.Alt = v.wentAlt(p)
	n := 7
	if g.class == "narrow" {
		n = 3
	}
	for _, t := range v.monthTicks(lo, hi, n) {
		c.Ticks = append(c.Ticks, Tick{X: num(s.at(t.at)), Label: t.word, Anchor: "middle"})
	}
	if len(c.Ticks) > 0 {
		c.Ticks[0].Anchor = "start"
	}
	c.Aside = v.wentPauses(b, s, g, top, bottom)
	for i, stage := range rows {
		y := top + float64(i)*row + line
		r := WentRow{Label: v.stageTitle(&b.Stages[stage]), LabelX: num(g.left + 2), LabelY: num(y + 5)}
		if g.class == "narrow" {
			r.LabelY = num(y - 14)
		}
		for kit := range len(b.Kits) + 1 {
			own := keepWorked(all, func(one worked) bool { return one.stage == stage && one.kit == kit })
			r.draw(own, s, y+lane(kit, len(b.Kits)), kit > 1)
		}
		c.Rows = append(c.Rows, r)
	}
	return c
}

// lane is how far below the middle of its row a kit is drawn: side by side.
func lane(kit, kits int) float64 {
	if kits < 2 || kit < 1 {
		return 0
	}
	return 10 * (float64(kit-1)/float64(kits-1) - 0.5)
}

// draw adds the sessions of a stage, of one kit.
func (r *WentRow) draw(own []worked, s scale, y float64, hollow bool) {
	if len(own) == 0 {
		return
	}
	if x1, x2 := s.at(own[0].at), s.at(own[len(own)-1].at); x2 > x1 {
		r.Lines = append(r.Lines, fmt.Sprintf("M%s %sH%s", num(x1), num(y), num(x2)))
	}
	for _, one := range own {
		x := s.at(one.at)
		m := WentMark{Path: fmt.Sprintf("M%s %sh6v8h-6z", num(x-3), num(y-4)), Hollow: hollow}
		if one.again {
			m.Path = fmt.Sprintf("M%s %sl6 6l-6 6l-6 -6z", num(x), num(y-6))
		}
		r.Marks = append(r.Marks, m)
	}
}

// wentStages are the places of the stages that were worked on.
func wentStages(all []worked) []int {
	seen := map[int]bool{}
	for _, one := range all {
		seen[one.stage] = true
	}
	var out []int
	for stage := range seen {
		out = append(out, stage)
	}
	slices.Sort(out)
	return out
}

// wentPauses are the stretches in which the build was put aside.
func (v *view) wentPauses(b *build, s scale, g geometry, top, bottom float64) []WentPause {
	var out []WentPause
	for _, p := range v.Pauses {
		if p.Build != b.ID || p.Ended() {
			continue
		}
		x1, x2 := s.at(float64(p.From.Unix())/86400), g.width-2
		if !p.Until.IsZero() {
			x2 = s.at(float64(p.Until.Unix()) / 86400)
		}
		if x2-x1 < 1 {
			continue
		}
		one := WentPause{X: num(x1), Width: num(x2 - x1), Y: num(top), Height: num(bottom - top),
			Words: v.Say("put aside"), WordsX: num((x1 + x2) / 2), WordsY: num(top - 7), Anchor: "middle"}
		if (x1+x2)/2+textWidth(one.Words)/2 > g.width {
			one.WordsX, one.Anchor = num(g.width-2), "end"
		}
		out = append(out, one)
	}
	return out
}

// wentAlt is the drawing in words.
func (in voice) wentAlt(p WentPart) string {
	var said []string
	for _, line := range p.Lines {
		span := line.From
		if line.To != line.From {
			span = in.Say("dates¦%s to %s", span, line.To)
		}
		name := joinWords(", ", line.Stage.Words, line.Kit)
		said = append(said, in.Say("%s, %s in %s", name, span, line.Sessions))
	}
	return strings.Join(said, ". ") + ". " + p.Again
}
