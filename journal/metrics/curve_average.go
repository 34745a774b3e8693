// What is known of the slope of a curve, averaged over what few evenings and few
// builds leave open: how much kits differ, how much moods do, and how far a mood
// follows into the next evening.

package metrics

import "math"

// The values averaged over, as standard deviations of log pace over √φ, far up for
// hands whose counts are more even than chance; and how likely they are held to be
// beforehand. All of it is our choice, by the simulation of coverage; no source. Kits
// differ by about a fifth, or by none, or by half: the half-Cauchy that Gelman (2006)
// has for few groups. Moods either hardly follow each other or do so a good deal: what
// lies between is covered by both.
var (
	kitSpreads = []float64{0, 0.07, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.65, 0.8, 1.1, 1.6, 2.5}
	// Of several kinds of work together a few values do, of which each comes with
	// three shares.
	kitSpreadsOfMany = []float64{0, 0.1, 0.2, 0.3, 0.5, 0.8, 1.3, 2.2}
	moodSpreads      = []float64{0.1, 0.2, 0.3, 0.4, 0.55, 0.75, 1, 1.5, 2.5}
	follows          = []float64{0, 0.2, 0.4, 0.6, 0.8}
	followsAs        = []float64{1, 0.2, 0.2, 1, 1.5}
	sharedKit        = []float64{0.1, 0.5, 0.9} // of the variance of a kit's kinds of work
)

const (
	kitMiddle, moodMiddle = 0.4, 0.5 // of the half-Cauchy distributions
	// With so many lessons the likelihood alone settles how much moods differ, and how
	// far they follow.
	enoughToSettle = 400
)

// guess is a value of a standard deviation, and the log of how likely the stretch
// about it is beforehand.
type guess struct{ sd, log float64 }

// halfCauchy gives each of the values the weight of the stretch that is nearest to
// it.
func halfCauchy(values []float64, middle float64) []guess {
	out := make([]guess, len(values))
	for i, sd := range values {
		low, high := sd, sd
		if i > 0 {
			low = values[i-1]
		}
		if i < len(values)-1 {
			high = values[i+1]
		}
		out[i] = guess{sd, math.Log((high-low)/2) - math.Log1p(sd*sd/(middle*middle))}
	}
	return out
}

// kitAssumption is one way in which kits may differ.
type kitAssumption struct {
	ratios
	log float64
}

func (p *problem) kits() []kitAssumption {
	if len(p.ends) < 2 {
		return []kitAssumption{{}}
	}
	spreads, shares := kitSpreads, []float64{0}
	if p.kinds > 1 {
		spreads, shares = kitSpreadsOfMany, sharedKit
	}
	var out []kitAssumption
	for _, s := range halfCauchy(spreads, kitMiddle) {
		for _, share := range shares {
			v := s.sd * s.sd
			out = append(out, kitAssumption{ratios{each: (1 - share) * v, all: share * v}, s.log})
			if v == 0 {
				break
			}
		}
	}
	return out
}

// moodAssumption is one way in which evenings may differ.
type moodAssumption struct {
	moods
	log float64
}

func (p *problem) moods(rows []row) []moodAssumption {
	spreads := halfCauchy(moodSpreads, moodMiddle)
	if len(p.in) >= enoughToSettle {
		return []moodAssumption{{moods: p.likeliest(rows, spreads)}}
	}
	var out []moodAssumption
	for _, s := range spreads {
		for i, f := range follows {
			out = append(out, moodAssumption{moods{s.sd * s.sd, f}, s.log + math.Log(followsAs[i])})
		}
	}
	return out
}

// likeliest is the one mood assumption that many lessons leave, the spread of moods
// first.
func (p *problem) likeliest(rows []row, spreads []guess) moods {
	m := moods{}
	likelihood := func() float64 {
		f, ok := at(p.blocks(rows, m), p.usual())
		if !ok {
			return math.Inf(-1)
		}
		return f.restricted(p.least())
	}
	best := climb(len(spreads), len(spreads)/2, func(i int) float64 {
		m.shared = spreads[i].sd * spreads[i].sd
		return likelihood()
	})
	m.shared = spreads[best].sd * spreads[best].sd
	follow := climb(len(follows), 1, func(i int) float64 {
		m.follows = follows[i]
		return likelihood()
	})
	m.follows = follows[follow]
	return m
}

// climb goes from one of n places, not the first, to where f has its one peak.
func climb(n, from int, f func(i int) float64) int {
	best, high, step := from, f(from), 1
	if l := f(from - 1); l > high {
		best, high, step = from-1, l, -1
	}
	for next := best + step; next >= 0 && next < n; next += step {
		l := f(next)
		if l <= high {
			break
		}
		best, high = next, l
	}
	return best
}

// average returns what is known of the slope of the hours and, with a bend, of its
// change and of their sum.
func (p *problem) average() ([]mixture, bool) {
	contrasts := p.contrasts()
	parts := make([][]component, len(contrasts))
	var logs []float64
	var df float64
	least := p.least()
	rows := p.rows()
	for _, mood := range p.moods(rows) {
		blocks := p.blocks(rows, mood.moods)
		for _, kit := range p.kits() {
			f, ok := at(blocks, kit.ratios)
			if !ok {
				return nil, false
			}
			df = f.df()
			logs = append(logs, mood.log+kit.log+f.restricted(least))
			for i, c := range contrasts {
				value, variance := f.of(c)
				parts[i] = append(parts[i], component{0, value, math.Sqrt(variance * f.phi(least))})
			}
		}
	}
	out := make([]mixture, len(contrasts))
	for i := range contrasts {
		out[i] = mixtureOf(parts[i], logs, df)
	}
	return out, true
}

// contrasts pick the slope out of the coefficients and, with a bend, its change and
// their sum. The model is of parts per hour: hours turn its sign round.
func (p *problem) contrasts() [][]float64 {
	k, slope := p.fixed(), len(p.cells)
	pick := func(columns ...int) []float64 {
		c := make([]float64, k)
		for _, j := range columns {
			c[j] = -1
		}
		return c
	}
	if k == slope+1 {
		return [][]float64{pick(slope)}
	}
	return [][]float64{pick(slope), pick(slope + 1), pick(slope, slope+1)}
}

// least is what the rounding of whole counts alone leaves of the squares.
func (p *problem) least() (sum float64) {
	for _, m := range p.mean {
		sum += roundingVariance / m
	}
	return sum
}
