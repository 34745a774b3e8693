// What is said of supplies. They stand in the task lists of build.md, which is a
// person's own text, and no record: what is said here changes their line there.

package entry

import (
	"errors"
	"slices"
	"strings"
	"time"

	"rakelight/journal"
)

// Supply is what became of a thing that a build needs.
type Supply struct {
	Build string // "" = that of the session that runs, or the only open one that has such a supply
	Name  string // its words, or some of them
	State string // one of journal.SupplyStates, "" = as it is
	Date  string // YYYY-MM-DD of being ordered or come, "" = today
	Cost  *string
}

// SetSupply writes it down and returns the build, and the supply as it reads then.
// Nothing else in the person's text changes.
func SetSupply(j *journal.Journal, r Supply) (build string, now journal.Supply, err error) {
	l := j.Look()
	b, was, change, err := r.find(l)
	if err != nil {
		return "", now, err
	}
	if err := j.ChangeSupply(b.ID, was, change); err != nil {
		return "", now, unwritten(err, b, was.Text)
	}
	for _, one := range j.State.SuppliesOf(j.State.Build(b.ID)) {
		if one.Line == was.Line && one.Text == was.Text {
			return b.ID, one, nil
		}
	}
	return b.ID, was, nil
}

// find finds the supply, and what becomes of it.
func (r Supply) find(l journal.Look) (*journal.Build, journal.Supply, journal.SupplyChange, error) {
	fail := func(err error) (*journal.Build, journal.Supply, journal.SupplyChange, error) {
		return nil, journal.Supply{}, journal.SupplyChange{}, err
	}
	b, was, err := r.meant(l)
	if err != nil {
		return fail(err)
	}
	change := journal.SupplyChange{State: r.State, Cost: r.Cost}
	if r.State == journal.SupplyOrdered || r.State == journal.SupplyCome {
		change.Day = l.Now.In(zone(l.State)).Format(time.DateOnly)
		if r.Date != "" {
			if _, err := day(l, r.Date); err != nil {
				return fail(err)
			}
			change.Day = r.Date
		}
	}
	if err := change.Check(); err != nil {
		return fail(&Refusal{Reason: NoChange, Err: err})
	}
	return b, was, change, nil
}

// meant is the supply a person means, and its build. Where no build is named it may
// be on the list of any that is open, if it is on one alone.
func (r Supply) meant(l journal.Look) (*journal.Build, journal.Supply, error) {
	if r.Build == "" && len(l.Running()) == 0 {
		var on []*journal.Build
		for _, list := range l.Supplies() {
			if _, err := supply(list.All, list.Build, r.Name); err == nil && list.Build.Finished == "" {
				on = append(on, list.Build)
			}
		}
		if len(on) == 1 {
			r.Build = on[0].ID
		}
	}
	b, err := inHand(l, r.Build)
	if err != nil {
		return nil, journal.Supply{}, err
	}
	was, err := supply(l.SuppliesOf(b), b, r.Name)
	return b, was, err
}

// supply is the one a person means: by all its words, else by their beginning, else
// by some of them.
func supply(all []journal.Supply, b *journal.Build, name string) (journal.Supply, error) {
	name = strings.ToLower(plain(name))
	for _, fits := range []func(text string) bool{
		func(text string) bool { return text == name },
		func(text string) bool { return strings.HasPrefix(text, name) },
		func(text string) bool { return strings.Contains(text, name) },
	} {
		var found []journal.Supply
		for _, s := range all {
			if name != "" && fits(strings.ToLower(plain(s.Text))) {
				found = append(found, s)
			}
		}
		switch {
		case len(found) == 1:
			return found[0], nil
		case len(found) > 1 && len(words(found)) == 1:
			return journal.Supply{},
				&Refusal{Reason: SuppliesAlike, Name: found[0].Text, Build: b.ID, Count: len(found)}
		case len(found) > 1:
			return journal.Supply{}, &Refusal{Reason: SeveralSupplies, Name: name, Build: b.ID, Known: words(found)}
		}
	}
	return journal.Supply{}, &Refusal{Reason: NoSuchSupply, Name: name, Build: b.ID, Known: words(all)}
}

// words are the words of supplies, each once.
func words(all []journal.Supply) []string {
	var out []string
	for _, s := range all {
		if !slices.Contains(out, s.Text) {
			out = append(out, s.Text)
		}
	}
	return out
}

// unwritten is why a supply could not be written.
func unwritten(err error, b *journal.Build, name string) error {
	if errors.Is(err, journal.ErrNoSupply) { // somebody edited the list meanwhile
		return &Refusal{Reason: NoSuchSupply, Name: name, Build: b.ID}
	}
	return err
}

// AddSupply writes a thing that a build needs on its list, missing, and returns the
// build.
func AddSupply(j *journal.Journal, build, text string) (string, error) {
	l := j.Look()
	b, err := inHand(l, build)
	if err != nil {
		return "", err
	}
	text = plain(text)
	if text == "" {
		return "", &Refusal{Reason: NoWords}
	}
	if slices.ContainsFunc(l.SuppliesOf(b), func(s journal.Supply) bool { return strings.EqualFold(s.Text, text) }) {
		return "", &Refusal{Reason: SuppliesAlike, Name: text, Build: b.ID, Count: 1}
	}
	return b.ID, j.AddSupply(b.ID, text)
}
