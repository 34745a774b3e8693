// The pictures as the pages show them: each once with its copies, in the build it was
// said to be of, else in a likely one, else between them.

package past

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
	old "rakelight/media/past"
)

// picture is a picture that is shown, with all copies of it.
type picture struct {
	*old.Picture
	copies []*old.Picture // smaller ones that a messenger made
	tags   journal.Tags   // of the photo where it is kept, else as said
}

// id is the short name by which the pages call a picture.
func (p *picture) id() string { return p.Hash[:idLength] }

const idLength = 16 // hex digits: of thousands of pictures no two share so many

// alike is how often the picture is there: the same bytes, and copies.
func (p *picture) alike() int {
	n := 1 + len(p.Same)
	for _, c := range p.copies {
		n += 1 + len(c.Same)
	}
	return n
}

// group is pictures that are laid out together.
type group struct {
	build    *journal.Build // nil = it is not named
	likely   *old.Likely    // nil = it is named, or what lies between
	year     string         // of what lies between
	pictures []*picture     // by At
	shade    int            // on the ramp from then to now
}

// id names the group by its first picture, so that the name holds while it is named.
func (g *group) id() string { return g.pictures[0].id() }

func (g *group) first() time.Time { return g.pictures[0].At }
func (g *group) last() time.Time  { return g.pictures[len(g.pictures)-1].At }

// kept, wanted and out count pictures: in the journal, to be brought in, left out.
func (g *group) kept() int { return g.number(func(p *picture) bool { return p.Kept }) }
func (g *group) out() int  { return g.number((*picture).Out) }
func (g *group) wanted() (n int, size int64) {
	for _, p := range g.pictures {
		if p.Wanted() {
			n, size = n+1, size+p.Size
		}
	}
	return n, size
}

func (g *group) number(of func(*picture) bool) (n int) {
	for _, p := range g.pictures {
		if of(p) {
			n++
		}
	}
	return n
}

// look is what is known of the pictures at one moment. It is only read.
type look struct {
	state    *journal.State
	survey   *old.Survey
	pictures []*picture // by At
	byID     map[string]*picture
	groups   []*group // by time
	of       map[*picture]*group
}

// newLook lays out the pictures of a survey.
func newLook(state *journal.State, s *old.Survey) *look {
	l := &look{state: state, survey: s, byID: map[string]*picture{}, of: map[*picture]*group{}}
	kept := state.PhotosByHash()
	byHash := map[string]*picture{}
	for _, one := range s.Pictures {
		if !s.IsCopy(one) {
			p := &picture{Picture: one}
			if photo := kept[one.Hash]; photo != nil {
				p.tags = photo.Tags
			} else if one.Said != nil {
				p.tags = one.Said.Tags
			}
			l.pictures = append(l.pictures, p)
			l.byID[p.id()], byHash[p.Hash] = p, p
		}
	}
	for _, one := range s.Pictures {
		if !s.IsCopy(one) {
			continue
		}
		of := one
		for n := 0; n < 8 && s.IsCopy(of); n++ {
			of = s.Picture(of.CopyOf)
		}
		if p := byHash[of.Hash]; p != nil {
			p.copies = append(p.copies, one)
		}
	}
	l.group()
	return l
}

// group puts the pictures into groups.
func (l *look) group() {
	likelyOf := map[string]*old.Likely{}
	for _, likely := range l.survey.Likely() {
		for _, p := range likely.Pictures {
			likelyOf[p.Hash] = likely
		}
	}
	groups := map[string]*group{}
	for _, p := range l.pictures {
		var key string
		g := &group{build: l.state.Build(p.tags.Build), likely: likelyOf[p.Hash]}
		switch {
		case g.build != nil:
			key, g.likely = "b "+g.build.ID, nil
		case g.likely != nil:
			key = "l " + g.likely.ID
		default:
			g.year = p.At.Format("2006")
			key = "y " + g.year
		}
		if groups[key] == nil {
			groups[key] = g
			l.groups = append(l.groups, g)
		}
		g = groups[key]
		g.pictures = append(g.pictures, p)
		l.of[p] = g
	}
	slices.SortStableFunc(l.groups, func(a, b *group) int {
		return cmp.Or(a.first().Compare(b.first()), a.last().Compare(b.last()))
	})
	l.shades()
}

const shadesOfRamp = 11 // r0 … r10 of the style

// shades gives the groups the colors of the ramp, by time.
func (l *look) shades() {
	n := l.bands()
	for i, g := range n {
		g.shade = i * (shadesOfRamp - 1) / max(1, len(n)-1)
	}
}

// bands are the groups that are builds or likely ones.
func (l *look) bands() []*group {
	return slices.DeleteFunc(slices.Clone(l.groups), func(g *group) bool { return g.year != "" })
}

// named is the group that holds the picture of an id, nil = there is none.
func (l *look) named(id string) *group {
	if p := l.byID[id]; p != nil {
		return l.of[p]
	}
	return nil
}

// pick are the pictures of ids, each once and by At: "a,b,c" or one by one. What is of
// none is left out.
func (l *look) pick(ids []string) []*picture {
	wanted := map[*picture]bool{}
	for _, some := range ids {
		for _, id := range strings.Split(some, ",") {
			if p := l.byID[strings.TrimSpace(id)]; p != nil {
				wanted[p] = true
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(l.pictures), func(p *picture) bool { return !wanted[p] })
}
