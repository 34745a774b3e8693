// This file gathers what is known of how good the work is, for commands and
// pages alike, so that both say the same.

package journal

import (
	"cmp"
	"slices"
	"strings"

	"rakelight/journal/metrics"
	"rakelight/journal/say"
)

// Seed makes every drawn interval the same each time it is asked for, and the
// same in a command and on a page.
const Seed = 1

// Quality is how good the work of a build is, beside the builds before it.
type Quality struct {
	Build     *Build
	Earlier   []*Build // in their order
	Judge     string   // whose marks they are; "" = the journal's owner
	Counted   []string // judges whose verdicts the rankings rest on
	Rankings  []Ranked // over all criteria, then one for each criterion by number
	Agreed    []Judged // how two judges each agree on pairs both judged
	Marks     []metrics.Marks
	Drift     metrics.Drift
	Agreement metrics.Agreement
	Advice    []metrics.Advice
	Repeats   metrics.Repeats // how well Judge repeats verdicts
}

// Ranked is what the blind pairs of a criterion tell.
type Ranked struct {
	metrics.Ranking
	Criterion int // 0 = over all
	Judges    int

	made map[claim]bool // nil = the ranking is not what the journal's claims rest on
}

// Chance is that of the metrics, claimed as the journal's claims let it be.
func (r Ranked) Chance(a, b string) metrics.Chance {
	ch := r.Ranking.Chance(a, b)
	ch.Claimed = r.made[chanceClaim(r.Criterion, a, b)]
	return ch
}

// Standing is that of the metrics, claimed as the journal's claims let it be.
func (r Ranked) Standing(a string) metrics.Chance {
	st := r.Ranking.Standing(a)
	st.Claimed = r.made[standingClaim(r.Criterion, a)]
	return st
}

// Quality looks at the work of a build: the marks of one judge, and the pairs
// of the judges named, or of Pool when none is.
func (s *State) Quality(b *Build, judge string, judges ...string) Quality {
	claims := s.Claims()
	q := claims.judged
	if q.Build != b || judge != "" || len(judges) > 0 {
		q = s.quality(b, judge, judges...)
		if len(judges) == 0 {
			for i := range q.Rankings {
				q.Rankings[i].made = claims.made
			}
		}
	}
	q.Drift.Claimed = judge == "" && claims.made[claim{of: "eye"}]
	own := keep(q.Marks, func(m metrics.Marks) bool { return m.Build == b.ID })
	q.Advice = metrics.Practise(own, slipsUpTo(s.Slips(), b.ID), s.SpeedsOfKinds(b), func(criterion int) bool {
		return judge == "" && claims.made[weakClaim(b.ID, criterion)]
	})
	return q
}

// quality is Quality before anything is claimed, and so without advice.
func (s *State) quality(b *Build, judge string, judges ...string) Quality {
	if len(judges) == 0 {
		judges = s.Pool()
	}
	q := Quality{Build: b, Earlier: s.Earlier(b), Judge: judge, Counted: judges, Agreed: s.Agreements(),
		Marks: s.MarksOf(judge)}
	for c := range len(Criteria) + 1 {
		pairs, n := s.PairsOf(c, judges...)
		q.Rankings = append(q.Rankings, Ranked{Ranking: metrics.Rank(pairs), Criterion: c, Judges: n})
	}
	q.Repeats = s.Repeats(judge)
	twice := s.Remarks(judge)
	q.Drift, q.Agreement = metrics.DriftOf(twice), metrics.Retest(twice)
	return q
}

// Witnesses says how judges agree on pairs both judged, and whose verdicts the
// chances rest on where all, who ever judged, are others than the owner alone.
// left tells that some of them do not count.
func (q Quality) Witnesses(all []string) (said []say.Text, left bool) {
	for _, one := range q.Agreed {
		both := say.Of("list¦%s and %s", one.A, one.B)
		if one.A == "" {
			both = say.Of("You and %s", one.B)
		}
		said = append(said, one.Agreement.JudgesSentence(both))
	}
	if len(all) == 0 || len(all) == 1 && all[0] == "" {
		return said, false
	}
	counted := judges(q.Counted)
	out := slices.DeleteFunc(slices.Clone(all), func(j string) bool { return slices.Contains(q.Counted, j) })
	left = len(out) > 0
	switch own := slices.Contains(all, ""); {
	case own && left:
		return append(said, say.Of("The chances rest on the verdicts of %s, not of %s.", counted, judges(out))), left
	case own:
		return append(said, say.Of("The chances rest on the verdicts of %s.", counted)), left
	case left:
		return append(said, say.Of("You have judged no pair; the chances rest on the verdicts of %s, not of %s.", counted,
			judges(out))), left
	}
	return append(said, say.Of("You have judged no pair; the chances rest on the verdicts of %s.", counted)), left
}

// JudgeCalled is how a judge is named to the owner at the beginning of a
// sentence.
func JudgeCalled(judge string) string {
	if judge == "" {
		return "You"
	}
	return judge
}

// judges are some judges in a sentence, the owner as "you".
type judges []string

// In lists them.
func (all judges) In(in *say.Speaker) string {
	words := slices.Clone(all)
	for i, w := range words {
		if w == "" {
			words[i] = in.Say("of¦you")
		}
	}
	return cmp.Or(in.List(words), in.Say("of¦nobody"))
}

// Listed joins words as a sentence does: "a, b and c".
func Listed(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// Joined joins the words that are not empty.
func Joined(with string, words ...string) string {
	var some []string
	for _, w := range words {
		if w != "" {
			some = append(some, w)
		}
	}
	return strings.Join(some, with)
}

// Earlier returns the builds before b in their order.
func (s *State) Earlier(b *Build) []*Build {
	i := slices.IndexFunc(s.Builds, func(one *Build) bool { return one.ID == b.ID })
	return slices.Clone(s.Builds[:max(0, i)])
}

// LatestWorked is the latest build with bench time, nil when none has any.
func (s *State) LatestWorked() *Build {
	for _, b := range slices.Backward(s.Builds) {
		if len(s.Work(b.ID)) > 0 {
			return b
		}
	}
	return nil
}

// slipsUpTo cuts the charts off after the build; a build that is not on them
// leaves nothing to judge it by.
func slipsUpTo(slips []metrics.Slips, build string) []metrics.Slips {
	var out []metrics.Slips
	for _, s := range slips {
		if i := slices.Index(s.Builds, build); i >= 0 {
			out = append(out, metrics.Slips{Kind: s.Kind, Builds: s.Builds[:i+1], Counts: s.Counts[:i+1],
				Parts: s.Parts[:i+1], Claimed: s.Claimed && i == len(s.Builds)-1})
		}
	}
	return out
}

func (s *State) workOf(builds []*Build) []metrics.Work {
	var all []metrics.Work
	for _, b := range builds {
		all = append(all, s.Work(b.ID)...)
	}
	return all
}
