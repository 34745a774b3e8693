// The common rate ratio: one speed of two builds over many kinds of work.

package metrics

import (
	"cmp"
	"math"
	"slices"
)

// matched is a kind of work that both builds hold, with their sessions on classes of
// parts that both worked on.
type matched struct {
	work
	minutes partMinutes
	works   [2][]*Work   // Parts as they were done
	parts   [2][]float64 // by class
	of      strata       // in parts of the usual minutes
	chance  float64      // variance of such a count by chance, over its mean
	weight  float64      // what one such part counts for beside those of other kinds
}

// matchedOf finds the kinds of work. The Works are usable, ordered, with classes
// told. What was done on classes that the other build never touched is like nothing there,
// and stays out.
func matchedOf(sides [2][]*Work, on [2]*calendar, known Scatter) []*matched {
	in := map[work]*matched{}
	var all []*matched
	for k, ws := range sides {
		for _, w := range ws {
			key := work{w.Kind, w.Finish}
			if in[key] == nil {
				in[key] = &matched{work: key}
				all = append(all, in[key])
			}
			in[key].works[k] = append(in[key].works[k], w)
		}
	}
	slices.SortFunc(all, func(a, b *matched) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.finish, b.finish))
	})
	return slices.DeleteFunc(all, func(m *matched) bool { return !m.match(on, known) })
}

// match keeps what both builds worked on and says whether that is anything.
func (m *matched) match(on [2]*calendar, known Scatter) bool {
	if len(m.works[0]) == 0 || len(m.works[1]) == 0 {
		return false
	}
	classes, both := m.classes()
	whole := slices.Concat(m.works[0], m.works[1])
	for k := range m.works {
		m.works[k] = slices.DeleteFunc(m.works[k], func(w *Work) bool {
			return !w.nothing() && !slices.ContainsFunc(both, func(class string) bool { return w.does(class) })
		})
		if !slices.ContainsFunc(m.works[k], (*Work).timed) {
			return false
		}
	}
	m.minutes = minutesOf(classes, whole, known)
	for k, ws := range m.works {
		m.parts[k] = make([]float64, len(classes))
		for _, w := range ws {
			for c, class := range classes {
				if w.timed() {
					m.parts[k][c] += w.of(class)
				}
			}
		}
	}
	usual := m.usual(m.minutes.log)
	if !(usual > 0) {
		return false
	}
	for k, ws := range m.works {
		m.of[k] = on[k].stratumOf(bySession(m.standards(ws, usual)))
	}
	m.weigh(usual, known)
	return true
}

// standards are the sessions with their parts in parts of the usual minutes.
func (m *matched) standards(ws []*Work, usual float64) []*Work {
	out, all := make([]*Work, len(ws)), make([]Work, len(ws))
	for i, w := range ws {
		// No more than a stratum looks at.
		all[i] = Work{Session: w.Session, Build: w.Build, Evening: w.Evening, Hours: w.Hours,
			Parts: m.standard(w) / usual}
		out[i] = &all[i]
	}
	return out
}

// does says whether a session was on parts of a class.
func (w *Work) does(class string) bool {
	if len(w.Mix) == 0 {
		return w.Class == class
	}
	return slices.ContainsFunc(w.Mix, func(m ClassParts) bool { return m.Class == class && m.Parts != 0 })
}

// nothing says that nothing was done, on no class that is told.
func (w *Work) nothing() bool { return w.Parts == 0 && w.Class == "" && len(w.Mix) == 0 }

// classes lists those of the sessions, and which of them both builds worked on.
func (m *matched) classes() (all, both []string) {
	var of [2][]string
	for k, ws := range m.works {
		see := func(class string) {
			if !slices.Contains(of[k], class) {
				of[k] = append(of[k], class)
			}
		}
		for _, w := range ws {
			if w.nothing() || !w.timed() {
				continue
			}
			if len(w.Mix) == 0 {
				see(w.Class)
			}
			for _, x := range w.Mix {
				if x.Parts != 0 {
					see(x.Class)
				}
			}
		}
	}
	for _, class := range of[0] {
		if slices.Contains(of[1], class) {
			both = append(both, class)
		}
	}
	all = slices.Concat(of[0], of[1])
	slices.Sort(all)
	return slices.Compact(all), both
}

// standard is the minutes of a session's parts, up to the factor usual.
func (m *matched) standard(w *Work) (sum float64) {
	for c, class := range m.minutes.classes {
		if q := w.of(class); q != 0 {
			sum += q * math.Exp(m.minutes.log[c])
		}
	}
	return sum
}

// usual is the minutes of a part in the middle of all parts of both builds, so that
// they are as many in parts of the usual minutes.
func (m *matched) usual(log []float64) float64 {
	var minutes, parts float64
	for k := range m.parts {
		for c, q := range m.parts[k] {
			minutes += q * math.Exp(log[c])
			parts += q
		}
	}
	return minutes / parts
}

// weigh says what the parts count for: a kind of work with many small parts brings
// large counts, and they are no surer for that than their moods let them be. So a part
// counts for one over the variance of the count per part, chance and mood.
func (m *matched) weigh(usual float64, known Scatter) {
	var minutes, squares float64
	for k := range m.parts {
		for c, q := range m.parts[k] {
			x := math.Exp(m.minutes.log[c]) / usual
			minutes += q * x
			squares += q * x * x
		}
	}
	m.chance = squares / minutes
	hours := m.of[0].sumHours + m.of[1].sumHours
	pace := (m.of[0].sumOut + m.of[1].sumOut) / hours
	var moods float64
	for _, s := range m.of {
		for _, l := range s.loads {
			moods += known.own()*l.squares + known.mood()*l.hours*l.hours
		}
	}
	m.weight = 1 / (m.chance + pace*moods/hours)
}

// commonRatio is the common ratio φ of the rates of two builds over kinds of work: p1 parts
// in h1 hours of the later, p0 in h0 of the earlier, each part of its weight w. It solves
//
//	Σ w·(p1·h0 − φ·p0·h1)/(h0+h1) = 0
//
// as Mantel and Haenszel have it for events in person-time, with w = 1. A kind of work may
// be small: one part on a side is enough, and a count may be 0. Where the ratio differs
// between them φ is a mean of it, with weights w·p0·h1/(h0+h1).
//
// Mantel N., Haenszel W. (1959), Journal of the National Cancer Institute 22, 719–748;
// Rothman K.J., Greenland S., Modern Epidemiology, chapter on stratified analysis;
// Greenland S., Robins J.M. (1985), Biometrics 41, 55–68.
func commonRatio(of []*matched) float64 {
	var later, earlier float64
	for _, m := range of {
		later += m.bring(1, m.of[1].sumOut)
		earlier += m.bring(0, m.of[0].sumOut)
	}
	return later / earlier
}

// bring is what so many parts of a side bring to its sum of the common ratio.
func (m *matched) bring(side int, parts float64) float64 {
	h := [2]float64{m.of[0].sumHours, m.of[1].sumHours}
	return m.weight * parts * h[1-side] / (h[0] + h[1])
}

// byMinutes is by how much the log of the common ratio moves with the logs of the
// minutes a part of one kind of work: 0 where both builds have one mix of classes.
func byMinutes(of []*matched, at int) []float64 {
	m := of[at]
	out := make([]float64, len(m.minutes.classes))
	if len(out) < 2 {
		return out
	}
	var rest [2]float64
	for _, o := range of {
		if o != m {
			rest[0] += o.bring(0, o.of[0].sumOut)
			rest[1] += o.bring(1, o.of[1].sumOut)
		}
	}
	log := slices.Clone(m.minutes.log)
	speed := func() float64 {
		usual := m.usual(log)
		sum := rest
		for k := range sum {
			var minutes float64
			for c, q := range m.parts[k] {
				minutes += q * math.Exp(log[c])
			}
			sum[k] += m.bring(k, minutes/usual)
		}
		return math.Log(sum[1] / sum[0])
	}
	const h = 1e-4
	for c := range out {
		log[c] += h
		up := speed()
		log[c] -= 2 * h
		out[c] = (up - speed()) / (2 * h)
		log[c] += h
	}
	return out
}

// voice is what a comparison's number hears of one build: by block of its evenings
// how the log of the number moves with the mood, and by kind of work and block with what
// is the sessions' own, times its standard deviation.
type voice struct {
	calendar *calendar
	mood     []float64
	own      []ownVoice // in the order of the kinds of work
}

// ownVoice is what is a kind of work's own, by block.
type ownVoice struct {
	work
	by []float64
}

// hears is the covariance of two numbers by the evenings of one build, under the
// working model of spreadOf.
func (v voice) hears(o voice, known Scatter) (sum float64) {
	moods := v.calendar.moods(known)
	for e, x := range v.mood {
		for f, y := range o.mood {
			sum += x * y * moods.at(e, f)
		}
	}
	for _, own := range v.own {
		at := slices.IndexFunc(o.own, func(other ownVoice) bool { return other.work == own.work })
		if at < 0 {
			continue
		}
		for e, x := range o.own[at].by {
			sum += x * own.by[e]
		}
	}
	return sum
}

// commonSpread is how surely the common ratio phi is known. Linearised, a session of
// p parts in h hours moves log φ by
//
//	later side     w·h0/(h0+h1) · (p − φ·λ·h) / (φ·S)      λ = (p0+p1)/(h0+φ·h1)
//	earlier side  −w·φ·h1/(h0+h1) · (p − λ·h) / (φ·S)      S = Σ w·p0·h1/(h0+h1)
//
// with w the weight of its kind of work. ψ is the sum of an evening over all kinds of
// work of a build, so that kinds with one session are in, and V = Σ ψ². λ and φ bend to
// each evening; under the working model of spreadOf that makes the ψ a linear map of
// moods and chance, and variance and degrees of freedom follow as there: the bend by λ is
// that of each kind of work, the bend by φ that of all.
func commonSpread(of []*matched, on [2]*calendar, known Scatter, phi float64) (spread, [2]voice) {
	f := newCommonFit(of, on, known, phi)
	for _, m := range of {
		f.add(m)
	}
	s := f.spread()
	return s, f.voices
}

// commonFit gathers the evenings of both builds, those of the later one behind those
// of the earlier.
type commonFit struct {
	on     [2]*calendar
	known  Scatter
	phi, s float64 // φ, S
	psi    []float64
	mood   []float64 // by how much log φ moves with the mood of each block
	bend   []float64 // by how much each ψ bends with log φ
	half   []float64 // covariance of each ψ's own part with log φ
	own    float64   // variance of log φ by all that is not mood
	a, g   square    // map from moods to ψ, and covariance of ψ, but for the bend by φ
	floor  float64
	voices [2]voice
}

func newCommonFit(of []*matched, on [2]*calendar, known Scatter, phi float64) *commonFit {
	n := on[0].n + on[1].n
	f := &commonFit{on: on, known: known, phi: phi, psi: make([]float64, n), mood: make([]float64, n),
		bend: make([]float64, n), half: make([]float64, n), a: newSquare(n), g: newSquare(n)}
	for _, m := range of {
		f.s += m.bring(0, m.of[0].sumOut)
	}
	for k := range f.voices {
		f.voices[k] = voice{calendar: on[k]}
	}
	return f
}

// heard is one block of a kind of work as the fit sees it.
type heard struct {
	at           int     // block, of both builds
	by           float64 // by how much log φ moves with a part
	mean, share  float64 // parts expected, and of all of the kind
	chance, left float64 // variance of the parts but for mood, and their residual
	pull         float64 // by how much the residual falls when log φ rises
}

func (f *commonFit) hear(m *matched) []heard {
	h0, h1 := m.of[0].sumHours, m.of[1].sumHours
	all := h0 + f.phi*h1
	pace := (m.of[0].sumOut + m.of[1].sumOut) / all
	by := [2]float64{-m.weight * f.phi * h1 / (h0 + h1) / (f.phi * f.s), m.weight * h0 / (h0 + h1) / (f.phi * f.s)}
	rate, pull := [2]float64{1, f.phi}, [2]float64{-f.phi * h1 / all, f.phi * h0 / all}
	var out []heard
	for k, s := range m.of {
		f.floor += by[k] * by[k] * roundingVariance * float64(s.sessions) * m.chance
		for _, l := range s.loads {
			mean := rate[k] * pace * l.hours
			own := rate[k] * pace
			out = append(out, heard{at: l.at + k*f.on[0].n, by: by[k], mean: mean, share: rate[k] * l.hours / all,
				chance: own*own*f.known.own()*l.squares + mean*m.chance, left: l.parts - mean,
				pull: pull[k] * pace * l.hours})
		}
	}
	return out
}

// add brings in a kind of work.
func (f *commonFit) add(m *matched) {
	rows := f.hear(m)
	for k := range f.voices {
		f.voices[k].own = append(f.voices[k].own, ownVoice{m.work, make([]float64, f.on[k].n)})
	}
	var t0, t1 float64
	for _, r := range rows {
		t0, t1 = t0+r.chance, t1+r.by*r.chance
		f.own += r.by * r.by * r.chance
	}
	for _, r := range rows {
		f.psi[r.at] += r.by * r.left
		f.mood[r.at] += r.by * r.mean
		f.bend[r.at] += r.by * r.pull
		f.half[r.at] += r.by*r.by*r.chance - r.by*r.share*t1
		f.a.add(r.at, r.at, r.by*r.mean)
		f.g.add(r.at, r.at, r.by*r.by*r.chance)
		for _, q := range rows {
			f.a.add(r.at, q.at, -r.by*r.share*q.mean)
			f.g.add(r.at, q.at, r.by*q.by*(r.share*q.share*t0-r.chance*q.share-r.share*q.chance))
		}
		k, at := 0, r.at
		if at >= f.on[0].n {
			k, at = 1, at-f.on[0].n
		}
		f.voices[k].own[len(f.voices[k].own)-1].by[at] += r.by * math.Sqrt(r.chance)
	}
}

// spread ends the fit: φ bends, and evenings of one build go on into the next.
func (f *commonFit) spread() spread {
	n, first := len(f.psi), f.on[0].n
	f.voices[0].mood, f.voices[1].mood = f.mood[:first], f.mood[first:]
	for e := range n {
		for g := range n {
			f.a.add(e, g, -f.bend[e]*f.mood[g])
			f.g.add(e, g, f.bend[e]*f.bend[g]*f.own-f.half[e]*f.bend[g]-f.bend[e]*f.half[g])
		}
	}
	mood := newSquare(n)
	for k, c := range f.on {
		of := c.moods(f.known)
		for e := range c.n {
			for g := range c.n {
				mood.add(e+k*first, g+k*first, of.at(e, g))
			}
		}
	}
	model := f.own
	for e, x := range f.mood {
		for g, y := range f.mood {
			model += x * y * mood.at(e, g)
		}
	}
	reach := max(f.on[0].reach(), f.on[1].reach())
	f.a.times(mood, reach).timesTransposed(f.a, f.g)
	var trace, square, v float64
	for e := range n {
		trace += f.g.at(e, e)
		v += f.psi[e] * f.psi[e]
	}
	for _, x := range f.g.v {
		square += x * x
	}
	out := spread{floor: f.floor}
	if square > 0 && trace > 1e-9*model {
		out.df = trace * trace / square
		v *= model / trace
	} else {
		v = 0
	}
	worth := f.known.worth(out.df)
	out.variance = math.Max((out.df*v+worth*model)/(out.df+worth), f.floor)
	out.df += worth
	return out
}
