// Skill: what blind pairs and marks tell of the work, and what to practice next. The
// charts, marks and photos of each criterion stand on its own page (criterionpart.go),
// how steady the eye is that judged it on another (eyepage.go).

package render

import (
	"fmt"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// SkillPage is skill.html.
type SkillPage struct {
	Frame
	About     Tag        // the build the sentences are of
	Answers   []Answer   // against the first and the last of the earlier builds that were judged
	Headline  []Sentence // over all criteria, against each earlier build
	Plot      []Chart    // standings over all criteria
	Rows      []StandingLine
	Unpaired  string   // criteria on which the build is in no pairs, "" = none
	Seen      string   // how much the pairs could have shown, "" = not known
	Eye       []string // consistency and leaning of the judges in the pairs
	Advises   bool     // what to practice is for the builder alone
	Advice    []AdviceLine
	Jump      []Link // what the page holds
	Criteria  []CriterionSum
	Drawn     []Chart // the criteria of the build, against an average one
	Untouched string  // criteria nothing is known of, "" = none
	Drift     string  // of marks given twice
	Alike     string  // how many of them came out alike, "" = too few to tell
	Example   string  // digits of a photo to mark, for the command
	Photos    bool    // there are photos of a build at all
}

// CriterionSum is one criterion of the rubric in a line, with the way to the rest.
type CriterionSum struct {
	ID, Title string
	To        string // its page
	Line      CriterionLine
}

// StandingLine is how often a build would be picked over an average one.
type StandingLine struct {
	Tag             Tag
	Chance, Span, N string
}

// AdviceLine is one thing to practice.
type AdviceLine struct {
	What, Why      string
	Href, HrefText string
}

// CriterionLine is one build under a criterion.
type CriterionLine struct {
	Tag                      Tag
	Chance, ChanceSpan       string
	Pairs                    string
	Mean, MeanSpan, MarksN   string
	NotApplicable, RawScores string
}

func (v *view) skill() SkillPage {
	p := SkillPage{Frame: v.frame("", "skill", v.Say("page¦Skill"))}
	p.Example = v.toMark()
	p.Photos = p.Example != ""
	q := v.judged.quality()
	if q == nil {
		return p
	}
	p.About = v.builds[q.Build.ID].tag("")
	all := q.Rankings[0]
	for _, e := range firstAndLatest(q.Earlier, 2) { // the chart has all
		if ch := all.Chance(q.Build.ID, e.ID); ch.N > 0 || ch.OK {
			p.Headline = append(p.Headline, Sentence{Words: tie(v.of(ch.Sentence(v.Say("all criteria together"),
				q.Build.Title, e.Title, all.Judges)))})
		}
	}
	for _, e := range q.Earlier {
		if a, ok := v.skillAnswer(q, e.ID, q.Build.ID); ok {
			p.Answers = append(p.Answers, a)
		}
	}
	if n := len(p.Answers); n > 2 {
		p.Answers = []Answer{p.Answers[0], p.Answers[n-1]} // the chart has all
	}
	p.Rows, p.Plot = v.standings(all, v.Say("All criteria together"), fewBuilds)
	if sights := q.Sights(); len(sights) > 0 && sights[0].Criterion == 0 {
		p.Seen = tie(v.Say("How much can be seen, against an average build of yours (%s): %s",
			v.count(sights[0].N, "pair"), sights[0].Sentence()))
	}
	p.Eye = v.eyeOf(q)
	said, _ := q.Witnesses(v.Judges())
	for _, line := range said {
		p.Eye = append(p.Eye, tie(v.of(line)))
	}
	p.Advises = v.mine()
	for _, a := range q.Advice {
		p.Advice = append(p.Advice, v.adviceLine(a))
	}
	v.sumCriteria(&p, q)
	p.Drift = v.of(q.Drift.Sentence())
	if q.Agreement.OK {
		p.Alike = v.Say("Of %s you gave twice, %s came out exactly the same.",
			v.count(q.Agreement.N, "dative¦mark"), percent(q.Agreement.Same))
	}
	if p.Advises {
		p.Jump = append(p.Jump, Link{Words: "What to practice next", Href: "#practice"})
	}
	p.Jump = append(p.Jump, Link{Words: v.Say("Criterion by criterion"), Href: "#criteria"},
		Link{Words: v.Say("Your eye over time"), Href: "#eye"})
	return p
}

// sumCriteria fills in each criterion that something is known of, in a line.
func (v *view) sumCriteria(p *SkillPage, q *journal.Quality) {
	var bare, unpaired []string
	var rows []Reading
	known := v.criterionPages()
	own := v.builds[q.Build.ID]
	for _, c := range journal.Criteria {
		if !slices.ContainsFunc(known, func(one journal.Criterion) bool { return one.Number == c.Number }) {
			bare = append(bare, v.criterion(c))
			continue
		}
		st := q.Rankings[c.Number].Standing(q.Build.ID)
		if st.N == 0 {
			unpaired = append(unpaired, v.criterion(c))
		}
		sum := CriterionSum{ID: criterionID(c.Number), Title: v.criterionTitle(c), To: criterionPage(c.Number),
			Line: v.criterionLine(own, c.Number, q)}
		if st.OK {
			rows = append(rows, Reading{Label: sum.Title, Tag: sum.Line.Tag, Value: st.P, Low: st.Interval.Low,
				High: st.Interval.High, Interval: true, Say: percent})
		}
		p.Criteria = append(p.Criteria, sum)
	}
	if !v.mine() {
		bare, p.Advice = nil, nil
	}
	p.Untouched, p.Unpaired = strings.Join(bare, ", "), strings.Join(unpaired, ", ")
	p.Drawn = v.rowCharts(v.altOf(v.Say("Criterion by criterion"), rows,
		v.Say("chance of being picked over an average build")), v.standingAxis(), rows)
}

// toMark are the digits of a photo to begin with, "" = none is of a build. It is
// the first: the page shall not change with each photo.
func (v *view) toMark() string {
	for _, p := range v.Photos {
		if v.builds[p.Tags.Build] != nil {
			return v.stem[p.Hash]
		}
	}
	return ""
}

// standings say how each build stands among all that were judged, and draw the
// first and the latest, most of them in all.
func (v *view) standings(r journal.Ranked, what string, most int) (lines []StandingLine, charts []Chart) {
	var rows []Reading
	for _, b := range v.order {
		st := r.Standing(b.ID)
		if st.N == 0 {
			continue
		}
		line := StandingLine{Tag: b.tag(""), Chance: "–", N: v.count(st.N, "pair"), Span: v.of(st.Why)}
		if st.OK {
			line.Chance, line.Span = percent(st.P), v.percents(st.Interval)
			rows = append(rows, Reading{
				Label: b.named(), Tag: b.tag(""), Value: st.P, Low: st.Interval.Low, High: st.Interval.High,
				Interval: true, Say: percent,
			})
		}
		lines = append(lines, line)
	}
	rows = firstAndLatest(rows, most)
	return lines, v.rowCharts(v.altOf(what, rows, v.Say("chance of being picked over an average one")),
		v.standingAxis(), rows)
}

// standingAxis is what standings are drawn on.
func (in voice) standingAxis() axis {
	return axis{
		title: in.Say("Chance of being picked over an average build (95 % range)"), hi: 1, step: 0.25, word: percent,
		guide: &guideAt{0.5, in.Say("chance¦even")},
	}
}

func (in voice) percents(iv metrics.Interval) string {
	return in.spanOf(iv, in.decimal(100*iv.Low, 0), percent(iv.High))
}

// eyeOf says how steady the judge was in the pairs.
func (in voice) eyeOf(q *journal.Quality) []string {
	var out []string
	if said := in.of(q.Repeats.Sentence(q.Judge)); said != "" {
		out = append(out, tie(said))
	}
	r := q.Rankings[0]
	switch side := r.SideInterval; {
	case !r.SideJudged:
	case side.Low > 0:
		out = append(out,
			in.Say("You favor the left photo; the chances are corrected for that (%s).",
				in.count(r.N, "pair")))
	case side.High < 0:
		out = append(out,
			in.Say("You favor the right photo; the chances are corrected for that (%s).",
				in.count(r.N, "pair")))
	default:
		out = append(out,
			in.Say("No sign that you favor the left or right photo (%s).",
				in.count(r.N, "pair")))
	}
	return out
}

func (v *view) adviceLine(a metrics.Advice) AdviceLine {
	line := AdviceLine{What: v.kindTitle(a.What), Why: a.Why}
	switch {
	case a.Criterion > 0:
		line.Href, line.HrefText = criterionPage(a.Criterion), "its pairs and marks"
	case a.Mistake != "":
		line.Href, line.HrefText = "mistakes.html#"+v.slipIDs()[a.Mistake], "list them"
	case a.Stage != "":
		line.Href, line.HrefText = stepPage(a.Stage), "the sessions"
	}
	return line
}

func criterionID(n int) string { return fmt.Sprintf("criterion-%d", n) }
