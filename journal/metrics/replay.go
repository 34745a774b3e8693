// Replay: how forecasts would have done on finished builds.

package metrics

import "slices"

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
