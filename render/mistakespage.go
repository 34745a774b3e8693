// Mistakes: how many on a hundred parts, build by build, and what they were.
// What is said of the latest build is a claim of the journal's family.

package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
)

// MistakesPage is mistakes.html.
type MistakesPage struct {
	Frame
	Says    []Sentence // all of them together
	Verdict string     // of the chart of all
	Plot    []Chart
	Rows    []SlipLine
	Causes  []CauseLine
	Jump    []Link // the kinds of mistake
	Kinds   []SlipPart
	Build   string // a build to type in the example
}

// SlipLine is one build on a control chart.
type SlipLine struct {
	Tag                      Tag
	Count, Parts, Rate, Says string
	Limits                   string
}

// CauseLine is one cause, as it was typed.
type CauseLine struct{ Cause, Kinds, Times, Lost string }

// SlipPart is one kind of mistake.
type SlipPart struct {
	ID, Title string
	Sentence  string
	Verdict   string
	Plot      []Chart
	Rows      []SlipLine
	Mistakes  []MistakeLine
}

// MistakeLine is one mistake.
type MistakeLine struct {
	Day, Stamp           string
	Session              string // address of the session it happened in, "" = not known
	Build, Stage         Link
	Parts, Cause, Mended string
	Lost                 string // "" = not said
}

// slipIDs are the anchors of the kinds of mistake: kinds are what people type,
// and two may be alike to an address.
func (v *view) slipIDs() map[string]string {
	ids, taken := map[string]string{}, map[string]bool{}
	for _, s := range v.Slips() {
		stem := "mistake-" + strings.ToLower(fileName(s.Kind))
		id := stem
		for n := 2; taken[id]; n++ {
			id = fmt.Sprintf("%s-%d", stem, n)
		}
		ids[s.Kind], taken[id] = id, true
	}
	return ids
}

// enoughToDraw is how many mistakes of a kind make a drawing worth its room; the
// table has the others.
const enoughToDraw = 5

func (v *view) mistakes() MistakesPage {
	p := MistakesPage{Frame: v.frame("", "mistakes", v.Say("page¦Mistakes")), Build: "mail-seaplane"}
	if len(v.order) > 0 {
		p.Build = v.order[len(v.order)-1].ID
	}
	if len(v.Mistakes) == 0 {
		return p
	}
	kinds, ids := v.SlipKinds(), v.slipIDs()
	builds := map[string]bool{}
	for _, m := range v.Mistakes {
		builds[m.Build] = true
	}
	p.Says = append(p.Says, Sentence{Words: v.Say("%s noted on %s%s.", v.count(len(v.Mistakes), "mistake"),
		v.count(len(builds), "dative¦build"), v.lostWords(v.Mistakes))})
	if len(kinds) > 0 && len(kinds[0].Mistakes) > 1 {
		k := kinds[0]
		p.Says = append(p.Says, Sentence{
			Words: v.Say("The most frequent: %s, %s in %s.", k.Kind, v.count(len(k.Mistakes), "time"),
				v.count(len(k.In), "dative¦build")),
			Href: "#" + ids[k.Kind], HrefText: v.Say("list them"),
		})
	}
	all := v.AllSlips()
	p.Plot, p.Rows, p.Verdict = v.slipChart(all, v.Say("page¦Mistakes"), true)
	p.Causes = v.causes()
	for _, k := range kinds {
		part := SlipPart{ID: ids[k.Kind], Title: capital(k.Kind), Sentence: v.recurrence(k)}
		part.Plot, part.Rows, part.Verdict = v.slipChart(k.Slips, part.Title, false)
		if len(k.Mistakes) < enoughToDraw {
			part.Plot = nil
		}
		for _, m := range k.Mistakes {
			part.Mistakes = append(part.Mistakes, v.mistakeLine(m))
		}
		p.Kinds = append(p.Kinds, part)
		p.Jump = append(p.Jump, Link{Words: part.Title, Href: "#" + part.ID})
	}
	return p
}

// lostWords is the time some mistakes took, where it was said.
func (in voice) lostWords(ms []journal.Mistake) string {
	var lost time.Duration
	n := 0
	for _, m := range ms {
		if m.Lost > 0 {
			lost += m.Lost
			n++
		}
	}
	if n == 0 {
		return ""
	}
	if n < len(ms) {
		return in.Say("; %s lost, by your notes on %d of them", in.inHours(lost.Hours()), n)
	}
	return in.Say("; %s lost, by your own notes", in.inHours(lost.Hours()))
}

// recurrence says how a kind of mistake comes back.
func (v *view) recurrence(k journal.SlipKind) string {
	times, lost := v.count(len(k.Mistakes), "time"), v.lostWords(k.Mistakes)
	last := v.day(k.Mistakes[len(k.Mistakes)-1].At.In(v.zone()))
	if len(k.In) == 1 {
		return v.Say("%s, only on %s%s. Last on %s.", times, v.nameOf(k.In[0]), lost, last)
	}
	return v.Say("%s, on %d of %s%s. Last on %s.", times, len(k.In), v.count(len(k.Builds), "dative¦build"), lost, last)
}

// slipChart draws the control chart of some slips and sets the last build against
// those before it. The limits are drawn only where the chart may judge by them; a
// point outside of them is no claim. What holds for every chart of the page is said in
// full only for the first.
func (v *view) slipChart(s metrics.Slips, what string, inFull bool) (charts []Chart, lines []SlipLine, verdict string) {
	c := s.PerHundred()
	if len(c.Points) == 0 {
		return nil, nil, v.Say("No build has counted parts yet, so there is no rate per hundred of them.")
	}
	var rows []Reading
	var latest string // the last build against those before it
	var all []SlipLine
	flagged := map[int]bool{}
	for i, point := range c.Points {
		b := v.builds[s.Builds[i]]
		if b == nil {
			continue
		}
		line := SlipLine{
			Tag: b.tag(""), Count: fmt.Sprintf("%.0f", point.Count), Parts: fmt.Sprintf("%.0f", s.Parts[i]),
			Rate:   v.figure(point.PerUnit),
			Limits: v.Say("not yet"), Says: v.Say("not yet"),
		}
		r := Reading{Label: v.Say("%s (%s in %.0f parts)", b.named(), v.count(int(point.Count), "mistake"),
			s.Parts[i]), Tag: b.tag(""), Value: point.PerUnit}
		if c.OK {
			r.Interval, r.Low, r.High = true, point.Low, point.High
			line.Limits = v.span(metrics.Interval{Low: point.Low, High: point.High})
			line.Says = v.Say("inside the range")
			switch {
			case point.Out && point.PerUnit > point.High:
				line.Says = v.Say("above the range")
			case point.Out:
				line.Says = v.Say("below the range")
			}
			flagged[len(rows)] = point.Out
			if i == len(c.Points)-1 {
				latest = v.of(c.LatestSentence(b.named(), say.Key("100 parts")))
			}
		}
		rows, all = append(rows, r), append(all, line)
	}
	verdict = v.joinRates(s, c, inFull)
	switch {
	case inFull && !c.OK:
		verdict = v.Say("%s Too early to tell bad luck from habit: %s.", verdict, c.Why)
	case latest != "" && (inFull || c.Claimed):
		verdict = v.Say("%s %s", verdict, latest)
	}
	a := axis{title: v.Say("Mistakes per 100 parts"), hi: math.Max(topOf(rows), c.Centre)}
	if c.OK {
		a.title = v.Say("Mistakes per 100 parts, with the expected range")
	}
	if c.Centre > 0 {
		a.guide = &guideAt{c.Centre, v.Say("all builds: %s", v.figure(c.Centre))}
	}
	for i, line := range all {
		// Of one kind of mistake most builds know nothing.
		if recent := i == 0 || i > len(all)-fewBuilds; inFull || recent || line.Count != "0" || flagged[i] {
			lines = append(lines, line)
		}
	}
	rows = shownRows(rows, flagged)
	return v.rowCharts(v.altOf(what, rows, v.Say("per 100 parts worked")), a, rows), lines, verdict
}

// shownRows are the first and the latest rows of a chart, and those that lie
// outside of their limits.
func shownRows(rows []Reading, flagged map[int]bool) []Reading {
	var out []Reading
	for i, r := range rows {
		if i == 0 || i > len(rows)-fewBuilds || flagged[i] {
			out = append(out, r)
		}
	}
	return out
}

// joinRates says the rate over all builds, with what it rests on.
func (in voice) joinRates(s metrics.Slips, c metrics.Chart, inFull bool) string {
	var n, parts float64
	for i := range s.Counts {
		n, parts = n+s.Counts[i], parts+s.Parts[i]
	}
	if inFull {
		return in.Say("%s mistakes per 100 parts worked, over all builds (%.0f in %.0f; a part counts once per stage, so this is more than the kits hold).",
			mistakesIn(c.Centre), n, parts)
	}
	return in.Say("%s mistakes per 100 parts worked, over all builds (%.0f in %.0f).", mistakesIn(c.Centre), n, parts)
}

// mistakesIn writes a rate with the two digits that few mistakes can bear.
func mistakesIn(rate float64) say.Number {
	if rate >= 1 && rate < 9.95 {
		return say.Decimal(rate, 1)
	}
	return say.Number(fmt.Sprintf("%.2g", rate))
}

// causes sums up why mistakes happened, the most frequent first.
func (v *view) causes() []CauseLine {
	type sum struct {
		cause string
		kinds []string
		ms    []journal.Mistake
		lost  time.Duration
	}
	var sums []*sum
	for _, m := range v.Mistakes {
		if m.Cause == "" {
			continue
		}
		i := slices.IndexFunc(sums, func(s *sum) bool { return strings.EqualFold(s.cause, m.Cause) })
		if i < 0 {
			i, sums = len(sums), append(sums, &sum{cause: m.Cause})
		}
		one := sums[i]
		one.ms, one.lost = append(one.ms, m), one.lost+m.Lost
		if !slices.Contains(one.kinds, m.Kind) {
			one.kinds = append(one.kinds, m.Kind)
		}
	}
	slices.SortStableFunc(sums, func(a, b *sum) int {
		return cmp.Or(cmp.Compare(len(b.ms), len(a.ms)), cmp.Compare(b.lost, a.lost), cmp.Compare(a.cause, b.cause))
	})
	var out []CauseLine
	for _, s := range sums {
		line := CauseLine{Cause: s.cause, Kinds: strings.Join(s.kinds, ", "), Times: fmt.Sprint(len(s.ms)),
			Lost: v.Say("not noted")}
		if s.lost > 0 {
			line.Lost = v.inHours(s.lost.Hours())
		}
		out = append(out, line)
	}
	return out
}

func (v *view) mistakeLine(m journal.Mistake) MistakeLine {
	at := m.At.In(v.zone())
	line := MistakeLine{
		Day: v.day(at), Stamp: at.Format(time.DateOnly), Build: Link{Words: v.nameOf(m.Build)}, Cause: m.Cause,
		Mended: m.Mended,
		Parts:  partWords(m.Parts),
	}
	if m.Stage != "" {
		line.Stage = v.stageLink(m.Build, m.Stage)
	}
	if m.Lost > 0 {
		line.Lost = v.inHours(m.Lost.Hours())
	}
	b := v.builds[m.Build]
	if b == nil {
		return line
	}
	line.Build.Href = b.href
	if s := sessionAt(b, m.Stage, m.At, line.Stamp); s != nil {
		line.Session = v.sessionLink(b, s, "").Href
	}
	return line
}

// sessionAt is the session of a stage that runs at an instant, else one of that
// day.
func sessionAt(b *build, stage string, at time.Time, date string) *journal.Session {
	var found *journal.Session
	for _, s := range b.sessions {
		if stage != "" && s.Stage != stage {
			continue
		}
		if !s.Start.IsZero() && !at.Before(s.Start) && !at.After(s.End) {
			return s
		}
		if s.Date == date {
			found = s
		}
	}
	return found
}

// partWords names parts as a person types them.
func partWords(refs []journal.PartRef) string {
	var words []string
	for _, r := range refs {
		s := r.Runner + r.Number
		if r.Kit > 0 {
			s = fmt.Sprintf("%d/%s", r.Kit, s)
		}
		if r.Count > 1 {
			s += fmt.Sprintf("x%d", r.Count)
		}
		words = append(words, s)
	}
	return strings.Join(words, ", ")
}
