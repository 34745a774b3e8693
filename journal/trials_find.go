// This file answers what must be known of the trials before one begins or is
// noted in.

package journal

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// TrialCardShown returns when the bench card of a trial that begins at that
// instant was first shown before that day, and true when it was. What was shown
// while an earlier trial had the card is that trial's.
func (s *State) TrialCardShown(card int, begins time.Time) (first time.Time, shown bool) {
	after := time.Time{}
	for _, t := range s.Trials {
		if t.Card == card && t.Closed.After(after) && t.Closed.Before(begins) {
			after = t.Closed
		}
	}
	note := func(at time.Time) {
		if at.After(after) && at.Before(dayOf(begins)) && (!shown || at.Before(first)) {
			first, shown = at, true
		}
	}
	for _, one := range s.Sessions {
		if slices.Contains(one.Trials, card) {
			note(one.Start)
		}
	}
	for _, p := range s.photos() {
		if p.Trial == card {
			note(p.Instant.At)
		}
	}
	return first, shown
}

// FindTrial finds the trial a person means: by its id or by the beginning of
// what is on trial. Of several, those that still run are meant.
func (s *State) FindTrial(name string) (*Trial, error) {
	var found []*Trial
	for _, t := range s.Trials {
		if t.ID == name {
			return t, nil
		}
		if strings.HasPrefix(strings.ToLower(t.What), strings.ToLower(name)) {
			found = append(found, t)
		}
	}
	if running := keep(found, func(t *Trial) bool { return t.Closed.IsZero() }); len(running) == 1 {
		found = running
	}
	switch len(found) {
	case 0:
		return nil, &AskError{What: fmt.Sprintf("there is no trial %q", name),
			Hint: "rakelight trial lists them with their ids"}
	case 1:
		return found[0], nil
	}
	var each []string
	for _, t := range found {
		each = append(each, fmt.Sprintf("%s (%s)", t.ID, t.What))
	}
	return nil, &AskError{What: fmt.Sprintf("%q fits %d trials", name, len(found)),
		Hint: "name one by its id: " + strings.Join(each, ", ")}
}
