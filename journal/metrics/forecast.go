// Forecast: how many hours and weeks are left, by resampling one's own.

package metrics

import (
	"cmp"
	"fmt"
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// The fewest sessions of a kind of work, and the fewest weeks, that a
	// forecast rests on. Below it the spread is wider than any use of it.
	enoughToForecast = 5
	// A forecast looks at this many sessions of a kind of work, the latest: older
	// ones are of a slower hand.
	latestSessions = 30
	forecastDraws  = 2000
	// A replay only asks whether the truth lies within; the limits may be coarser.
	replayDraws = 100
)

// Task is work that is left. Tasks stand in their order of work, which is by
// kit where kits are worked one after another.
type Task struct {
	Cell
	Kit   int
	Parts float64
}

// Spread is a prediction: one half of the outcomes should lie between the
// limits of 50, four in five between those of 80.
type Spread struct {
	Low80, Low50, Middle, High50, High80 float64
}

// KitLeft is when a kit is done: hours and weeks from now, the kits before it included.
type KitLeft struct {
	Kit          int
	Hours, Weeks Spread
}

// Forecast is what is left of a build.
type Forecast struct {
	Hours   Spread // bench hours
	Weeks   Spread // weeks from now, pauses aside; all 0 when !WeeksOK
	WeeksOK bool
	WhyNot  string    // why there are no weeks, when !WeeksOK
	Kits    []KitLeft // in order of work, when there is more than one

	N        int    // sessions it rests on
	NWeeks   int    // weeks it rests on
	Pooled   []Cell // cells judged by their stage kind, because the cell itself has too few sessions
	LeftOut  []Task // work that nothing is known of: its hours come on top
	OK       bool
	Why      string
	Sessions []string
}

// Predict forecasts the tasks from the sessions of history and the bench hours
// of weeks: all weeks since the habit began in which no pause held, those without
// an hour too.
//
// The hours of a task are drawn from the latest thirty sessions of its cell, else of
// its stage kind. A draw has two halves: what the pace may really be (sessions
// drawn anew, one fewer than there are), and how the sessions to come may go
// (sessions drawn until the parts are done). Both stretch the log of the hours,
// by the heavier tail of Student's t where the sessions are few. The weeks are
// drawn likewise, from hours to weeks as from parts to hours. It is a
// prediction of what will happen, not an interval of a mean, and so it stays
// wide however long the history.
//
// Where the learning curve can be fitted, each draw takes a slope from it, with
// its uncertainty, and reckons the parts of every session at what they would have
// cost now; the parts to come cost less as the curve says, up to twice the parts
// done. How it goes on from there is not known, so each draw lets it go on by a
// share of its slope drawn evenly between none and all: that widens the spread
// to both sides and claims neither. Without the curve the hours of a learner are forecast
// too high three times in four.
//
// Work without a count, and cells of which fewer than five sessions are known
// even by kind, are in LeftOut. The same seed gives the same forecast.
func Predict(tasks []Task, history []Work, weeks []float64, seed uint64) Forecast {
	return newPools(history).predict(tasks, weeks, seed, forecastDraws)
}

func (p pools) predict(tasks []Task, weeks []float64, seed uint64, draws int) Forecast {
	var f Forecast
	rng := newDice(seed)
	hours := make([]float64, draws)
	sessions := map[string]bool{}
	var kits []KitLeft
	var atKit [][]float64
	for _, task := range tasks {
		if !(task.Parts > 0) {
			continue
		}
		from, byKind := p.of(task.Cell)
		if from == nil {
			f.LeftOut = append(f.LeftOut, task)
			continue
		}
		if byKind && !slices.Contains(f.Pooled, task.Cell) {
			f.Pooled = append(f.Pooled, task.Cell)
		}
		if draws > replayDraws { // a replay names no sessions
			for _, w := range from.works {
				sessions[w.Build+"\x00"+w.Session] = true
				f.Sessions = append(f.Sessions, w.Session)
			}
		}
		for i, h := range from.draw(rng, task.Parts, draws) {
			hours[i] += h
		}
		if len(kits) == 0 || kits[len(kits)-1].Kit != task.Kit {
			kits, atKit = append(kits, KitLeft{Kit: task.Kit}), append(atKit, make([]float64, draws))
		}
		copy(atKit[len(kits)-1], hours)
	}
	slices.Sort(f.Sessions)
	f.Sessions = slices.Compact(f.Sessions)
	f.N = len(sessions)
	switch {
	case len(kits) > 0:
		f.OK = true
		f.Hours = spreadOf(slices.Clone(hours))
	case len(f.LeftOut) > 0:
		f.Why = fmt.Sprintf("too few to tell: fewer than %d sessions of the work that is left", enoughToForecast)
	default:
		f.Why = "nothing that is counted is left"
	}
	f.NWeeks = len(weeks)
	habit := poolOfWeeks(weeks)
	switch {
	case !f.OK:
		f.WhyNot = f.Why
	case habit == nil:
		f.WhyNot = fmt.Sprintf("too few to tell: %s at the bench, %d needed", plural(len(weeks), "week"), enoughToForecast)
	default:
		f.WeeksOK = true
		f.Weeks = spreadOf(habit.drawEach(rng, hours))
	}
	if len(kits) > 1 {
		for i := range kits {
			kits[i].Hours = spreadOf(slices.Clone(atKit[i]))
			if f.WeeksOK {
				kits[i].Weeks = spreadOf(habit.drawEach(rng, atKit[i]))
			}
		}
		f.Kits = kits
	}
	return f
}

// spreadOf sorts the draws and reads their quantiles.
func spreadOf(draws []float64) Spread {
	slices.Sort(draws)
	q := func(p float64) float64 { return stat.Quantile(p, stat.LinInterp, draws, nil) }
	return Spread{q(0.1), q(0.25), q(0.5), q(0.75), q(0.9)}
}

// pool is what a forecast is drawn from: what each session cost and brought.
type pool struct {
	works       []Work
	cost, yield []float64
	perYield    float64 // Σ cost / Σ yield

	mids  []float64 // log of the middle part of each session over all parts done; nil = no curve
	done  float64   // all parts done
	curve Learning
	worth []float64 // scratch of one draw: yields at what they cost now
}

// pools are the latest sessions by cell and by stage kind, filled in the order
// of time.
type pools struct {
	byCell map[Cell]*latest
	byKind map[string]*latest
}

// latest is the last sessions of a kind of work, and the parts done before them.
type latest struct {
	works  []Work
	before float64
}

func (l *latest) add(w Work) {
	if n := len(l.works); n > 0 && w.Session != "" && l.works[n-1].Session == w.Session && l.works[n-1].Build == w.Build {
		l.works[n-1].Hours += w.Hours
		l.works[n-1].Parts += w.Parts
		return
	}
	if len(l.works) == 4*latestSessions { // now and then, so that adding stays cheap
		old := len(l.works) - latestSessions
		for _, w := range l.works[:old] {
			l.before += w.Parts
		}
		l.works = append([]Work(nil), l.works[old:]...)
	}
	l.works = append(l.works, w)
}

// tail returns the latest sessions and the parts done before them.
func (l *latest) tail() (ws []Work, before float64) {
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
func inTime(ws []Work) []Work {
	var out []Work
	for _, w := range ordered(ws) {
		if w.Counted && w.timed() && w.Parts >= 0 {
			out = append(out, w)
		}
	}
	slices.SortStableFunc(out, func(a, b Work) int {
		if c := a.Start.Compare(b.Start); c != 0 {
			return c
		}
		return cmp.Compare(a.Week, b.Week)
	})
	return out
}

func (p pools) add(w Work) {
	c := cellOf(&w)
	if p.byCell[c] == nil {
		p.byCell[c] = &latest{}
	}
	if p.byKind[c.Kind] == nil {
		p.byKind[c.Kind] = &latest{}
	}
	p.byCell[c].add(w)
	p.byKind[c.Kind].add(w)
}

func (p pools) of(c Cell) (from *pool, byKind bool) {
	if one := poolOf(p.byCell[c]); one != nil {
		return one, false
	}
	return poolOf(p.byKind[c.Kind]), true
}

// poolOf is nil when the sessions are too few or brought nothing.
func poolOf(l *latest) *pool {
	if l == nil {
		return nil
	}
	ws, before := l.tail()
	p := &pool{works: ws, done: before, cost: make([]float64, 0, len(ws)), yield: make([]float64, 0, len(ws))}
	for i := range ws {
		p.done += ws[i].Parts
		p.cost, p.yield = append(p.cost, ws[i].Hours), append(p.yield, ws[i].Parts)
	}
	// After a long history the latest sessions hold no doubling: no curve is to
	// be had of them, and the search for one need not begin.
	if doublings(before, ws[0].Parts, p.done) >= enoughDoublings {
		p.curve, _ = learnFrom(ws, before)
	}
	if p.curve.OK && p.curve.Undated == 0 {
		done := before
		for i := range ws {
			p.mids = append(p.mids, math.Log((done+ws[i].Parts/2+0.5)/(p.done+0.5)))
			done += ws[i].Parts
		}
	}
	return p.settle()
}

func poolOfWeeks(hours []float64) *pool {
	p := &pool{}
	for _, h := range hours {
		p.cost, p.yield = append(p.cost, 1), append(p.yield, h)
	}
	return p.settle()
}

func (p *pool) settle() *pool {
	var cost, yield float64
	for i, c := range p.cost {
		cost += c
		yield += p.yield[i]
	}
	if len(p.cost) < enoughToForecast || !(yield > 0) {
		return nil
	}
	p.perYield = cost / yield
	return p
}

// draw returns draws of the cost of the given yield.
func (p *pool) draw(rng *dice, yield float64, draws int) []float64 {
	out := make([]float64, draws)
	for i := range out {
		out[i] = p.one(rng, yield)
	}
	return out
}

// drawEach returns one draw of the cost for each yield.
func (p *pool) drawEach(rng *dice, yields []float64) []float64 {
	out := make([]float64, len(yields))
	for i, y := range yields {
		out[i] = p.one(rng, y)
	}
	return out
}

// dice are the random numbers of a forecast.
type dice struct {
	*rand.Rand
	pcg *rand.PCG // the source of Rand, so that both draw from one stream
}

func newDice(seed uint64) *dice {
	pcg := rand.NewPCG(seed, 1)
	return &dice{rand.New(pcg), pcg}
}

// below draws a number from 0 to n-1, without the detour over an interface that
// Rand takes: forecasts draw sessions by the million. Numbers that would favour the
// first few are drawn again, as Rand does.
func (d *dice) below(n int) int {
	most := uint64(n)
	if most&(most-1) == 0 {
		return int(d.pcg.Uint64() & (most - 1))
	}
	high, low := bits.Mul64(d.pcg.Uint64(), most)
	for low < most && low < -most%most {
		high, low = bits.Mul64(d.pcg.Uint64(), most)
	}
	return int(high)
}

// mostDrawn bounds the sessions of one draw; beyond it the scatter of what is
// to come is nothing beside that of the pace.
const mostDrawn = 400

func (p *pool) one(rng *dice, parts float64) float64 {
	if parts <= 0 {
		return 0
	}
	n := len(p.cost)
	yield, of, perYield := parts, p.yield, p.perYield
	if p.mids != nil {
		yield, of, perYield = p.atPresentCost(rng, parts)
	}
	// What the pace may be. A draw without a yield is drawn again: it says
	// "never", which no forecast can use.
	var c, y float64
	for !(y > 0) {
		c, y = 0, 0
		for range n - 1 {
			i := rng.below(n)
			c += p.cost[i]
			y += of[i]
		}
	}
	pace := math.Log(c / y / perYield)
	// How it may go.
	var spent float64
	left := yield
	for drawn := 0; left > 0 && drawn < mostDrawn; drawn++ {
		i := rng.below(n)
		if of[i] > left {
			spent += p.cost[i] * left / of[i]
			left = 0
			break
		}
		spent += p.cost[i]
		left -= of[i]
	}
	run := math.Log((spent + left*perYield) / (yield * perYield))
	// The spread of n sessions understates that of the sessions by (n−1)/n.
	run *= math.Sqrt(float64(n) / float64(n-1))
	df := float64(n - 1)
	heavier := math.Sqrt(df / distuv.ChiSquared{K: df, Src: rng}.Rand())
	return yield * perYield * math.Exp(heavier*(pace+run))
}

// steepest bounds a drawn slope: a curve that halves the time of a part at each
// doubling, or adds a tenth, is luck.
const steepest, risingMost = -1.0, 0.14

// bent is by how much the slope ahead may differ from the slope behind beyond
// what its interval says: the count of parts begins with the journal and not with
// the person, so that the curve behind is not quite straight. 0.05 is three
// and a half in a hundred at each doubling. Simulated with 200 parts before the journal,
// forecasts without it cover in 74 %.
const bent = 0.05

// atPresentCost draws a slope of the learning curve and returns the parts to
// come and those of each session in parts at what one costs now.
func (p *pool) atPresentCost(rng *dice, parts float64) (yield float64, of []float64, perYield float64) {
	b := p.curve.b + math.Hypot(p.curve.se, bent)*distuv.StudentsT{Mu: 0, Sigma: 1, Nu: p.curve.df, Src: rng}.Rand()
	b = min(max(b, steepest+1e-9), risingMost)
	if p.worth == nil {
		p.worth = make([]float64, len(p.yield))
	}
	var cost, sum float64
	for i, y := range p.yield {
		p.worth[i] = y * math.Exp(b*p.mids[i])
		sum += p.worth[i]
		cost += p.cost[i]
	}
	end := 1 + parts/p.done
	reach := min(end, furthest)
	yield = p.done * (math.Pow(reach, b+1) - 1) / (b + 1)
	if end > reach {
		on := b * rng.Float64()
		yield += p.done * math.Pow(reach, b+1) * (math.Pow(end/reach, on+1) - 1) / (on + 1)
	}
	return yield, p.worth, cost / sum
}

// Replay is how forecasts would have done on finished builds.
type Replay struct {
	Share      float64 // of the parts done when the forecast was made
	N          int     // forecasts
	In50, In80 int     // of them, the true hours within the limits
}

// Calibrate replays finished builds, given in their order: at 20, 40, 60 and
// 80 % of the counted parts it forecasts the rest from the sessions before and
// looks where the true hours fell. Cells without history are left out of both.
func Calibrate(finished [][]Work, seed uint64) []Replay {
	out := []Replay{{Share: 0.2}, {Share: 0.4}, {Share: 0.6}, {Share: 0.8}}
	known := emptyPools()
	for b, build := range finished {
		ws := inTime(build)
		var all, done float64
		for _, w := range ws {
			all += w.Parts
		}
		cut := 0
		for i := range out {
			for ; cut < len(ws) && done < out[i].Share*all; cut++ {
				done += ws[cut].Parts
				known.add(ws[cut])
			}
			out[i].judge(known, ws[cut:], seed+uint64(b))
		}
		for _, w := range ws[cut:] {
			known.add(w)
		}
	}
	return out
}

func (r *Replay) judge(known pools, rest []Work, seed uint64) {
	left, took := map[Cell]float64{}, map[Cell]float64{}
	for _, w := range rest {
		left[cellOf(&w)] += w.Parts
		took[cellOf(&w)] += w.Hours
	}
	var tasks []Task
	for c, parts := range left {
		tasks = append(tasks, Task{Cell: c, Parts: parts})
	}
	slices.SortFunc(tasks, func(a, b Task) int { return compareCells(a.Cell, b.Cell) })
	f := known.predict(tasks, nil, seed, replayDraws)
	if !f.OK {
		return
	}
	for _, t := range f.LeftOut {
		delete(took, t.Cell)
	}
	var hours float64
	for c, h := range took {
		if left[c] > 0 {
			hours += h
		}
	}
	r.N++
	if f.Hours.Low50 <= hours && hours <= f.Hours.High50 {
		r.In50++
	}
	if f.Hours.Low80 <= hours && hours <= f.Hours.High80 {
		r.In80++
	}
}

// Sentence says the forecast in words.
func (f Forecast) Sentence(label string) string {
	if !f.OK {
		return fmt.Sprintf("%s: no forecast (%s).", label, f.Why)
	}
	s := fmt.Sprintf("%s: about %s hours left; four times in five between %s and %s (%s)", label, figure(f.Hours.Middle),
		figure(f.Hours.Low80), figure(f.Hours.High80), plural(f.N, "session"))
	if n := len(f.LeftOut); n > 0 {
		s += fmt.Sprintf(", and on top of that %s of work that no session tells of", plural(n, "kind"))
	}
	return s + "."
}
