// Learning on the pace page: what each doubling takes off, and the builds along
// the years.

package render

import (
	"math"
	"strings"

	"rakelight/journal"
	"rakelight/journal/metrics"
	"rakelight/journal/say"
)

// LearningLine is the learning rate of a kind of work.
type LearningLine struct {
	Sentence string
	Behind   Behind
}

// LearningPart is what practice did to the pace.
type LearningPart struct {
	Lines  []LearningLine // kinds of work that practice changed
	Untold []LearningLine // kinds of which the range holds no change
	Plot   []Chart
	None   string // kinds of work without a rate yet, "" = none
}

// YearsPart is the latest build against all before it, and along the chain.
type YearsPart struct {
	All    string
	Behind Behind
	Chain  string
	Plot   []Chart
	Rows   []ChainLine
}

// ChainLine is one build of the chain.
type ChainLine struct {
	Tag         Tag
	Speed, Span string // over the first build
	N           string // sessions of the link to the build before
}

func (v *view) learning() LearningPart {
	var part LearningPart
	b := v.LatestWorked()
	if b == nil {
		return part
	}
	var rows []Reading
	var none []string
	tag := v.builds[b.ID].tag("")
	for _, l := range append([]journal.Learned{v.LearningTogether(b)}, v.Learnings(b)...) {
		label := v.Say("All kinds of work together")
		if l.Kind != "" {
			label = v.kindTitle(l.Kind)
		}
		if l.Build != "" {
			label = v.Say("%s, %s alone", label, v.nameOf(l.Build))
		}
		if !l.OK {
			if l.Build == "" && l.Kind != "" {
				none = append(none, v.Say("%s (%s)", v.low(label), l.Why))
			}
			continue
		}
		behind := v.behindSessions(l.Sessions)
		if !l.Claimed {
			part.Untold = append(part.Untold, LearningLine{tie(v.untold(l, label)), behind})
		} else {
			part.Lines = append(part.Lines, LearningLine{tie(v.of(l.Sentence(label, unit(l.Kind)))), behind})
		}
		rows = append(rows, Reading{
			Label: label, Tag: tag, Value: l.Rate - 1, Low: l.Interval.Low - 1, High: l.Interval.High - 1,
			Interval: true, Say: v.changeOf,
		})
	}
	part.None = strings.Join(none, "; ")
	lo, hi := 0.0, 0.0
	for _, r := range rows {
		lo, hi = math.Min(lo, r.Low), math.Max(hi, r.High)
	}
	a := axis{title: v.Say("Change of the time with each doubling (95 % range)"), lo: lo, hi: math.Min(hi, 1),
		word: v.changeOf, guide: &guideAt{0, v.Say("no change")}}
	alt := v.altOf(v.Say("Learning"), rows,
		v.Say("change of the time per piece with each doubling of the number done"))
	part.Plot = v.rowCharts(alt, a, rows)
	return part
}

// changeOf writes a change of the time of one: "−7 %" is less time.
func (in voice) changeOf(by float64) string { return tie(in.of(metrics.Change(1+by)) + " %") }

// untold gives the figures of a kind of work that practice may not have changed.
func (in voice) untold(l journal.Learned, label string) string {
	return in.Say("%s: %s (%s; %s, %s)%s", label, metrics.TimeWords(l.Rate), metrics.TimeRange(l.Interval),
		in.count(l.N, "session"), in.count(int(l.Parts), say.Noun(unit(l.Kind))), beyondChance(l))
}

// beyondChance says of figures under the heading of chance that their range alone
// would leave no change out; it says nothing where it holds no change.
func beyondChance(l journal.Learned) say.Text {
	if l.Interval.Low < 1 && l.Interval.High > 1 {
		return say.Text{}
	}
	return l.Unclaimed()
}

func (v *view) years() YearsPart {
	var part YearsPart
	b := v.LatestWorked()
	if b == nil {
		return part
	}
	earlier := v.Earlier(b)
	if len(earlier) < 2 {
		return part
	}
	all := v.SpeedSince(b)
	part.All = tie(v.of(all.Sentence(v.Say("all earlier builds together"), b.Title)))
	part.Behind = v.behindSessions(append(append([]string{}, all.EarlierSessions...), all.LaterSessions...))
	chain := v.Chain(b, earlier)
	part.Chain = v.of(metrics.ChainSentence(chain, v.nameOf))
	var rows []Reading
	for _, link := range chain {
		one := v.builds[link.Build]
		if one == nil {
			continue
		}
		line := ChainLine{Tag: one.tag(""), Speed: "–", Span: v.of(link.Why), N: v.sessionsOf(link)}
		if link.OK {
			line.Speed, line.Span = v.figure(link.Speed),
				v.figures(link.Interval)
			rows = append(rows, Reading{
				Label: one.named(), Tag: one.tag(""), Value: link.Speed, Low: link.Interval.Low,
				High: link.Interval.High, Interval: link.Interval.OK,
			})
		}
		part.Rows = append(part.Rows, line)
	}
	if rows = firstAndLatest(rows, 2*fewBuilds); len(rows) > 1 {
		a := axis{title: v.Say("Times the speed of the first build (95 % range)"), hi: topOf(rows),
			guide: &guideAt{1, v.Say("no change")}}
		alt := v.altOf(v.Say("Along the chain"), rows, v.Say("times the speed of the first build"))
		part.Plot = v.rowCharts(alt, a, rows)
	}
	return part
}

// sessionsOf are the sessions of a link and of the one it hangs on.
func (in voice) sessionsOf(l metrics.ChainLink) string {
	if l.Comparison.N2 == 0 {
		return "–"
	}
	return in.Say("%s against %d", in.count(l.Comparison.N2, "session"), l.Comparison.N1)
}
