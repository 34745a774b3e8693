// This file says which trials can begin: two that run at once may share neither
// a name nor the number of a bench card, since nothing could tell them apart.

package journal

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// CheckTrial returns an AskError when the trial cannot begin: another of its name
// is running, or another had its bench card at that time or later.
func (s *State) CheckTrial(b TrialBody) error {
	for _, t := range s.Trials {
		over := !t.Closed.IsZero()
		switch {
		case !over && strings.EqualFold(t.What, b.What):
			return &AskError{What: fmt.Sprintf("%s is on trial already as %s: no trial begun", t.What, t.ID),
				Hint: fmt.Sprintf("%s adds to it; %s closes it", Typed("rakelight trial note %s TEXT", t.ID), Typed("rakelight trial review %s TEXT", t.ID))}
		case b.Card > 0 && t.Card == b.Card && !over:
			return &AskError{What: fmt.Sprintf("bench card %d belongs to the trial of %s, %s, which is running: no trial begun", b.Card, t.What, t.ID),
				Hint: "take another card; " + Typed("rakelight trial review %s TEXT", t.ID) + " closes that one"}
		case b.Card > 0 && t.Card == b.Card && !t.Closed.Before(dayOf(b.At)):
			return &AskError{What: fmt.Sprintf("bench card %d belonged to the trial of %s, %s, until %s: no trial begun", b.Card, t.What, t.ID, t.Closed.In(s.Zone).Format(time.DateOnly)),
				Hint: "begin after that day, or with another card"}
		}
	}
	return nil
}

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
	for _, p := range s.Photos {
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
		return nil, &AskError{What: fmt.Sprintf("there is no trial %q", name), Hint: "rakelight trial lists them with their ids"}
	case 1:
		return found[0], nil
	}
	var each []string
	for _, t := range found {
		each = append(each, fmt.Sprintf("%s (%s)", t.ID, t.What))
	}
	return nil, &AskError{What: fmt.Sprintf("%q fits %d trials", name, len(found)), Hint: "name one by its id: " + strings.Join(each, ", ")}
}

// CheckNote returns an AskError when the trial is closed: what is noted after
// the review would stand beside figures that no longer count it.
func (t *Trial) CheckNote() error {
	if t.Closed.IsZero() {
		return nil
	}
	return &AskError{What: fmt.Sprintf("the trial of %s was reviewed on %s: nothing noted", t.What, t.Closed.Format(time.DateOnly)),
		Hint: fmt.Sprintf("%s reviews it again; %s begins a new one", Typed("rakelight trial review %s TEXT", t.ID), Typed("rakelight trial begin %s", t.What))}
}
