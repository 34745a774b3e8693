// Swings: by how much evenings, and weeks, go better or worse than usual, and
// how far one follows the other.

package metrics

import (
	"cmp"
	"math"
	"slices"
)

const (
	// What is assumed of a person nothing is known of is worth so many evenings: their
	// own swings soon weigh more, because people differ by a factor of two and more.
	fewEvenings = 4
	// Coefficient of variation that the hours of weeks are taken to have while
	// little is known: weeks of which one in four is idle, and the others hold one
	// to seven hours alike, have 0.76. Common practice, no source.
	usualWeeks = 0.4
	fewWeeks   = 2
	// The correlation of an evening with the next that is assumed while little is
	// known, and what the assumption is worth in evenings. Moods that follow each
	// other at 0.6 and moods that do not are common alike: it lies between.
	usualFollow, followWorth = 0.35, 8
	mostBias                 = 0.15
	// The most that is believed: beyond it twenty evenings are as good as one.
	mostFollow = 0.8
)

// supposed is what is assumed before a look at the evenings.
type supposed struct {
	mood  float64 // variance of the mood of one, relative to its square mean
	worth float64 // in evenings
}

// swings is by how much evenings go better or worse than usual. Variances are
// those of one evening, relative to its square mean.
type swings struct {
	alike  float64 // evenings of equal length that the sum is as sure as
	mean   float64 // cost of one
	chance float64 // variance by the chance of counts, which no evening hands to the next
	mood   float64 // variance by the mood, which follows that of the evening before
	follow float64 // correlation of a mood with the next
	df     float64 // degrees of freedom that it rests on, those of the prior included
}

// swingsOf returns the swings of what evenings were worth, given their cost and the
// chance of counts, by the method of moments as in momentsOf: the squares of
// worth - cost, set against what they are when the variance is 1. Moods that
// follow each other scatter less about their own mean than they do in the long run,
// and n of them tell of the variance what n·(1-ρ²)/(1+ρ²) would that do not.
func swingsOf(cost, worth []float64, chance, follow float64, known supposed) swings {
	n := float64(len(cost))
	var sum, squares float64
	for _, c := range cost {
		sum, squares = sum+c, squares+c*c
	}
	s := swings{alike: sum * sum / squares, mean: sum / n, chance: chance, follow: follow}
	var over float64
	for i, c := range cost {
		over += (worth[i] - c) * (worth[i] - c)
	}
	over /= squares // = chance·(1 - 1/n) + mood·(1 - what the mean of n takes with it)
	seen := (n - 1) * (1 - follow*follow) / (1 + follow*follow)
	total := known.worth * (chance + known.mood)
	if n > 1 {
		mood := (over - chance*(1-1/n)) / (1 - inRow(n, follow))
		total += seen * max(chance+mood, 0)
	}
	s.df = known.worth + seen
	total /= s.df
	// Counts may swing less than by chance: a coat takes its time.
	s.chance = min(chance, total)
	s.mood = total - s.chance
	return s
}

// logVariance is the variance of the log of what the cost of so many evenings to
// come will be over what is expected, and of what was expected over the truth. Moods
// follow each other with correlation ρ, ρ², ρ³ … (an autoregression of the first
// order), and so the first evenings to come are like the last.
func (s swings) logVariance(ahead float64) float64 {
	n, m := max(s.alike, 1), max(ahead, 1)
	behind := s.chance/n + s.mood*inRow(n, s.follow)
	to := s.chance / max(ahead, 1e-9)
	if ahead > 1 {
		to = s.chance / m
	}
	to += s.mood * inRow(m, s.follow)
	// The covariance of the logs is that of a log-normal too; else wild moods would
	// leave less than nothing.
	return math.Log1p(behind) + math.Log1p(to) - 2*math.Log1p(s.mood*shared(n, m, s.follow))
}

// inRow is the variance of the mean of n moods of variance 1:
//
//	1/n · [(1+ρ)/(1-ρ) - 2ρ(1-ρⁿ)/(n(1-ρ)²)]
func inRow(n, rho float64) float64 {
	return ((1+rho)/(1-rho) - 2*rho*(1-math.Pow(rho, n))/(n*(1-rho)*(1-rho))) / n
}

// shared is the covariance of the means of n moods and of the m that follow.
func shared(n, m, rho float64) float64 {
	return rho * (1 - math.Pow(rho, n)) * (1 - math.Pow(rho, m)) / ((1 - rho) * (1 - rho) * n * m)
}

// train is what is known of how evenings follow each other.
type train struct {
	next, square float64 // Σ of an evening times the next, Σ of its square
	chance       float64 // of square, what the chance of counts brings
	n            float64
	fitted       float64 // numbers that were taken from the evenings to tell what is usual
}

// moodsOf looks at the evenings of a person over all cells that have enough of
// them to tell what is usual.
func moodsOf(cells []*pool) train {
	type evening struct {
		key         string
		at          int64
		worth, cost float64
		chance      float64 // variance of worth by the chance of counts
	}
	sessions := 0
	for _, p := range cells {
		if p != nil {
			sessions += len(p.cost)
		}
	}
	all := make([]evening, 0, sessions)
	var f train
	at := make(map[string]int, sessions)
	for _, p := range cells {
		if p == nil || len(p.cost) < enoughToDraw {
			continue
		}
		f.fitted++
		if p.mids != nil {
			f.fitted++
		}
		n := -1
		for i, w := range p.works {
			if i > 0 && sameEvening(w, p.works[i-1]) {
				continue
			}
			n++
			k, seen := at[w.Evening]
			if !seen || w.Evening == "" {
				k = len(all)
				at[w.Evening] = k
				all = append(all, evening{key: w.Evening, at: w.Start.Unix()})
			}
			all[k].worth += p.worth[n]
			all[k].cost += p.cost[n]
			all[k].chance += p.cost[n] * p.perYield
		}
	}
	order := make([]int32, len(all))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(i, k int32) int {
		return cmp.Or(cmp.Compare(all[i].at, all[k].at), cmp.Compare(all[i].key, all[k].key), cmp.Compare(i, k))
	})
	over := make([]float64, len(all))
	for i, k := range order {
		e := &all[k]
		over[i] = e.worth / e.cost
		f.chance += e.chance / (e.cost * e.cost)
	}
	f.add(over)
	return f
}

// add looks at evenings in a row, each over what was expected of it.
func (f *train) add(over []float64) {
	for i, x := range over {
		f.square += (x - 1) * (x - 1)
		if i > 0 {
			f.next += (x - 1) * (over[i-1] - 1)
		}
	}
	f.n += float64(len(over))
	f.fitted = max(f.fitted, 1)
}

// mostChance is the share of all swings that the chance of counts is taken to
// bring at most: where it brings all, no mood is left to follow another.
const mostChance = 0.75

// correlation is that of a mood with the next. That of n evenings about their own
// mean is too low by about (1+4ρ)/n (Kendall M.G. 1954, Biometrika 41, 403–404; from
// memory).
func (f train) correlation() float64 {
	own := 0.0
	if f.square > 0 {
		own = f.next / f.square
		own += (1 + 4*own) * min(f.fitted/f.n, mostBias)
		own /= 1 - min(f.chance/f.square, mostChance)
	}
	rho := (followWorth*usualFollow + f.n*own) / (followWorth + f.n)
	return min(max(rho, 0), mostFollow)
}
