// What lies in the inbox now, and why: the half of the to-do list that only a
// look into the folder can tell.

package inbox

import (
	"context"
	"fmt"
	"os"
	"strings"

	"rakelight/journal"
)

// Count is how many files lie in the inbox, those set aside left out. It goes
// by names alone and reads none of them.
func (in *Inbox) Count() (int, error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	list, err := in.walk(in.j.InboxDir(), nil)
	return len(list), err
}

// Lying lists the files in the inbox that are no photos of the journal, by
// path, each with why it lies there and what to type. It reads every one of
// them, and changes nothing. Files that were set aside as copies are in the
// state's own list (journal.State.ToDo); here are those that were put into
// inbox/aside by hand.
func (in *Inbox) Lying(ctx context.Context) ([]journal.ToDo, error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	told := map[string]bool{}
	for _, a := range in.j.State.Asides {
		told[a.Path] = true
	}
	top, err := in.walk(in.j.InboxDir(), nil)
	if err != nil {
		return nil, fmt.Errorf("the inbox cannot be read: %w", err)
	}
	aside, err := in.walk(in.j.Path("inbox/"+journal.AsideDir), nil)
	if err != nil && !os.IsNotExist(err) {
		return nil, fmt.Errorf("inbox/%s cannot be read: %w", journal.AsideDir, err)
	}
	var rows []journal.ToDo
	for _, f := range append(top, aside...) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		d := in.drop(f.path, "")
		row := journal.ToDo{Kind: journal.NotTaken, File: d.Shown, Why: "it was not taken in yet", Command: journal.Typed("rakelight take %s", d.Shown)}
		switch inAside := strings.HasPrefix(d.Shown, "inbox/"+journal.AsideDir+"/"); {
		case told[d.Shown]:
			continue
		case inAside:
			row.Kind, row.Why = journal.SetAside, "it was put aside by hand; no reason is written down"
		default:
			if r := in.look(d, in.j.State); r.end != nil {
				row.Kind, row.Why = journal.Unreadable, r.end.Why
			} else if isXMP(d.Path) {
				if _, why := in.photoOfXMP(r); why != "" {
					row.Why = why
				}
			}
		}
		rows = append(rows, row)
	}
	return rows, nil
}
