// Finding: which photos are proposed beside which.

package alike

import (
	"cmp"
	"context"
	"math"
	"slices"

	"rakelight/journal"
)

// How much a look says. All were chosen on drawn scenes whose view and light were known,
// and tried on others (TestFirstProposals); nothing is known of how they do on photos of
// real benches but what the person's answers will tell.
const (
	viewApart  = 0.017 // so far apart in view, a photo speaks for another by 1/e less
	lightApart = 0.02  // the same in light
	otherStep  = 0.61  // what a photo of another step says, of what one of the same says
	nobody     = 5     // what speaks for a view that no tagged photo shows, as if such a photo lay so many of these away
	leastStep  = 0.03  // share of its own step in what looks like a photo, below which its step is doubted
)

// How sure a proposal must be; more where few photos are tagged, or all under one light,
// because little tells then how the others look.
const (
	surely      = 0.8
	surelyOfFew = 0.85
	manyTagged  = 100
)

// How much must be tagged before anything is proposed. Where one or two views alone are
// tagged, or hardly a photo of the others, photos from elsewhere look like those for want
// of better: 84 to 88 of 100 were right then on drawn scenes, which is not enough.
const (
	leastTagged = 20
	leastViews  = 3 // each of leastOfView photos
	leastOfView = 3
	leastLight  = 3 // photos under each light, else surelyOfFew
)

// perSight is how many photos of a step, a view and a light others are held against, the
// latest: more would cost more and say the same.
const perSight = 4

// newest is beside how many builds an older one is proposed, the latest that show the step
// as it could.
const newest = 2

// Finder finds photos alike in a state. It looks at pictures only as far as they are
// needed.
type Finder struct {
	state  *journal.State
	looks  *Looks
	photos map[place][]*journal.Photo // by build and kind of step, in time order
	order  []*journal.Build           // that have photos, by their first
	tagged []*journal.Photo           // of which view and light are said
	held   []sample                   // those of them that others are held against
	ready  bool                       // held is filled
	least  float64                    // how sure a proposal must be
	anyway bool                       // of too little, too: what tests ask

	byAnswer map[string][]*journal.Photo // by a photo's hash, those that a person found not alike to it
	yes      map[step]bool               // of which a person called two photos alike
}

// place is a step of a build.
type place struct{ build, kind string }

// step is a step of two builds.
type step struct{ old, new, kind string }

// sample is a photo whose view and light are said, and its shape.
type sample struct {
	kind        string
	view, light int // as journal.Views and journal.Lights list them
	shape       Shape
}

// New is a finder of a state.
func New(s *journal.State, looks *Looks) *Finder {
	f := &Finder{state: s, looks: looks, photos: map[place][]*journal.Photo{},
		byAnswer: map[string][]*journal.Photo{}, yes: map[step]bool{}}
	seen := map[string]bool{}
	for _, p := range s.Photos {
		if !fit(p) || s.Build(p.Tags.Build) == nil {
			continue
		}
		at := place{p.Tags.Build, p.Kind}
		f.photos[at] = append(f.photos[at], p)
		if !seen[p.Tags.Build] {
			seen[p.Tags.Build] = true
			f.order = append(f.order, s.Build(p.Tags.Build))
		}
		if said(p) {
			f.tagged = append(f.tagged, p)
		}
	}
	f.least = f.sureEnough()
	photos := s.PhotosByHash()
	for _, one := range s.Alikes {
		a, b := photos[one.A], photos[one.B]
		switch {
		case a == nil || b == nil:
		case one.Not:
			f.byAnswer[a.Hash] = append(f.byAnswer[a.Hash], b)
			f.byAnswer[b.Hash] = append(f.byAnswer[b.Hash], a)
		case a.Kind == b.Kind:
			f.yes[step{a.Tags.Build, b.Tags.Build, a.Kind}] = true
			f.yes[step{b.Tags.Build, a.Tags.Build, a.Kind}] = true
		}
	}
	return f
}

// fit reports whether a photo may stand beside others: a picture of a step of a build
// that stands for itself, and not one that only may be of it.
func fit(p *journal.Photo) bool {
	own := (p.Burst == "" || p.Burst == p.Hash) && p.Series == ""
	return own && p.Width > 0 && p.Height > 0 && !p.Clip() && !p.OfCards() && p.Kind != "" && !p.Guess &&
		p.Tags.Role != "problem"
}

// said reports whether view and light of a photo are.
func said(p *journal.Photo) bool { return p.Tags.View != "" && p.Tags.Light != "" }

// Builds are those that have photos which could be proposed beside others, by their
// first photo.
func (f *Finder) Builds() []*journal.Build { return f.order }

// Enough says whether the tagged photos are enough to propose anything.
func (f *Finder) Enough() bool { return f.little() == journal.AlikeLack{} }

// little is what the tagged photos are too few of.
func (f *Finder) little() journal.AlikeLack {
	if f.anyway {
		return journal.AlikeLack{}
	}
	views, shown := map[string]int{}, 0
	for _, p := range f.tagged {
		if views[p.Tags.View]++; views[p.Tags.View] == leastOfView {
			shown++
		}
	}
	switch {
	case len(f.tagged) < leastTagged:
		return journal.AlikeLack{Of: journal.FewTagged, Have: len(f.tagged), Need: leastTagged}
	case shown < leastViews:
		return journal.AlikeLack{Of: journal.FewViews, Have: shown, Need: leastViews}
	}
	return journal.AlikeLack{}
}

// Lacks is why nothing is proposed in builds; kind "" = in all their steps. Where all that
// it takes is there, nothing looked alike enough.
func (f *Finder) Lacks(builds []*journal.Build, kind string) journal.AlikeLack {
	if little := f.little(); little != (journal.AlikeLack{}) {
		return little
	}
	for _, b := range builds {
		if len(f.tasks(b, kind)) > 0 {
			return journal.AlikeLack{Of: journal.NoneAlike}
		}
	}
	return journal.AlikeLack{Of: journal.NothingOpen}
}

// task is the photos of a step of a build whose view or light is not said, and the
// builds beside which they may be.
type task struct {
	kind  string
	old   *journal.Build
	open  []*journal.Photo
	later []*journal.Build
}

// tasks are those of a build, by the order of steps; kind "" = of all steps.
func (f *Finder) tasks(b *journal.Build, kind string) []task {
	var out []task
	for _, k := range journal.Kinds {
		if kind != "" && kind != k {
			continue
		}
		t := task{kind: k, old: b}
		for _, p := range f.photos[place{b.ID, k}] {
			if !said(p) {
				t.open = append(t.open, p)
			}
		}
		if len(t.open) == 0 {
			continue
		}
		for _, other := range slices.Backward(f.order) {
			if len(t.later) == newest {
				break
			}
			if other != b && slices.ContainsFunc(f.photos[place{other.ID, k}], said) {
				t.later = append(t.later, other)
			}
		}
		t.later = slices.DeleteFunc(t.later, func(other *journal.Build) bool {
			return f.yes[step{b.ID, other.ID, k}] || f.alikeByTags(place{b.ID, k}, place{other.ID, k})
		})
		if len(t.later) > 0 {
			out = append(out, t)
		}
	}
	return out
}

// alikeByTags reports whether two photos of a step in two builds are alike as tagged:
// their comparison shows those then.
func (f *Finder) alikeByTags(a, b place) bool {
	for _, p := range f.photos[a] {
		if said(p) && slices.ContainsFunc(f.photos[b], func(q *journal.Photo) bool {
			return p.Tags.View == q.Tags.View && p.Tags.Light == q.Tags.Light
		}) {
			return true
		}
	}
	return false
}

// Waiting is how many photos of a build may be found alike to others; kind "" = of all
// steps. No picture is looked at: whether one is alike enough is not known.
func (f *Finder) Waiting(b *journal.Build, kind string) int {
	n := 0
	if f.Enough() {
		for _, t := range f.tasks(b, kind) {
			n += len(t.open)
		}
	}
	return n
}

// Unlooked are the photos that nobody looked at yet and that finding in a build needs;
// kind "" = of all steps.
func (f *Finder) Unlooked(b *journal.Build, kind string) []*journal.Photo {
	var out []*journal.Photo
	tasks := f.tasks(b, kind)
	if len(tasks) == 0 || !f.Enough() {
		return nil
	}
	need := func(photos []*journal.Photo) {
		for _, p := range photos {
			if !f.looks.Known(p) {
				out = append(out, p)
			}
		}
	}
	need(f.samples())
	for _, t := range tasks {
		need(t.open)
		for _, other := range t.later {
			need(f.photos[place{other.ID, t.kind}])
		}
	}
	slices.SortFunc(out, func(a, b *journal.Photo) int { return cmp.Compare(a.Hash, b.Hash) })
	return slices.Compact(out)
}

// Look looks at what finding in a build needs and nobody looked at yet, and keeps it;
// kind "" = of all steps. report is told how far it came. An error is that of ctx, or of
// keeping.
func (f *Finder) Look(ctx context.Context, b *journal.Build, kind string, report func(done, total int)) error {
	if photos := f.Unlooked(b, kind); len(photos) > 0 {
		return f.looks.Look(ctx, photos, report)
	}
	return nil
}

// samples are the photos that others are held against.
func (f *Finder) samples() []*journal.Photo {
	type sight struct{ kind, view, light string }
	count := map[sight]int{}
	var out []*journal.Photo
	for _, p := range slices.Backward(f.tagged) {
		at := sight{p.Kind, p.Tags.View, p.Tags.Light}
		if count[at]++; count[at] <= perSight {
			out = append(out, p)
		}
	}
	return out
}

// Find are the proposals of a build, the surest first: one at most of each step and
// other build. kind "" = of all steps. An error is that of ctx.
func (f *Finder) Find(ctx context.Context, b *journal.Build, kind string) ([]journal.AlikePair, error) {
	if !f.Enough() {
		return nil, nil
	}
	var out []journal.AlikePair
	for _, t := range f.tasks(b, kind) {
		f.hold()
		best := make([]found, len(t.later))
		for _, p := range t.open {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			shape, ok := f.looks.Of(p)
			if !ok {
				continue
			}
			leans := f.leans(p, &shape)
			if leans.step < leastStep {
				continue
			}
			for i, other := range t.later {
				for _, q := range f.photos[place{other.ID, t.kind}] {
					one, ok := f.try(p, q, &shape, leans)
					if ok && (best[i].pair.Photo == nil || one.rank > best[i].rank) {
						best[i] = one
					}
				}
			}
		}
		for _, one := range best {
			if one.pair.Photo != nil {
				out = append(out, one.pair)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b journal.AlikePair) int { return cmp.Compare(b.Sure, a.Sure) })
	return out, nil
}

// hold looks at the photos that others are held against.
func (f *Finder) hold() {
	if f.ready {
		return
	}
	f.ready = true
	for _, p := range f.samples() {
		view, light := slices.Index(journal.Views, p.Tags.View), slices.Index(journal.Lights, p.Tags.Light)
		if shape, ok := f.looks.Of(p); ok && view >= 0 && light >= 0 {
			f.held = append(f.held, sample{p.Kind, view, light, shape})
		}
	}
}

// leaning is how far what looks like a photo is of each view, of each light, and of its
// own step, as shares. Views and lights stand as journal.Views and journal.Lights list them.
type leaning struct {
	view, light []float64
	step        float64
}

// of is the share of one of the words.
func of(words []string, shares []float64, word string) float64 {
	if i := slices.Index(words, word); i >= 0 {
		return shares[i]
	}
	return 0
}

// leans weighs all samples by how near they look.
func (f *Finder) leans(p *journal.Photo, shape *Shape) leaning {
	l := leaning{make([]float64, len(journal.Views)), make([]float64, len(journal.Lights)), 0}
	views, lights, both := math.Exp(-nobody), math.Exp(-nobody), 0.0
	for i := range f.held {
		q := &f.held[i]
		view, light := shape.apart(&q.shape)
		byView, byLight := math.Exp(-view/viewApart), math.Exp(-light/lightApart)
		both += byView * byLight
		if q.kind == p.Kind {
			l.step += byView * byLight
		} else {
			byView, byLight = byView*otherStep, byLight*otherStep
		}
		l.view[q.view] += byView
		l.light[q.light] += byLight
		views, lights = views+byView, lights+byLight
	}
	for i := range l.view {
		l.view[i] /= views
	}
	for i := range l.light {
		l.light[i] /= lights
	}
	if both > 0 {
		l.step /= both
	}
	return l
}

// found is a proposal and its rank among those of a step and two builds.
type found struct {
	pair journal.AlikePair
	rank float64
}

// try makes a proposal of two photos, if it is one.
func (f *Finder) try(p, q *journal.Photo, shape *Shape, l leaning) (found, bool) {
	if !f.may(p, q) {
		return found{}, false
	}
	pair := journal.AlikePair{Photo: p, Like: q, Kind: p.Kind, Sure: 1}
	pair.Why = append(pair.Why, journal.AlikeWhy{By: journal.AlikeStep})
	because := func(tag string, said, looks journal.AlikeBy, share float64, gap journal.AlikeGap) {
		if tag != "" {
			pair.Why = append(pair.Why, journal.AlikeWhy{By: said})
			return
		}
		pair.Sure *= share
		pair.Why = append(pair.Why, journal.AlikeWhy{By: looks, Share: share})
		pair.Unknown = append(pair.Unknown, gap)
	}
	because(p.Tags.View, journal.AlikeViewSaid, journal.AlikeViewLooks,
		of(journal.Views, l.view, q.Tags.View), journal.AlikeNoView)
	because(p.Tags.Light, journal.AlikeLightSaid, journal.AlikeLightLooks,
		of(journal.Lights, l.light, q.Tags.Light), journal.AlikeNoLight)
	look, ok := f.looks.Of(q)
	if !ok || pair.Sure < f.least {
		return found{}, false
	}
	if len(p.Cards) > 0 && len(q.Cards) > 0 {
		pair.Why = append(pair.Why, journal.AlikeWhy{By: journal.AlikeCards})
	} else {
		pair.Unknown = append(pair.Unknown, journal.AlikeNoScale)
	}
	if p.Instant.Said != "" || p.Instant.At.IsZero() {
		pair.Unknown = append(pair.Unknown, journal.AlikeNoDay)
	}
	// Among photos of one view and light the nearest in framing is shown.
	view, light := shape.apart(&look)
	return found{pair, pair.Sure - 0.01*(view/viewApart+light/lightApart)}, true
}

// may reports whether two photos may be proposed, by their tags and by what a person said.
func (f *Finder) may(p, q *journal.Photo) bool {
	differ := func(a, b string) bool { return a != "" && a != b }
	before := p.Tags.Role != "" && q.Tags.Role != "" && (p.Tags.Role == "before") != (q.Tags.Role == "before")
	return said(q) && !differ(p.Tags.View, q.Tags.View) && !differ(p.Tags.Light, q.Tags.Light) && !before &&
		!f.refused(p, q)
}

// sureEnough is how sure a proposal must be.
func (f *Finder) sureEnough() float64 {
	lights := map[string]int{}
	for _, p := range f.tagged {
		lights[p.Tags.Light]++
	}
	for _, light := range journal.Lights {
		if len(f.tagged) < manyTagged || lights[light] < leastLight {
			return surelyOfFew
		}
	}
	return surely
}

// refused reports whether a person said of the two, or of the one and a photo like the
// other, that they are not alike.
func (f *Finder) refused(p, q *journal.Photo) bool {
	return slices.ContainsFunc(f.byAnswer[p.Hash], func(o *journal.Photo) bool {
		return o == q || o.Tags.Build == q.Tags.Build && o.Kind == q.Kind && o.Tags.View == q.Tags.View &&
			o.Tags.Light == q.Tags.Light
	})
}
