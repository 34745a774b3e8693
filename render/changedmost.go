// Then and now on the page of a finished build: the stage that changed most.

package render

import (
	"math"
	"slices"

	"rakelight/journal"
)

// ThenNow is a stage of two builds side by side.
type ThenNow struct {
	Title    string // "Seams, then and now"
	Pictures []Picture
	Says     []Sentence // what is claimed of the two, nothing where nothing is
	Way      Link       // the comparison
}

// changedMost is the comparison of a build with the first one, or of the first with the
// latest, whose marks lie furthest apart; without marks that of the stage furthest along. Photos
// that are known to show the same come before all others.
// ok is false where there is none.
func (v *view) changedMost(b *build) (found pair, ok bool) {
	v.pairs()
	apart, place, sure := -1.0, -1, false
	for _, p := range v.pairsIn[b] {
		if p.within || p.byHand || p.kind == "" || !v.farthest(b, p) {
			continue
		}
		d := v.marksApart(p)
		at := slices.Index(journal.Kinds, p.kind)
		more := d > apart || d == apart && at > place
		if s := p.comparable(); s && !sure || s == sure && more {
			found, ok, apart, place, sure = p, true, d, at, s
		}
	}
	return found, ok
}

// farthest reports whether a pair sets a build against the first, or the first against
// the latest it is compared with.
func (v *view) farthest(b *build, p pair) bool {
	if b != v.order[0] {
		return p.a.b == v.order[0] && p.b.b == b
	}
	last := b
	for _, one := range v.pairsIn[b] {
		if !one.within && !one.byHand && slices.Index(v.order, one.b.b) > slices.Index(v.order, last) {
			last = one.b.b
		}
	}
	return p.b.b == last
}

// marksApart is how far apart the mean marks of both sides are, negative where one has
// none.
func (v *view) marksApart(p pair) float64 {
	marks := v.judged.stepMarks()
	a := marks[journal.Step{Build: p.a.b.ID, Kind: p.kind}].Mean()
	z := marks[journal.Step{Build: p.b.b.ID, Kind: p.kind}].Mean()
	if !a.OK || !z.OK {
		return -0.5
	}
	return math.Abs(z.Value - a.Value)
}

func (v *view) thenNow(b *build) *ThenNow {
	p, ok := v.changedMost(b)
	if !ok {
		return nil
	}
	t := &ThenNow{Title: v.Say("%s, then and now", v.kindTitle(p.kind)),
		Pictures: []Picture{v.picture(top, p.a.photo, asPrint), v.picture(top, p.b.photo, asPrint)},
		Way:      Link{Words: v.Say("side by side"), Href: top + p.href}}
	for i := range t.Pictures {
		t.Pictures[i].ID, t.Pictures[i].Eager = "", true
	}
	t.Pictures[0].Where, t.Pictures[1].Where = p.a.b.named(), p.b.b.named()
	if q := v.skillBuild(); q != nil && q.ID == p.b.b.ID {
		t.Says = v.claimedOf(p)
	}
	return t
}

// claimedOf are the chances on the criteria that the stage shows, as far as they are
// claims.
func (v *view) claimedOf(p pair) []Sentence {
	q := v.judged.quality()
	var out []Sentence
	for _, c := range journal.Criteria {
		r := q.Rankings[c.Number]
		ch := r.Chance(p.b.b.ID, p.a.b.ID)
		if ch.OK && ch.Claimed && slices.Contains(c.Kinds, p.kind) {
			says := ch.Sentence(v.criterion(c), p.b.b.Title, p.a.b.Title, r.Judges)
			out = append(out, Sentence{Words: tie(v.of(says)),
				Href: top + criterionPage(c.Number), HrefText: v.Say("its photos")})
		}
	}
	return out
}

// thenNowDigest is of what thenNow is made from.
func (v *view) thenNowDigest(b *build) digest {
	var e encoding
	p, ok := v.changedMost(b)
	if !ok {
		return e.sum()
	}
	e.text(p.href)
	e.text(p.kind)
	for _, s := range []side{p.a, p.b} {
		e.any(v.digest().heads[s.b])
		e.any(v.digest().photo(s.photo))
	}
	if q := v.skillBuild(); q != nil && q.ID == p.b.b.ID {
		e.any(v.numbersDigest())
	}
	return e.sum()
}
