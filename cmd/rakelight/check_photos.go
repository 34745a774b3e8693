// rakelight check --photos: what there is to do about photos, with the command
// for each.

package main

import (
	"errors"
	"io/fs"
	"os"

	"rakelight/journal"
	"rakelight/journal/wording"
	"rakelight/media/inbox"
)

// shownRows is how many rows of a kind are shown unless all are asked for.
const shownRows = 10

// headings say of each kind what it lists.
var headings = map[string]string{
	journal.NoDate:      "without a date",
	journal.ZoneGuessed: "with a guessed zone",
	journal.ClockDoubt:  "with a clock in doubt",
	journal.Guessed:     "whose place is a guess",
	journal.Unsorted:    "without a build or a stage",
	journal.CardWrong:   "with a bench card that does not fit",
	journal.SetAside:    "set aside",
	journal.Unreadable:  "in the inbox, not taken in for a reason",
	journal.NotTaken:    "in the inbox, not taken in yet",
}

func (a *app) checkPhotos(j *journal.Journal, all bool) error {
	lying, err := inbox.New(j, inbox.Options{}).Lying(a.ctx)
	if err != nil {
		return err
	}
	if n := len(journal.Asked(j.State.ToDo())); n > 0 { // as status and the pages say
		a.printf("%s to sort\n", count(n, "photo"))
	}
	rows := map[string][]journal.ToDo{}
	for _, row := range append(j.State.ToDo(), lying...) {
		// A file set aside once may have been moved or deleted by hand since.
		if _, err := os.Lstat(j.Path(row.File)); row.File != "" && errors.Is(err, fs.ErrNotExist) {
			continue
		}
		rows[row.Kind] = append(rows[row.Kind], row)
	}
	for _, kind := range journal.ToDoKinds {
		list := rows[kind]
		if len(list) == 0 {
			continue
		}
		a.printf("%s (%d)\n", headings[kind], len(list))
		for i, row := range list {
			if i == shownRows && !all {
				a.printf("  and %d more: rakelight check --photos --all\n", len(list)-i)
				break
			}
			a.printf("  %s: %s\n", row.Name(), wording.ToDo(row.Why))
			if row.Command != "" {
				a.printf("      %s\n", row.Command)
			}
			if row.Else != "" {
				a.printf("      or %s\n", row.Else)
			}
		}
	}
	if len(rows) == 0 {
		a.println("nothing to do")
	}
	if n := j.State.NoZone(); n > 0 {
		state, were := "state", "were"
		if n == 1 {
			state, were = "states", "was"
		}
		a.printf("%s %s no zone and %s read in %s\n", count(n, "photo"), state, were, j.State.Zone)
	}
	return nil
}
