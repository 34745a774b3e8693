// Davidson's model: how likely the left is picked, the right, or neither.

package metrics

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// meeting is two items and how often each outcome came.
type meeting struct {
	i, j                   int
	left, right, undecided float64
}

// slope is how a parameter enters the log odds of a meeting.
type slope struct {
	at int
	by float64
}

// ties is the Davidson model over meetings. The parameters are the log
// strengths, log ν when tied, and the side when side.
type ties struct {
	items    []string
	meetings []meeting
	prior    float64
	tied     bool
	side     bool
	free     int // index of the strength held at 0; −1 = all are free, the prior holds them
}

func newTies(pairings []pairing) *ties {
	m := &ties{free: -1}
	builds := map[string]bool{}
	for _, p := range pairings {
		builds[p.first.build], builds[p.second.build] = true, true
	}
	m.items = slices.Sorted(maps.Keys(builds))
	sums := map[[2]int]*meeting{}
	for _, p := range pairings {
		w := p.weight()
		for _, s := range p.shown {
			at := [2]int{m.index(s.Left), m.index(s.Right)}
			if sums[at] == nil {
				sums[at] = &meeting{i: at[0], j: at[1]}
			}
			switch s.Outcome {
			case LeftBetter:
				sums[at].left += w
			case RightBetter:
				sums[at].right += w
			default:
				sums[at].undecided += w
			}
		}
	}
	for _, s := range sums {
		m.meetings = append(m.meetings, *s)
	}
	slices.SortFunc(m.meetings, func(a, b meeting) int { return cmp.Or(cmp.Compare(a.i, b.i), cmp.Compare(a.j, b.j)) })
	return m
}

// index is the place of a build among the items.
func (m *ties) index(build string) int {
	i, _ := slices.BinarySearch(m.items, build)
	return i
}

// size is the number of parameters.
func (m *ties) size() int {
	n := len(m.items)
	if m.tied {
		n++
	}
	if m.side {
		n++
	}
	return n
}

// solve finds the largest of the penalised likelihood by Newton's steps. The
// model is an exponential family, so that it has one top and the steps, halved
// when they overshoot, find it.
func (m *ties) solve() (at []float64, cov [][]float64, ok bool) {
	n := m.size()
	at = make([]float64, n)
	value, grad, info := m.look(at)
	for range 200 {
		var chol mat.Cholesky
		if !chol.Factorize(info) {
			return nil, nil, false
		}
		var step mat.VecDense
		if chol.SolveVecTo(&step, mat.NewVecDense(n, grad)) != nil {
			return nil, nil, false
		}
		next := make([]float64, n)
		scale := 1.0
		was := value
		for range 40 {
			for i := range next {
				next[i] = at[i] + scale*step.AtVec(i)
			}
			if value, grad, info = m.look(next); value >= was-1e-12*math.Abs(was) {
				break
			}
			scale /= 2
		}
		copy(at, next)
		if scale*mat.Norm(&step, math.Inf(1)) < 1e-11 {
			return at, inverseOf(info), true
		}
	}
	return nil, nil, false
}

func inverseOf(info *mat.SymDense) [][]float64 {
	var chol mat.Cholesky
	n := info.SymmetricDim()
	out := make([][]float64, n)
	var inv mat.SymDense
	if !chol.Factorize(info) || chol.InverseTo(&inv) != nil {
		return nil
	}
	for i := range out {
		out[i] = make([]float64, n)
		for j := range out[i] {
			out[i][j] = inv.At(i, j)
		}
	}
	return out
}

// look returns the log likelihood at the parameters, its gradient and the
// information (minus the second derivatives).
func (m *ties) look(at []float64) (value float64, grad []float64, info *mat.SymDense) {
	n, k := m.size(), len(m.items)
	grad = make([]float64, n)
	info = mat.NewSymDense(n, nil)
	logNu, nuAt, sideAt := math.Inf(-1), -1, -1
	next := k
	if m.tied {
		nuAt, logNu = next, at[next]
		next++
	}
	if m.side {
		sideAt = next
	}
	// The odds are e^(d/2) : ν : e^(−d/2), and d is the sum of the slopes.
	add := func(c meeting, tied bool, on ...slope) {
		var d float64
		for _, o := range on {
			d += o.by * at[o.at]
		}
		u := [3]float64{d / 2, -d / 2, math.Inf(-1)}
		if tied {
			u[2] = logNu
		}
		top := max(u[0], u[1], u[2])
		w := [3]float64{math.Exp(u[0] - top), math.Exp(u[1] - top), math.Exp(u[2] - top)}
		sum := w[0] + w[1] + w[2]
		total := c.left + c.right + c.undecided
		value += c.left*u[0] + c.right*u[1] - total*(top+math.Log(sum))
		if c.undecided > 0 {
			value += c.undecided * u[2]
		}
		pl, pr, pt := w[0]/sum, w[1]/sum, w[2]/sum
		gd := (c.left-c.right)/2 - total*(pl-pr)/2
		vd := total * (pl + pr - (pl-pr)*(pl-pr)) / 4
		vt := total * pt * (1 - pt)
		vdt := -total * pt * (pl - pr) / 2
		for _, o := range on {
			p, s := o.at, o.by
			grad[p] += s * gd
			for _, other := range on {
				if q := other.at; q >= p {
					info.SetSym(p, q, info.At(p, q)+s*other.by*vd)
				}
			}
			if tied {
				info.SetSym(min(p, nuAt), max(p, nuAt), info.At(p, nuAt)+s*vdt)
			}
		}
		if tied {
			grad[nuAt] += c.undecided - total*pt
			info.SetSym(nuAt, nuAt, info.At(nuAt, nuAt)+vt)
		}
	}
	for _, c := range m.meetings {
		on := []slope{{c.i, 1}, {c.j, -1}}
		if m.side {
			on = append(on, slope{sideAt, 1})
		}
		add(c, m.tied, on...)
	}
	if m.prior > 0 {
		for i := range m.items {
			add(meeting{left: m.prior, right: m.prior}, false, slope{i, 1})
		}
		if m.tied {
			add(meeting{left: m.prior / 2, right: m.prior / 2, undecided: m.prior}, true)
		}
		if m.side {
			add(meeting{left: m.prior / 2, right: m.prior / 2}, false, slope{sideAt, 1})
		}
	}
	if m.free >= 0 { // without a prior one strength must be held
		info.SetSym(m.free, m.free, info.At(m.free, m.free)+1e9)
		grad[m.free] = 0
		for p := range n {
			if p != m.free {
				info.SetSym(min(p, m.free), max(p, m.free), 0)
			}
		}
	}
	return value, grad, info
}
