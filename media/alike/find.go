// Finding: which photos are proposed beside which.

package alike

import (
	"cmp"
	"context"
	"math"
	"slices"

	"rakelight/journal"
)

// How likely two photos must be alike to be proposed. Of those that are surely so, at least
// nine in ten were on drawn scenes (TestFirstProposals), where few views or one light only are
// tagged from a higher number on. With fewer than someTagged photos tagged it was less, and
// none are called sure. What only may be is told as such, and asked about twice of a step of
// two builds. Nothing is known of how it is on photos of real benches but what the person's
// answers will tell.
const (
	surely       = 0.84
	surelyOfSome = 0.9 // of fewer than someViews, or one light
	maybe        = 0.5
	asks         = 2 // answered no, what only may be alike is asked about no more

	someTagged = 20
	someViews  = 3
)

// How many photos are looked at, the latest: more would cost more and say the same.
const (
	perSight = 4   // tagged ones of a step, a view and a light, to learn from
	mostHeld = 300 // tagged ones in all
	perStep  = 80  // of a step of a build, to be beside others
)

// newest is beside how many builds an older one is proposed, the latest that show the step
// as it could.
const newest = 2

// Finder finds photos alike in a state. It looks at pictures only as far as they are
// needed.
type Finder struct {
	state  *journal.State
	looks  *Looks
	photos map[place][]*journal.Photo  // by build and kind of step, in time order
	builds map[string][]*journal.Photo // by build, in time order
	order  []*journal.Build            // that have photos, by their first
	tagged []*journal.Photo            // of which view and light are said
	taught *teacher                    // nil = nobody was asked yet
	looked map[string]map[*journal.Photo]looked

	byAnswer map[string][]*journal.Photo // by a photo's hash, those that a person found not alike to it
	yes      map[step]bool               // of which a person called two photos alike
	no       map[step]int                // how often a person said no of one
}

// place is a step of a build.
type place struct{ build, kind string }

// step is a step of two builds.
type step struct{ old, new, kind string }

// looked is a photo that was looked at.
type looked struct {
	shape Shape
	guess guess
}

// New is a finder of a state.
func New(s *journal.State, looks *Looks) *Finder {
	f := &Finder{state: s, looks: looks, photos: map[place][]*journal.Photo{}, builds: map[string][]*journal.Photo{},
		looked: map[string]map[*journal.Photo]looked{}, byAnswer: map[string][]*journal.Photo{},
		yes: map[step]bool{}, no: map[step]int{}}
	for _, p := range s.Photos {
		if !fit(p) || s.Build(p.Tags.Build) == nil {
			continue
		}
		at := place{p.Tags.Build, p.Kind}
		f.photos[at] = append(f.photos[at], p)
		if f.builds[p.Tags.Build] == nil {
			f.order = append(f.order, s.Build(p.Tags.Build))
		}
		f.builds[p.Tags.Build] = append(f.builds[p.Tags.Build], p)
		if said(p) {
			f.tagged = append(f.tagged, p)
		}
	}
	photos := s.PhotosByHash()
	for _, one := range s.Alikes {
		a, b := photos[one.A], photos[one.B]
		switch {
		case a == nil || b == nil:
		case one.Not:
			f.byAnswer[a.Hash] = append(f.byAnswer[a.Hash], b)
			f.byAnswer[b.Hash] = append(f.byAnswer[b.Hash], a)
			f.no[step{a.Tags.Build, b.Tags.Build, a.Kind}]++
			f.no[step{b.Tags.Build, a.Tags.Build, a.Kind}]++
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

// Lacks is why nothing is proposed in builds; kind "" = in all their steps. Where all that
// it takes is there, nothing looked alike enough.
func (f *Finder) Lacks(builds []*journal.Build, kind string) journal.AlikeLack {
	for _, b := range builds {
		if len(f.tasks(b, kind)) > 0 {
			return journal.AlikeLack{Of: journal.NoneAlike, Tagged: len(f.tagged)}
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
		t.later = f.beside(b, k)
		t.later = slices.DeleteFunc(t.later, func(other *journal.Build) bool {
			return f.yes[step{b.ID, other.ID, k}] || f.alikeByTags(place{b.ID, k}, place{other.ID, k})
		})
		if len(t.later) > 0 {
			out = append(out, t)
		}
	}
	return out
}

// beside are the builds beside whose photos of a step those of a build may be: the latest
// that show it with view and light, or else the latest that came after it.
func (f *Finder) beside(b *journal.Build, kind string) []*journal.Build {
	var shown, after []*journal.Build
	earlier := false
	for _, other := range slices.Backward(f.order) {
		photos := f.photos[place{other.ID, kind}]
		switch {
		case other == b:
			earlier = true
		case slices.ContainsFunc(photos, said):
			shown = append(shown, other)
		case len(photos) > 0 && !earlier:
			after = append(after, other)
		}
	}
	all := append(shown, after...)
	return all[:min(newest, len(all))]
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
	for _, t := range f.tasks(b, kind) {
		n += len(t.open)
	}
	return n
}

// Unlooked are the photos that nobody looked at yet and that finding in a build needs;
// kind "" = of all steps.
func (f *Finder) Unlooked(b *journal.Build, kind string) []*journal.Photo {
	tasks := f.tasks(b, kind)
	if len(tasks) == 0 {
		return nil
	}
	var out []*journal.Photo
	need := func(photos []*journal.Photo) {
		for _, p := range photos {
			if !f.looks.Known(p) {
				out = append(out, p)
			}
		}
	}
	need(f.samples())
	need(f.builds[b.ID])
	for _, t := range tasks {
		for _, other := range t.later {
			need(f.builds[other.ID])
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

// samples are the photos that are learned from.
func (f *Finder) samples() []*journal.Photo {
	type sight struct{ kind, view, light string }
	count := map[sight]int{}
	var out []*journal.Photo
	for _, p := range slices.Backward(f.tagged) {
		at := sight{p.Kind, p.Tags.View, p.Tags.Light}
		if count[at]++; count[at] <= perSight && len(out) < mostHeld {
			out = append(out, p)
		}
	}
	return out
}

// teacher learns from what is tagged.
func (f *Finder) teacher() *teacher {
	if f.taught == nil {
		var held []sample
		for _, p := range f.samples() {
			view, light := slices.Index(journal.Views, p.Tags.View), slices.Index(journal.Lights, p.Tags.Light)
			if shape, ok := f.looks.Of(p); ok && view >= 0 && light >= 0 {
				held = append(held, sample{view, light, shape})
			}
		}
		f.taught = teach(held)
	}
	return f.taught
}

// lookAt looks at the photos of a build. An error is that of ctx.
func (f *Finder) lookAt(ctx context.Context, build string) (map[*journal.Photo]looked, error) {
	if f.looked[build] != nil {
		return f.looked[build], nil
	}
	var photos []*journal.Photo
	var shapes []Shape
	var guesses []guess
	for _, p := range f.builds[build] {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if shape, ok := f.looks.Of(p); ok {
			g := f.teacher().guess(&shape)
			g.say(p.Tags)
			photos, shapes, guesses = append(photos, p), append(shapes, shape), append(guesses, g)
		}
	}
	share(shapes, guesses)
	out := map[*journal.Photo]looked{}
	for i, p := range photos {
		guesses[i].say(p.Tags)
		out[p] = looked{shapes[i], guesses[i]}
	}
	f.looked[build] = out
	return out, nil
}

// Find are the proposals of a build, the surest first: one at most of each step and
// other build. kind "" = of all steps. An error is that of ctx.
func (f *Finder) Find(ctx context.Context, b *journal.Build, kind string) ([]journal.AlikePair, error) {
	var out []journal.AlikePair
	surely := f.surely()
	for _, t := range f.tasks(b, kind) {
		for _, other := range t.later {
			one, err := f.best(ctx, t, other)
			if err != nil {
				return nil, err
			}
			least := surely
			if f.no[step{b.ID, other.ID, t.kind}] < asks {
				least = maybe
			}
			if one.Sure >= least {
				out = append(out, f.because(one))
			}
		}
	}
	slices.SortStableFunc(out, func(a, b journal.AlikePair) int { return cmp.Compare(b.Sure, a.Sure) })
	return out, nil
}

// surely is how likely two photos must be alike to be so surely; beyond 1 = none are.
func (f *Finder) surely() float64 {
	views, lights := map[string]bool{}, map[string]bool{}
	for _, p := range f.tagged {
		views[p.Tags.View], lights[p.Tags.Light] = true, true
	}
	switch {
	case len(f.tagged) < someTagged:
		return math.Inf(1)
	case len(views) < someViews || len(lights) < len(journal.Lights):
		return surelyOfSome
	}
	return surely
}

// best are the two photos of a step that are most likely alike; without Photo = there are
// none.
func (f *Finder) best(ctx context.Context, t task, other *journal.Build) (best journal.AlikePair, err error) {
	err = f.each(ctx, t, other, func(p, q *journal.Photo, of [facts]float64) {
		if sure := likely(of, f.teacher().noView, f.teacher().noLight); sure > best.Sure {
			best = journal.AlikePair{Photo: p, Like: q, Kind: t.kind, Sure: sure}
		}
	})
	return best, err
}

// each goes through the photos of a step that may be alike.
func (f *Finder) each(ctx context.Context, t task, other *journal.Build,
	try func(p, q *journal.Photo, of [facts]float64)) error {
	ours, err := f.lookAt(ctx, t.old.ID)
	if err != nil {
		return err
	}
	theirs, err := f.lookAt(ctx, other.ID)
	if err != nil {
		return err
	}
	for _, p := range latest(t.open) {
		a, ok := ours[p]
		if !ok {
			continue
		}
		turned := a.shape.mirrored()
		for _, q := range latest(f.photos[place{other.ID, t.kind}]) {
			if b, ok := theirs[q]; ok && f.may(p, q) {
				try(p, q, factsOf(&a.shape, &turned, &b.shape, a.guess, b.guess))
			}
		}
	}
	return ctx.Err()
}

// latest are the last of photos in time order.
func latest(photos []*journal.Photo) []*journal.Photo { return photos[max(0, len(photos)-perStep):] }

// because adds to a proposal why it is one, and what is not known.
func (f *Finder) because(pair journal.AlikePair) journal.AlikePair {
	p, q := pair.Photo, pair.Like
	a, b := f.looked[p.Tags.Build][p].guess, f.looked[q.Tags.Build][q].guess
	why := func(by journal.AlikeBy, share float64) {
		pair.Why = append(pair.Why, journal.AlikeWhy{By: by, Share: share})
	}
	unknown := func(gap journal.AlikeGap) { pair.Unknown = append(pair.Unknown, gap) }
	why(journal.AlikeStep, 0)
	seen := func(of, like string, said, looks journal.AlikeBy, not journal.AlikeGap, x, y []float64) {
		switch {
		case like == "":
			unknown(not)
		case of == "":
			why(looks, same(x, y))
			unknown(not)
		default:
			why(said, 0)
		}
	}
	seen(p.Tags.View, q.Tags.View, journal.AlikeViewSaid, journal.AlikeViewLooks, journal.AlikeNoView,
		a.view, b.view)
	seen(p.Tags.Light, q.Tags.Light, journal.AlikeLightSaid, journal.AlikeLightLooks, journal.AlikeNoLight,
		a.light, b.light)
	if pair.Sure < f.surely() || q.Tags.View == "" || q.Tags.Light == "" {
		why(journal.AlikeFramed, pair.Sure)
	}
	if len(p.Cards) > 0 && len(q.Cards) > 0 {
		why(journal.AlikeCards, 0)
	} else {
		unknown(journal.AlikeNoScale)
	}
	if p.Instant.Said != "" || p.Instant.At.IsZero() {
		unknown(journal.AlikeNoDay)
	}
	return pair
}

// may reports whether two photos may be proposed, by their tags and by what a person said.
func (f *Finder) may(p, q *journal.Photo) bool {
	differ := func(a, b string) bool { return a != "" && b != "" && a != b }
	before := p.Tags.Role != "" && q.Tags.Role != "" && (p.Tags.Role == "before") != (q.Tags.Role == "before")
	return !differ(p.Tags.View, q.Tags.View) && !differ(p.Tags.Light, q.Tags.Light) && !before && !f.refused(p, q)
}

// refused reports whether a person said of the two, or of the one and a photo like the
// other, that they are not alike.
func (f *Finder) refused(p, q *journal.Photo) bool {
	return slices.ContainsFunc(f.byAnswer[p.Hash], func(o *journal.Photo) bool {
		return o == q || said(q) && o.Tags.Build == q.Tags.Build && o.Kind == q.Kind && o.Tags.View == q.Tags.View &&
			o.Tags.Light == q.Tags.Light
	})
}
