// This file puts marks, verdicts and mistakes in the shape the metrics take.

package journal

import (
	"cmp"
	"slices"

	"rakelight/journal/metrics"
)

// buildsOfPhotos maps hashes to the builds the photos show.
func (s *State) buildsOfPhotos() map[string]string {
	of := make(map[string]string, len(s.photos()))
	for _, p := range s.photos() {
		of[p.Hash] = p.Tags.Build
	}
	return of
}

// PairsOf returns the verdicts on a criterion (0 = on all) as pairs of builds with
// their photos, and how many judges gave them. It takes those of the judges named
// ("" = the journal's owner), or of Pool when none is. Photos of one build, or of
// none, say nothing between builds; pairs nobody could tell apart say nothing at all.
// Repeated pairs are all there: the metrics count them once.
func (s *State) PairsOf(criterion int, judges ...string) (pairs []metrics.Pair, n int) {
	if len(judges) == 0 {
		judges = s.Pool()
	}
	of := s.buildsOfPhotos()
	who := map[string]bool{}
	for _, v := range s.Verdicts {
		left, right, o := of[v.Left], of[v.Right], v.asIf(v.Left)
		if criterion != 0 && v.Criterion != criterion || left == "" || right == "" || left == right || o == "" ||
			!slices.Contains(judges, v.Judge) {
			continue
		}
		pairs = append(pairs, metrics.Pair{Left: left, Right: right, Outcome: o, LeftPhoto: v.Left, RightPhoto: v.Right,
			Judge: v.Judge, Criterion: v.Criterion})
		who[v.Judge] = true
	}
	return pairs, len(who)
}

// FirstMarks are the first marks one judge gave each photo on each criterion of
// the rubric, in the order they were given. Photos of no build are left out.
func (s *State) FirstMarks(judge string) []Mark {
	of := s.buildsOfPhotos()
	seen := map[scored]bool{}
	return keep(s.Marks, func(m Mark) bool {
		id := scored{m.Photo, m.Criterion}
		if m.Judge != judge || m.Rubric != Rubric || seen[id] || of[m.Photo] == "" {
			return false
		}
		seen[id] = true
		return true
	})
}

// scored is one photo and criterion, of one judge and rubric.
type scored struct {
	photo     string
	criterion int
}

// MarksOf returns the first marks of each criterion by build: the raw ones, as
// they were given, "not applicable" left out. Judge "" is the journal's owner.
func (s *State) MarksOf(judge string) []metrics.Marks {
	of := s.buildsOfPhotos()
	first := map[string]int{}
	for i, b := range s.Builds {
		first[b.ID] = i
	}
	type key struct {
		build     string
		criterion int
	}
	sums := map[key]*metrics.Marks{}
	for _, m := range s.FirstMarks(judge) {
		k := key{of[m.Photo], m.Criterion}
		if sums[k] == nil {
			sums[k] = &metrics.Marks{Build: k.build, Criterion: k.criterion, Name: string(Criteria[k.criterion-1].Name)}
		}
		if m.NA {
			sums[k].NotApplicable++
			continue
		}
		sums[k].Scores = append(sums[k].Scores, float64(m.Score))
	}
	var out []metrics.Marks
	for _, m := range sums {
		out = append(out, *m)
	}
	slices.SortFunc(out, func(a, b metrics.Marks) int {
		return cmp.Or(cmp.Compare(first[a.Build], first[b.Build]), cmp.Compare(a.Build, b.Build),
			cmp.Compare(a.Criterion, b.Criterion))
	})
	return out
}

// Step is a stage kind in a build.
type Step struct{ Build, Kind string }

// StepMarks are the scores of a step and the criteria they were given on.
type StepMarks struct {
	metrics.Marks
	Criteria []int // of each score
}

// MarksOfSteps returns the first marks of photos of each step on the criteria
// its stage kind shows: the quality to be read beside its pace.
func (s *State) MarksOfSteps(judge string) map[Step]StepMarks {
	photos := s.PhotosByHash()
	out := map[Step]StepMarks{}
	for _, m := range s.FirstMarks(judge) {
		p := photos[m.Photo]
		if m.NA || !slices.Contains(Criteria[m.Criterion-1].Kinds, p.Kind) {
			continue
		}
		step := Step{p.Tags.Build, p.Kind}
		one := out[step]
		one.Build, one.Scores, one.Criteria = step.Build, append(one.Scores, float64(m.Score)),
			append(one.Criteria, m.Criterion)
		out[step] = one
	}
	return out
}

// Remark is a photo that one judge marked twice on one criterion.
type Remark struct{ First, Second Mark }

// Remarked returns what one judge marked twice by the rubric: the first two
// scores of each photo and criterion.
func (s *State) Remarked(judge string) []Remark {
	had, twice := map[scored]Mark{}, map[scored]bool{}
	var out []Remark
	for _, m := range s.Marks {
		id := scored{m.Photo, m.Criterion}
		if m.Judge != judge || m.NA || m.Rubric != Rubric {
			continue
		}
		first, known := had[id]
		switch {
		case !known:
			had[id] = m
		case !twice[id]:
			twice[id] = true
			out = append(out, Remark{first, m})
		}
	}
	return out
}

// Remarks are the first and the second scores of Remarked.
func (s *State) Remarks(judge string) []metrics.Remark {
	var twice []metrics.Remark
	for _, r := range s.Remarked(judge) {
		twice = append(twice, metrics.Remark{Photo: r.First.Photo, First: float64(r.First.Score),
			Second: float64(r.Second.Score)})
	}
	return twice
}
