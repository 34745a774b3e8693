// What is said of the task lists of a build. They stand in build.md, which is a
// person's own text, and no record: what is said here changes one mark there.

package entry

import (
	"errors"
	"slices"
	"strings"

	"rakelight/journal"
)

// Task is an item of a task list, and whether it is done.
type Task struct {
	Build   string // "" = that of the session that runs, or the only open one
	Name    string // its words, or enough of them
	Section string // the heading above it, "" = any
	Done    bool
}

// SetTask writes it down and returns the build, and the item as it reads then. Nothing
// else in the person's text changes.
func SetTask(j *journal.Journal, r Task) (build string, now journal.CheckItem, err error) {
	l := j.Look()
	b, err := inHand(l, r.Build)
	if err != nil {
		return "", now, err
	}
	item, err := r.find(b)
	if err != nil {
		return "", now, err
	}
	err = j.Tick(b.ID, item, r.Done)
	if errors.Is(err, journal.ErrNoTask) { // somebody edited the list meanwhile
		err = &Refusal{Reason: NoSuchTask, Name: item.Text, Build: b.ID}
	}
	item.Done = r.Done
	return b.ID, item, err
}

// find is the item a person means: by all its words, else by their beginning, else by
// some of them. Items that read the same are one.
func (r Task) find(b *journal.Build) (journal.CheckItem, error) {
	name := strings.ToLower(plain(r.Name))
	var known []string
	for _, fits := range []func(text string) bool{
		func(text string) bool { return text == name },
		func(text string) bool { return strings.HasPrefix(text, name) },
		func(text string) bool { return strings.Contains(text, name) },
	} {
		var found []journal.CheckItem
		known = nil
		for _, item := range b.Checklist {
			known = append(known, item.Text)
			if name == "" || !fits(strings.ToLower(plain(item.Text))) || r.Section != "" && r.Section != item.Section {
				continue
			}
			if !slices.ContainsFunc(found, func(one journal.CheckItem) bool {
				return one.Text == item.Text && one.Section == item.Section
			}) {
				found = append(found, item)
			}
		}
		switch {
		case len(found) == 1:
			return found[0], nil
		case len(found) > 1:
			no := &Refusal{Reason: SeveralTasks, Name: name, Build: b.ID}
			for _, one := range found {
				no.Known = append(no.Known, strings.TrimPrefix(one.Section+": "+one.Text, ": "))
			}
			return journal.CheckItem{}, no
		}
	}
	return journal.CheckItem{}, &Refusal{Reason: NoSuchTask, Name: name, Build: b.ID, Known: known}
}

// TasksOf is the build whose lists are meant.
func TasksOf(l journal.Look, build string) (*journal.Build, error) { return inHand(l, build) }
