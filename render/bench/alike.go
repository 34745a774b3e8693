// Photos that look alike, two at a time: yes, no, or not now.

package bench

import (
	"context"
	"errors"
	"net/url"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/journal/wording"
	"rakelight/media/alike"
)

// alikePage asks of two photos whether they are alike.
type alikePage struct {
	Pair  *alikeAsked // nil = there are none to ask about
	Why   string      // why there are none
	Left  int         // photos that must be looked at first
	Again string      // the address that goes on
}

// alikeAsked is two photos that may be alike.
type alikeAsked struct {
	Step   string // "Cleanup"
	Photos [2]alikeSide
	Same   string // "left view, raking light"
	Why    string // a guess, and from what
	Gaps   string // what is not known, "" = nothing
	Tags   bool   // the first lacks view or light
	Both   string // address of the two side by side, large
	Later  string // address without these two
}

// alikeSide is one of them.
type alikeSide struct {
	Hash, Src string
	Build     string
	When      string // "2021", "" = not known
}

// lookFor is how long a page looks at photos before it answers: a large journal is
// looked at over several.
const lookFor = 1500 * time.Millisecond

// alike makes the page.
func (b *Bench) alike(a *asking) (any, error) {
	ctx, cancel := context.WithTimeout(a.request.Context(), lookFor)
	defer cancel()
	small := func(p *journal.Photo) string { return a.journal.Path("pages" + b.thumb(p)) }
	f := alike.New(a.State, alike.OpenLooks(a.journal, small))
	later := a.request.URL.Query()["later"]
	var page alikePage
	for _, build := range f.Builds() {
		if err := f.Look(ctx, build, "", func(int, int) {}); err != nil {
			if !errors.Is(err, context.DeadlineExceeded) {
				return nil, err
			}
			page.Left = len(f.Unlooked(build, ""))
			page.Again = a.request.URL.RequestURI()
			return page, nil
		}
		pairs, err := f.Find(a.request.Context(), build, "")
		if err != nil {
			return nil, err
		}
		for _, p := range pairs {
			if name := p.Photo.Short() + "." + p.Like.Short(); !slices.Contains(later, name) {
				page.Pair = b.asked(a, p, append(slices.Clip(later), name))
				return page, nil
			}
		}
	}
	if page.Why = wording.NoAlike(f.Lacks(f.Builds(), "")); len(later) > 0 {
		page.Why, page.Again = "Those that are left were put off.", Root+"alike"
	}
	page.Why = journal.Capital(strings.TrimSuffix(page.Why, ".")) + "."
	return page, nil
}

// asked is a proposal as the page shows it.
func (b *Bench) asked(a *asking, p journal.AlikePair, later []string) *alikeAsked {
	side := func(p *journal.Photo) alikeSide {
		one := alikeSide{Hash: p.Hash, Src: b.thumb(p), Build: p.Tags.Build, When: p.Instant.Told("2006")}
		if build := a.Build(p.Tags.Build); build != nil {
			one.Build = build.Title
		}
		return one
	}
	return &alikeAsked{
		Step: wording.KindName(p.Kind), Photos: [2]alikeSide{side(p.Photo), side(p.Like)},
		Same: wording.ViewName(p.Like.Tags.View) + ", " + wording.LightName(p.Like.Tags.Light),
		Why:  wording.AlikeBy(p), Gaps: wording.AlikeGaps(p), Tags: p.Photo.Tags.View == "" || p.Photo.Tags.Light == "",
		Both:  "/compare.html#a=" + p.Photo.Short() + "&b=" + p.Like.Short(),
		Later: Root + "alike?" + url.Values{"later": later}.Encode(),
	}
}
