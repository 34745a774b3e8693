// What to practise next: at most three things, each with its reason.

package metrics

import (
	"cmp"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/stat"
)

const (
	// A short list is read; a long one is a reproach.
	mostAdvice = 3
	// Marks a criterion needs, and the criteria it must stand out from.
	enoughToCriticise = 5
	criteriaToCompare = 3
)

// Slips are the mistakes of one kind over builds in their order.
type Slips struct {
	Kind   string
	Builds []string
	Counts []float64
	Parts  []float64 // counted parts of each build
}

// PerHundred is the u-chart of the slips per hundred parts.
func (s Slips) PerHundred() Chart {
	sizes := make([]float64, len(s.Parts))
	for i, p := range s.Parts {
		sizes[i] = p / 100
	}
	return UChart(s.Counts, sizes)
}

// Advice is one thing to practise.
type Advice struct {
	What, Why string
	Criterion int    // of a mark, else 0
	Mistake   string // kind of mistake, else ""
	Stage     string // stage kind, else ""
}

// Practise returns at most three things to practise next: the first of each of
// these, then the rest of them.
//
//   - A kind of mistake that in the latest build lies above the upper limit of
//     its u-chart; inside the limits it is chance, however annoying.
//   - A criterion with at least five marks in the latest marked build whose
//     interval lies wholly below the mean of that build's other criteria.
//   - A stage kind that is slower, like for like, than in the earlier builds,
//     its interval wholly below 1. Slower can be more careful: the reason says so.
//
// Where nothing passes there is nothing to say, and not a list of the least bad.
// slower holds, by stage kind, the comparison of the latest build with all before.
func Practise(marks []Marks, slips []Slips, slower map[string]Comparison) []Advice {
	lists := [][]Advice{badMistakes(slips), weakCriteria(marks), slowSteps(slower)}
	var out []Advice
	for rank := range mostAdvice {
		for _, l := range lists {
			if rank < len(l) && len(out) < mostAdvice {
				out = append(out, l[rank])
			}
		}
	}
	return out
}

func badMistakes(slips []Slips) []Advice {
	type rated struct {
		Advice
		over float64
	}
	var found []rated
	for _, s := range slips {
		c := s.PerHundred()
		if !c.OK {
			continue
		}
		p := c.Points[len(c.Points)-1]
		if p.Out && p.PerUnit > p.High {
			found = append(found, rated{Advice{What: "mistakes: " + s.Kind, Mistake: s.Kind, Why: fmt.Sprintf(
				"%s on 100 parts in the latest build, where %s are usual and chance explains up to %s (%s)",
				Figure(p.PerUnit), Figure(c.Centre), Figure(p.High), Count(len(c.Points), "build"))},
				p.PerUnit / p.High})
		}
	}
	slices.SortStableFunc(found, func(a, b rated) int {
		return cmp.Or(cmp.Compare(b.over, a.over),
			cmp.Compare(a.Mistake, b.Mistake))
	})
	var out []Advice
	for _, f := range found {
		out = append(out, f.Advice)
	}
	return out
}

// weakCriteria judges the build of the last marks; they come in order of builds.
func weakCriteria(marks []Marks) []Advice {
	if len(marks) == 0 {
		return nil
	}
	latest := marks[len(marks)-1].Build
	var own []Marks
	for _, m := range marks {
		if m.Build == latest && len(m.Scores) > 0 {
			own = append(own, m)
		}
	}
	if len(own) < criteriaToCompare+1 {
		return nil
	}
	type weak struct {
		Advice
		gap float64
	}
	var found []weak
	for i, m := range own {
		var others []float64
		for j, o := range own {
			if j != i {
				others = append(others, stat.Mean(o.Scores, nil))
			}
		}
		rest := stat.Mean(others, nil)
		mean := m.Mean()
		high := mean.Interval.High
		if !mean.Interval.OK { // equal marks: half a point is the least a whole score can be off
			high = mean.Value + 0.5
		}
		if mean.N >= enoughToCriticise && high < rest {
			found = append(found, weak{Advice{What: m.Name, Criterion: m.Criterion, Why: fmt.Sprintf(
				"marked %.1f of 4 on average, your other criteria %.1f (%s)", mean.Value, rest, Count(mean.N, "mark"))},
				rest - mean.Value})
		}
	}
	slices.SortStableFunc(found, func(a, b weak) int {
		return cmp.Or(cmp.Compare(b.gap, a.gap),
			cmp.Compare(a.Criterion, b.Criterion))
	})
	var out []Advice
	for _, f := range found {
		out = append(out, f.Advice)
	}
	return out
}

func slowSteps(slower map[string]Comparison) []Advice {
	var out []Advice
	for kind, c := range slower {
		if c.Verdict() == Slower {
			out = append(out, Advice{What: kind, Stage: kind, Why: fmt.Sprintf(
				"%s times the speed of the earlier builds like for like (%s to %s; %d and %d sessions); look at the marks first, care takes time too",
				Figure(c.Speed), Figure(c.Interval.Low), Figure(c.Interval.High), c.N1, c.N2)})
		}
	}
	slices.SortFunc(out, func(a, b Advice) int {
		return cmp.Or(cmp.Compare(slower[a.Stage].Speed, slower[b.Stage].Speed), cmp.Compare(a.Stage, b.Stage))
	})
	return out
}
