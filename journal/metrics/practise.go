// What to practise next: at most three things, each with its reason.

package metrics

import (
	"cmp"
	"fmt"
	"maps"
	"math"
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

	// Of a criterion its mean mark, of a stage kind its speed like for like; and the
	// same drawn toward the others it was picked out of. Both 0 for a mistake.
	Seen, Drawn float64
}

// drawnIn is a number drawn toward others, and the top of its 95 % range.
type drawnIn struct{ value, high float64 }

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
// The worst of several looks worse than it is: part of what makes it the worst is
// luck. So criteria and stage kinds are also drawn toward the others of their kind
// (Shrink), ranked by that, and passed over where the range of what is left holds no
// difference; the reason tells both. Fewer than three show nothing of how they differ
// and stay as they are.
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
	own := latestMarks(marks)
	if len(own) < criteriaToCompare+1 {
		return nil
	}
	drawn := drawnMarks(own)
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
		if mean.N < enoughToCriticise || max(high, drawn[i].high) >= rest {
			continue
		}
		why := fmt.Sprintf("marked %.1f of 4 on average, your other criteria %.1f (%s)", mean.Value, rest,
			Count(mean.N, "mark"))
		if d := fmt.Sprintf("%.1f", drawn[i].value); d != fmt.Sprintf("%.1f", mean.Value) {
			why += fmt.Sprintf("; rather %s, drawn toward the others: %s", d, worstOfSeveral)
		}
		found = append(found, weak{Advice{What: m.Name, Criterion: m.Criterion, Why: why, Seen: mean.Value,
			Drawn: drawn[i].value}, rest - drawn[i].value})
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

// normal95 are the standard errors of a normal that 95 % lie within.
const normal95 = 1.959964

// worstOfSeveral says why a number is drawn toward others.
const worstOfSeveral = "the worst of several looks worse than it is"

// latestMarks are the marks of the build of the last ones.
func latestMarks(marks []Marks) []Marks {
	var own []Marks
	for _, m := range marks {
		if m.Build == marks[len(marks)-1].Build && len(m.Scores) > 0 {
			own = append(own, m)
		}
	}
	return own
}

// drawnMarks are the mean marks of the criteria, drawn toward each other. The scatter
// of a mark is that within all criteria together: five marks of one criterion may
// happen to be equal. It is never below that of rounding to whole scores, 1/12.
func drawnMarks(own []Marks) []drawnIn {
	var squares, df float64
	means := make([]float64, len(own))
	for i, m := range own {
		means[i] = stat.Mean(m.Scores, nil)
		for _, s := range m.Scores {
			squares += (s - means[i]) * (s - means[i])
		}
		df += float64(len(m.Scores) - 1)
	}
	variance := 1.0 / 12
	if df > 0 {
		variance = max(variance, squares/df)
	}
	errors := make([]float64, len(own))
	for i, m := range own {
		errors[i] = math.Sqrt(variance / float64(len(m.Scores)))
	}
	s := Shrink(means, errors)
	out := make([]drawnIn, len(own))
	for i, v := range s.Values {
		out[i] = drawnIn{v, v + normal95*s.Errors[i]}
	}
	return out
}

// slowSteps judges the steps of which all comparisons are handed in.
func slowSteps(slower map[string]Comparison) []Advice {
	drawn := drawnSpeeds(slower)
	var out []Advice
	for kind, c := range slower {
		if c.Verdict != Slower || drawn[kind].high >= 1 {
			continue
		}
		why := fmt.Sprintf("%s times the speed of the earlier builds like for like (%s to %s; %d and %d sessions)",
			Figure(c.Speed), Figure(c.Interval.Low), Figure(c.Interval.High), c.N1, c.N2)
		if d := Figure(drawn[kind].value); d != Figure(c.Speed) {
			why += fmt.Sprintf(", rather %s drawn toward your other steps, because %s", d, worstOfSeveral)
		}
		out = append(out, Advice{What: kind, Stage: kind, Seen: c.Speed, Drawn: drawn[kind].value,
			Why: why + "; look at the marks first, care takes time too"})
	}
	slices.SortFunc(out, func(a, b Advice) int {
		return cmp.Or(cmp.Compare(a.Drawn, b.Drawn), cmp.Compare(a.Stage, b.Stage))
	})
	return out
}

// drawnSpeeds are the speeds of the steps, drawn toward each other on the log scale,
// on which their intervals lie evenly about them. A speed without an interval says
// nothing of the others and stays as it is.
func drawnSpeeds(of map[string]Comparison) map[string]drawnIn {
	out := map[string]drawnIn{}
	var kinds []string
	var logs, errors []float64
	for _, kind := range slices.Sorted(maps.Keys(of)) {
		c := of[kind]
		out[kind] = drawnIn{c.Speed, c.Interval.High}
		if iv := c.Interval; c.OK && iv.OK && iv.Low > 0 && iv.High > iv.Low {
			kinds = append(kinds, kind)
			logs = append(logs, math.Log(c.Speed))
			// What Student's t adds to it stands for few sessions.
			errors = append(errors, math.Log(iv.High/iv.Low)/2/normal95)
		}
	}
	s := Shrink(logs, errors)
	for i, v := range s.Values {
		out[kinds[i]] = drawnIn{math.Exp(v), math.Exp(v + normal95*s.Errors[i])}
	}
	return out
}
