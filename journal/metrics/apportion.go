// Sessions on parts of several classes: which class took how much of the time.

package metrics

import (
	"math"
	"slices"
)

const (
	// The standard error of a log above which the minutes a part of two classes
	// cannot be told apart: a factor of 4.5 either way.
	mostBlurred = 1.5
	// Tempo and minutes are fitted in turns; the turns halve what is left at least.
	mostRounds = 40
)

var (
	notTold   = Because("the classes of its parts are not told")
	notParted = Because("its classes were always worked on together, in about one proportion: their minutes a part cannot be told apart")
)

// blend is the minutes a part of the classes of one kind of work, found from the
// sessions of both builds together.
type blend struct {
	kind, finish string
	classes      []string
	rows         []blended
	sums         [2][]tally // by build and block of its calendar
	log          []float64  // of hours per part of each class, up to one factor for all
}

// blended is one session in the fit.
type blended struct {
	side, at int // build, and block of its calendar
	hours    float64
	parts    []float64 // of each class
}

type work struct{ kind, finish string }

// apportion splits the sessions on several classes in both builds. The hours of a
// session are taken to be
//
//	hours ≈ tempo(build) · Σ parts_c · m_c
//
// with minutes a part m of each class that both builds share and a tempo of each
// build; both are fitted to all sessions of the kind of work, pure and mixed. A
// session's hours then go to its classes as parts_c · m_c. What comes back is pure, in
// the order of the Works; sessions that cannot be split keep their Mix.
//
// The fit is by moments: products of the parts of a class with what the hours
// should be and were, Σ (parts_c · hours - tempo · Σ_d parts_c · parts_d · m_d)/hours²
// = 0. Counts scatter, and a least-squares fit of hours to counts takes what is chance
// in them for a lesser effect of a class: it draws the minutes of classes together. So a
// square of a count is taken less the count, as the square of its mean is for Poisson
// counts. The tempo is hours over what the parts should have taken.
//
// Fuller W.A. (1987), Measurement Error Models, chapter 2 (moments less the variance
// of the error).
func apportion(earlier, later used) (out [2][]*Work, blends []*blend) {
	sides := [2]used{earlier, later}
	out = [2][]*Work{earlier.works, later.works}
	var mixed []work
	for _, u := range sides {
		for _, w := range u.works {
			if k := (work{w.Kind, w.Finish}); len(w.Mix) > 0 && !slices.Contains(mixed, k) {
				mixed = append(mixed, k)
			}
		}
	}
	if len(mixed) == 0 {
		return out, nil
	}
	for _, k := range mixed {
		if b := blendOf(k, sides); b.fit() {
			blends = append(blends, b)
		}
	}
	for k, u := range sides {
		out[k] = make([]*Work, 0, 2*len(u.works))
		for _, w := range u.works {
			out[k] = split(out[k], w, blends)
		}
	}
	return out, blends
}

// SplitMixed splits the hours of sessions on several classes by the minutes a part
// that all sessions of ws together tell, as if at one tempo; see Compare. Sessions
// whose classes cannot be told apart come back with their Mix, and no class.
func SplitMixed(ws []Work) []Work {
	all := ordered(ws)
	out, _ := apportion(used{works: all, calendar: calendarOf(all)}, used{calendar: calendarOf(nil)})
	pure := make([]Work, len(out[0]))
	for i, w := range out[0] {
		pure[i] = *w
	}
	return pure
}

// split adds as many Works as a mixed session has classes, or the session as it is.
func split(to []*Work, w *Work, blends []*blend) []*Work {
	at := -1
	if len(w.Mix) > 0 {
		at = slices.IndexFunc(blends, func(b *blend) bool { return b.does(w) })
	}
	if at < 0 {
		return append(to, w)
	}
	b := blends[at]
	share := b.shares(b.partsOf(w))
	reopened := w.Reopened
	for c, class := range b.classes {
		if share[c] > 0 {
			piece := *w
			piece.Class, piece.Mix, piece.Hours, piece.Parts = class, nil, w.Hours*share[c], w.of(class)
			piece.Reopened, reopened = reopened, 0
			to = append(to, &piece)
		}
	}
	return to
}

// countSplit counts the sessions that were split.
func countSplit(ws []*Work, blends []*blend) (n int) {
	for _, w := range ws {
		if len(w.Mix) > 0 && slices.ContainsFunc(blends, func(b *blend) bool { return b.does(w) }) {
			n++
		}
	}
	return n
}

// does says whether the blend is of the Work's kind.
func (b *blend) does(w *Work) bool { return b.kind == w.Kind && b.finish == w.Finish }

// of is the parts of a class in a session.
func (w *Work) of(class string) float64 {
	if len(w.Mix) == 0 && w.Class == class {
		return w.Parts
	}
	for _, m := range w.Mix {
		if m.Class == class {
			return m.Parts
		}
	}
	return 0
}

// blendOf gathers the sessions of a kind of work.
func blendOf(k work, sides [2]used) *blend {
	b := &blend{kind: k.kind, finish: k.finish}
	each := func(do func(side int, w *Work)) {
		for side, u := range sides {
			for _, w := range u.works {
				if w.Kind == k.kind && w.Finish == k.finish && w.timed() && w.Parts > 0 &&
					(w.Class != "" || len(w.Mix) > 0) {
					do(side, w)
				}
			}
		}
	}
	add := func(class string) {
		if !slices.Contains(b.classes, class) {
			b.classes = append(b.classes, class)
		}
	}
	each(func(_ int, w *Work) {
		if len(w.Mix) == 0 {
			add(w.Class)
		}
		for _, m := range w.Mix {
			add(m.Class)
		}
	})
	slices.Sort(b.classes)
	each(func(side int, w *Work) {
		at, _ := sides[side].calendar.at.of(eveningOf(w))
		b.rows = append(b.rows, blended{side: side, at: at, hours: w.Hours, parts: b.partsOf(w)})
	})
	for side, u := range sides {
		b.sums[side] = make([]tally, u.calendar.n)
	}
	for i := range b.rows {
		r := &b.rows[i]
		b.sums[r.side][r.at].add(r, len(b.classes))
	}
	return b
}

// partsOf is the parts of a session by class.
func (b *blend) partsOf(w *Work) []float64 {
	q := make([]float64, len(b.classes))
	for c, class := range b.classes {
		switch {
		case len(w.Mix) > 0:
			q[c] = max(w.of(class), 0)
		case class == w.Class:
			q[c] = w.Parts
		}
	}
	return q
}

// shares is the share of a session's hours that each class took.
func (b *blend) shares(parts []float64) []float64 {
	out := make([]float64, len(parts))
	var sum float64
	for c, q := range parts {
		out[c] = q * math.Exp(b.log[c])
		sum += out[c]
	}
	for c := range out {
		out[c] /= sum
	}
	return out
}

// tally is what the fit needs of some sessions of one build.
type tally struct {
	hours    float64
	parts    []float64 // of each class
	byHours  []float64 // Σ parts_c · hours / hours²
	products []float64 // row by row, Σ parts_c · parts_d / hours²; nil = no session
	chance   []float64 // Σ parts_c / hours²: what of the squares is the chance of counts
}

func newTally(classes int) tally {
	return tally{parts: make([]float64, classes), byHours: make([]float64, classes),
		products: make([]float64, classes*classes), chance: make([]float64, classes)}
}

func (t *tally) add(r *blended, classes int) {
	if t.products == nil {
		*t = newTally(classes)
	}
	t.hours += r.hours
	for c, q := range r.parts {
		t.parts[c] += q
		t.byHours[c] += q / r.hours
		t.chance[c] += q / (r.hours * r.hours)
		for d, p := range r.parts {
			t.products[c*classes+d] += q * p / (r.hours * r.hours)
		}
	}
}

// plus adds another tally by times.
func (t *tally) plus(o tally, by float64, classes int) {
	if o.products == nil {
		return
	}
	if t.products == nil {
		*t = newTally(classes)
	}
	t.hours += by * o.hours
	for c := range classes {
		t.parts[c] += by * o.parts[c]
		t.byHours[c] += by * o.byHours[c]
		t.chance[c] += by * o.chance[c]
		for d := range classes {
			t.products[c*classes+d] += by * o.products[c*classes+d]
		}
	}
}

// fit finds the minutes a part, with and without each block of evenings, and says
// whether the sessions tell them.
func (b *blend) fit() bool {
	n := len(b.classes)
	var all [2]tally
	for k, blocks := range b.sums {
		for _, t := range blocks {
			all[k].plus(t, 1, n)
		}
	}
	s := newMinutesSolver(n)
	if !s.solve(all, make([]float64, n)) {
		return false
	}
	b.log = slices.Clone(s.log)
	blur := make([]float64, n*n) // variance of each log less each other
	rest := [2]tally{newTally(n), newTally(n)}
	for k, blocks := range b.sums {
		for _, t := range blocks {
			if t.products == nil {
				continue
			}
			less := all
			less[k] = rest[k]
			less[k].clear()
			less[k].plus(t, -1, n)
			less[k].plus(all[k], 1, n)
			if !s.solve(less, b.log) {
				return false
			}
			for c := range n {
				for d := range n {
					move := b.log[c] - s.log[c] - b.log[d] + s.log[d]
					blur[c*n+d] += move * move
				}
			}
		}
	}
	return slices.Max(blur) <= mostBlurred*mostBlurred
}

func (t *tally) clear() {
	t.hours = 0
	for _, of := range [][]float64{t.parts, t.byHours, t.products, t.chance} {
		clear(of)
	}
}

// minutesSolver solves for the minutes a part again and again.
type minutesSolver struct {
	log     []float64 // what was found: of hours per part of each class, up to one factor for all
	m, a, y []float64
	pivots  []float64
}

func newMinutesSolver(n int) *minutesSolver {
	return &minutesSolver{make([]float64, n), make([]float64, n), make([]float64, n*n), make([]float64, n),
		make([]float64, n*n)}
}

// solve is false where the sessions do not tell. It begins at from.
func (s *minutesSolver) solve(of [2]tally, from []float64) (ok bool) {
	n := len(from)
	m, a, y := s.m, s.a, s.y
	for c := range m {
		m[c] = math.Exp(from[c])
	}
	for range mostRounds {
		clear(a)
		clear(y)
		for _, t := range of {
			if t.products == nil {
				continue
			}
			var should float64
			for c, q := range t.parts {
				should += q * m[c]
			}
			tempo := t.hours / should
			if !(tempo > 0) || math.IsInf(tempo, 0) {
				return false
			}
			for c := range n {
				y[c] += tempo * t.byHours[c]
				for d := range n {
					a[c*n+d] += tempo * tempo * t.products[c*n+d]
				}
				a[c*n+c] -= tempo * tempo * t.chance[c]
			}
		}
		// Without the chance of counts nothing is left in some direction: the
		// classes were worked on together in one proportion.
		copy(s.pivots, a)
		if !definite(s.pivots, n) || !solve(a, y) {
			return false
		}
		change := 0.0
		for c := range m {
			x := y[c] / y[0]
			if !(x > 0) || math.IsInf(x, 0) {
				return false
			}
			change = max(change, math.Abs(math.Log(x/m[c])))
			m[c] = x
		}
		if change < 1e-8 {
			break
		}
	}
	for c, x := range m {
		s.log[c] = math.Log(x)
	}
	return true
}
