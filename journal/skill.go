// This file puts marks, verdicts and mistakes in the shape the metrics take.

package journal

import (
	"cmp"
	"slices"

	"rakelight/journal/metrics"
)

// buildsOfPhotos maps hashes to the builds the photos show.
func (s *State) buildsOfPhotos() map[string]string {
	of := make(map[string]string, len(s.Photos))
	for _, p := range s.Photos {
		of[p.Hash] = p.Tags.Build
	}
	return of
}

// PairsOf returns the verdicts on a criterion (0 = on all) as pairs of builds,
// and how many judges gave them. It takes those of the judges named ("" = the
// journal's owner), or of Pool when none is. Photos of one build, or of none, say
// nothing between builds; pairs nobody could tell apart say nothing at all. Two
// verdicts on the same two photos are two pairs: what follows from them holds for
// these photos, and more photos say more of the builds than more judges do.
func (s *State) PairsOf(criterion int, judges ...string) (pairs []metrics.Pair, n int) {
	if len(judges) == 0 {
		judges = s.Pool()
	}
	of := s.buildsOfPhotos()
	who := map[string]bool{}
	for _, v := range s.Verdicts {
		left, right, o := of[v.Left], of[v.Right], v.asIf(v.Left)
		if criterion != 0 && v.Criterion != criterion || left == "" || right == "" || left == right || o == "" || !slices.Contains(judges, v.Judge) {
			continue
		}
		pairs = append(pairs, metrics.Pair{Left: left, Right: right, Outcome: o})
		who[v.Judge] = true
	}
	return pairs, len(who)
}

// scored is one photo, criterion and judge under one rubric.
type scored struct {
	photo     string
	criterion int
	rubric    string
	judge     string
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
	seen := map[scored]bool{}
	sums := map[key]*metrics.Marks{}
	for _, m := range s.Marks {
		id := scored{m.Photo, m.Criterion, m.Rubric, m.Judge}
		if m.Judge != judge || m.Rubric != Rubric || seen[id] || of[m.Photo] == "" {
			continue
		}
		seen[id] = true
		k := key{of[m.Photo], m.Criterion}
		if sums[k] == nil {
			sums[k] = &metrics.Marks{Build: k.build, Criterion: k.criterion, Name: Criteria[k.criterion-1].Name}
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
		return cmp.Or(cmp.Compare(first[a.Build], first[b.Build]), cmp.Compare(a.Build, b.Build), cmp.Compare(a.Criterion, b.Criterion))
	})
	return out
}

// Remarks returns the first and the second score of each photo and criterion
// that one judge marked twice by the same rubric.
func (s *State) Remarks(judge string) (first, second []float64) {
	had := map[scored]*Mark{}
	twice := map[scored]bool{}
	for i := range s.Marks {
		m := &s.Marks[i]
		id := scored{m.Photo, m.Criterion, m.Rubric, m.Judge}
		if m.Judge != judge || m.NA || m.Rubric != Rubric {
			continue
		}
		switch {
		case had[id] == nil:
			had[id] = m
		case !twice[id]:
			twice[id] = true
			first, second = append(first, float64(had[id].Score)), append(second, float64(m.Score))
		}
	}
	return first, second
}

// Slips returns the mistakes of each kind by build, beside the counted parts
// of the build. A kind never noted in a build counts 0 there; builds without
// counted parts are left out.
func (s *State) Slips() []metrics.Slips {
	kinds := map[string]bool{}
	count := map[[2]string]float64{}
	for _, m := range s.Mistakes {
		kinds[m.Kind] = true
		count[[2]string{m.Kind, m.Build}]++
	}
	var out []metrics.Slips
	for kind := range kinds {
		one := metrics.Slips{Kind: kind}
		for _, b := range s.Builds {
			var parts float64
			for _, w := range s.Work(b.ID) {
				if unit, _ := metrics.CountedKind(w.Kind); unit == "part" && w.Counted {
					parts += w.Parts
				}
			}
			if parts > 0 {
				one.Builds = append(one.Builds, b.ID)
				one.Counts, one.Parts = append(one.Counts, count[[2]string{kind, b.ID}]), append(one.Parts, parts)
			}
		}
		out = append(out, one)
	}
	slices.SortFunc(out, func(a, b metrics.Slips) int { return cmp.Compare(a.Kind, b.Kind) })
	return out
}
