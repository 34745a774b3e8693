// Zeros: sessions in which nothing got done.

package metrics

import (
	"maps"
	"slices"
)

// shareZeros gives the hours of sessions that did nothing, and so are of no class
// of parts, to the classes that were worked on in the same kind of work, by their
// hours: what was tried and not done would have been of one of them. Without it a
// pace by class has all the parts and not all the hours. ws is ordered; so is what
// comes back.
func shareZeros(ws []*Work) []*Work {
	type group struct{ build, kind, finish string }
	zero := func(w *Work) bool { return w.Parts == 0 && w.Class == "" && len(w.Mix) == 0 && w.timed() }
	found := false
	for i := range ws {
		found = found || zero(ws[i])
	}
	if !found {
		return ws
	}
	hours := map[group]map[string]float64{}
	for _, w := range ws {
		g := group{w.Build, w.Kind, w.Finish}
		if zero(w) || !w.timed() {
			continue
		}
		if hours[g] == nil {
			hours[g] = map[string]float64{}
		}
		hours[g][w.Class] += w.Hours
	}
	out := make([]*Work, 0, len(ws))
	for _, w := range ws {
		of := hours[group{w.Build, w.Kind, w.Finish}]
		if !zero(w) || len(of) == 0 {
			out = append(out, w)
			continue
		}
		out = append(out, w.overClasses(of)...)
	}
	return out
}

// overClasses splits the hours of a Work by those of classes.
func (w *Work) overClasses(hours map[string]float64) []*Work {
	var sum float64
	for _, class := range slices.Sorted(maps.Keys(hours)) {
		sum += hours[class]
	}
	var out []*Work
	for _, class := range slices.Sorted(maps.Keys(hours)) {
		piece := *w
		piece.Class, piece.Hours = class, w.Hours*hours[class]/sum
		out = append(out, &piece)
	}
	return out
}
