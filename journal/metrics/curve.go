// The learning curve as a model of what evenings bring, and its fit.

package metrics

import (
	"math"
	"slices"
)

const (
	// Where the fit is linearized: kits that differ by a fifth. Moods are taken there
	// not to follow each other. What is said of both is averaged afterwards.
	usualKit = 0.2
	// In logs of parts: the fit is at rest.
	nearEnough = 1e-8
)

// curve is a fitted learning curve: what is known of its slope, of the change of
// slope beyond the knot, and of their sum.
type curve struct {
	slope, later, sum mixture
}

// problem is a curve that is being fitted, over lessons of one kind or of several,
// which then share its slope.
type problem struct {
	in     []lesson // by build, then in the order of work
	inTime []int    // in's places in the order of work
	cells  map[Cell]int
	cell   []int // the column of each lesson's cell
	ends   []int // where the lessons of each build end in in
	effect []int // which random effect of its build a lesson has: that of its kind
	random []int // how many there are in each build
	kinds  int
	knot   float64 // in log parts; +Inf = no bend
	cv     float64 // of the person's pace

	mean   []float64 // parts its hours should bring
	whole  []float64 // parts they should bring in the mood of the evening
	before []float64 // parts done until it began
	at, z  []float64 // its place on the curve, and its working response
}

// fitCurve fits the curve, with a bend at the knot (in log parts) if that is finite.
// ok is false where it cannot be told from the change of parts.
func fitCurve(lessons []lesson, knot float64, person Scatter) (c curve, ok bool) {
	p := newProblem(lessons, knot, person)
	if _, ok := p.solve(); !ok {
		return curve{}, false
	}
	ms, ok := p.average()
	if !ok {
		return curve{}, false
	}
	c.slope = ms[0]
	if len(ms) > 1 {
		c.later, c.sum = ms[1], ms[2]
	}
	return c, true
}

// fitRoughly is fitCurve with kits and moods as they usually are, for those who ask
// by the thousand: its range is a little too narrow.
func fitRoughly(lessons []lesson, person Scatter) (c curve, ok bool) {
	p := newProblem(lessons, math.Inf(1), person)
	f, ok := p.solve()
	if !ok {
		return curve{}, false
	}
	value, variance := f.of(p.contrasts()[0])
	one := component{1, value, math.Sqrt(variance * f.phi(p.least()))}
	return curve{slope: mixture{[]component{one}, f.df()}}, true
}

func newProblem(lessons []lesson, knot float64, person Scatter) *problem {
	p := &problem{cells: map[Cell]int{}, knot: knot, cv: person.CV}
	if !(p.cv > 0) {
		p.cv = usualScatter
	}
	for _, s := range lessons {
		if s.parts > 0 {
			if _, ok := p.cells[s.cell]; !ok {
				p.cells[s.cell] = len(p.cells)
			}
		}
	}
	for _, s := range lessons { // a cell that never saw a part has no hours per part
		if _, ok := p.cells[s.cell]; ok {
			p.in = append(p.in, s)
		}
	}
	p.sort()
	p.cell = make([]int, len(p.in))
	for i := range p.in {
		p.cell[i] = p.cells[p.in[i].cell]
	}
	p.byBuild()
	return p
}

// sort brings the lessons of each build together, in the order in which the builds
// were begun, and keeps where each stands in time.
func (p *problem) sort() {
	place := map[string]int{}
	order := make([]int, len(p.in))
	for i, s := range p.in {
		order[i] = i
		if _, ok := place[s.build]; !ok {
			place[s.build] = len(place)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return place[p.in[a].build] - place[p.in[b].build] })
	sorted := make([]lesson, len(p.in))
	p.inTime = make([]int, len(p.in))
	for at, i := range order {
		sorted[at], p.inTime[i] = p.in[i], at
	}
	p.in = sorted
}

// byBuild finds where each build ends, and gives each kind of work in it an effect.
func (p *problem) byBuild() {
	kinds := map[string]bool{}
	var own map[string]int
	for i, s := range p.in {
		if i == 0 || s.build != p.in[i-1].build {
			own = map[string]int{}
			p.ends, p.random = append(p.ends, i), append(p.random, 0)
		}
		kinds[s.cell.Kind] = true
		if _, ok := own[s.cell.Kind]; !ok {
			own[s.cell.Kind] = len(own)
		}
		p.effect = append(p.effect, own[s.cell.Kind])
		p.ends[len(p.ends)-1], p.random[len(p.random)-1] = i+1, len(own)
	}
	p.kinds = len(kinds)
}

// fixed are the columns beside y and the effects: one of each cell, then the
// slope, then the bend.
func (p *problem) fixed() int {
	if math.IsInf(p.knot, 1) {
		return len(p.cells) + 1
	}
	return len(p.cells) + 2
}

// usual are the ratios at which the fit is linearized.
func (p *problem) usual() ratios {
	if len(p.ends) < 2 {
		return ratios{}
	}
	return ratios{each: usualKit * usualKit}
}

// solve iterates the weighted regressions until the fitted parts rest. The kit's
// own difficulty and the moods of evenings are in them as predicted (penalized
// quasi-likelihood).
//
// Breslow N.E., Clayton D.G. (1993), Approximate inference in generalized linear
// mixed models, JASA 88, 9–25.
func (p *problem) solve() (f fitted, ok bool) {
	if len(p.in) <= p.fixed() {
		return f, false
	}
	p.begin()
	m := moods{shared: p.cv * p.cv}
	for range 200 {
		p.linearize()
		rows := p.rows()
		blocks := p.blocks(rows, m)
		if f, ok = at(blocks, p.usual()); !ok {
			return f, false
		}
		if p.step(f, rows, blocks, m) < nearEnough {
			return f, true
		}
	}
	return f, false
}

// begin takes the parts that each cell's pace over all would bring.
func (p *problem) begin() {
	n := len(p.in)
	for _, of := range []*[]float64{&p.mean, &p.whole, &p.before, &p.at, &p.z} {
		*of = make([]float64, n)
	}
	sums := map[Cell][2]float64{}
	for _, s := range p.in {
		v := sums[s.cell]
		sums[s.cell] = [2]float64{v[0] + s.parts, v[1] + s.hours}
	}
	for i, s := range p.in {
		p.mean[i] = sums[s.cell][0] / sums[s.cell][1] * s.hours
		p.whole[i] = p.mean[i]
	}
}

// linearize sets the place of each lesson on the curve and its working response.
func (p *problem) linearize() {
	p.accumulate()
	for i, s := range p.in {
		p.at[i] = math.Log(p.before[i] + p.mean[i]/2 + 0.5)
		p.z[i] = math.Log(p.whole[i]/s.hours) + s.parts/p.whole[i] - 1
	}
}

// accumulate sets the parts done before each lesson. They are those that the hours
// before should have brought, scaled to those that were brought in all: counted as
// they came, a lucky first evening would also push all later ones to the right, and
// stand alone where it bends the line. What one session should have brought is kept
// within half and twice of what it brought, because a timer left on brings nothing.
func (p *problem) accumulate() {
	type sums struct{ start, brought, due, done float64 }
	of := map[string]*sums{}
	for i, s := range p.in {
		o := of[s.cell.Kind]
		if o == nil {
			o = &sums{start: s.before}
			of[s.cell.Kind] = o
		}
		o.start = min(o.start, s.before)
		o.brought += s.parts
		o.due += p.due(i)
	}
	for _, i := range p.inTime {
		o := of[p.in[i].cell.Kind]
		p.before[i] = o.start + o.done*o.brought/o.due
		o.done += p.due(i)
	}
}

// due are the parts a lesson counts for in accumulate.
func (p *problem) due(i int) float64 {
	brought := max(p.in[i].parts, 0.5)
	return min(max(p.mean[i], brought/2), 2*brought)
}

// blocks are the rows reduced by build.
func (p *problem) blocks(rows []row, m moods) []block {
	out := make([]block, 0, len(p.ends))
	from := 0
	for g, end := range p.ends {
		out = append(out, m.block(p.fixed(), p.random[g], rows[from:end]))
		from = end
	}
	return out
}

// rows are the lessons as the model takes them.
func (p *problem) rows() []row {
	k := p.fixed()
	rows := make([]row, 0, len(p.in))
	entries := make([]entry, 0, 5*len(p.in))
	for i := range p.in {
		s := &p.in[i]
		first := len(entries)
		entries = append(entries, entry{p.cell[i], 1}, entry{len(p.cells), p.at[i]})
		if k > len(p.cells)+1 {
			entries = append(entries, entry{len(p.cells) + 1, max(0, p.at[i]-p.knot)})
		}
		entries = append(entries, entry{k, p.z[i]}, entry{k + 1 + p.effect[i], 1})
		rows = append(rows, row{s.evening, 1 / p.whole[i], entries[first:]})
	}
	return rows
}

// step moves the fitted parts to those of the fit, and returns by how much the
// farthest moved, in logs.
func (p *problem) step(f fitted, rows []row, blocks []block, m moods) (moved float64) {
	from := 0
	for g, end := range p.ends {
		u := blocks[g].effects(p.usual(), f.coef)
		eta, left := make([]float64, end-from), make([]float64, end-from)
		for i := from; i < end; i++ {
			e := f.coef[p.cell[i]] + f.coef[len(p.cells)]*p.at[i] + u[p.effect[i]]
			if !math.IsInf(p.knot, 1) {
				e += f.coef[len(p.cells)+1] * max(0, p.at[i]-p.knot)
			}
			eta[i-from], left[i-from] = e, p.z[i]-e
		}
		mood := m.predict(rows[from:end], left)
		for i := from; i < end; i++ {
			e := math.Log(p.in[i].hours) + eta[i-from]
			moved = max(moved, stride(&p.mean[i], e), stride(&p.whole[i], e+mood[p.in[i].evening]))
		}
		from = end
	}
	return moved
}

// stride moves parts toward e^log. A step of more than e-fold overshoots where they
// are far off.
func stride(parts *float64, log float64) float64 {
	step := min(max(log-math.Log(*parts), -1), 1)
	*parts *= math.Exp(step)
	return math.Abs(step)
}
