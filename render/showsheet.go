// The show sheet of a build: what stands beside the model on the table, and behind it,
// for the builder alone, the criteria with the marks that were given.

package render

import (
	"fmt"

	"rakelight/journal"
)

// ShowSheet is builds/<id>/show-sheet.html.
type ShowSheet struct {
	Frame
	Head       PaperHead
	Picture    Picture
	Facts      []ShowFact
	Additions  []ShowLine
	References []ShowLine
	Mixes      []string
	Check      []SelfCheck
	Marked     string // how many criteria have a mark
	Notes      Blank
	Blank      Blank // lines for what is not noted
	Few        Blank
}

// ShowFact is a term with what it is here; "" is to be written.
type ShowFact struct{ Term, Is string }

// ShowLine is an addition or a reference.
type ShowLine struct {
	Text, Where string
	Parts       []Link
}

// SelfCheck is one criterion with the latest mark the builder gave it on this build.
type SelfCheck struct {
	Number     int
	Name       string
	Zero, Four string
	Mark       string // "3 of 4", "not applicable"; "" = none was given
	More       string // "3 May 2024; the latest of 4 marks"
	Picture    Picture
}

func (v *view) showSheet(b *build) ShowSheet {
	p := ShowSheet{Notes: lines(40), Blank: lines(3), Few: lines(2)}
	p.Frame, p.Head = v.paper(b, "Show sheet")
	p.Picture = v.paperPicture(p.Root, v.portrait(b.prints), asHalf)
	p.Facts = v.showFacts(b)
	for _, a := range v.AdditionsOf(b.ID) {
		line := ShowLine{a.Text, joinWords(", ", a.Where, a.Sub), v.partLinks(p.Root, b, a.Parts)}
		if a.Kind == "reference" {
			p.References = append(p.References, line)
		} else {
			p.Additions = append(p.Additions, line)
		}
	}
	for _, m := range v.MixesOf(b.ID) {
		p.Mixes = append(p.Mixes, m.Words())
	}
	marked := 0
	for _, c := range journal.Criteria {
		one := v.selfCheck(p.Root, b, c)
		if one.Mark != "" {
			marked++
		}
		p.Check = append(p.Check, one)
	}
	p.Marked = fmt.Sprintf("%d of %d criteria", marked, len(p.Check))
	return p
}

// showFacts are what a show asks for; what is not known is to be written.
func (v *view) showFacts(b *build) []ShowFact {
	kits := ""
	for _, k := range b.Kits {
		if len(b.Kits) == 1 && k.Title == b.Title {
			continue // runners without a kit of their own
		}
		scale := k.Scale
		if scale == b.Scale {
			scale = ""
		}
		kits = joinWords("; ", kits, joinWords(", ", k.Title, scale))
	}
	show := ""
	if b.ReadyBy != "" {
		show = v.dayOf(b.ReadyBy)
	}
	built := joinWords(" to ", v.dayOf(b.first), v.dayOf(b.Finished))
	if b.Finished == "" && b.first != "" {
		built = "begun " + built
	}
	return []ShowFact{{"Class", b.ShowIn}, {"Scale", b.Scale}, {"Kits", kits}, {"Finish", b.Finish},
		{"Built", built}, {"Show", show}, {"Builder", ""}, {"Entry number", ""}}
}

// selfCheck is a criterion with the latest mark of the builder's own on it.
func (v *view) selfCheck(root string, b *build, c journal.Criterion) SelfCheck {
	out := SelfCheck{Number: c.Number, Name: v.criterionTitle(c), Zero: v.Say(c.Zero), Four: v.Say(c.Four)}
	var latest *journal.Mark
	n := 0
	for _, m := range v.ownMarks(b) {
		if m.Criterion == c.Number {
			latest, n = m, n+1
		}
	}
	if latest == nil {
		return out
	}
	out.Mark = fmt.Sprintf("%d of %d", latest.Score, journal.TopScore)
	if latest.NA {
		out.Mark = "not applicable"
	}
	out.More = v.day(latest.At.In(v.zone()))
	if n > 1 {
		out.More += fmt.Sprintf("; the latest of %d marks", n)
	}
	if photo := v.byHash[latest.Photo]; v.print(photo) {
		out.Picture = v.paperPicture(root, photo, asSmall)
	}
	return out
}

// ownMarks are the marks by the builder on photos of a build, of the rubric as it is
// now, by instant.
func (v *view) ownMarks(b *build) []*journal.Mark {
	var out []*journal.Mark
	for i := range v.Marks {
		m := &v.Marks[i]
		photo := v.byHash[m.Photo]
		if m.Judge == "" && m.Rubric == journal.Rubric && photo != nil && photo.Tags.Build == b.ID {
			out = append(out, m)
		}
	}
	return out
}

// showSheetDigest is of the show sheet.
func (v *view) showSheetDigest(b *build) digest {
	var e encoding
	e.any(v.digest().heads[b])
	e.any(v.bookDigest(b))
	e.any(v.leafNames(b))
	if p := v.portrait(b.prints); p != nil {
		e.any(v.digest().photo(p))
	}
	for _, m := range v.ownMarks(b) {
		e.any(*m)
		e.any(v.digest().photo(v.byHash[m.Photo]))
	}
	return e.sum()
}
