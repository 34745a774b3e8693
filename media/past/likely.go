// Likely builds: evenings that belong together by the folders their pictures lie in,
// and by long gaps around them. Each is a guess, with its why.

package past

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// Likely is a likely build.
type Likely struct {
	ID          string     // "G1" is the first by its files; it stays when its pictures are dated
	Pictures    []*Picture // by At
	Evenings    []*Evening // by time, each with the pictures of this likely build alone
	First, Last time.Time
	Copies      int // of its pictures, that go along with others: Survey.IsCopy
	Why         Why
}

// Why is what a likely build rests on.
type Why struct {
	Folders  []string // that speak of it, by name, as they are written; none = it goes by gaps alone
	InFolder int      // pictures that lie in these, without copies
	ByTime   int      // pictures that are here because they were taken meanwhile, without copies
	Before   int      // days before it on which nothing like it was taken; 0 = it is the first
	After    int      // and after it; 0 = it is the last
	Rested   int      // days for which it rested, and goes on because what comes looks alike; 0 = it did not
	Doubtful int      // pictures whose time is a guess
}

// Likely are the likely builds of the survey, by time. A picture is of one at most;
// what is of none lies between them.
func (s *Survey) Likely() []*Likely {
	g := &grouping{evenings: s.Evenings(), of: map[*Picture]int{}, rested: map[int]int{}}
	folders := foldersOf(s.Pictures)
	g.groups = groupFolders(folders)
	for _, f := range folders {
		for _, p := range f.pictures {
			g.of[p] = f.group
		}
	}
	g.splitLong()
	inFolder := map[*Picture]bool{}
	for p := range g.of {
		inFolder[p] = true
	}
	g.byEvening()
	g.byTime()
	g.byGaps()
	return g.likely(s, folders, inFolder)
}

// grouping is likely builds in the making: each a number from 1.
type grouping struct {
	evenings []*Evening
	of       map[*Picture]int
	groups   int
	rested   map[int]int // days for which a group rested and went on because it looks alike
}

// newGroup is a number that no group has.
func (g *grouping) newGroup() int {
	g.groups++
	return g.groups
}

// longRest is how long nothing was put into the folders of a build before it is taken
// for another one of the same name.
const longRest = 240 * 24 * time.Hour

// splitLong splits groups of folders over a very long rest.
func (g *grouping) splitLong() {
	last, now := map[int]time.Time{}, map[int]int{}
	for _, e := range g.evenings {
		for _, p := range e.Pictures {
			group := g.of[p]
			if group == 0 {
				continue
			}
			if at, ok := last[group]; ok && p.At.Sub(at) > longRest {
				now[group] = g.newGroup()
			}
			last[group] = p.At
			if now[group] > 0 {
				g.of[p] = now[group]
			}
		}
	}
}

// byEvening gives the pictures of an evening that lie in no folder which speaks the
// group of those that do.
func (g *grouping) byEvening() {
	for _, e := range g.evenings {
		n := map[int]int{}
		for _, p := range e.Pictures {
			if group := g.of[p]; group > 0 {
				n[group]++
			}
		}
		best := 0
		for group := range n {
			if best == 0 || n[group] > n[best] || n[group] == n[best] && group < best {
				best = group
			}
		}
		if best > 0 {
			g.setAll(e, best)
		}
	}
}

// setAll gives the pictures of an evening that have none a group.
func (g *grouping) setAll(e *Evening, group int) {
	for _, p := range e.Pictures {
		if g.of[p] == 0 {
			g.of[p] = group
		}
	}
}

// groupOf is the group of most of an evening's pictures, 0 = none.
func (g *grouping) groupOf(e *Evening) int {
	n := map[int]int{}
	best := 0
	for _, p := range e.Pictures {
		group := g.of[p]
		if n[group]++; n[group] > n[best] || n[group] == n[best] && group < best {
			best = group
		}
	}
	return best
}

// Evenings that no folder speaks of go with those around them, the nearer the more.
const (
	around = 21 * 24 * time.Hour // farther away they say nothing
	fades  = 5.0                 // days, after which they say a third
)

// byTime gives evenings that no folder speaks of the group of those around them.
func (g *grouping) byTime() {
	var groups []int
	for _, e := range g.evenings {
		groups = append(groups, g.groupOf(e))
	}
	for i, e := range g.evenings {
		if groups[i] > 0 {
			continue
		}
		votes := map[int]float64{}
		vote := func(k int) bool {
			away := g.evenings[k].First.Sub(e.First).Abs()
			if away > around {
				return false
			}
			if groups[k] > 0 {
				votes[groups[k]] += math.Exp(-away.Hours() / 24 / fades)
			}
			return true
		}
		for k := i - 1; k >= 0 && vote(k); k-- {
		}
		for k := i + 1; k < len(g.evenings) && vote(k); k++ {
		}
		best := 0
		for group, n := range votes {
			if best == 0 || n > votes[best] || n == votes[best] && group < best {
				best = group
			}
		}
		if best > 0 {
			g.setAll(e, best)
		}
	}
}

// likely makes what is told of the groups.
func (g *grouping) likely(s *Survey, folders []*folder, inFolder map[*Picture]bool) []*Likely {
	of := map[int]*Likely{}
	for _, p := range s.Pictures {
		group := g.of[p]
		if group == 0 {
			continue
		}
		l := of[group]
		if l == nil {
			l = &Likely{}
			of[group] = l
		}
		l.Pictures = append(l.Pictures, p)
		switch {
		case s.IsCopy(p):
			l.Copies++
		case inFolder[p]:
			l.Why.InFolder++
		default:
			l.Why.ByTime++
		}
	}
	for _, f := range folders {
		if l := of[g.of[f.pictures[0]]]; l != nil && !slices.Contains(l.Why.Folders, f.name) {
			l.Why.Folders = append(l.Why.Folders, f.name)
		}
	}
	var all []*Likely
	for _, l := range of {
		l.settle(g)
		all = append(all, l)
	}
	// A date that a person gives moves a likely build, and gives none another name.
	slices.SortFunc(all, func(a, b *Likely) int {
		return cmp.Or(a.own().Compare(b.own()), strings.Compare(a.Pictures[0].Hash, b.Pictures[0].Hash))
	})
	for i, l := range all {
		l.ID = fmt.Sprintf("G%d", i+1)
	}
	slices.SortStableFunc(all, func(a, b *Likely) int { return a.First.Compare(b.First) })
	for i, l := range all {
		if i > 0 {
			l.Why.Before = max(0, int(l.First.Sub(all[i-1].Last).Hours()/24))
		}
		if i+1 < len(all) {
			l.Why.After = max(0, int(all[i+1].First.Sub(l.Last).Hours()/24))
		}
	}
	return all
}

// own is when the first of its pictures would stand if nothing had been said.
func (l *Likely) own() time.Time {
	return slices.MinFunc(l.Pictures, func(a, b *Picture) int { return a.own.Compare(b.own) }).own
}

// settle finds what follows from the pictures.
func (l *Likely) settle(g *grouping) {
	group := g.of[l.Pictures[0]]
	l.Evenings = partsOf(g.evenings, func(p *Picture) bool { return g.of[p] == group })
	l.First, l.Last = l.Evenings[0].First, l.Evenings[len(l.Evenings)-1].Last
	l.Why.Rested = g.rested[group]
	for _, e := range l.Evenings {
		l.Why.Doubtful += e.Doubtful
	}
}
