// What is said of what went wrong and of what is tried: mistakes and trials.

package entry

import (
	"strings"
	"time"

	"rakelight/journal"
)

// Mistake is what went wrong.
type Mistake struct {
	Build         string // "" = the one that is worked on, or the only open one
	Kind          string // in a word or two, to find it again: "gouge"
	Stage         string // that caused it, "" = not said
	Parts         string
	Cause, Mended string
	Lost          time.Duration
	At            time.Time // zero = now
}

// Plan writes the kind as the next of its like will be written.
func (r Mistake) Plan(l journal.Look) (Plan, error) {
	if !(r.Lost >= 0 && r.Lost < 24*time.Hour) {
		return Plan{}, &Refusal{Reason: NoLoss, Length: r.Lost}
	}
	b, err := inHand(l, r.Build)
	if err != nil {
		return Plan{}, err
	}
	at, err := moment(l, r.At)
	if err != nil {
		return Plan{}, err
	}
	body := journal.MistakeBody{Build: b.ID, Kind: strings.ToLower(plain(r.Kind)), Cause: r.Cause, Mended: r.Mended,
		Minutes: r.Lost.Minutes(), At: at}
	if body.Kind == "" {
		return Plan{}, &Refusal{Reason: NoKind}
	}
	if r.Stage != "" {
		st, err := l.StageCalled(b, r.Stage)
		if err != nil {
			return Plan{}, err
		}
		body.Stage = st.ID
	}
	if body.Parts, err = named(b, r.Parts); err != nil {
		return Plan{}, err
	}
	return just(body)
}

// plain is words with single spaces.
func plain(words string) string { return strings.Join(strings.Fields(words), " ") }

// Trial begins the trial of a tool or a material.
type Trial struct {
	What, Question, Build string
	Tool                  string    // as sessions call it, "" = as What
	Card                  int       // number of its bench card, 0 = none
	From                  time.Time // when it began, zero = now
}

// Plan looks that nothing else on trial has its name or its card: nothing could
// tell the two apart.
func (r Trial) Plan(l journal.Look) (Plan, error) {
	at, err := moment(l, r.From)
	if err != nil {
		return Plan{}, err
	}
	body := journal.TrialBody{What: r.What, Question: r.Question, Tool: r.Tool, Card: r.Card, At: at}
	switch {
	case plain(r.What) == "":
		return Plan{}, &Refusal{Reason: NoWords}
	case r.Card < 0:
		return Plan{}, &Refusal{Reason: NoCard, Number: r.Card}
	}
	if r.Build != "" {
		b, err := l.ResolveBuild(r.Build)
		if err != nil {
			return Plan{}, err
		}
		body.Build = b.ID
	}
	for _, t := range l.Trials {
		over := !t.Closed.IsZero()
		has := r.Card > 0 && t.Card == r.Card
		switch {
		case !over && strings.EqualFold(t.What, r.What):
			return Plan{}, &Refusal{Reason: TrialRuns, Trial: t}
		case has && !over:
			return Plan{}, &Refusal{Reason: CardRuns, Number: r.Card, Trial: t}
		case has && !t.Closed.Before(dayOf(at)):
			return Plan{}, &Refusal{Reason: CardBelonged, Number: r.Card, Trial: t, At: t.Closed.In(zone(l.State))}
		}
	}
	plan, _ := just(body)
	if first, shown := l.TrialCardShown(r.Card, at); shown && r.Card > 0 {
		plan.Remarks = append(plan.Remarks, Remark{Matter: CardShown, New: 1, Number: r.Card,
			At: first.In(zone(l.State))})
	}
	return plan, nil
}

// dayOf is the first moment of the day.
func dayOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, t.Location())
}

// Observe notes something seen in a trial that runs.
type Observe struct {
	Trial string // by its id, or the beginning of what is on trial
	Text  string
	Photo string    // one that shows it, "" = none
	At    time.Time // zero = now
}

// Plan refuses a trial that was reviewed: the note would stand beside figures that
// no longer count it.
func (r Observe) Plan(l journal.Look) (Plan, error) {
	t, at, err := trial(l, r.Trial, r.Text, r.At)
	if err != nil {
		return Plan{}, err
	}
	if !t.Closed.IsZero() {
		return Plan{}, &Refusal{Reason: TrialReviewed, Trial: t, At: t.Closed.In(zone(l.State))}
	}
	body := journal.ObserveBody{Trial: t.ID, Text: r.Text, At: at}
	if r.Photo != "" {
		p, err := Photo(l.State, r.Photo)
		if err != nil {
			return Plan{}, err
		}
		body.Photo = p.Hash
	}
	return just(body)
}

// Review closes a trial; a later one replaces it.
type Review struct {
	Trial string
	Text  string    // Markdown
	At    time.Time // zero = now
}

// Plan finds the trial.
func (r Review) Plan(l journal.Look) (Plan, error) {
	t, at, err := trial(l, r.Trial, r.Text, r.At)
	if err != nil {
		return Plan{}, err
	}
	return just(journal.ReviewBody{Trial: t.ID, Text: r.Text, At: at})
}

func trial(l journal.Look, name, text string, at time.Time) (*journal.Trial, time.Time, error) {
	t, err := l.FindTrial(name)
	if err != nil {
		return nil, at, err
	}
	if plain(text) == "" {
		return nil, at, &Refusal{Reason: NoWords}
	}
	at, err = moment(l, at)
	return t, at, err
}
