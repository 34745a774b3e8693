// Taking answers to packs.

package main

import (
	"errors"
	"fmt"
	"io/fs"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
	"rakelight/render/judge"
)

// takeAnswers adds answers that came back, all in one write or none. The judge
// is called name here, or is the owner when mine, or is who the sheet says.
func (a *app) takeAnswers(j *journal.Journal, files []string, name string, mine bool) error {
	said := entry.Answers{Judge: name, Mine: mine}
	for _, file := range files {
		sheets, err := judge.ReadAnswers(file)
		var unread *fs.PathError
		switch {
		case errors.As(err, &unread):
			return fmt.Errorf("no answers taken: %w", err)
		case err != nil:
			return &journal.AskError{What: fmt.Sprintf("%s: %v: no answers taken", file, err),
				Hint: "ask for the file or the text again, just as the pack gives it"}
		}
		for _, one := range sheets {
			said.Sheets = append(said.Sheets, entry.Sheet{File: file, Pack: one.Pack, Sheet: one.Sheet,
				Judge: one.Judge, Of: one.Of, Given: one.Given})
		}
	}
	done, err := entry.Do(j, said)
	if err != nil {
		if _, refused := wording.Refused(err); refused {
			return err
		}
		return fmt.Errorf("no answers taken: %w", err)
	}
	for _, r := range done.Remarks {
		line := wording.Remark(r).What
		if r.New > 0 {
			line += takeBack(done.Records[r.New-1])
		}
		a.println(line)
	}
	return nil
}
