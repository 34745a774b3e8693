// Replay: how forecasts would have done on finished builds.

package metrics

import "slices"

// Replay is how forecasts made at one share of the work would have done on
// finished builds. Each build is in it once at most.
type Replay struct {
	Share      float64 // of the parts done when the forecast was made
	N          int     // builds of which there was a forecast
	In50, In80 int     // of them, the true hours within the limits
}

// halfway is the share by which a build counts as held: forecasts of one build at
// several shares have its luck in common, and are no further evidence.
const halfway = 0.5

// Calibrate replays the builds named: when a quarter, half and three quarters of
// a build's counted parts were done, it forecasts the rest from all sessions of the
// history before, and looks where the true hours fell. Cells without history are
// left out of both.
func Calibrate(history []Work, builds []string, seed uint64) []Replay {
	out := []Replay{{Share: 0.25}, {Share: halfway}, {Share: 0.75}}
	ws := inTime(history)
	of := map[string]*replayed{}
	for i, id := range builds {
		of[id] = &replayed{seed: seed + uint64(i)}
	}
	for _, w := range ws {
		if b := of[w.Build]; b != nil {
			b.works = append(b.works, w)
			b.parts += w.Parts
		}
	}
	known := emptyPools()
	for _, w := range ws {
		known.add(w)
		b := of[w.Build]
		if b == nil {
			continue
		}
		b.done += w.Parts
		b.seen++
		for ; b.next < len(out) && b.done >= out[b.next].Share*b.parts; b.next++ {
			out[b.next].judge(known, b.works[b.seen:], b.seed)
		}
	}
	return out
}

// replayed is a build on its way through Calibrate.
type replayed struct {
	works       []*Work
	parts, done float64
	seen, next  int // sessions gone by; the share that comes next
	seed        uint64
}

// Halfway is the replay that the record is told by.
func Halfway(replays []Replay) Replay {
	i := slices.IndexFunc(replays, func(r Replay) bool { return r.Share == halfway })
	if i < 0 {
		return Replay{Share: halfway}
	}
	return replays[i]
}

func (r *Replay) judge(known pools, rest []*Work, seed uint64) {
	left, took := map[Cell]float64{}, map[Cell]float64{}
	for _, w := range rest {
		c := cellOf(w)
		left[c] += w.Parts
		took[c] += w.Hours
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
