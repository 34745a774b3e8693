// Which photo stands for a step of a build beside the same step of other builds: what a
// person said of photos being alike counts before anything else.

package render

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"rakelight/journal"
)

// stepOf is a step of a build.
type stepOf struct {
	b    *build
	kind string
}

// calledPair is two photos of one kind of step in two builds that were called alike.
type calledPair [2]side

// standing is the photo by which a step of a build is shown beside others, nil = none.
func (v *view) standing(b *build, kind string) *journal.Photo {
	if p := v.stands()[stepOf{b, kind}]; p != nil {
		return p
	}
	return best(b.byKind[kind])
}

// findStanding are the photos that stand for steps only because of what was said of
// alike photos. Each yes chooses both its photos, and on from them all that are linked
// to them; a no keeps two photos from standing in neighboring cells where one has
// another photo that shows as much.
func (v *view) findStanding() map[stepOf]*journal.Photo {
	out := map[stepOf]*journal.Photo{}
	if len(v.Alikes) == 0 {
		return out
	}
	for kind, pairs := range v.calledAlike() {
		for _, p := range pairs {
			if p.choose(kind, out) {
				chain(kind, pairs, out)
			}
		}
	}
	for _, kind := range journal.Kinds {
		v.partUnlike(kind, out)
	}
	return out
}

// called are the pairs that were called alike, by kind of step, of one device the last
// said first. Left out are those whose tags say otherwise, and photos of what was
// still to do in the place of a result.
func (v *view) called() map[string][]calledPair {
	yes := slices.DeleteFunc(slices.Clone(v.Alikes), func(one journal.Alike) bool { return one.Not })
	slices.SortFunc(yes, func(a, b journal.Alike) int {
		dev, n := recordPlace(a.Record)
		otherDev, m := recordPlace(b.Record)
		return cmp.Or(cmp.Compare(m, n), cmp.Compare(dev, otherDev), cmp.Compare(a.A, b.A), cmp.Compare(a.B, b.B))
	})
	out := map[string][]calledPair{}
	for _, one := range yes {
		a, b := v.byHash[one.A], v.byHash[one.B]
		if a == nil || b == nil || a.Kind != b.Kind || refused(a, b) || !v.mayStand(a) || !v.mayStand(b) {
			continue
		}
		p := calledPair{{v.builds[a.Tags.Build], a}, {v.builds[b.Tags.Build], b}}
		if p[0].b != p[1].b {
			out[a.Kind] = append(out[a.Kind], p)
		}
	}
	return out
}

// recordPlace is the device of a record and its number there.
func recordPlace(id string) (dev string, n int64) {
	dev, number, _ := strings.Cut(id, "/")
	n, _ = strconv.ParseInt(number, 10, 64) // 0 where it is no number
	return dev, n
}

// mayStand reports whether a photo may stand for its step when it is called alike.
func (v *view) mayStand(p *journal.Photo) bool {
	b := v.builds[p.Tags.Build]
	if b == nil || !slices.Contains(b.byKind[p.Kind], p) {
		return false
	}
	return p.Tags.Role != "before" || best(b.byKind[p.Kind]).Tags.Role == "before"
}

// choose puts both photos where no photo or the same one stands, and reports whether
// it put any.
func (p calledPair) choose(kind string, stands map[stepOf]*journal.Photo) bool {
	put := false
	for _, s := range p {
		if had := stands[stepOf{s.b, kind}]; had != nil && had != s.photo {
			return false
		}
		put = put || stands[stepOf{s.b, kind}] == nil
	}
	for _, s := range p {
		stands[stepOf{s.b, kind}] = s.photo
	}
	return put
}

// chain goes on from the photos that stand to those called alike to them.
func chain(kind string, pairs []calledPair, stands map[stepOf]*journal.Photo) {
	for more := true; more; {
		more = false
		for _, p := range pairs {
			linked := stands[stepOf{p[0].b, kind}] == p[0].photo || stands[stepOf{p[1].b, kind}] == p[1].photo
			more = linked && p.choose(kind, stands) || more
		}
	}
}

// partUnlike looks for another photo, of the same role and the latest, where two
// neighbors of a row were called not alike.
func (v *view) partUnlike(kind string, stands map[stepOf]*journal.Photo) {
	of := func(b *build) *journal.Photo { return cmp.Or(stands[stepOf{b, kind}], best(b.byKind[kind])) }
	row := v.shownIn(kind)
	for i := 1; i < len(row); i++ {
		a, b := row[i-1], row[i]
		if !v.AlikeOf(of(a), of(b)).Not {
			continue
		}
		if at := (stepOf{b, kind}); stands[at] == nil {
			if p := v.another(at, of(a)); p != nil {
				stands[at] = p
				continue
			}
		}
		if at := (stepOf{a, kind}); stands[at] == nil {
			stands[at] = v.another(at, of(b), of(row[max(i-2, 0)]))
		}
	}
}

// another is the latest photo of a step with the role of its best that was not called
// unlike one of its neighbors, nil = none.
func (v *view) another(at stepOf, neighbors ...*journal.Photo) *journal.Photo {
	photos := at.b.byKind[at.kind]
	role := rank(best(photos))
	return best(keepPhotos(photos, func(p *journal.Photo) bool {
		unlike := func(n *journal.Photo) bool { return v.AlikeOf(p, n).Not }
		return rank(p) == role && !slices.ContainsFunc(neighbors, unlike)
	}))
}

// calledOf are the photos of a step of two builds that were called alike, those that
// stand for it before others, then the last said.
func (v *view) calledOf(kind string, a, b *build) (x, y *journal.Photo) {
	for _, p := range v.calledAlike()[kind] {
		if p[0].b == b {
			p[0], p[1] = p[1], p[0]
		}
		if p[0].b != a || p[1].b != b {
			continue
		}
		if v.standing(a, kind) == p[0].photo && v.standing(b, kind) == p[1].photo {
			return p[0].photo, p[1].photo
		}
		if x == nil {
			x, y = p[0].photo, p[1].photo
		}
	}
	return x, y
}

// comparable reports whether it is known that both sides show the same: by a person's
// word, or by their tags.
func (p pair) comparable() bool { return p.alike || fair(p.a.photo, p.b.photo) }
