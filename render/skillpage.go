// Skill: what blind pairs and marks tell of the work, criterion by criterion,
// how steady the eye is that judged it, and what to practice next.

package render

import (
	"fmt"
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
	Jump      []Link // the criteria, and what else the page holds
	Criteria  []CriterionPart
	Untouched string // criteria nothing is known of, "" = none
	Drift     string // of marks given twice
	Alike     string // how many of them came out alike, "" = too few to tell
	Agreement string
	Twice     []RemarkLine
	Earlier   string // that those marked twice before are elsewhere, "" = all are here
	Example   string // digits of a photo to mark, for the command
	Photos    bool   // there are photos of a build at all
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

// CriterionPart is one criterion of the rubric.
type CriterionPart struct {
	ID, Title string
	Zero      string // what the scores 0 and 4 look like
	Four      string
	Steps     []Link     // the paces of the steps that show it
	Sentences []Sentence // the build of the page against each earlier one
	Missing   string     // that its pairs are too few to tell, "" = enough, or none
	Prints    []Picture  // of the first and the last build that were judged
	Plot      []Chart
	Marks     []Plot
	Rows      []CriterionLine
	Behind    []BehindOf
	All       Link // the page of the criterion on all builds, where some are left out here
}

// CriterionPage is criterion-<n>.html.
type CriterionPage struct {
	Frame
	On     CriterionPart
	Photos []Link // the pages of the photos behind it
}

// JudgedPage is criterion-<n>-photos-<page>.html.
type JudgedPage struct {
	Frame
	Title, Of string
	Behind    []BehindOf
	Back      Link
}

// CriterionLine is one build under a criterion.
type CriterionLine struct {
	Tag                      Tag
	Chance, ChanceSpan       string
	Pairs                    string
	Mean, MeanSpan, MarksN   string
	NotApplicable, RawScores string
}

// RemarkLine is a photo marked twice.
type RemarkLine struct {
	Photo         Link
	Criterion     Link
	First, Second string
	Change        string
}

// fewTwice is how many photos that were marked twice the page lists.
const fewTwice = 100

func (v *view) skill() SkillPage {
	p := SkillPage{Frame: v.frame("", "skill", "Skill")}
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
			p.Headline = append(p.Headline, Sentence{Words: tie(ch.Sentence("all criteria together", q.Build.Title,
				e.Title, all.Judges))})
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
	p.Rows, p.Plot = v.standings(all, "All criteria together", fewBuilds)
	if sights := q.Sights(); len(sights) > 0 && sights[0].Criterion == 0 {
		p.Seen = tie(fmt.Sprintf("How much can be seen, against an average build of yours (%s): %s",
			count(sights[0].N, "pair"), sights[0].Sentence()))
	}
	p.Eye = eyeOf(q)
	said, _ := q.Witnesses(v.Judges())
	for _, line := range said {
		p.Eye = append(p.Eye, tie(line))
	}
	p.Advises = v.mine()
	for _, a := range q.Advice {
		p.Advice = append(p.Advice, v.adviceLine(a))
	}
	var bare, unpaired []string
	tallies := v.tallies()
	for _, c := range journal.Criteria {
		part := v.criterionPart(c, q, tallies, fewBuilds)
		if len(part.Rows) == 0 {
			bare = append(bare, c.Name)
			continue
		}
		if q.Rankings[c.Number].Standing(q.Build.ID).N == 0 {
			unpaired = append(unpaired, c.Name)
		}
		p.Criteria = append(p.Criteria, part)
		p.Jump = append(p.Jump, Link{Words: part.Title, Href: "#" + part.ID})
	}
	p.Jump = append(p.Jump, Link{Words: "Your eye over time", Href: "#eye"})
	if !v.mine() {
		bare, p.Advice = nil, nil
	}
	p.Untouched, p.Unpaired = strings.Join(bare, ", "), strings.Join(unpaired, ", ")
	p.Drift, p.Agreement = q.Drift.Sentence(), tie(q.Agreement.Sentence("Your agreement with yourself"))
	if q.Agreement.OK {
		p.Alike = fmt.Sprintf("Of %s you gave twice, %s came out exactly the same.",
			count(q.Agreement.N, "mark"), percent(q.Agreement.Same))
	}
	twice := v.Remarked("")
	if n := len(twice); n > fewTwice {
		p.Earlier = fmt.Sprintf("The latest %d of %d; each photo stands with all its marks under its criterion.", fewTwice, n)
		twice = twice[n-fewTwice:]
	}
	for _, r := range twice {
		p.Twice = append(p.Twice, v.remarkLine(r))
	}
	return p
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
		line := StandingLine{Tag: b.tag(""), Chance: "–", N: count(st.N, "pair"), Span: st.Why}
		if st.OK {
			line.Chance, line.Span = percent(st.P), percents(st.Interval)
			rows = append(rows, Reading{
				Label: b.named(), Tag: b.tag(""), Value: st.P, Low: st.Interval.Low, High: st.Interval.High,
				Interval: true, Say: percent,
			})
		}
		lines = append(lines, line)
	}
	a := axis{
		title: "Chance of being picked over an average build (95 % range)", hi: 1, step: 0.25, word: percent,
		guide: &guideAt{0.5, "even"},
	}
	rows = firstAndLatest(rows, most)
	return lines, rowCharts(altOf(what, rows, "chance of being picked over an average one"), a, rows)
}

func percents(iv metrics.Interval) string {
	return spanOf(iv.OK, fmt.Sprintf("%.0f", 100*iv.Low), percent(iv.High), iv.Why)
}

// eyeOf says how steady the judge was in the pairs.
func eyeOf(q *journal.Quality) []string {
	var out []string
	if said := q.Repeats.Sentence(journal.JudgeCalled(q.Judge)); said != "" {
		out = append(out, tie(said))
	}
	r := q.Rankings[0]
	switch side := r.SideInterval; {
	case !r.SideJudged:
	case side.Low > 0:
		out = append(out,
			fmt.Sprintf("You favor the left photo; the chances are corrected for that (%s).",
				count(r.N, "pair")))
	case side.High < 0:
		out = append(out,
			fmt.Sprintf("You favor the right photo; the chances are corrected for that (%s).",
				count(r.N, "pair")))
	default:
		out = append(out,
			fmt.Sprintf("No sign that you favor the left or right photo (%s).",
				count(r.N, "pair")))
	}
	return out
}

func (v *view) adviceLine(a metrics.Advice) AdviceLine {
	line := AdviceLine{What: kindTitle(a.What), Why: a.Why}
	switch {
	case a.Criterion > 0:
		line.Href, line.HrefText = "#"+criterionID(a.Criterion), "its pairs and marks"
	case a.Mistake != "":
		line.Href, line.HrefText = "mistakes.html#"+v.slipIDs()[a.Mistake], "list them"
	case a.Stage != "":
		line.Href, line.HrefText = "pace.html#"+a.Stage, "the sessions"
	}
	return line
}

func criterionID(n int) string { return fmt.Sprintf("criterion-%d", n) }

func (v *view) remarkLine(r journal.Remark) RemarkLine {
	line := RemarkLine{
		Criterion: Link{Words: journal.Criteria[r.First.Criterion-1].Name, Href: "#" + criterionID(r.First.Criterion)},
		First:     fmt.Sprint(r.First.Score), Second: fmt.Sprint(r.Second.Score),
		Change: fmt.Sprintf("%+d", r.Second.Score-r.First.Score),
	}
	if r.First.Score == r.Second.Score {
		line.Change = "none"
	}
	line.Photo, _ = v.photoLink(r.First.Photo, "")
	if p := v.byHash[r.First.Photo]; p != nil {
		line.Photo.Words = joinWords(", ", v.nameOf(p.Tags.Build), v.dayShort(p), low(kindTitle(p.Kind)))
	}
	return line
}
