// Evenings: pictures of all cameras together, apart from others by a gap.

package past

import (
	"fmt"
	"slices"
	"time"
)

// Evening is what was taken in one go: pictures with no long gap between them. What
// goes on after midnight is of the day it began on.
type Evening struct {
	ID          string     // its day, YYYY-MM-DD; the second of a day ends in "-2"
	Day         string     // YYYY-MM-DD
	Pictures    []*Picture // by At
	First, Last time.Time
	Said        string // "spring 1998": a person gave its pictures no single day
	Doubtful    int    // pictures that are here by a guess
}

// EveningGap is how long nothing was taken between two evenings: a coat of paint is
// waited for, supper is eaten, and the evening goes on; between two evenings lies a
// night (common practice, no source).
const EveningGap = 4 * time.Hour

// Evenings are those of all pictures of the survey, by time.
func (s *Survey) Evenings() []*Evening { return eveningsOf(s.Pictures) }

// EveningsOf are the evenings of some pictures of the survey, with these pictures alone.
func (s *Survey) EveningsOf(pictures []*Picture) []*Evening {
	in := map[*Picture]bool{}
	for _, p := range pictures {
		in[p] = true
	}
	return partsOf(s.Evenings(), func(p *Picture) bool { return in[p] })
}

// partsOf are evenings with some of their pictures alone, under the same names.
func partsOf(evenings []*Evening, in func(*Picture) bool) []*Evening {
	var all []*Evening
	for _, e := range evenings {
		part := &Evening{ID: e.ID, Day: e.Day, Said: e.Said}
		for _, p := range e.Pictures {
			if in(p) {
				part.add(p)
			}
		}
		if len(part.Pictures) > 0 {
			part.settle()
			all = append(all, part)
		}
	}
	return all
}

// eveningsOf groups pictures that are in the order of At. Those of which no hour is
// known join the evening of their day.
func eveningsOf(pictures []*Picture) []*Evening {
	var all []*Evening
	var vague []*Picture
	for _, p := range pictures {
		if !p.Placed.hourKnown() {
			vague = append(vague, p)
			continue
		}
		if n := len(all); n > 0 && p.At.Sub(all[n-1].Last) < EveningGap {
			all[n-1].add(p)
			continue
		}
		e := &Evening{Day: p.At.Format(time.DateOnly)}
		e.add(p)
		all = append(all, e)
	}
	all = joinVague(all, vague)
	slices.SortStableFunc(all, func(a, b *Evening) int { return a.First.Compare(b.First) })
	ofDay := map[string]int{}
	for _, e := range all {
		ofDay[e.Day]++
		if e.ID = e.Day; ofDay[e.Day] > 1 {
			e.ID = fmt.Sprintf("%s-%d", e.Day, ofDay[e.Day])
		}
		e.settle()
	}
	return all
}

// joinVague puts pictures without an hour to the evening of their day that has most of
// their folder, or makes one.
func joinVague(all []*Evening, vague []*Picture) []*Evening {
	of := map[string][]*Evening{}
	for _, e := range all {
		of[e.Day] = append(of[e.Day], e)
	}
	for _, p := range vague {
		day, said := p.At.Format(time.DateOnly), ""
		if p.Placed == BySaid && p.Said.First != p.Said.Last {
			said = p.Said.Said
			day += " " + p.Said.First + p.Said.Last // they are of no single day
		}
		if len(of[day]) == 0 {
			e := &Evening{Day: p.At.Format(time.DateOnly), Said: said}
			all, of[day] = append(all, e), []*Evening{e}
		}
		slices.MaxFunc(of[day], func(a, b *Evening) int { return a.ofFolder(p) - b.ofFolder(p) }).add(p)
	}
	return all
}

// ofFolder is how many pictures of the evening lie in the folder of a picture.
func (e *Evening) ofFolder(p *Picture) (n int) {
	for _, one := range e.Pictures {
		if one.Root == p.Root && one.Folder == p.Folder {
			n++
		}
	}
	return n
}

func (e *Evening) add(p *Picture) {
	e.Pictures = append(e.Pictures, p)
	if e.First.IsZero() || p.Placed.hourKnown() && p.At.Before(e.First) {
		e.First = p.At
	}
	if p.Placed.hourKnown() && p.At.After(e.Last) || e.Last.IsZero() {
		e.Last = p.At
	}
}

// settle brings the pictures into order and counts the doubtful ones.
func (e *Evening) settle() {
	slices.SortStableFunc(e.Pictures, func(a, b *Picture) int { return a.At.Compare(b.At) })
	for _, p := range e.Pictures {
		if p.Placed.Doubtful() {
			e.Doubtful++
		}
	}
}

func sameDay(a, b time.Time) bool { return a.Format(time.DateOnly) == b.Format(time.DateOnly) }
