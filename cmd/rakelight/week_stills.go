// The stills of a week, written into a folder with their captions.

package main

import (
	"strings"
	"time"

	"rakelight/journal"
	"rakelight/render"
)

// writeStills writes the stills of a week into a folder.
func (a *app) writeStills(j *journal.Journal, monday time.Time, dir string, night bool) error {
	stills := render.StillsOf(j.State, monday, a.now(), night)
	if len(stills) == 0 {
		return &journal.AskError{What: "nothing is kept of this week that others may see: nothing written",
			Hint: "rakelight week says which week is the newest"}
	}
	to, err := j.HandOutFolder(dir)
	if err != nil {
		return err
	}
	p := newProgress(a.err)
	defer p.end()
	var captions strings.Builder
	for i, one := range stills {
		if err := a.ctx.Err(); err != nil {
			return err
		}
		data, err := one.Draw(j)
		if err != nil {
			return err
		}
		if err := to.Write(one.Name, data); err != nil {
			return err
		}
		captions.WriteString(one.Name + "  " + one.Caption + "\n")
		p.at(i+1, len(stills), "stills")
	}
	if err := to.Write("captions.txt", []byte(captions.String())); err != nil {
		return err
	}
	if err := to.Close(); err != nil {
		return err
	}
	p.end()
	a.printf("%s in %s, in the order of telling; captions.txt says what each shows\n", count(len(stills), "still"), dir)
	return nil
}
