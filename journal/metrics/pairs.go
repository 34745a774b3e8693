// Blind pairs: strengths from which of two was judged the better.

package metrics

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Outcomes of a blind pair. A pair nobody could tell is no outcome: leave it out.
const (
	LeftBetter   = "left"
	RightBetter  = "right"
	NoDifference = "no difference"
)

// Pair is one blind comparison: what stood left, what stood right, and what the
// judge said.
type Pair struct {
	Left, Right string
	Outcome     string
}

// priorHalf is how many imaginary pairs each item wins, and how many it loses.
// Chosen by simulation: half of it covers in 98 % at twelve pairs, this in 95 to
// 97 %, also where the one build is nine times in ten the better.
const priorHalf = 1.5

// enoughPairs is how many verdicts between two builds' worth of work there must
// be before a chance is said aloud. Below it the interval spans nearly all there is.
const enoughPairs = 10

// Ranking holds the strengths of what was paired.
type Ranking struct {
	Items    []string  // sorted
	Strength []float64 // log strengths, by item; they sum to 0
	Ties     float64   // Davidson's ν: 0 = no ties, 1 = equals tie one time in three
	// Side is the log odds that standing left adds, with its interval; SideJudged
	// is false when there are too few pairs to look.
	Side         float64
	SideInterval Interval
	SideJudged   bool

	N   int // pairs that count
	OK  bool
	Why string

	cov    [][]float64 // of the strengths
	played map[string]int
}

// Rank returns the strengths of the items of pairs after Bradley and Terry with
// the ties of Davidson. With strengths π and d = log π_left − log π_right + side:
//
//	P(left) : P(no difference) : P(right) = e^(d/2) : ν : e^(−d/2)
//
// A clean sweep has no finite strength. So each item also meets an imaginary
// average item, of log strength 0, three times, and wins and loses half of them;
// three imaginary pairs of equals end half in ties; and the side, fitted from
// twelve pairs on, has one and a half pairs of its own. So ten wins out of ten
// between two builds read as about 9 in 10, and among many pairs all that
// fades. The imaginary item also holds groups together that were never paired
// with each other: the answer then is near one half, with a wide interval.
//
// Pairs of a thing with itself and outcomes that are none of the three are
// passed over. The order of pairs plays no part.
//
// Bradley R.A., Terry M.E. (1952), Biometrika 39, 324–345; Davidson R.R. (1970),
// JASA 65, 317–328; Davidson R.R., Beaver R.J. (1977), Biometrics 33, 693–702.
func Rank(pairs []Pair) Ranking {
	m := newTies(pairs)
	r := Ranking{Items: m.items, N: m.n, played: m.played}
	if m.n == 0 {
		r.Why = "no verdicts"
		return r
	}
	m.prior, m.side = priorHalf, m.n >= enoughForSide
	m.tied = true
	at, cov, ok := m.solve()
	if !ok {
		r.Why = "the strengths cannot be found"
		return r
	}
	k := len(m.items)
	var mean float64
	for _, v := range at[:k] {
		mean += v / float64(k)
	}
	for _, v := range at[:k] {
		r.Strength = append(r.Strength, v-mean)
	}
	r.OK, r.Ties, r.cov = true, math.Exp(at[k]), cov
	if m.side {
		r.SideJudged, r.Side = true, at[k+1]
		reach := zQuantile() * math.Sqrt(cov[k+1][k+1])
		r.SideInterval = Interval{Low: r.Side - reach, High: r.Side + reach, OK: true}
	}
	return r
}

// enoughForSide is the number of pairs from which a leaning to one side is
// looked for, and so taken out of the strengths.
const enoughForSide = 12

// Chance is how likely one is judged better than another, when they are told apart.
type Chance struct {
	Claim             // of a chance that is not one half
	P        float64  // 0 to 1
	Interval Interval // 95 %
	N        int      // pairs in which either stood
	Direct   int      // of those, the ones between the two
	OK       bool
	Why      string
}

// Chance returns the chance that a is judged better than b, given that a
// difference is seen: π_a/(π_a + π_b). The interval is laid on the log odds and
// holds the covariance of both strengths. It refuses while either
// of them stood in fewer than ten pairs.
func (r Ranking) Chance(a, b string) Chance {
	i, okA := slices.BinarySearch(r.Items, a)
	j, okB := slices.BinarySearch(r.Items, b)
	if !r.OK || !okA || !okB || i == j {
		return Chance{Why: "no verdicts on these two", Interval: Interval{Why: "no verdicts on these two"}}
	}
	c := Chance{Direct: r.played[pairKey(a, b)]}
	c.N = r.played[a] + r.played[b] - c.Direct
	if low := min(r.played[a], r.played[b]); low < enoughPairs {
		c.Why = fmt.Sprintf("too few to tell: %s more needed", Count(enoughPairs-low, "pair"))
		c.Interval.Why = c.Why
		return c
	}
	d := r.Strength[i] - r.Strength[j]
	reach := zQuantile() * math.Sqrt(r.cov[i][i]+r.cov[j][j]-2*r.cov[i][j])
	c.OK, c.P = true, logistic(d)
	c.Interval = Interval{Low: logistic(d - reach), High: logistic(d + reach), OK: true}
	return c
}

// Standing returns the chance that a is judged better than one of middling
// strength among all that were paired: the geometric mean of their strengths,
// its own among them. It refuses as Chance does; N counts the pairs it stood in.
func (r Ranking) Standing(a string) Chance {
	i, ok := slices.BinarySearch(r.Items, a)
	if !r.OK || !ok {
		return Chance{Why: "no verdicts on it", Interval: Interval{Why: "no verdicts on it"}}
	}
	c := Chance{N: r.played[a]}
	if c.N < enoughPairs {
		c.Why = fmt.Sprintf("too few to tell: %s more needed", Count(enoughPairs-c.N, "pair"))
		c.Interval.Why = c.Why
		return c
	}
	// The mean is a weighted sum of the same strengths, so their covariance
	// goes in.
	k := float64(len(r.Items))
	weight := func(j int) float64 {
		if j == i {
			return 1 - 1/k
		}
		return -1 / k
	}
	var variance float64
	for p := range r.Items {
		for q := range r.Items {
			variance += weight(p) * weight(q) * r.cov[p][q]
		}
	}
	reach := zQuantile() * math.Sqrt(variance)
	c.OK, c.P = true, logistic(r.Strength[i])
	c.Interval = Interval{Low: logistic(r.Strength[i] - reach), High: logistic(r.Strength[i] + reach), OK: true}
	return c
}

// Told reports whether the interval leaves out one half: else nobody can say
// which of the two is the better.
func (c Chance) Told() bool { return c.OK && !c.Interval.contains(0.5) }

// Sentence says the chance in words: on what ("joins"), of which two, how many
// judges. Where it might be the toss of a coin it says so.
func (c Chance) Sentence(on, a, b string, judges int) string {
	if !c.OK {
		return fmt.Sprintf("%s against %s on %s: no chance to say (%s).", a, b, on, c.Why)
	}
	untold := ""
	if !c.Told() {
		untold = "; 50 % lies within, so neither is called the better"
	}
	return fmt.Sprintf("Chance that %s beats %s on %s: %.0f %% (%.0f to %.0f; %s, %s%s).", a, b, on,
		100*c.P, 100*c.Interval.Low, 100*c.Interval.High, Count(c.N, "pair"), judgesInWords(judges), untold)
}

// judgesInWords counts judges: few of them in words.
func judgesInWords(n int) string {
	words := []string{"no judges", "one judge", "two judges", "three judges", "four judges", "five judges",
		"six judges"}
	if n < len(words) {
		return words[n]
	}
	return Count(n, "judge")
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

func pairKey(a, b string) string {
	if b < a {
		a, b = b, a
	}
	return a + "\x00" + b
}

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
	played   map[string]int
	n        int
	prior    float64
	tied     bool
	side     bool
	free     int // index of the strength held at 0; −1 = all are free, the prior holds them
}

func newTies(pairs []Pair) *ties {
	m := &ties{played: map[string]int{}, free: -1}
	type key struct{ left, right string }
	sums := map[key]*meeting{}
	for _, p := range pairs {
		if p.Left == p.Right || !slices.Contains([]string{LeftBetter, RightBetter, NoDifference}, p.Outcome) {
			continue
		}
		m.n++
		m.played[p.Left]++
		m.played[p.Right]++
		m.played[pairKey(p.Left, p.Right)]++
		k := key{p.Left, p.Right}
		if sums[k] == nil {
			sums[k] = &meeting{}
			m.items = append(m.items, p.Left, p.Right)
		}
		switch p.Outcome {
		case LeftBetter:
			sums[k].left++
		case RightBetter:
			sums[k].right++
		default:
			sums[k].undecided++
		}
	}
	slices.Sort(m.items)
	m.items = slices.Compact(m.items)
	for i, a := range m.items {
		for j, b := range m.items {
			if s := sums[key{a, b}]; s != nil {
				s.i, s.j = i, j
				m.meetings = append(m.meetings, *s)
			}
		}
	}
	return m
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
		var nextValue float64
		for range 40 {
			for i := range next {
				next[i] = at[i] + scale*step.AtVec(i)
			}
			if nextValue, _, _ = m.look(next); nextValue >= value-1e-12*math.Abs(value) {
				break
			}
			scale /= 2
		}
		copy(at, next)
		value, grad, info = m.look(at)
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
