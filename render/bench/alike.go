// Photos that look alike, two at a time: yes, no, or not now.

package bench

import (
	"context"
	"errors"
	"slices"
	"time"

	"rakelight/journal"
	"rakelight/journal/wording"
	"rakelight/media/alike"
)

// alikePage asks of two photos whether they are alike.
type alikePage struct {
	Pair  *alikeAsked // nil = there are none to ask about
	Why   string      // why there are none
	Left  int         // builds that are still to be looked through
	Again string      // the address that goes on
}

// alikeAsked is two photos that may be alike.
type alikeAsked struct {
	Step   string // "Cleanup"
	Photos [2]alikeSide
	Same   string // as the second is tagged: "left view, raking light"; "" = it is not
	Why    string // a guess, and from what
	Gaps   string // what is not known, "" = nothing
	Tags   bool   // the second has a view or a light that the first lacks
	Both   string // address of the two side by side, large
	Later  string // address without these two
}

// alikeSide is one of them.
type alikeSide struct {
	Hash, Src string
	Build     string
	When      string // "2021", "" = not known
}

// lookFor is how long a page looks before it answers: a large journal is looked through
// over several.
const lookFor = 1500 * time.Millisecond

// alike makes the page. The address says from which build on it looks, and what was put
// off.
func (b *Bench) alike(a *asking) (any, error) {
	ctx, cancel := context.WithTimeout(a.request.Context(), lookFor)
	defer cancel()
	small := func(p *journal.Photo) string { return a.journal.Path("pages" + b.thumb(p)) }
	f := alike.New(a.State, alike.OpenLooks(a.journal, small))
	query := a.request.URL.Query()
	builds, later := f.Builds(), query["later"]
	from := max(0, slices.IndexFunc(builds, func(b *journal.Build) bool { return b.ID == query.Get("from") }))
	for i, build := range builds[from:] {
		err := ctx.Err()
		if i == 0 || err == nil { // each page comes further, however slow it is
			err = f.Look(ctx, build, "", func(int, int) {})
		}
		if errors.Is(err, context.DeadlineExceeded) {
			query.Set("from", build.ID)
			return alikePage{Left: len(builds) - from - i, Again: Root + "alike?" + query.Encode()}, nil
		}
		if err != nil {
			return nil, err
		}
		pairs, err := f.Find(a.request.Context(), build, "")
		if err != nil {
			return nil, err
		}
		for _, p := range pairs {
			if name := p.Photo.Short() + "." + p.Like.Short(); !slices.Contains(later, name) {
				query.Set("from", build.ID)
				query.Add("later", name)
				return alikePage{Pair: b.asked(a, p, Root+"alike?"+query.Encode())}, nil
			}
		}
	}
	if len(later) > 0 {
		return alikePage{Why: "Those that are left were put off.", Again: Root + "alike"}, nil
	}
	return alikePage{Why: journal.Capital(wording.NoAlike(f.Lacks(builds, ""))) + "."}, nil
}

// asked is a proposal as the page shows it.
func (b *Bench) asked(a *asking, p journal.AlikePair, later string) *alikeAsked {
	side := func(p *journal.Photo) alikeSide {
		one := alikeSide{Hash: p.Hash, Src: b.thumb(p), Build: p.Tags.Build, When: p.Instant.Told("2006")}
		if build := a.Build(p.Tags.Build); build != nil {
			one.Build = build.Title
		}
		return one
	}
	return &alikeAsked{
		Step: wording.KindName(p.Kind), Photos: [2]alikeSide{side(p.Photo), side(p.Like)},
		Same: wording.AlikeTags(p.Like.Tags), Why: wording.AlikeBy(p), Gaps: wording.AlikeGaps(p), Tags: p.Tells(),
		Both:  "/compare.html#a=" + p.Photo.Short() + "&b=" + p.Like.Short(),
		Later: later,
	}
}
