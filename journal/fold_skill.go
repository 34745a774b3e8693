// This file folds what says how good the work is: marks, verdicts, mistakes
// and trials.

package journal

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"
)

// Mark is a score a person gave a photo on one criterion.
type Mark struct {
	Photo     string // hash
	Criterion int    // 1 to 12
	Score     int    // 0 to 4; 0 when not applicable
	NA        bool   // not applicable: no score, and no part of any mean
	Rubric    string
	Judge     string // "" = the journal's owner
	At        time.Time
	Record    string
}

// Verdict is the outcome of one blind pair.
type Verdict struct {
	Left, Right string // hashes of the photos
	Criterion   int
	Outcome     string // one of Outcomes
	Judge       string // "" = the journal's owner
	At          time.Time
	Record      string
	Pack        string // the pack it is an answer to, "" = judged on this computer's page
	Pair        string // its ID in that pack
	Sheet       string // the filled-in copy of the pack it stood on
}

// Outcomes a verdict may have: the work on the left is the better one, that on
// the right, no difference is seen, or the photos do not let one tell.
var Outcomes = []string{"left", "right", "no difference", "cannot tell"}

// Mistake is what went wrong.
type Mistake struct {
	Build, Stage, Kind string
	Parts              []PartRef
	Cause, Mended      string
	Lost               time.Duration
	At                 time.Time
	Record             string
}

// Trial is a tool or material under test.
type Trial struct {
	ID, What, Question, Build string
	Tool                      string // as sessions name it
	Card                      int    // number of its bench card, 0 = none
	At                        time.Time
	Observations              []Observation // by instant
	Review                    string        // Markdown, "" while it runs
	Closed                    time.Time     // zero while it runs
}

// Observation is something seen in a trial.
type Observation struct {
	Text, Photo, Record string
	At                  time.Time
}

func (f *folding) mark(r Record) error {
	b, err := read[MarkBody](r)
	if err != nil {
		return err
	}
	photo, _, err := f.judged(b.Criterion, b.Photo, b.Photo)
	if err != nil {
		return err
	}
	m := Mark{Photo: photo, Criterion: b.Criterion, NA: b.Score == nil, Rubric: b.Rubric, Judge: f.judge(b.Judge),
		At: r.At, Record: r.ID()}
	if b.Score != nil {
		if m.Score = *b.Score; m.Score < 0 || m.Score > TopScore {
			return fmt.Errorf("%d is no score from 0 to %d", m.Score, TopScore)
		}
	}
	f.state.Marks = append(f.state.Marks, m)
	return nil
}

func (f *folding) verdict(r Record) error {
	b, err := read[VerdictBody](r)
	if err != nil {
		return err
	}
	left, right, err := f.judged(b.Criterion, b.Left, b.Right)
	if err != nil {
		return err
	}
	if left == right {
		return errors.New("it pairs a photo with itself")
	}
	if !slices.Contains(Outcomes, b.Outcome) {
		return fmt.Errorf("%q is not an outcome of a pair", b.Outcome)
	}
	f.state.Verdicts = append(f.state.Verdicts, Verdict{Left: left, Right: right, Criterion: b.Criterion,
		Outcome: b.Outcome, Judge: f.judge(b.Judge), At: r.At, Record: r.ID()})
	return nil
}

// judged looks that the criterion and the photos exist, and returns the hashes
// the photos go by now: one may lie beside another since it was judged.
func (f *folding) judged(criterion int, left, right string) (l, r string, err error) {
	if criterion < 1 || criterion > len(Criteria) {
		return "", "", fmt.Errorf("there is no criterion %d", criterion)
	}
	a, b := f.shown(left), f.shown(right)
	switch {
	case a == nil:
		return "", "", &absentError{"photo", left}
	case b == nil:
		return "", "", &absentError{"photo", right}
	}
	return a.Hash, b.Hash, nil
}

func (f *folding) mistake(r Record) error {
	b, err := read[MistakeBody](r)
	if err != nil {
		return err
	}
	switch {
	case b.Kind == "":
		return errors.New("it does not say what kind of mistake it was")
	case b.Minutes < 0 || b.Minutes > maxMinutes:
		return fmt.Errorf("%v minutes is no time to lose", b.Minutes)
	}
	if b.At.IsZero() {
		b.At = r.At
	}
	f.state.Mistakes = append(f.state.Mistakes, Mistake{b.Build, b.Stage, b.Kind, b.Parts, b.Cause, b.Mended,
		minutes(b.Minutes), b.At, r.ID()})
	return nil
}

func (f *folding) trial(r Record) error {
	b, err := read[TrialBody](r)
	if err != nil {
		return err
	}
	if b.What == "" {
		return errors.New("it does not say what is on trial")
	}
	t := &Trial{ID: r.ID(), What: b.What, Question: b.Question, Build: b.Build, At: b.At,
		Tool: cmp.Or(plainTool(b.Tool), plainTool(b.What)), Card: b.Card}
	for n := 2; f.trials[t.ID] != nil; n++ { // a second record of the same id
		t.ID = fmt.Sprintf("%s~%d", r.ID(), n)
	}
	f.trials[t.ID] = t
	f.state.Trials = append(f.state.Trials, t)
	return nil
}

func (f *folding) observe(r Record) error {
	b, err := read[ObserveBody](r)
	if err != nil {
		return err
	}
	t := f.trials[b.Trial]
	if t == nil {
		return &absentError{"trial", b.Trial}
	}
	if p := f.shown(b.Photo); p != nil {
		b.Photo = p.Hash
	}
	t.Observations = append(t.Observations, Observation{b.Text, b.Photo, r.ID(), b.At})
	return nil
}

func (f *folding) review(r Record) error {
	b, err := read[ReviewBody](r)
	if err != nil {
		return err
	}
	t := f.trials[b.Trial]
	if t == nil {
		return &absentError{"trial", b.Trial}
	}
	t.Review, t.Closed = b.Text, b.At
	return nil
}

// sortSkill puts mistakes and trials in order. Marks, verdicts and packs stand
// in the order of their records already.
func (s *State) sortSkill() {
	slices.SortStableFunc(s.Mistakes, func(a, b Mistake) int {
		return cmp.Or(a.At.Compare(b.At),
			cmp.Compare(a.Record, b.Record))
	})
	slices.SortStableFunc(s.Trials, func(a, b *Trial) int {
		return cmp.Or(a.At.Compare(b.At),
			cmp.Compare(a.ID, b.ID))
	})
	for _, t := range s.Trials {
		slices.SortStableFunc(t.Observations, func(a,
			b Observation) int {
			return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Record, b.Record))
		})
	}
}
