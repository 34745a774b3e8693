// What lies in the inbox now, and why: the half of the to-do list that only a
// look into the folder can tell.

package inbox

import (
	"context"
	"fmt"
	"os"
	"path"
	"strings"

	"rakelight/journal"
)

// Count is how many files lie in the inbox, those set aside left out. It goes
// by names alone and reads none of them.
func (in *Inbox) Count() (int, error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	list, err := in.walk(in.j.InboxDir(), nil)
	if err != nil {
		return 0, err
	}
	return len(list.files), nil
}

// PassedOver tells which files and folders of the inbox no run looks at, one
// outcome for each reason.
func (in *Inbox) PassedOver() []Outcome {
	in.mu.Lock()
	defer in.mu.Unlock()
	list, err := in.walk(in.j.InboxDir(), nil)
	if err != nil {
		return []Outcome{{Path: "inbox", Status: SetAside,
			Why: fmt.Sprintf("the folder cannot be read (%v)", cause(err))}}
	}
	return list.passed.outcomes("inbox", nil)
}

// Lying lists the files in the inbox that are no photos of the journal, by
// path, each with why it lies there and what to type. It reads every one of
// them, and changes nothing. Files that were set aside as copies are in the
// state's own list (journal.State.ToDo); here are those that were put into
// inbox/aside by hand, and the damaged bytes of repaired photos.
func (in *Inbox) Lying(ctx context.Context) ([]journal.ToDo, error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	top, err := in.walk(in.j.InboxDir(), nil)
	if err != nil {
		return nil, fmt.Errorf("the inbox cannot be read: %w", err)
	}
	files := top.files
	aside, err := in.walk(in.j.Path("inbox/"+journal.AsideDir), nil)
	switch {
	case err == nil:
		files = append(files, aside.files...)
	case !os.IsNotExist(err):
		return nil, fmt.Errorf("inbox/%s cannot be read: %w", journal.AsideDir, err)
	}
	told := map[string]bool{}
	for _, a := range in.j.State.Asides {
		told[a.Path] = true
	}
	var rows []journal.ToDo
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if d := in.drop(f.path, ""); !told[d.Shown] {
			rows = append(rows, in.whyLying(d))
		}
	}
	return rows, nil
}

// whyLying tells of one file why it lies in the inbox.
func (in *Inbox) whyLying(d Dropped) journal.ToDo {
	row := journal.ToDo{Kind: journal.NotTaken, File: d.Shown, Why: journal.FileCause("it was not taken in yet"),
		Command: journal.Typed("rakelight take %s", d.Shown)}
	if strings.HasPrefix(d.Shown, "inbox/"+journal.AsideDir+"/") {
		row.Kind, row.Why = journal.SetAside, journal.FileCause("it was put aside by hand; no reason is written down")
		for _, r := range in.j.State.Repairs {
			if r.Aside == d.Shown {
				row.Why, row.Command = journal.FileCause(r.String()),
					journal.Typed("rakelight why %s", path.Base(r.Path))
			}
		}
		return row
	}
	if r := in.look(d, in.j.State); r.end != nil {
		row.Kind, row.Why, row.Command = journal.Unreadable,
			journal.FileCause(r.end.Why+" (copy it again, or move it out of the inbox)"), ""
	} else if isXMP(d.Path) {
		if _, why := in.photoOfXMP(r); why != "" {
			row.Why = journal.FileCause(why)
		}
		r.Meant = true // named by itself it is taken in where it otherwise waits
		if _, why := in.photoOfXMP(r); why != "" {
			row.Kind, row.Command = journal.Unreadable, ""
		}
	}
	return row
}
