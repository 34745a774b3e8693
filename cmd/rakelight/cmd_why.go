// rakelight why: tells a photo's whole story.

package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"rakelight/media/inbox"
)

var whyCmd = &command{
	name: "why", line: "tell where a photo's time and tags came from",
	bench: true,
	usage: `Usage: rakelight why PHOTO

Tells the whole story of a photo: when it was taken and how that is known,
where it belongs and for which reason, which bench cards are in it and what
each did, where its original lies. A PHOTO is named by the first characters
of its id, by its path or by its file name.

Example:
  rakelight why 1f3a9c04
`,
	run: func(a *app, args []string) error {
		j, rest, err := a.openWith(pflag.NewFlagSet("why", pflag.ContinueOnError), args,
			takes(1, 1, "why takes one photo"))
		if err != nil {
			return err
		}
		found := j.State.FindPhoto(rest[0])
		if len(found) == 0 {
			return fmt.Errorf("there is no photo %q in this journal", rest[0])
		}
		for i, p := range found {
			if i > 0 {
				a.printf("\n")
			}
			for _, line := range inbox.Story(p, j.State) {
				a.println(line)
			}
		}
		return nil
	},
}
