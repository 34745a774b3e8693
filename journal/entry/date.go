// When photos were taken, as a person says it.

package entry

import (
	"time"

	"rakelight/journal"
)

// Dated says when photos were taken: at a moment, or on some day of a stretch of
// days, both included. It comes above what the files and cameras say.
type Dated struct {
	Photos      []string
	At          time.Time // zero = First to Last
	First, Last string    // YYYY-MM-DD
	Said        string    // of more than a day, in the person's words: "spring 2019"
}

// Plan refuses what has not come, and what is before any photo.
func (r Dated) Plan(l journal.Look) (Plan, error) {
	body, err := r.body(l)
	if err != nil {
		return Plan{}, err
	}
	if len(r.Photos) == 0 {
		return Plan{}, &Refusal{Reason: NothingToSet}
	}
	var plan Plan
	for _, name := range r.Photos {
		p, err := Photo(l.State, name)
		if err != nil {
			return Plan{}, err
		}
		body.Photo = p.Hash
		one, err := unlessBase(l, p, body)
		if err != nil {
			return Plan{}, err
		}
		plan.Add = append(plan.Add, one.Add...)
	}
	return plan, nil
}

// body is the date without its photo.
func (r Dated) body(l journal.Look) (journal.DatedBody, error) {
	body := journal.DatedBody{At: r.At}
	if r.At.IsZero() {
		body.First, body.Last, body.Said = r.First, r.Last, r.Said
	}
	if err := body.Check(); err != nil {
		return body, &Refusal{Reason: NoDay, Name: r.First}
	}
	first := r.At
	if first.IsZero() {
		first = journal.FirstMoment(r.First, zone(l.State))
	}
	switch {
	case first.After(l.Now):
		return body, &Refusal{Reason: NotYet, At: first.In(zone(l.State))}
	case first.Year() < journal.FirstPhoto:
		return body, &Refusal{Reason: BeforePhotos, At: first.In(zone(l.State))}
	}
	// A stretch that has begun goes on until today.
	if today := l.Now.In(zone(l.State)).Format(time.DateOnly); body.Last > today {
		body.Last = today
	}
	return body, nil
}
