// Your eye over time: how steady the marks are that were given twice.

package render

import (
	"fmt"

	"rakelight/journal"
	"rakelight/journal/say"
)

// EyePage is eye.html.
type EyePage struct {
	Frame
	Drift     string // of marks given twice
	Alike     string // how many of them came out alike, "" = too few to tell
	Agreement string
	Twice     []RemarkLine
	Earlier   string // that those marked twice before are elsewhere, "" = all are here
}

// RemarkLine is a photo marked twice.
type RemarkLine struct {
	Photo         Link
	Criterion     Link
	First, Second string
	Change        string
}

const eyeAt = "eye.html"

// fewTwice is how many photos that were marked twice the page lists.
const fewTwice = 100

func (v *view) eyePage() EyePage {
	p := EyePage{Frame: v.frame("", "eye", v.Say("Your eye over time"))}
	q := v.judged.quality()
	p.Drift, p.Agreement = v.of(q.Drift.Sentence()),
		tie(v.of(q.Agreement.Sentence(say.Key("Your agreement with yourself"))))
	if q.Agreement.OK {
		p.Alike = v.Say("Of %s you gave twice, %s came out exactly the same.",
			v.count(q.Agreement.N, "dative¦mark"), percent(q.Agreement.Same))
	}
	twice := v.Remarked("")
	if n := len(twice); n > fewTwice {
		p.Earlier = v.Say("The latest %d of %d; each photo stands with all its marks under its criterion.", fewTwice, n)
		twice = twice[n-fewTwice:]
	}
	for _, r := range twice {
		p.Twice = append(p.Twice, v.remarkLine(r))
	}
	return p
}

func (v *view) remarkLine(r journal.Remark) RemarkLine {
	n := r.First.Criterion
	line := RemarkLine{
		Criterion: Link{Words: v.criterion(journal.Criteria[n-1]), Href: criterionPage(n)},
		First:     fmt.Sprint(r.First.Score), Second: fmt.Sprint(r.Second.Score),
		Change: v.of(say.Number(fmt.Sprintf("%+d", r.Second.Score-r.First.Score))),
	}
	if r.First.Score == r.Second.Score {
		line.Change = v.Say("none")
	}
	line.Photo, _ = v.photoLink(r.First.Photo, "")
	if p := v.byHash[r.First.Photo]; p != nil {
		line.Photo.Words = joinWords(", ", v.nameOf(p.Tags.Build), v.dayShort(p), v.low(v.kindTitle(p.Kind)))
	}
	return line
}
