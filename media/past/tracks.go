// Likely builds by time and looks, where all pictures lie in one folder: each is a
// track through the evenings, along which they follow each other at a pace of their own,
// now and then after a long rest. Of all ways to lay tracks through the evenings the most
// likely is looked for, evening by evening, keeping the best few so far (a beam search).
// So two tracks may go on beside each other, and one that rested may go on: what tells
// them apart is the pace, and how alike evenings look.

package past

import (
	"cmp"
	"math"
	"slices"
)

// What is expected of builds before anything is seen (common practice, no source; chosen
// on invented pasts, others than those of TestGroupsAreFound).
const (
	trackEnds  = 1.0 / 50  // after an evening a build is done
	trackRests = 1.0 / 100 // or rests
	restDays   = 60.0      // for so long on average
	idleDays   = 25.0      // after which another build is begun
	busyDays   = 1000.0    // after which one is begun beside another
	goesOn     = 20.0      // days without an evening for which a build is still going on
	paceWeight = 3.0       // evenings that the expected pace is worth
	lostDays   = 240.0     // a build that rested for so long does not go on
	beamWidth  = 60
)

// track is a build in the making.
type track struct {
	id, last int     // the place of its latest evening
	n        int     // evenings that followed another at its pace
	days     float64 // in so many days
	look     []float64
}

// laying is one way to lay tracks through the evenings so far.
type laying struct {
	score  float64 // log likelihood
	tracks []track // that may go on
	ids    int     // tracks that were begun
	step   *step
}

// step is what a laying made of an evening.
type step struct {
	track  int // 0 = of none
	rested int // days for which it rested and went on only because it looks alike
	before *step
}

// tracks gives each evening the number of its track, 0 = none, and tells which tracks
// rested: for how many days they did and went on because they look alike.
func (m *model) tracks(all []*Evening, looks *looks) (of []int, rested map[int]int) {
	beam := []*laying{{}}
	for i, e := range all {
		var next []*laying
		for _, l := range beam {
			next = append(next, l.goOn(m, all, i, e, looks)...)
		}
		beam = fewest(next)
	}
	of, rested = make([]int, len(all)), map[int]int{}
	for i, s := len(all)-1, beam[0].step; s != nil; i, s = i-1, s.before {
		of[i] = s.track
		rested[s.track] = max(rested[s.track], s.rested)
	}
	return of, rested
}

// goOn is all that may become of a laying by the next evening: it is of no build, begins
// one, or is of one of those that may go on.
func (l *laying) goOn(m *model, all []*Evening, i int, e *Evening, looks *looks) (next []*laying) {
	days := func(t track) float64 { return e.First.Sub(all[t.last].First).Hours() / 24 }
	var live []track
	begins := trackEnds / idleDays
	for _, t := range l.tracks {
		if gap := days(t); gap < lostDays {
			live = append(live, t)
			if gap < goesOn {
				begins = trackEnds / busyDays
			}
		}
	}
	k := kindOf(e)
	next = append(next, &laying{l.score + math.Log(m.other*m.kinds[0][k]), live, l.ids, &step{0, 0, l.step}})
	if e.out() {
		return next
	}
	score, id := l.score+math.Log(m.kinds[1][k]), l.ids+1
	next = append(next, &laying{score + math.Log(begins),
		append(slices.Clone(live), track{id: id, last: i, look: looks.of(i)}), id, &step{id, 0, l.step}})
	for j, t := range live {
		gap := days(t)
		pace, rest := m.follows(t, gap)
		own := slices.Clone(live)
		own[j].last, own[j].look = i, looks.after(t.look, i)
		if pace > rest {
			own[j].n, own[j].days = t.n+1, t.days+gap
		}
		s := &step{t.id, 0, l.step}
		if pace+rest < begins {
			s.rested = int(gap)
		}
		next = append(next, &laying{score + math.Log(pace+rest) + looks.odds(t.look, i, gap), own, l.ids, s})
	}
	return next
}

// follows is how likely a track goes on after so many days, at its pace and after a
// rest: of evenings that come at any time at a rate, which is known by those that came
// so far (Lomax's distribution, which is exponential times mixed by a gamma
// distribution), and of rests of any length.
func (m *model) follows(t track, gap float64) (pace, rest float64) {
	a, b := paceWeight+float64(t.n), paceWeight/m.bench[1]+t.days
	pace = (1 - trackEnds - trackRests) * a / (b + gap) * math.Pow(b/(b+gap), a)
	return pace, trackRests / restDays * math.Exp(-gap/restDays)
}

// fewest keeps the best layings, and of those that go on alike the best.
func fewest(all []*laying) (kept []*laying) {
	slices.SortStableFunc(all, func(a, b *laying) int { return cmp.Compare(b.score, a.score) })
	seen := map[[3]int]bool{}
	for _, l := range all {
		var key [3]int // the latest evenings of its tracks; of more than three the last ones together
		for i, t := range l.tracks {
			k := min(i, len(key)-1)
			key[k] = key[k]*lostDays + t.last + 1
		}
		if !seen[key] {
			seen[key] = true
			if kept = append(kept, l); len(kept) == beamWidth {
				break
			}
		}
	}
	return kept
}
