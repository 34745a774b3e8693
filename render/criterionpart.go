// One criterion: its chances, its marks, its photos.

package render

import (
	"fmt"
	"slices"
	"strings"

	"rakelight/journal"
	"rakelight/journal/say"
)

// CriterionPart is one criterion of the rubric.
type CriterionPart struct {
	Title     string
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

// tally is how one photo fared on one criterion.
type tally struct {
	better, same, less int // in pairs with photos of other builds
	marks              []journal.Mark
}

// photoOn is a photo under a criterion.
type photoOn struct {
	hash      string
	criterion int
}

// tallies count the verdicts and marks on each photo.
func (v *view) tallies() map[photoOn]*tally {
	out := map[photoOn]*tally{}
	at := func(hash string, criterion int) *tally {
		k := photoOn{hash, criterion}
		if out[k] == nil {
			out[k] = &tally{}
		}
		return out[k]
	}
	for _, one := range v.Verdicts {
		l, r := v.byHash[one.Left], v.byHash[one.Right]
		if l == nil || r == nil || l.Tags.Build == "" || r.Tags.Build == "" || l.Tags.Build == r.Tags.Build {
			continue
		}
		switch one.Outcome {
		case "left":
			at(one.Left, one.Criterion).better++
			at(one.Right, one.Criterion).less++
		case "right":
			at(one.Right, one.Criterion).better++
			at(one.Left, one.Criterion).less++
		case "no difference":
			at(one.Left, one.Criterion).same++
			at(one.Right, one.Criterion).same++
		}
	}
	for _, m := range v.Marks {
		if m.Judge == "" && m.Rubric == journal.Rubric {
			t := at(m.Photo, m.Criterion)
			t.marks = append(t.marks, m)
		}
	}
	return out
}

// tallyWords says how the photo fared: "9 pairs: 6 better, 1 the same, 2 less good; marked 3, then 2".
func (in voice) tallyWords(t *tally) string {
	var parts []string
	if n := t.better + t.same + t.less; n > 0 {
		var each []string
		for _, one := range []struct {
			n    int
			word say.Key
		}{{t.better, "%d better"}, {t.same, "%d the same"}, {t.less, "%d less good"}} {
			if one.n > 0 {
				each = append(each, in.Say(one.word, one.n))
			}
		}
		parts = append(parts, in.Say("%s: %s", in.count(n, "pair"), strings.Join(each, ", ")))
	}
	if len(t.marks) > 0 {
		scores := ""
		for _, m := range t.marks {
			score := fmt.Sprint(m.Score)
			if m.NA {
				score = in.Say("mark¦not applicable")
			}
			if scores != "" {
				score = in.Say("%s, then %s", scores, score)
			}
			scores = score
		}
		parts = append(parts, in.Say("marked %s", scores))
	}
	return strings.Join(parts, "; ")
}

// criterionPages are the criteria that some build was judged or marked on; each has a
// page.
func (v *view) criterionPages() []journal.Criterion {
	if v.skillBuild() == nil {
		return nil
	}
	on := map[int]bool{}
	see := func(hash string, criterion int) {
		if p := v.byHash[hash]; p != nil && v.builds[p.Tags.Build] != nil {
			on[criterion] = true
		}
	}
	for _, m := range v.Marks {
		see(m.Photo, m.Criterion)
	}
	for _, one := range v.Verdicts {
		see(one.Left, one.Criterion)
		see(one.Right, one.Criterion)
	}
	var out []journal.Criterion
	for _, c := range journal.Criteria {
		if on[c.Number] {
			out = append(out, c)
		}
	}
	return out
}

func criterionPage(n int) string { return fmt.Sprintf("criterion-%d.html", n) }

func (v *view) criterionPage(c journal.Criterion) CriterionPage {
	p := CriterionPage{Frame: v.frame("", "criterion", v.Say("%s on all builds", v.criterionTitle(c))),
		On: v.criterionPart(c, v.judged.quality(), v.tallies())}
	apart := v.judgedApart(c)
	if apart != nil {
		p.On.Behind = nil
	}
	for n, builds := range apart {
		p.Photos = append(p.Photos, Link{Words: v.spanWords(builds), Href: criterionPhotos(c.Number, n)})
	}
	return p
}

// photosOnPage is how many photos with what was said of them stand on one page at
// most, those of a single build apart: each takes 0.15 KB.
const photosOnPage = 1200

// photosOnCriterion is how many photos stand on the page of the criterion itself at
// most.
const photosOnCriterion = 300

// judgedApart is judgedOn where the photos are too many for the criterion's own page.
func (v *view) judgedApart(c journal.Criterion) [][]*build {
	pages, n := v.judgedOn(c)
	if n <= photosOnCriterion {
		return nil
	}
	return pages
}

// judgedOn are the builds with photos that were judged or marked on a criterion, as
// many together as fit on a page of these photos, and how many these are.
func (v *view) judgedOn(c journal.Criterion) (pages [][]*build, all int) {
	on := map[string]bool{}
	for _, m := range v.Marks {
		on[m.Photo] = on[m.Photo] || m.Criterion == c.Number
	}
	for _, one := range v.Verdicts {
		if one.Criterion == c.Number {
			on[one.Left], on[one.Right] = true, true
		}
	}
	room := 0
	for _, b := range v.order {
		n := len(keepPhotos(b.photos, func(p *journal.Photo) bool { return on[p.Hash] }))
		if n == 0 {
			continue
		}
		all += n
		if n > room {
			pages, room = append(pages, nil), photosOnPage
		}
		pages[len(pages)-1] = append(pages[len(pages)-1], b)
		room -= n
	}
	return pages, all
}

func criterionPhotos(number, page int) string {
	return fmt.Sprintf("criterion-%d-photos-%d.html", number, page+1)
}

// spanWords names builds by the first and the last of them.
func (in voice) spanWords(builds []*build) string {
	if len(builds) == 1 {
		return builds[0].named()
	}
	return in.Say("%s to %s", builds[0].named(), builds[len(builds)-1].named())
}

// judgedPage lists the photos of some builds that were judged or marked on a
// criterion, with how each fared.
func (v *view) judgedPage(c journal.Criterion, builds []*build) JudgedPage {
	title := v.criterionTitle(c)
	p := JudgedPage{Frame: v.frame("", "criterion", v.Say("%s: the photos", title)), Title: title,
		Of:   v.spanWords(builds),
		Back: Link{Words: v.Say("%s on all builds", v.low(title)), Href: criterionPage(c.Number)}}
	tallies := v.tallies()
	var part CriterionPart
	for _, b := range builds {
		v.photosOf(&part, b, c.Number, tallies)
	}
	p.Behind = part.Behind
	return p
}

// criterionPart is a criterion on all builds it was judged or marked on.
func (v *view) criterionPart(c journal.Criterion, q *journal.Quality, tallies map[photoOn]*tally) CriterionPart {
	part := CriterionPart{Title: v.criterionTitle(c), Zero: v.Say(c.Zero), Four: v.Say(c.Four)}
	for _, kind := range c.Kinds {
		if v.paced(kind) {
			part.Steps = append(part.Steps, Link{Words: v.low(v.kindTitle(kind)), Href: stepPage(kind)})
		}
	}
	r := q.Rankings[c.Number]
	for i, e := range q.Earlier {
		if i != 0 && i != len(q.Earlier)-1 {
			continue // the first and the one before say the most; the chart has all
		}
		if ch := r.Chance(q.Build.ID, e.ID); ch.OK {
			part.Sentences = append(part.Sentences,
				Sentence{Words: tie(v.of(ch.Sentence(v.criterion(c), q.Build.Title, e.Title, r.Judges)))})
		}
	}
	if n := r.Standing(q.Build.ID).N; len(part.Sentences) == 0 && n > 0 {
		part.Missing = v.Say("Too few blind pairs of %s on this to say more (%s).", q.Build.Title,
			v.count(n, "pair"))
	}
	_, part.Plot = v.standings(r, part.Title, 2*fewBuilds) // the table has all
	marked := map[string]bool{}
	for _, m := range q.Marks {
		marked[m.Build] = marked[m.Build] || m.Criterion == c.Number
	}
	shown := keepBuilds(v.order, func(b *build) bool { return marked[b.ID] || r.Standing(b.ID).N > 0 })
	var judged [][]*journal.Photo
	for _, b := range shown {
		part.Rows = append(part.Rows, v.criterionLine(b, c.Number, q))
		if photos := v.photosOf(&part, b, c.Number, tallies); len(photos) > 0 {
			judged = append(judged, photos)
		}
	}
	part.Prints = v.thenAndNow(judged)
	part.Marks = v.markPlots(c, tallies, shown)
	return part
}

// criterionLine is a build under a criterion.
func (v *view) criterionLine(b *build, criterion int, q *journal.Quality) CriterionLine {
	line := CriterionLine{Tag: b.tag(""), Chance: "–", Pairs: v.Say("none"), Mean: "–",
		MarksN: v.Say("none"), MeanSpan: "–", ChanceSpan: "–"}
	if st := q.Rankings[criterion].Standing(b.ID); st.N > 0 {
		line.Pairs, line.ChanceSpan = v.count(st.N, "pair"), v.of(st.Why)
		if st.OK {
			line.Chance, line.ChanceSpan = percent(st.P), v.percents(st.Interval)
		}
	}
	for _, m := range q.Marks {
		if m.Build != b.ID || m.Criterion != criterion {
			continue
		}
		mean := m.Mean()
		line.MarksN, line.MeanSpan = v.count(mean.N, "mark"), v.tenths(mean.Interval)
		if mean.OK {
			line.Mean = v.decimal(mean.Value, 1)
		}
		if m.NotApplicable > 0 {
			line.NotApplicable = v.Say("%d not applicable", m.NotApplicable)
		}
	}
	return line
}

// photosOf lists the photos of a build that the criterion was judged on, and
// returns those that can be shown.
func (v *view) photosOf(part *CriterionPart, b *build, criterion int, tallies map[photoOn]*tally) []*journal.Photo {
	of := BehindOf{Tag: b.tag("")}
	var judged []*journal.Photo
	for _, p := range b.photos {
		t := tallies[photoOn{p.Hash, criterion}]
		if t == nil || v.tallyWords(t) == "" {
			continue
		}
		if l, ok := v.photoLink(p.Hash, ""); ok {
			l.Words = v.Say("%s: %s", l.Words, v.tallyWords(t))
			of.Links = append(of.Links, l)
		}
		if v.print(p) {
			judged = append(judged, p)
		}
	}
	if len(of.Links) > 0 {
		part.Behind = append(part.Behind, of)
	}
	return judged
}

// thenAndNow are the photos of the first and of the last build that show the
// same step from the same side under like light, the step furthest along; none
// when no two do.
func (v *view) thenAndNow(judged [][]*journal.Photo) []Picture {
	if len(judged) < 2 {
		return nil
	}
	var then, now *journal.Photo
	for _, q := range judged[len(judged)-1] {
		for _, p := range judged[0] {
			like := p.Kind == q.Kind && p.Tags.View == q.Tags.View && p.Tags.Light == q.Tags.Light &&
				isResult(p) == isResult(q)
			if like && (now == nil || slices.Index(journal.Kinds, q.Kind) >= slices.Index(journal.Kinds, now.Kind)) {
				then, now = p, q
			}
		}
	}
	if now == nil {
		return nil
	}
	out := []Picture{v.picture("", then, asPrint), v.picture("", now, asPrint)}
	for i := range out {
		out[i].ID = ""
	}
	return out
}

// paced reports whether the pace page has a part on the kind.
func (v *view) paced(kind string) bool {
	for _, b := range v.order {
		if len(b.paces(v.voice, kind)) > 0 {
			return true
		}
	}
	return false
}

func keepBuilds(builds []*build, good func(*build) bool) []*build {
	var out []*build
	for _, b := range builds {
		if good(b) {
			out = append(out, b)
		}
	}
	return out
}
