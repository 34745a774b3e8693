// The skill of a step, to stand beside its pace.

package render

import (
	"slices"
	"sync"

	"rakelight/journal"
)

// StepSkill is the mean of the marks given to the photos of one step. The zero
// value is a step without marks.
type StepSkill struct {
	Mark string // "2.3"
	Span string // its interval, or why there is none
	N    string // "4 marks"
	Href string // where the marks are
}

// judged is what is worked out once for several pages, when first asked for.
type judged struct {
	quality   func() *journal.Quality // of skillBuild; nil when there is no build
	stepMarks func() map[journal.Step]journal.StepMarks
}

func (v *view) judge() judged {
	return judged{
		quality: sync.OnceValue(func() *journal.Quality {
			b := v.skillBuild()
			if b == nil {
				return nil
			}
			q := v.Quality(b, "")
			return &q
		}),
		stepMarks: sync.OnceValue(func() map[journal.Step]journal.StepMarks { return v.MarksOfSteps("") }),
	}
}

// skillBuild is the build the skill page speaks of: the latest that was judged
// in pairs, else the latest with bench time, else the latest that was marked.
func (v *view) skillBuild() *journal.Build {
	pairs, _ := v.PairsOf(0)
	in := map[string]bool{}
	for _, p := range pairs {
		in[p.Left], in[p.Right] = true, true
	}
	latest := func(in map[string]bool) *journal.Build {
		for _, b := range slices.Backward(v.Builds) {
			if in[b.ID] {
				return b
			}
		}
		return nil
	}
	if b := latest(in); b != nil {
		return b
	}
	if b := v.LatestWorked(); b != nil {
		return b
	}
	for _, m := range v.FirstMarks("") {
		in[v.byHash[m.Photo].Tags.Build] = true
	}
	return latest(in)
}

func (v *view) stepSkill(build, kind string) StepSkill {
	return v.stepSkillOn(v.judged.stepMarks()[journal.Step{Build: build, Kind: kind}], 0)
}

// stepSkillOn is the skill of a step on one criterion, 0 = on all it was marked on.
func (in voice) stepSkillOn(m journal.StepMarks, criterion int) StepSkill {
	some := m
	if criterion > 0 {
		some.Scores, some.Criteria = nil, nil
		for i, c := range m.Criteria {
			if c == criterion {
				some.Scores, some.Criteria = append(some.Scores, m.Scores[i]), append(some.Criteria, c)
			}
		}
	}
	mean := some.Mean()
	if !mean.OK {
		return StepSkill{}
	}
	return StepSkill{
		Mark: in.decimal(mean.Value, 1), N: in.count(mean.N, "mark"),
		Href: criterionPage(slices.Min(some.Criteria)),
		Span: in.tenths(mean.Interval),
	}
}

// stepChances say how likely the work of the later build beats that of the
// earlier one on the criteria a stage kind shows.
func (v *view) stepChances(kind string, earlier, later *build) []Sentence {
	q := v.judged.quality()
	if q == nil || earlier == later {
		return nil
	}
	var out []Sentence
	for _, c := range journal.Criteria {
		r := q.Rankings[c.Number]
		if ch := r.Chance(later.ID, earlier.ID); ch.OK && slices.Contains(c.Kinds, kind) {
			out = append(out, Sentence{
				Words: tie(v.of(ch.Sentence(v.criterion(c), later.Title, earlier.Title, r.Judges))),
				Href:  criterionPage(c.Number), HrefText: v.Say("its photos"),
			})
		}
	}
	return out
}
