// This file says whose verdicts count together.

package journal

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rakelight/journal/metrics"
)

// Judged is two judges and what both said.
type Judged struct {
	A, B      string // "" = the journal's owner, who comes first
	Agreement metrics.Agreement
	Untold    int // pairs both judged that one of them could not tell
}

// Judges returns who gave verdicts: the owner ("") first, then by name.
func (s *State) Judges() []string {
	seen := map[string]bool{}
	var out []string
	for _, v := range s.Verdicts {
		if !seen[v.Judge] {
			seen[v.Judge] = true
			out = append(out, v.Judge)
		}
	}
	slices.Sort(out)
	return out
}

// FindJudge returns the judge of that name, whatever its capital letters: one who
// gave verdicts or marks. "" is the owner.
func (s *State) FindJudge(name string) (string, error) {
	named := s.Judges()
	for _, m := range s.Marks {
		if !slices.Contains(named, m.Judge) {
			named = append(named, m.Judge)
		}
	}
	slices.Sort(named)
	if name = s.JudgeName(name); name == "" || slices.Contains(named, name) {
		return name, nil
	}
	hint := "nobody has judged for you yet: rakelight help judge tells of packs"
	if named = keep(named, func(one string) bool { return one != "" }); len(named) > 0 {
		hint = "there are: " + strings.Join(named, ", ")
	}
	return "", &AskError{What: fmt.Sprintf("there is no judge %q", name), Hint: hint}
}

// Agreements returns, for each two judges, how they agree on what both judged:
// the same two photos on the same criterion, whichever stood left. Of a pair a
// judge judged twice the first verdict counts. It needs no builds, so that also
// two photos of one build would do.
func (s *State) Agreements() []Judged {
	first := map[string]map[samePair]string{} // judge → pair → outcome, as if the lesser hash stood left
	for _, v := range s.Verdicts {
		if first[v.Judge] == nil {
			first[v.Judge] = map[samePair]string{}
		}
		if _, twice := first[v.Judge][v.pair()]; !twice {
			first[v.Judge][v.pair()] = v.asIf(min(v.Left, v.Right))
		}
	}
	judges := s.Judges()
	var out []Judged
	for i, a := range judges {
		for _, b := range judges[i+1:] {
			one := Judged{A: a, B: b}
			var both []metrics.Both
			for pair, said := range first[a] {
				other, ok := first[b][pair]
				switch {
				case !ok:
				case said == "" || other == "":
					one.Untold++
				default:
					both = append(both, metrics.Both{First: said, Second: other})
				}
			}
			one.Agreement = metrics.JudgesAgree(both)
			out = append(out, one)
		}
	}
	return out
}

// asIf is the outcome as the metrics name it, seen with the photo on the left;
// "" when nobody could tell.
func (v Verdict) asIf(left string) string {
	switch {
	case v.Outcome == "no difference":
		return metrics.NoDifference
	case v.Outcome == "cannot tell":
		return ""
	case (v.Outcome == "left") == (v.Left == left):
		return metrics.LeftBetter
	}
	return metrics.RightBetter
}

// Pool returns the judges whose verdicts make up the strengths unless a person
// asks for others: the owner, and every judge who is shown to agree with the
// owner beyond chance. A mean over people who see different things describes
// nobody, and a narrow interval around it would claim what no eye has seen; so
// disagreement, and agreement that is not known yet, leave the owner alone. The
// bar is an interval and not one of the customary words for kappa, which rest on
// nothing. Where the owner has judged nothing, the judge with the most verdicts
// stands in the owner's place.
func (s *State) Pool() []string {
	given := map[string]int{}
	for _, v := range s.Verdicts {
		given[v.Judge]++
	}
	if len(given) == 0 {
		return nil
	}
	judges := s.Judges()
	chief := ""
	if given[chief] == 0 {
		chief = slices.MinFunc(judges, func(a, b string) int {
			return cmp.Or(cmp.Compare(given[b], given[a]),
				cmp.Compare(a, b))
		})
	}
	pool := []string{chief}
	for _, one := range s.Agreements() {
		if one.Agreement.Beyond() && one.A == chief {
			pool = append(pool, one.B)
		} else if one.Agreement.Beyond() && one.B == chief {
			pool = append(pool, one.A)
		}
	}
	slices.Sort(pool)
	return pool
}
