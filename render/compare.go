// The page of two photos beside each other. Which two: pairs.go.

package render

import (
	"rakelight/journal/metrics"
)

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

func (v *view) compare(p pair, t *texts) Compare {
	c := Compare{
		Refuse: v.refusal(p.a.photo, p.b.photo), Caution: unsaid(p.a.photo, p.b.photo).In(v.Speaker),
		Sides: [2]CompareSide{v.side(p, p.a, t), v.side(p, p.b, t)},
	}
	c.Sides[0].Edge, c.Sides[1].Edge = "then", "now"
	c.Sides[1].Picture.Second = true
	switch {
	case p.within:
		c.Heading = v.Say("%s, %s: before and after", p.a.b.Title, v.low(v.stageTitle(p.a.b.Stage(p.stage))))
		c.Sides[0].Label, c.Sides[1].Label = v.Say("side¦Before"), v.Say("side¦After")
		c.Back = []Link{{Words: v.Say("the stage on its build page"), Href: top + p.a.b.href + "#stage-" +
			fileName(p.stage)}}
	case p.byHand:
		c.Heading = v.Say("list¦%s and %s", v.alt(p.a.photo), v.alt(p.b.photo))
		c.Sides[0].Label, c.Sides[1].Label = v.Say("side¦Earlier"), v.Say("side¦Later")
		for _, s := range c.Sides {
			c.Back = append(c.Back, Link{Words: s.Picture.Alt, Href: s.Picture.Home})
		}
	default:
		c.Heading = v.Say("%s: %s and %s", v.kindTitle(p.kind), p.a.b.named(), p.b.b.named())
		if c.Sides[0].Label == c.Sides[1].Label {
			c.Sides[0].Label, c.Sides[1].Label = p.a.b.Title, p.b.b.Title
		}
		c.Back = []Link{{Words: v.Say("then and now"), Href: top + "then-and-now.html#row-" + p.kind}}
		if p.chosen {
			c.Chosen = v.Say("These are not the two photos of the sheet, but the best two with the same view and light.")
		}
		if len(p.a.b.paces(v.voice, p.kind)) > 0 && len(p.b.b.paces(v.voice, p.kind)) > 0 {
			speed := metrics.LikeForLike(p.a.b.workByKind[p.kind], p.b.b.workByKind[p.kind])
			c.Speed = &Sentence{Words: v.of(speed.Sentence(p.a.b.named(), p.b.b.named())),
				Href: top + "pace.html#" + p.kind, HrefText: v.Say("the sessions")}
		}
	}
	if p.alike {
		c.Chosen = v.Say("Called alike by hand: the same stage, from the same view and under the same light.")
	}
	c.Laid, c.Unlaid = v.laidPair(p, c.Sides)
	if c.Laid != nil { // the two as they were taken are seen when they are asked for
		for i := range c.Sides {
			c.Sides[i].Picture.Eager, c.Sides[i].Picture.Second = false, false
		}
	}
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
	if st := s.b.Stage(s.photo.Tags.Stage); st != nil {
		add(v.Say("Stage"), v.stageTitle(st))
	}
	add(v.Say("photo¦Taken"), joinWords(", ", out.Picture.Day, out.Picture.Clock))
	if s.photo.DatedBy != "" && out.Picture.Doubt != "" {
		add(v.Say("Its date"), v.Say("remembered: %s", out.Picture.Doubt))
	} else if out.Picture.Doubt != "" {
		add(v.Say("Its time"), v.Say("uncertain: %s", out.Picture.Doubt))
	}
	add(v.Say("photo¦Role"), v.roleWord(s.photo.Tags.Role))
	add(v.Say("View and light"), out.Picture.Detail)
	if !p.within {
		if ps := s.b.paces(v.voice, p.kind); len(ps) > 0 {
			out.Pace = Sentence{Words: v.of(ps[0].Sentence(v.kindTitle(p.kind), unit(p.kind))),
				Href: top + "pace.html#" + p.kind, HrefText: v.Say("the sessions")}
			out.Known = ps[0].Known
		}
	}
	if d := v.diaryDay(s.b.ID, s.photo.Instant); d != nil {
		out.Words = t.excerpt(d.Body)
		out.Day = Link{Words: joinWords(": ", v.dayOf(d.Date), d.Title), Href: top + s.b.href + "#day-" + d.Date}
	}
	return out
}
