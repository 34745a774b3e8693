// What evenings look like, as evidence of which build they are of. How much alike looks
// say is learned from the pictures themselves: evenings that follow each other in a
// likely build are compared with those that lie far apart. Where both are as alike,
// looks say nothing.

package past

import (
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/mat"
)

const (
	lookFades  = 0.35 // how much the latest evening counts in what a build looks like
	lookAhead  = 4    // evenings by which one is known again after a pause
	pauseDays  = 10.0 // from which it is a pause
	farApart   = 60 * 24 * time.Hour
	fewLooks   = 30   // pairs that are needed to learn from
	oddsSteps  = 8    // of distance
	oddsWeight = 20.0 // pairs that it is worth to expect that looks say nothing
	keptSpread = 0.3  // of the mean variance, added to each, so that none is next to nothing
	farPairs   = 12   // of each evening with others far apart
)

// looks are the colors of evenings in a space in which those of one build differ by as
// much in all directions (whitened by the covariance of such differences). A nil looks
// says nothing.
type looks struct {
	own   [][]float64 // of each evening, nil = none
	ahead [][]float64 // the mean with the next ones of its track
	next  odds        // of an evening and what was before it in its track
	again odds        // of some evenings and what was before a pause
}

// odds are the log odds that two looks are of one build, by the logarithm of their
// distance up to each step.
type odds struct{ upTo, are []float64 }

func (o odds) of(a, b []float64) float64 {
	if len(o.are) == 0 {
		return 0
	}
	k, _ := slices.BinarySearch(o.upTo, logDistance(a, b))
	return o.are[min(k, len(o.are)-1)]
}

// of is the look of an evening, nil = none.
func (l *looks) of(i int) []float64 {
	if l == nil {
		return nil
	}
	return l.own[i]
}

// after is the look of a track after another evening.
func (l *looks) after(look []float64, i int) []float64 {
	own := l.of(i)
	if own == nil || look == nil {
		return slices.Concat(own, look) // one of them at most
	}
	mean := make([]float64, len(look))
	for k := range mean {
		mean[k] = (1-lookFades)*look[k] + lookFades*own[k]
	}
	return mean
}

// odds are the log odds that an evening, so many days after the one before, is of the
// build that looks like this.
func (l *looks) odds(look []float64, i int, gap float64) float64 {
	switch {
	case l == nil || look == nil || l.own[i] == nil:
		return 0
	case gap > pauseDays:
		return l.again.of(look, l.ahead[i])
	}
	return l.next.of(look, l.own[i])
}

func logDistance(a, b []float64) float64 {
	d := 1e-6
	for k := range a {
		d += (a[k] - b[k]) * (a[k] - b[k])
	}
	return math.Log(d) / 2
}

// colors are the mean colors of the pictures of an evening, nil = none has any.
func (e *Evening) colors() (mean []float64) {
	n := 0.0
	for _, p := range e.Pictures {
		if len(p.colors) != colorBins {
			continue
		}
		if n++; mean == nil {
			mean = make([]float64, colorBins)
		}
		for k, v := range p.colors {
			mean[k] += float64(v)
		}
	}
	for k := range mean {
		mean[k] /= 255 * n
	}
	return mean
}

// looksOf learns what looks say from evenings and the tracks they were given; nil =
// nothing.
func looksOf(all []*Evening, track []int) *looks {
	l := &looks{}
	for _, e := range all {
		l.own = append(l.own, e.colors())
	}
	if !l.whiten(track) {
		return nil
	}
	l.lookAhead(all, track)
	l.learn(all, track)
	return l
}

// whiten turns the colors into the space of looks; ok is false where too little is known.
func (l *looks) whiten(track []int) (ok bool) {
	last := map[int]int{}
	spread := mat.NewSymDense(colorBins, nil)
	n := 0
	for i, t := range track {
		if t == 0 || l.own[i] == nil {
			continue
		}
		if k, ok := last[t]; ok {
			n++
			d := mat.NewVecDense(colorBins, nil)
			d.SubVec(mat.NewVecDense(colorBins, l.own[i]), mat.NewVecDense(colorBins, l.own[k]))
			spread.SymRankOne(spread, 1, d)
		}
		last[t] = i
	}
	mean := mat.Trace(spread) / colorBins
	for k := range colorBins {
		spread.SetSym(k, k, spread.At(k, k)+keptSpread*mean)
	}
	var root mat.Cholesky
	if n < fewLooks || !root.Factorize(spread) {
		return false
	}
	var lower mat.TriDense
	root.LTo(&lower)
	for i, own := range l.own {
		if own != nil {
			var x mat.VecDense
			if x.SolveVec(&lower, mat.NewVecDense(colorBins, own)) != nil {
				return false
			}
			l.own[i] = x.RawVector().Data
		}
	}
	return true
}

// lookAhead finds the mean looks of each evening and the next ones of its track.
func (l *looks) lookAhead(all []*Evening, track []int) {
	l.ahead = make([][]float64, len(all))
	for i, own := range l.own {
		if own == nil {
			continue
		}
		mean, n := slices.Clone(own), 1.0
		for k := i + 1; k < len(all) && n < lookAhead && all[k].First.Sub(all[i].First) < goesOn*24*time.Hour; k++ {
			if track[i] == 0 || track[k] != track[i] || l.own[k] == nil {
				continue
			}
			n++
			for b, v := range l.own[k] {
				mean[b] += v
			}
		}
		for b := range mean {
			mean[b] /= n
		}
		l.ahead[i] = mean
	}
}

// learn finds the odds: what is next in a track against what is far apart.
func (l *looks) learn(all []*Evening, track []int) {
	type sight struct {
		at   int
		look []float64
	}
	var seen []sight
	var next, again, farNext, farAgain []float64
	of, n := map[int][]float64{}, map[int]int{}
	for i, t := range track {
		if t == 0 || l.own[i] == nil {
			continue
		}
		if look := of[t]; look != nil {
			next = append(next, logDistance(look, l.own[i]))
			if n[t] >= lookAhead {
				again = append(again, logDistance(look, l.ahead[i]))
			}
		}
		n[t]++
		of[t] = l.after(of[t], i)
		seen = append(seen, sight{i, of[t]})
	}
	for i, one := range seen {
		for k := range farPairs {
			o := seen[(i+(2*k+1)*len(seen)/(2*farPairs))%len(seen)].at
			apart := all[one.at].First.Sub(all[o].First).Abs()
			// Also of one track, where they are years apart: else one that swallowed all would prove itself.
			if apart > lostDays*24*time.Hour || apart > farApart && track[o] != track[one.at] {
				farNext = append(farNext, logDistance(one.look, l.own[o]))
				farAgain = append(farAgain, logDistance(one.look, l.ahead[o]))
			}
		}
	}
	l.next, l.again = oddsOf(next, farNext), oddsOf(again, farAgain)
}

// oddsOf are the log odds by distances of looks of one build and of others. What is less
// alike never speaks more for one build.
func oddsOf(one, others []float64) (o odds) {
	if len(one) < fewLooks || len(others) < fewLooks {
		return o
	}
	slices.Sort(one)
	slices.Sort(others)
	n, least, before := float64(len(one)), math.Inf(1), 0
	for i := 1; i <= oddsSteps; i++ {
		upTo, k := math.Inf(1), len(others)
		if i < oddsSteps {
			upTo = one[i*len(one)/oddsSteps]
			k, _ = slices.BinarySearch(others, upTo)
		}
		share := (float64(k-before)/float64(len(others))*n + oddsWeight/oddsSteps) / (n + oddsWeight)
		least = min(least, -math.Log(oddsSteps*share))
		o.upTo, o.are = append(o.upTo, upTo), append(o.are, least)
		before = k
	}
	return o
}
