// Photos of a stage that its build page has no room for: pages of their own, which
// a build of many photos leads to.

package render

import (
	"slices"

	"rakelight/journal"
)

// FoldedPage is builds/<id>-<stage>.html, and those behind it.
type FoldedPage struct {
	Frame
	Heading string
	Back    Link // the stage on its build page
	Photos  []Picture
	Others  []Link // the pages of the same photos, where there are several
}

// How many photos fold on a build page itself, and how many stand on a page of
// their own: each takes 0.5 KB of a page.
const (
	foldedOnBuild = 120
	foldedOnPage  = 400
)

// foldedPage is one page of photos of a stage, in time order.
type foldedPage struct {
	stage  journal.Stage
	href   string
	photos []*journal.Photo
}

// fold gives the photos that a build page has no room for a place of their own: of
// the stages with most of them, until the others fit.
func (v *view) fold(b *build) {
	between := map[string][]*journal.Photo{}
	total := 0
	var stages []journal.Stage
	for _, st := range b.Stages {
		standing := keepPhotos(b.photos, func(p *journal.Photo) bool {
			return p.Tags.Stage == st.ID && ofWork(p) && stands(p)
		})
		if from, to := folded(len(standing)); from < to && between[st.ID] == nil {
			for _, p := range standing[from:to] {
				between[st.ID] = append(append(between[st.ID], p), v.bursts[p.Hash]...)
			}
			total += len(between[st.ID])
			stages = append(stages, st)
		}
	}
	slices.SortStableFunc(stages, func(x, y journal.Stage) int { return len(between[y.ID]) - len(between[x.ID]) })
	for _, st := range stages {
		if total <= foldedOnBuild {
			return
		}
		total -= len(between[st.ID])
		for photos := range slices.Chunk(between[st.ID], foldedOnPage) {
			page := foldedPage{st, v.address("builds/" + fileName(b.ID) + "-" + fileName(st.ID)), photos}
			for _, p := range photos {
				v.folded[p] = page.href
			}
			b.folded = append(b.folded, page)
		}
	}
}

// folded are the places, among so many photos of a stage, of those that fold.
func folded(n int) (from, to int) {
	if n <= fewPhotos {
		return 0, 0
	}
	return firstPhotos, n - (fewPhotos - firstPhotos)
}

// foldedPages are those of a stage.
func (b *build) foldedPages(st journal.Stage) []foldedPage {
	return slices.DeleteFunc(slices.Clone(b.folded), func(p foldedPage) bool { return p.stage.ID != st.ID })
}

func (in voice) foldedWords(p foldedPage) string {
	return in.Say("%s to %s, %s", in.dayTold(p.photos[0].Instant), in.dayTold(p.photos[len(p.photos)-1].Instant),
		in.count(len(p.photos), "photo"))
}

func (v *view) foldedPage(b *build, one foldedPage) FoldedPage {
	title := b.Title + ", " + v.low(v.stageTitle(&one.stage))
	p := FoldedPage{
		Frame: v.frame(top, "folded", v.Say("%s, more photos", title)), Heading: title,
		Back: Link{Words: v.Say("the stage on its build page"), Href: top + b.href + "#stage-" +
			fileName(one.stage.ID)},
		Photos: v.between(one.photos),
	}
	for _, other := range b.foldedPages(one.stage) {
		p.Others = append(p.Others, Link{Words: v.foldedWords(other), Href: top + other.href,
			Here: other.href == one.href})
	}
	if len(p.Others) == 1 {
		p.Others = nil
	}
	return p
}

// foldedDigest is of such a page.
func (v *view) foldedDigest(b *build, one foldedPage) digest {
	var others []string
	for _, other := range b.foldedPages(one.stage) {
		others = append(others, other.href, v.foldedWords(other))
	}
	return digestOf(v.digest().heads[b], one.href, one.stage, others, v.photosDigest(one.photos))
}

// between are photos as small prints that have their own place there.
func (v *view) between(photos []*journal.Photo) []Picture {
	var out []Picture
	for _, p := range photos {
		pic := v.picture(top, p, asSmall)
		pic.Caption = joinWords(", ", pic.Day, pic.Clock, pic.Role, pic.Caption)
		out = append(out, pic)
	}
	return out
}
