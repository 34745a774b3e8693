// The comparison of two photos: which two, whether they may be compared, and
// the page that shows them.

package render

import (
	"fmt"

	"rakelight/journal"
	"rakelight/journal/metrics"
)

// pair is two photos that have a page together, the earlier one first.
type pair struct {
	a, b   side
	kind   string
	stage  string // only within one build
	within bool   // before and after of a stage inside one build
	href   string
	chosen bool // other prints than those of the sheet: alike in view and light
}

type side struct {
	b     *build
	photo *journal.Photo
}

// Compare is compare/….html.
type Compare struct {
	Frame
	Heading string
	Sides   [2]CompareSide // then, now
	Refuse  string         // why the two are not comparable, "" = they are
	Caution string         // what nobody said about view or light
	Chosen  string         // why other prints than those of the sheet
	Speed   *Sentence      // like for like in this kind of work
	Laid    *LaidPair      // the two laid over each other, nil = they are shown as taken alone
	Unlaid  string         // why they are not laid over each other, "" = nobody would expect it
	Doubts  []string       // what speaks against the scales of the two
	Divider bool
	Back    []Link
}

// LaidPair is the two pictures of a comparison laid over each other.
type LaidPair struct {
	Pictures [2]Picture
	Done     []string // what was done, sentence by sentence
}

// CompareSide is one of the two photos with what is known of its step.
type CompareSide struct {
	Picture Picture
	Edge    string // "then" or "now"
	Label   string // "Before", "2021"
	Tag     Tag
	Facts   []Fact
	Pace    Sentence
	Known   Known
	Words   string // from the diary of the day
	Day     Link   // to the whole day
}

// pairs lists all comparisons: each kind of step for each two builds, and
// before and after of each stage. Their addresses are reserved in this order,
// the first time.
func (v *view) pairs() []pair {
	if v.paired == nil {
		v.paired = v.findPairs()
	}
	return v.paired
}

func (v *view) findPairs() []pair {
	var out []pair
	for _, kind := range journal.Kinds {
		for i, a := range v.order {
			for _, b := range v.order[i+1:] {
				if len(a.byKind[kind]) == 0 || len(b.byKind[kind]) == 0 {
					continue
				}
				p := pair{kind: kind, href: v.address("compare/" + fileName(kind+"-"+a.ID+"-"+b.ID))}
				x, y := best(a.byKind[kind]), best(b.byKind[kind])
				if refuse(x, y) != "" || unsaid(x, y) != "" {
					if like := alike(a.byKind[kind], b.byKind[kind]); like[0] != nil {
						x, y, p.chosen = like[0], like[1], true
					}
				}
				p.a, p.b = side{a, x}, side{b, y}
				out = append(out, p)
			}
		}
	}
	for _, b := range v.order {
		for _, st := range b.Stages {
			before, after := beforeAfter(keepPhotos(b.prints,
				func(p *journal.Photo) bool { return p.Tags.Stage == st.ID }))
			if before != nil && after != nil {
				out = append(out, pair{
					a: side{b, before}, b: side{b, after}, kind: st.Kind, stage: st.ID, within: true,
					href: v.address("compare/" + fileName(b.ID+"-"+st.ID) + "-before-after"),
				})
			}
		}
	}
	return out
}

// alike finds the best two photos of two lists in time order that have the
// same view and the same light: finished work before progress, late before
// early.
func alike(as, bs []*journal.Photo) (found [2]*journal.Photo) {
	score := -1
	for _, a := range as {
		for _, b := range bs {
			if refuse(a, b) == "" && unsaid(a, b) == "" && rank(a)+rank(b) >= score {
				found, score = [2]*journal.Photo{a, b}, rank(a)+rank(b)
			}
		}
	}
	return found
}

// beforeAfter picks the two photos of a stage that show most: alike in view
// and light if there are such, else the first before and the last after.
func beforeAfter(photos []*journal.Photo) (before, after *journal.Photo) {
	befores := keepPhotos(photos, func(p *journal.Photo) bool { return p.Tags.Role == "before" })
	afters := keepPhotos(photos, func(p *journal.Photo) bool { return isResult(p) })
	if len(befores) == 0 || len(afters) == 0 {
		return nil, nil
	}
	if like := alike(befores, afters); like[0] != nil {
		return like[0], like[1]
	}
	return befores[0], afters[len(afters)-1]
}

// refuse says why two photos must not be held against each other, "" when
// nothing speaks against it.
func refuse(a, b *journal.Photo) string {
	view := a.Tags.View != "" && b.Tags.View != "" && a.Tags.View != b.Tags.View
	light := a.Tags.Light != "" && b.Tags.Light != "" && a.Tags.Light != b.Tags.Light
	views := fmt.Sprintf("different view (%s, %s)", a.Tags.View, b.Tags.View)
	lights := fmt.Sprintf("different light (%s, %s)", a.Tags.Light, b.Tags.Light)
	switch {
	case view && light:
		return "Not comparable: " + views + " and " + lights + "."
	case view:
		return "Not comparable: " + views + "."
	case light:
		return "Not comparable: " + lights + "."
	}
	return ""
}

// unsaid says which tags are missing to know whether two photos compare.
func unsaid(a, b *journal.Photo) string {
	view := a.Tags.View == "" || b.Tags.View == ""
	light := a.Tags.Light == "" || b.Tags.Light == ""
	switch {
	case view && light:
		return "View and light are not tagged on both photos: compare with care."
	case view:
		return "The view is not tagged on both photos: compare with care."
	case light:
		return "The light is not tagged on both photos: compare with care."
	}
	return ""
}

func (v *view) compare(p pair, t *texts) Compare {
	c := Compare{
		Refuse: refuse(p.a.photo, p.b.photo), Caution: unsaid(p.a.photo, p.b.photo),
		Sides: [2]CompareSide{v.side(p, p.a, t), v.side(p, p.b, t)},
	}
	c.Sides[0].Edge, c.Sides[1].Edge = "then", "now"
	if p.within {
		c.Heading = fmt.Sprintf("%s, %s: before and after", p.a.b.Title, low(p.a.b.Stage(p.stage).Title))
		c.Sides[0].Label, c.Sides[1].Label = "Before", "After"
		c.Back = []Link{{Words: "the stage on its build page", Href: top + p.a.b.href + "#stage-" + fileName(p.stage)}}
	} else {
		c.Heading = fmt.Sprintf("%s: %s and %s", kindTitle(p.kind), p.a.b.named(), p.b.b.named())
		if c.Sides[0].Label == c.Sides[1].Label {
			c.Sides[0].Label, c.Sides[1].Label = p.a.b.Title, p.b.b.Title
		}
		c.Back = []Link{{Words: "then and now", Href: top + "then-and-now.html#row-" + p.kind}}
		if p.chosen {
			c.Chosen = "These are not the two prints of the sheet, but the best two under the same view and light."
		}
		if a, b := p.a.b.workByKind[p.kind], p.b.b.workByKind[p.kind]; len(paces(a)) > 0 && len(paces(b)) > 0 {
			c.Speed = &Sentence{Words: metrics.LikeForLike(a, b).Sentence(p.a.b.named(), p.b.b.named()),
				Href: top + "pace.html#" + p.kind, HrefText: "its sessions"}
		}
	}
	c.Laid, c.Unlaid = v.laidPair(p, c.Sides)
	if c.Laid != nil || c.Unlaid != "" {
		c.Doubts = v.scaleDoubts(p.a.photo, p.b.photo)
	}
	c.Frame = v.frame(top, "compare", c.Heading)
	c.Divider = c.Refuse == ""
	if c.Divider {
		c.Script = "compare.js"
	}
	return c
}

func (v *view) side(p pair, s side, t *texts) CompareSide {
	out := CompareSide{Picture: v.picture(top, s.photo, asHalf), Label: yearOf(s.b.first), Tag: s.b.tag(top)}
	if out.Label == "" {
		out.Label = s.b.Title
	}
	out.Picture.Eager = true
	add := func(term, is string) {
		if is != "" {
			out.Facts = append(out.Facts, Fact{term, is})
		}
	}
	add("Build", s.b.Title)
	if st := s.b.Stage(s.photo.Tags.Stage); st != nil {
		add("Stage", st.Title)
	}
	add("Taken", joinWords(", ", out.Picture.Day, out.Picture.Clock))
	if s.photo.DatedBy != "" && out.Picture.Doubt != "" {
		add("Its date", "remembered: "+out.Picture.Doubt)
	} else if out.Picture.Doubt != "" {
		add("Its time", "doubtful: "+out.Picture.Doubt)
	}
	add("Role", s.photo.Tags.Role)
	add("View and light", out.Picture.Detail)
	if !p.within {
		if ps := paces(s.b.workByKind[p.kind]); len(ps) > 0 {
			out.Pace = Sentence{Words: ps[0].Sentence(kindTitle(p.kind), unit(p.kind)),
				Href: top + "pace.html#" + p.kind, HrefText: "its sessions"}
			out.Known = ps[0].Known
		}
	}
	if d := v.diaryDay(s.b.ID, s.photo.Instant); d != nil {
		out.Words = t.excerpt(d.Body)
		out.Day = Link{Words: joinWords(": ", dayOf(d.Date), d.Title), Href: top + s.b.href + "#day-" + d.Date}
	}
	return out
}
