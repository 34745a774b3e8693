// Evenings: the unit of chance. Sessions of one evening share its mood, and
// evenings follow each other.

package metrics

import (
	"cmp"
	"math"
	"slices"
	"time"
)

const (
	// Above so many evenings neighbours are taken together in blocks: forty tell a
	// standard error to a ninth, and what goes on from evening to evening then lies
	// within the blocks.
	mostBlocks = 40
	// A mood that lasts goes on in the next evening and dies off by this factor from
	// there (our choice: a good or bad patch lasts about a week of evenings). How
	// much of the mood lasts is estimated, Scatter.Serial.
	fading = 0.6
	// Beyond so many evenings nothing is left of it: 0.6¹² is 0.2 %.
	faded = 12
	// From so many evenings of a cell on a trend can be told from scatter.
	enoughToTrend = 12
)

// evening is what tells an evening from another: its day, or else its session.
type evening struct{ day, build, session string }

func eveningOf(w *Work) evening {
	if w.Evening != "" {
		return evening{day: w.Evening}
	}
	return evening{build: w.Build, session: w.Session}
}

// calendar has the evenings of some work in their order, in blocks of
// neighbours where there are many.
type calendar struct {
	at     places    // block of each evening
	n      int       // blocks
	block  []int     // of each evening
	hours  []float64 // of each evening
	serial bool      // all are dated: it is known which follow each other
	loose  []int     // blocks of the Works that name no session, in their order
}

// places has a number for each evening. Nearly all have a day, which then tells them.
type places struct {
	days   map[string]int
	others map[evening]int
}

func (p *places) of(e evening) (at int, ok bool) {
	if e.day != "" {
		at, ok = p.days[e.day]
	} else {
		at, ok = p.others[e]
	}
	return at, ok
}

func (p *places) put(e evening, at int) {
	switch {
	case e.day != "" && p.days == nil:
		p.days = map[string]int{e.day: at}
	case e.day != "":
		p.days[e.day] = at
	case p.others == nil:
		p.others = map[evening]int{e: at}
	default:
		p.others[e] = at
	}
}

// calendarOf takes ordered Works.
func calendarOf(ws []*Work) *calendar {
	type sitting struct {
		evening
		start time.Time
		hours float64
		loose int // place among the Works without a session, from 1
	}
	index := places{}
	all := make([]sitting, 0, len(ws))
	loose := 0
	for _, w := range ws {
		if !w.timed() {
			continue
		}
		e := eveningOf(w)
		if e == (evening{build: w.Build}) {
			loose++
			all = append(all, sitting{e, w.Start, w.Hours, loose})
			continue
		}
		k, ok := index.of(e)
		if !ok {
			k = len(all)
			index.put(e, k)
			all = append(all, sitting{evening: e, start: w.begun()})
		} else if start := w.begun(); start.Before(all[k].start) {
			all[k].start = start
		}
		all[k].hours += w.Hours
	}
	slices.SortFunc(all, func(a, b sitting) int {
		return cmp.Or(a.start.Compare(b.start), cmp.Compare(a.day, b.day), cmp.Compare(a.build, b.build),
			cmp.Compare(a.session, b.session), cmp.Compare(a.loose, b.loose))
	})
	c := &calendar{at: index, n: min(len(all), mostBlocks), serial: true,
		block: make([]int, len(all)), hours: make([]float64, len(all)), loose: make([]int, loose)}
	for i, s := range all {
		c.block[i], c.hours[i] = i*c.n/len(all), s.hours
		c.serial = c.serial && !s.start.IsZero()
		if s.loose > 0 {
			c.loose[s.loose-1] = c.block[i]
			continue
		}
		c.at.put(s.evening, c.block[i])
	}
	return c
}

// begun is when the Work began, or the day of its evening; zero = not known.
func (w *Work) begun() time.Time {
	if !w.Start.IsZero() || w.Evening == "" {
		return w.Start
	}
	day, _ := time.Parse(time.DateOnly, w.Evening) // else zero: not known
	return day
}

// load is what one block of evenings holds of a cell.
type load struct {
	at           int // block
	hours, parts float64
	squares      float64 // Σ hours² of its sessions
}

// stratum is the timed sessions of one cell in one build.
type stratum struct {
	loads            []load // by block
	sumHours, sumOut float64
	sessions         int
}

// stratumOf takes Works of one each session, ordered.
func (c *calendar) stratumOf(sessions []*Work) stratum {
	var s stratum
	loose := 0
	place := make([]int, 0, len(sessions))
	for _, w := range sessions {
		if !w.timed() {
			place = append(place, -1)
			continue
		}
		e := eveningOf(w)
		if e == (evening{build: w.Build}) {
			place = append(place, c.loose[min(loose, len(c.loose)-1)])
			loose++
			continue
		}
		at, _ := c.at.of(e)
		place = append(place, at)
	}
	byBlock := make([]int, c.n)
	for i, w := range sessions {
		if place[i] < 0 {
			continue
		}
		k := byBlock[place[i]] - 1
		if k < 0 {
			k = len(s.loads)
			byBlock[place[i]] = k + 1
			s.loads = append(s.loads, load{at: place[i]})
		}
		l := &s.loads[k]
		l.hours, l.parts, l.squares = l.hours+w.Hours, l.parts+w.Parts, l.squares+w.Hours*w.Hours
		s.sumHours, s.sumOut, s.sessions = s.sumHours+w.Hours, s.sumOut+w.Parts, s.sessions+1
	}
	slices.SortFunc(s.loads, func(a, b load) int { return a.at - b.at })
	return s
}

// moved is a stratum and by how much the log of a number moves with the log of
// its hours per part.
type moved struct {
	of stratum
	by float64
}

// spread is how surely the log of a number is known from one build.
type spread struct {
	variance, df float64
	floor        float64 // of the variance, from the rounding of whole counts
}

// spreadOf returns the variance of Σ by·log(Σ hours/Σ parts) over strata that
// share their evenings. Linearised, each evening brings
//
//	ψ_e = Σ by · (hours_e - r·parts_e)/Σ hours      r = Σ hours/Σ parts of the stratum
//
// and V = Σ ψ_e². That is too small where a stratum has few evenings, because its
// own rate bends to each, and where evenings that follow each other are alike. By
// how much follows from a working model: the log pace of a session is a mood of its
// evening, which goes on into the next ones, plus what is the session's own, plus
// the chance of counts, each as large as the person is known for (known). Under it
// the ψ are a linear map of all these, with covariance G; V is then on average
// tr G, where the true variance is M, and has tr² G / tr G² degrees of freedom. So
//
//	variance = V · M / tr G
//
// is without bias if the model has the shape right, whatever its size. Few evenings
// get help from the size that the person is known for: M itself weighs like
// known.worth() degrees of freedom.
//
// With trend, strata of twelve evenings and more scatter about a straight line in
// their order, so that learning is not taken for scatter.
//
// Bell R.M., McCaffrey D.F. (2002), Survey Methodology 28, 169–181 (bias and degrees
// of freedom under a working model); Cameron A.C., Miller D.L. (2015), Journal of
// Human Resources 50, 317–372; Satterthwaite F.E. (1946), Biometrics Bulletin 2,
// 110–114; Smyth G.K. (2004), Statistical Applications in Genetics and Molecular
// Biology 3(1), article 3 (help from a known variance).
func (c *calendar) spreadOf(cells []moved, known Scatter, trend bool) spread {
	n := c.n
	psi, load := make([]float64, n), make([]float64, n)
	a, g := newSquare(n), newSquare(n)
	var own, floor float64
	for i := range cells {
		s, by := &cells[i].of, cells[i].by
		if !(s.sumOut > 0) || by == 0 {
			continue
		}
		floor += by * by * roundingVariance * float64(s.sessions) / (s.sumOut * s.sumOut)
		own += s.bring(by, known, trend && c.serial, psi, load, a, g)
	}
	model := own
	mood := c.moods(known)
	half := a.times(mood, c.reach())
	half.timesTransposed(a, g)
	for e := range n {
		for f := max(0, e-c.reach()); f < min(n, e+c.reach()+1); f++ {
			model += load[e] * load[f] * mood.at(e, f)
		}
	}
	var trace, square, v float64
	for e := range n {
		trace += g.at(e, e)
	}
	for _, x := range g.v {
		square += x * x
	}
	out := spread{floor: floor}
	scale := 0.0
	if square > 0 && trace > 1e-9*model {
		scale, out.df = math.Sqrt(model/trace), trace*trace/square
	}
	for e := range n {
		x := scale * psi[e]
		v += x * x
	}
	worth := known.worth(out.df)
	out.variance = math.Max((out.df*v+worth*model)/(out.df+worth), floor)
	out.df += worth
	return out
}

// bring adds what a stratum brings to ψ, to the map from the moods to ψ and to the
// covariance of ψ by all else; it returns the variance of the number by all else.
func (s *stratum) bring(by float64, known Scatter, trend bool, psi, total []float64, a, g square) float64 {
	k := len(s.loads)
	share, tau, z := make([]float64, k), make([]float64, k), make([]float64, k)
	r := s.sumHours / s.sumOut
	resid := make([]float64, k)
	var t0, t1, t2, mean, zz float64
	for i, l := range s.loads {
		share[i] = l.hours / s.sumHours
		tau[i] = known.own()*l.squares/(s.sumHours*s.sumHours) + share[i]/s.sumOut
		resid[i] = (l.hours - r*l.parts) / s.sumHours
		mean += share[i] * float64(l.at)
	}
	zz = 1
	if trend && k >= enoughToTrend {
		zz = 0
		var slope float64
		for i, l := range s.loads {
			z[i] = float64(l.at) - mean
			zz += share[i] * z[i] * z[i]
			slope += z[i] * resid[i]
		}
		for i := range resid {
			resid[i] -= slope / zz * share[i] * z[i]
		}
	}
	for i := range tau {
		t0, t1, t2 = t0+tau[i], t1+z[i]*tau[i]/zz, t2+z[i]*z[i]*tau[i]/(zz*zz)
	}
	for i, l := range s.loads {
		psi[l.at] += by * resid[i]
		total[l.at] += by * share[i]
		a.add(l.at, l.at, by*share[i])
		g.add(l.at, l.at, by*by*tau[i])
		for j, m := range s.loads {
			bend := 1 + z[i]*z[j]/zz
			a.add(l.at, m.at, -by*share[i]*share[j]*bend)
			g.add(l.at, m.at, by*by*(share[i]*share[j]*(t0+(z[i]+z[j])*t1+z[i]*z[j]*t2)-
				bend*(tau[i]*share[j]+tau[j]*share[i])))
		}
	}
	return by * by * t0
}

// reach is how many blocks away moods go on.
func (c *calendar) reach() int { return min(faded, max(c.n-1, 0)) }

// moods is the covariance of the moods of the blocks: that of the evenings in
// them, by their hours.
func (c *calendar) moods(known Scatter) square {
	out := newSquare(c.n)
	sum := make([]float64, c.n)
	for e, b := range c.block {
		sum[b] += c.hours[e]
	}
	for e, b := range c.block {
		h := c.hours[e] / sum[b]
		out.add(b, b, h*h*known.mood())
		if !c.serial {
			continue
		}
		lasting := known.lasting()
		for f := e + 1; f < len(c.block) && f <= e+faded; f++ {
			x := h * c.hours[f] / sum[c.block[f]] * lasting
			out.add(b, c.block[f], x)
			out.add(c.block[f], b, x)
			lasting *= fading
		}
	}
	return out
}

// square is a square matrix.
type square struct {
	n int
	v []float64
}

func newSquare(n int) square { return square{n, make([]float64, n*n)} }

func (m square) at(i, j int) float64     { return m.v[i*m.n+j] }
func (m square) add(i, j int, x float64) { m.v[i*m.n+j] += x }

// times is m·b, where b is 0 farther than reach off its diagonal.
func (m square) times(b square, reach int) square {
	out := newSquare(m.n)
	for i := range m.n {
		for k := range m.n {
			if x := m.at(i, k); x != 0 {
				for j := max(0, k-reach); j < min(m.n, k+reach+1); j++ {
					out.add(i, j, x*b.at(k, j))
				}
			}
		}
	}
	return out
}

// timesTransposed adds m·bᵀ to sum.
func (m square) timesTransposed(b, sum square) {
	for i := range m.n {
		row := m.v[i*m.n : (i+1)*m.n]
		for j := range m.n {
			var x float64
			for k, y := range b.v[j*m.n : (j+1)*m.n] {
				x += row[k] * y
			}
			sum.add(i, j, x)
		}
	}
}

// together adds up the spreads of builds: their evenings have nothing to do with
// each other. The degrees of freedom are Satterthwaite's.
func together(of ...spread) spread {
	var out spread
	var weighted float64
	for _, s := range of {
		out.variance += s.variance
		out.floor += s.floor
		if s.df > 0 {
			weighted += s.variance * s.variance / s.df
		}
	}
	if weighted > 0 {
		out.df = out.variance * out.variance / weighted
	}
	return out
}
