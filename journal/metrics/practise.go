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
	// Claimed is what the family says of the latest build against those before it;
	// the chart of these slips takes it over.
	Claimed bool
}

// PerHundred is the u-chart of the slips per hundred parts.
func (s Slips) PerHundred() Chart {
	sizes := make([]float64, len(s.Parts))
	for i, p := range s.Parts {
		sizes[i] = p / 100
	}
	c := UChart(s.Counts, sizes)
	c.Claimed = s.Claimed
	return c
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
//   - A kind of mistake that came more often in the latest build than in those
//     before it.
//   - A criterion that lies below the mean of the other criteria of the latest marked
//     build (Gaps).
//   - A stage kind that is slower, like for like, than in the earlier builds. Slower
//     can be more careful: the reason says so.
//
// Each only where it is claimed: in the comparisons and the slips, and by claimed for
// the criteria. The rest is chance, however annoying.
//
// The worst of several looks worse than it is: part of what makes it the worst is
// luck. So criteria and stage kinds are also drawn toward the others of their kind
// (Shrink), ranked by that, and passed over where the range of what is left holds no
// difference; the reason tells both. Fewer than three show nothing of how they differ
// and stay as they are.
//
// Where nothing passes there is nothing to say, and not a list of the least bad.
// slower holds, by stage kind, the comparison of the latest build with all before.
func Practise(marks []Marks, slips []Slips, slower map[string]Comparison, claimed func(criterion int) bool) []Advice {
	lists := [][]Advice{badMistakes(slips), weakCriteria(marks, claimed), slowSteps(slower)}
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
		if c.Claimed && c.Ratio > 1 {
			found = append(found, rated{Advice{What: "mistakes: " + s.Kind, Mistake: s.Kind,
				Why: fmt.Sprintf("%s per 100 parts in the latest build, %s as in those before (%s)",
					Figure(c.Points[len(c.Points)-1].PerUnit), c.RatioWords(), Count(len(c.Points), "build"))},
				c.Interval.Low})
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
func weakCriteria(marks []Marks, claimed func(criterion int) bool) []Advice {
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
		gap := gapToRest(own, i)
		mean := stat.Mean(m.Scores, nil)
		rest := mean - gap.Value
		if !(gap.Value < 0) || !claimed(m.Criterion) || drawn[i].high >= rest {
			continue
		}
		why := fmt.Sprintf("marked %.1f of 4 on average, your other criteria %.1f (%s)", mean, rest,
			Count(len(m.Scores), "mark"))
		if d := fmt.Sprintf("%.1f", drawn[i].value); d != fmt.Sprintf("%.1f", mean) {
			why += fmt.Sprintf("; rather %s, drawn toward the others: %s", d, worstOfSeveral)
		}
		found = append(found, weak{Advice{What: m.Name, Criterion: m.Criterion, Why: why, Seen: mean,
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

// markRounding is the least variance a score can have: it is a whole number, so
// that equal ones do not feign certainty.
const markRounding = 1.0 / 12

// Gaps are, by criterion, the mean mark less that of the other criteria, of the build
// of the last marks: none of fewer than four criteria, since beside two others nobody
// can say which stands out.
func Gaps(marks []Marks) map[int]Mean {
	own := latestMarks(marks)
	if len(own) < criteriaToCompare+1 {
		return nil
	}
	gaps := map[int]Mean{}
	for i, m := range own {
		gaps[m.Criterion] = gapToRest(own, i)
	}
	return gaps
}

// gapToRest is the mean of one criterion less that of the others' means, the photo
// being the unit. No criterion is taken to scatter less than all of them do on
// average: of a few whole scores some are equal by luck. The scores of a photo on
// several criteria hang together, which makes the gap surer than is allowed for here.
//
// Satterthwaite F.E. (1946), Biometrics Bulletin 2, 110–114.
func gapToRest(all []Marks, at int) Mean {
	var within, df float64
	for _, m := range all {
		if n := float64(len(m.Scores)); n > 1 {
			within, df = within+(n-1)*stat.Variance(m.Scores, nil), df+n-1
		}
	}
	own := len(all[at].Scores)
	if own < enoughToCriticise {
		return Mean{N: own}
	}
	gap := Mean{N: own, OK: true}
	var square, over float64 // variance of the gap, and what its degrees of freedom are made of
	for i, m := range all {
		share := -1 / float64(len(all)-1)
		if i == at {
			share = 1
		}
		n := float64(len(m.Scores))
		v, on := math.Max(within/df, markRounding), df
		if n > 1 && stat.Variance(m.Scores, nil) > v {
			v, on = stat.Variance(m.Scores, nil), n-1
		} else if i == at {
			on = n - 1
		}
		v *= share * share / n
		gap.Value += share * stat.Mean(m.Scores, nil)
		square, over = square+v, over+v*v/on
	}
	gap.Tested, gap.PValue = true, chanceOfT(gap.Value/math.Sqrt(square), square*square/over)
	return gap
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
		if !c.Claimed || c.Speed > 1 || drawn[kind].high >= 1 {
			continue
		}
		why := fmt.Sprintf("%s times the speed of the earlier builds like for like (%s to %s; %d and %d sessions)",
			Figure(c.Speed), Figure(c.Interval.Low), Figure(c.Interval.High), c.N1, c.N2)
		if d := Figure(drawn[kind].value); d != Figure(c.Speed) {
			why += fmt.Sprintf(", rather %s drawn toward your other stages, because %s", d, worstOfSeveral)
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
