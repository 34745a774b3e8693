// The sessions of a learning curve, in the order in which they were worked.

package metrics

import (
	"cmp"
	"slices"
)

// lesson is a session on the curve.
type lesson struct {
	cell                 Cell
	build                string
	evening              int     // within its build, from 0
	before, parts, hours float64 // before: parts of its kind done until it began
}

// lessons puts the sessions in the order in which they were worked, and counts them;
// before are the parts of a stage kind done before the first of them.
func (l *Learning) lessons(ws []*Work, before func(kind string) float64) []lesson {
	dated := make([]*Work, 0, len(ws))
	for _, w := range inOrder(slices.Clone(ws)) {
		switch {
		case w.lesson():
			dated = append(dated, w)
		case w.Counted && w.timed() && w.Parts >= 0:
			l.Undated++
		}
	}
	l.Sessions = sessionIDs(dated)
	// One session on two cells is two lessons that begin together.
	slices.SortStableFunc(dated, func(a, b *Work) int {
		if c := a.Start.Compare(b.Start); c != 0 {
			return c
		}
		return compareCells(cellOf(a), cellOf(b))
	})
	done := map[string]float64{}
	out := make([]lesson, 0, len(dated))
	count := eveningsOf{}
	for i, w := range dated {
		if _, begun := done[w.Kind]; !begun {
			done[w.Kind] = before(w.Kind)
		}
		if i > 0 && w.Session != "" && w.Session == dated[i-1].Session && cellOf(w) == cellOf(dated[i-1]) {
			out[len(out)-1].parts += w.Parts
			out[len(out)-1].hours += w.Hours
		} else {
			out = append(out, lesson{cellOf(w), w.Build, count.of(w), done[w.Kind], w.Parts, w.Hours})
		}
		done[w.Kind] += w.Parts
		l.Parts += w.Parts
	}
	l.N, l.Evenings, l.Builds = len(out), count.all(), len(count)
	return out
}

// lesson says whether a Work has its place on a curve.
func (w *Work) lesson() bool { return w.Counted && w.timed() && w.Parts >= 0 && !w.Start.IsZero() }

// eveningsOf numbers the evenings of each build in the order in which they come.
type eveningsOf map[string]*numbered

type numbered struct {
	latest string
	n      int
}

// of is the number of the evening of a session that is no earlier than those
// before. Without a day the session stands for itself.
func (e eveningsOf) of(w *Work) int {
	b := e[w.Build]
	if b == nil {
		b = &numbered{}
		e[w.Build] = b
	}
	if name := cmp.Or(w.Evening, w.Session); name == "" || name != b.latest {
		b.latest = name
		b.n++
	}
	return b.n - 1
}

func (e eveningsOf) all() (n int) {
	for _, b := range e {
		n += b.n
	}
	return n
}
