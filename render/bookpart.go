// What a build's own page says of its bench book: what is lacking and what waits, the
// mixes, what is not from the box.

package render

import (
	"slices"
	"time"

	"rakelight/journal"
)

// BookPart is that part of a build's page.
type BookPart struct {
	Waits     []Topic // lacking, missing, curing: in the first lines of the page
	Ways      []Link  // the return page
	Sheets    []Link  // for print
	Kits      []KitLine
	Mixes     []MixLine
	Swatches  bool // some mix has a photo
	Additions []AdditionLine
	Photos    bool // some addition has one
}

// KitLine is a page of runners and how far each runner on it is.
type KitLine struct {
	To      Link
	Sums    []string // of the kit, on its first page
	Runners []RunnerLine
}

// RunnerLine is a runner in words.
type RunnerLine struct {
	To    Link
	Words string
}

// MixLine is a mix in the table.
type MixLine struct {
	Name, Recipe, Coats, Batch, Text string
	On                               []Link
	Sub                              string
	Day, Stamp                       string
	Swatch                           Picture
}

// AdditionLine is an addition beyond the box, or a reference.
type AdditionLine struct {
	Kind, Text, Where string
	On                []Link
	Sub               string
	Picture           Picture
}

func (v *view) bookPart(b *build) BookPart {
	var p BookPart
	if v.atBench(b) {
		p.Waits = v.waits(b)
	}
	if v.returns(b) {
		p.Ways = append(p.Ways, Link{Words: "everything you need to go on", Href: top + b.returnHref()})
	}
	p.Sheets = v.sheetsOf(top, b)
	for _, leaf := range v.leaves(b) {
		line := KitLine{To: Link{Words: v.leafWords(b, leaf), Href: top + leaf.href}}
		if leaf.number == 0 {
			line.Sums = v.kitSums(b, leaf)
		}
		for _, r := range leaf.runners {
			line.Runners = append(line.Runners, RunnerLine{
				Link{Words: v.runnerTitle(r), Href: top + leaf.href + "#" + runnerID(r)},
				v.runnerWords(b, r)})
		}
		p.Kits = append(p.Kits, line)
	}
	v.mixTable(&p, b)
	for _, a := range v.AdditionsOf(b.ID) {
		line := AdditionLine{Kind: v.additionTitle(a.Kind), Text: a.Text, Where: a.Where, Sub: a.Sub,
			On: v.partLinks(top, b, a.Parts), Picture: v.bookPicture(top, a.Photo)}
		p.Photos = p.Photos || line.Picture.Alt != ""
		p.Additions = append(p.Additions, line)
	}
	return p
}

// mixTable fills in the mixes.
func (v *view) mixTable(p *BookPart, b *build) {
	for _, m := range v.MixesOf(b.ID) {
		at := m.At.In(v.zone())
		line := MixLine{Name: m.Name, Recipe: journal.RecipeSaid(v.Speaker, m.Recipe), Batch: m.Batch, Text: m.Text,
			On: v.partLinks(top, b, m.Parts), Sub: m.Sub, Day: v.day(at), Stamp: at.Format(time.DateOnly),
			Swatch: v.bookPicture(top, m.Photo)}
		if m.Coats > 0 {
			line.Coats = v.count(m.Coats, "coat")
		}
		p.Swatches = p.Swatches || line.Swatch.Alt != ""
		p.Mixes = append(p.Mixes, line)
	}
}

// bookPicture is a photo beside an entry, without a place of its own.
func (v *view) bookPicture(root, hash string) Picture {
	pic := v.picture(root, v.byHash[hash], asSmall)
	pic.ID = ""
	return pic
}

// waits is what is lacking, and what waits.
func (v *view) waits(b *build) []Topic {
	var out []Topic
	add := func(head string, lines []TopicLine) {
		if len(lines) > 0 {
			out = append(out, Topic{Head: head, Lines: lines})
		}
	}
	add("Lacking", v.lackLines(top, b, v.Lacking(b.ID)))
	var supplies []TopicLine
	for _, s := range v.SuppliesOf(b.Build) {
		if s.Open() {
			supplies = append(supplies, supplyLines(v.voice, []journal.Supply{s})...)
		}
	}
	add("To get", supplies)
	holds := v.HoldsOf(b.ID)
	for _, what := range slices.Backward(journal.HoldWhats) {
		var lines []TopicLine
		for _, h := range holds {
			if h.Is == what {
				line := TopicLine{Words: v.sinceWords(h)}
				v.about(&line, top, b, h.Noted)
				lines = append(lines, line)
			}
		}
		add(v.Say(holdTitles[what]), lines)
	}
	for i, topic := range out {
		if n := len(topic.Lines) - topicLines; n > 1 {
			out[i].Lines = topic.Lines[:topicLines]
			out[i].More = Link{Words: v.count(n, "more"), Href: top + b.returnHref()}
		}
	}
	return out
}

// bookDigest is of what the bench book says of a build.
func (v *view) bookDigest(b *build) digest {
	var e encoding
	var photos []*journal.Photo
	noted := func(n journal.Noted, w journal.Written, entry any) {
		if n.Build == b.ID && w.Counts() {
			e.any(entry)
			photos = append(photos, v.byHash[n.Photo])
		}
	}
	for _, one := range v.Checks {
		noted(one.Noted, one.Written, one)
	}
	for _, one := range v.Subs {
		noted(one.Noted, one.Written, one)
	}
	for _, one := range v.Holds {
		noted(one.Noted, one.Written, one)
	}
	for _, one := range v.Preps {
		noted(one.Noted, one.Written, one)
	}
	for _, one := range v.MixesOf(b.ID) {
		e.any(one)
		photos = append(photos, v.byHash[one.Photo])
	}
	for _, one := range v.AdditionsOf(b.ID) {
		e.any(one)
		photos = append(photos, v.byHash[one.Photo])
	}
	for _, one := range v.SandingsOf(b.ID) {
		e.any(one)
		photos = append(photos, v.byHash[one.Photo])
	}
	for _, p := range photos {
		e.any(v.digest().photo(p))
	}
	return e.sum()
}

// partsDigest is of what a build's parts are, and of all that is known of them; its
// photos are those that name parts.
func (v *view) partsDigest(b *build) digest {
	var e encoding
	e.any(v.digest().heads[b])
	e.any(*b.Build)
	e.any(b.sessions)
	e.any(v.bookDigest(b))
	for _, n := range v.State.Notes {
		if n.Build == b.ID {
			e.any(n)
		}
	}
	for _, m := range v.Mistakes {
		if m.Build == b.ID {
			e.any(m)
		}
	}
	e.any(v.photosDigest(keepPhotos(b.photos, func(p *journal.Photo) bool { return len(p.Tags.Parts) > 0 })))
	return e.sum()
}

// returnDigest is of what is needed to go on with a build.
func (v *view) returnDigest(b *build) digest {
	var e encoding
	e.any(v.partsDigest(b))
	e.any(v.digest().photo(v.lastShown(b)))
	for _, p := range v.Pauses {
		if p.Build == b.ID {
			e.any(p)
		}
	}
	return e.sum()
}
