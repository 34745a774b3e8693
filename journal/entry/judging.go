// What is said of how good the work is: marks, and verdicts on blind pairs. Who is
// who among the judges is decided here, too.

package entry

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"rakelight/journal"
)

// maxName is the longest name of a judge in runes: a line that no mail program
// folds.
const maxName = 40

// Name cleans the name of a judge: no control characters and marks that cannot
// be seen, single spaces, at most 40 characters.
func Name(name string) string {
	name = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		if unicode.Is(unicode.C, r) || r == utf8.RuneError {
			return -1
		}
		return r
	}, name)
	runes := []rune(strings.Join(strings.Fields(name), " "))
	return strings.TrimSpace(string(runes[:min(len(runes), maxName)]))
}

// ownersNames are names by which the journal calls its owner.
var ownersNames = []string{"i", "me", "you", "owner", "the owner", "yourself", "myself"}

// IsOwner reports whether a judge of that name would be confused with the owner.
func IsOwner(name string) bool { return slices.Contains(ownersNames, strings.ToLower(name)) }

// Judge is who a person means by a judge's name: cleaned, and as the journal has
// it spelled already. "" is the owner.
func Judge(s *journal.State, name string) (string, error) {
	name = Name(name)
	if IsOwner(name) {
		return "", &Refusal{Reason: OwnersName, Name: name}
	}
	return s.JudgeName(name), nil
}

// Mark is a score given to a photo on one criterion.
type Mark struct {
	Photo     string
	Criterion int    // 1 to 12
	Score     *int   // 0 to 4; nil = not applicable
	Judge     string // "" = the journal's owner
}

// Plan remarks on a photo that was marked before: the first mark counts.
func (r Mark) Plan(l journal.Look) (Plan, error) {
	if err := criterion(r.Criterion); err != nil {
		return Plan{}, err
	}
	if r.Score != nil && (*r.Score < 0 || *r.Score > journal.TopScore) {
		return Plan{}, &Refusal{Reason: NoScore, Number: *r.Score}
	}
	judge, err := Judge(l.State, r.Judge)
	if err != nil {
		return Plan{}, err
	}
	p, err := Still(l.State, r.Photo)
	if err != nil {
		return Plan{}, err
	}
	if p.OfCards() {
		return Plan{}, &Refusal{Reason: OfCards, Photo: p}
	}
	before := 0
	for _, m := range l.Marks {
		if m.Photo == p.Hash && m.Criterion == r.Criterion && strings.EqualFold(m.Judge, judge) {
			before++
		}
	}
	plan, _ := just(journal.MarkBody{Photo: p.Hash, Criterion: r.Criterion, Score: r.Score, Rubric: journal.Rubric,
		Judge: judge})
	if before > 0 {
		plan.Remarks = append(plan.Remarks, Remark{Matter: MarkedBefore, Count: before})
	}
	return plan, nil
}

func criterion(n int) error {
	if n < 1 || n > len(journal.Criteria) {
		return &Refusal{Reason: NoCriterion, Number: n}
	}
	return nil
}

// Verdict is the outcome of one blind pair.
type Verdict struct {
	Left, Right string // photos, as they stood
	Criterion   int
	Outcome     string // one of journal.Outcomes
	Judge       string // "" = the journal's owner
}

// Plan looks that it is about two photos.
func (r Verdict) Plan(l journal.Look) (Plan, error) {
	if err := criterion(r.Criterion); err != nil {
		return Plan{}, err
	}
	if !slices.Contains(journal.Outcomes, r.Outcome) {
		return Plan{}, &Refusal{Reason: NoOutcome, Name: r.Outcome, Known: journal.Outcomes}
	}
	judge, err := Judge(l.State, r.Judge)
	if err != nil {
		return Plan{}, err
	}
	left, err := Still(l.State, r.Left)
	if err != nil {
		return Plan{}, err
	}
	right, err := Still(l.State, r.Right)
	if err != nil {
		return Plan{}, err
	}
	if left == right {
		return Plan{}, &Refusal{Reason: SamePhoto}
	}
	return just(journal.VerdictBody{Left: left.Hash, Right: right.Hash, Criterion: r.Criterion, Outcome: r.Outcome,
		Judge: judge})
}

// Pack is the key of a pack of blind pairs that was written for judges elsewhere.
type Pack struct {
	Key journal.PackBody
}

// Plan looks that its photos are still here, and two of each pair.
func (r Pack) Plan(l journal.Look) (Plan, error) {
	photos := l.PhotosByHash()
	for _, p := range r.Key.Pairs {
		if p.Left == p.Right {
			return Plan{}, &Refusal{Reason: SamePhoto}
		}
		for _, hash := range []string{p.Left, p.Right} {
			if photos[hash] == nil {
				return Plan{}, &Refusal{Reason: NoSuchPhoto, Name: hash}
			}
		}
	}
	return just(r.Key)
}
