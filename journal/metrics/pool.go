// The evenings a forecast draws from: those of a cell, or of a stage kind.

package metrics

import (
	"cmp"
	"math"
	"slices"
)

// enoughToDraw is how many evenings draws can be made of: fewer come and go in the
// same few ways.
const enoughToDraw = 6

const (
	// From this many evenings of its own on a cell is not judged by its stage kind.
	enoughOwn = 3
	// By how much classes of one kind of work differ, as the standard deviation of the
	// log of their pace: common practice, no source. It widens what is forecast from
	// another class.
	classesDiffer = 0.3
)

// pool is what a forecast is drawn from: what each evening (or week) cost and
// brought.
type pool struct {
	works    []*Work   // sessions; nil of weeks
	cost     []float64 // hours of the evening, 1 for a week
	yield    []float64 // parts, or the hours of the week
	perYield float64   // Σ cost / Σ yield
	worth    []float64 // yield in its cost at the pace of all: 1.2 hours' worth in an hour
	swings
	other bool    // of another class than the work to come
	gaps  float64 // chance that a week begins a gap of which the weeks do not know

	// Where learning bends the pace:
	mids  []float64 // log of the middle part of each evening over all parts done; nil = no curve
	done  float64   // all parts done
	curve Learning
	slope prediction
	of    []float64 // scratch of one draw: yields at what they cost now
}

// prediction is a number that is known so far.
type prediction struct{ at, sd, df float64 }

// pools are the latest sessions by cell and by stage kind, filled in the order
// of time.
type pools struct {
	byCell map[Cell]*latest
	byKind map[string]*latest
}

// latest is the last sessions of a kind of work, and the parts done before them.
type latest struct {
	works  []*Work
	sum    bool // the last of works is a sum already
	before float64
	pool   *pool // of what is here, where it was asked for since the last session
}

func (l *latest) add(w *Work) {
	l.pool = nil
	if n := len(l.works); n > 0 && w.Session != "" && l.works[n-1].Session == w.Session &&
		l.works[n-1].Build == w.Build {
		if !l.sum {
			one := *l.works[n-1]
			l.works[n-1], l.sum = &one, true
		}
		l.works[n-1].Hours += w.Hours
		l.works[n-1].Parts += w.Parts
		return
	}
	if len(l.works) == 4*latestSessions { // now and then, so that adding stays cheap
		old := len(l.works) - latestSessions
		for _, w := range l.works[:old] {
			l.before += w.Parts
		}
		l.works = append([]*Work(nil), l.works[old:]...)
	}
	l.works, l.sum = append(l.works, w), false
}

// tail returns the latest sessions and the parts done before them.
func (l *latest) tail() (ws []*Work, before float64) {
	from := max(0, len(l.works)-latestSessions)
	before = l.before
	for _, w := range l.works[:from] {
		before += w.Parts
	}
	return l.works[from:], before
}

func emptyPools() pools { return pools{map[Cell]*latest{}, map[string]*latest{}} }

func newPools(history []Work) pools {
	out := emptyPools()
	for _, w := range inTime(history) {
		out.add(w)
	}
	return out
}

// inTime returns the Works a forecast can use, in the order of time.
func inTime(ws []Work) []*Work {
	out := make([]*Work, 0, len(ws))
	for _, w := range ordered(ws) {
		if w.Counted && w.timed() && w.Parts >= 0 {
			out = append(out, w)
		}
	}
	slices.SortStableFunc(out, func(a, b *Work) int {
		if c := a.Start.Compare(b.Start); c != 0 {
			return c
		}
		return cmp.Compare(a.Week, b.Week)
	})
	return out
}

func (p pools) add(w *Work) {
	c := cellOf(w)
	if p.byCell[c] == nil {
		p.byCell[c] = &latest{}
	}
	if p.byKind[c.Kind] == nil {
		p.byKind[c.Kind] = &latest{}
	}
	p.byCell[c].add(w)
	p.byKind[c.Kind].add(w)
}

// known are the pools of one forecast.
type known struct {
	pools
	cells map[Cell]*pool // nil = nothing was done in it
	kinds map[string]*pool
	moods float64 // correlation of the mood of an evening with the next
}

// settle looks at all that is known of the person: the evenings of all their work
// tell how moods follow each other.
func (p pools) settle() known {
	k := known{p, map[Cell]*pool{}, map[string]*pool{}, 0}
	var cells []*pool
	for _, c := range cellsOf(p.byCell) {
		k.cells[c] = poolOf(p.byCell[c])
		cells = append(cells, k.cells[c])
	}
	k.moods = moodsOf(cells).correlation()
	return k
}

func cellsOf(m map[Cell]*latest) []Cell {
	out := make([]Cell, 0, len(m))
	for c := range m {
		out = append(out, c)
	}
	slices.SortFunc(out, compareCells)
	return out
}

// from is the pool that a cell is drawn from: its own evenings, or where they are
// fewer than three and those of its stage kind are more, all of the kind. nil =
// nothing at all is known.
func (k known) from(c Cell) (p *pool, byKind bool) {
	own := k.cells[c]
	if own == nil || len(own.cost) < enoughOwn {
		kind, seen := k.kinds[c.Kind]
		if !seen {
			kind = poolOf(k.byKind[c.Kind])
			k.kinds[c.Kind] = kind
		}
		if kind != nil && (own == nil || len(kind.cost) >= enoughToDraw) {
			own, byKind = kind, true
		}
	}
	if own == nil {
		return nil, false
	}
	own.other = byKind
	own.swing(k.moods)
	return own, byKind
}

// poolOf is nil when the sessions brought nothing. A replay asks again and again, of much
// that was not worked on since.
func poolOf(l *latest) *pool {
	switch {
	case l == nil:
		return nil
	case l.pool == nil:
		l.pool = newPool(l)
	default:
		l.pool.bend(usualFollow)
	}
	return l.pool
}

func newPool(l *latest) *pool {
	ws, before := l.tail()
	p := &pool{works: ws, done: before}
	for i := range ws {
		p.done += ws[i].Parts
	}
	if !(p.done > before) {
		return nil
	}
	// After a long history the latest sessions hold no doubling: no curve is to
	// be had of them, and the search for one need not begin.
	if doublings(before, ws[0].Parts, p.done) >= enoughDoublings {
		p.curve = learnFrom(ws, before)
	}
	curved := p.curve.OK && p.curve.Undated == 0
	done := before
	for i, w := range ws {
		if i > 0 && sameEvening(w, ws[i-1]) {
			n := len(p.cost) - 1
			p.cost[n] += w.Hours
			p.yield[n] += w.Parts
		} else {
			p.cost, p.yield = append(p.cost, w.Hours), append(p.yield, w.Parts)
			if curved {
				p.mids = append(p.mids, 0)
			}
		}
		if n := len(p.cost) - 1; curved {
			p.mids[n] = math.Log((done + w.Parts - p.yield[n]/2 + 0.5) / (p.done + 0.5))
		}
		done += w.Parts
	}
	p.bend(usualFollow)
	return p
}

// bend reckons what the evenings were worth, on the slope of the learning curve
// where there is one. A spell of good evenings looks like learning: the standard
// error of the slope is that of evenings that follow each other. And it is drawn to
// the usual slope, because a few evenings can show any.
func (p *pool) bend(follow float64) {
	if p.mids == nil {
		p.value(p.yield)
		return
	}
	variance := p.curve.se * p.curve.se * (1 + follow) / (1 - follow)
	own := slopesDiffer * slopesDiffer / (slopesDiffer*slopesDiffer + variance)
	p.slope = prediction{at: usualSlope + own*(p.curve.b-usualSlope), sd: math.Sqrt(own * variance),
		df: p.curve.df + fewEvenings}
	_, of, _ := p.atPresentCost(p.slope.at, 0, 0)
	p.value(of)
}

// swing reckons the swings of the evenings, given how moods follow each other.
func (p *pool) swing(follow float64) {
	p.bend(follow)
	known := scatterIn(p.works)
	var sum float64
	for _, c := range p.cost {
		sum += c
	}
	p.swings = swingsOf(p.cost, p.worth, p.perYield/sum*float64(len(p.cost)), follow,
		supposed{mood: known.CV * known.CV, worth: min(fewEvenings+float64(known.N), usualWorth)})
}

// sameEvening says that two sessions share a mood.
func sameEvening(a, b *Work) bool { return a.Evening != "" && a.Evening == b.Evening }

// poolOfWeeks is nil when the weeks are too few or without an hour.
func poolOfWeeks(hours []float64) *pool {
	p := &pool{}
	var sum float64
	for _, h := range hours {
		p.cost, p.yield = append(p.cost, 1), append(p.yield, h)
		sum += h
	}
	if len(hours) < enoughWeeks || !(sum > 0) {
		return nil
	}
	p.value(p.yield)
	var row train
	row.add(p.worth)
	p.swings = swingsOf(p.cost, p.worth, 0, row.correlation(), supposed{mood: usualWeeks * usualWeeks, worth: fewWeeks})
	p.gaps = gapsBegin * gapsWorth / (gapsWorth + float64(len(hours)))
	return p
}

// value reckons what each evening was worth, from its yield at the present pace.
func (p *pool) value(yield []float64) {
	var cost, sum float64
	for i, y := range yield {
		cost += p.cost[i]
		sum += y
	}
	p.perYield = cost / sum
	p.worth = make([]float64, len(yield))
	for i, y := range yield {
		p.worth[i] = y * p.perYield
	}
}
