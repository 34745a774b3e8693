// rakelight judge: blind pairs on a local page.

package main

import (
	"flag"
	"fmt"

	"rakelight/cmd/rakelight/judge"
)

var judgeCmd = &command{
	name: "judge", line: "judge blind pairs of photos",
	usage: `Usage: rakelight judge [--judge NAME]

Serves a page on this computer that shows two photos of the same kind of work,
from the same view and under the same light, of two builds, and asks which is the
better on one criterion: by tap, or by the keys 1 (left), 2 (right), 3 (no
difference) and 4 (cannot tell). Nothing on the page, in its addresses or in the
picture files tells builds or dates. Now and then a pair comes back with its
sides exchanged, to see how steady the eye is. Each verdict is kept at once.
Stop it with Ctrl-C; rakelight skill says what the verdicts tell.

  --judge NAME    somebody else judges at this computer

Example:
  rakelight judge
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("judge", flag.ContinueOnError)
		who := fs.String("judge", "", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) > 0 {
			return &usageError{"judge takes no arguments but --judge NAME"}
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		s, err := judge.Serve(a.ctx, j, judge.Name(*who), uint64(a.now().UnixNano()))
		if err != nil {
			return err
		}
		fmt.Fprintf(a.out, "Judge at %s (Ctrl-C ends)\n", s.URL)
		<-a.ctx.Done()
		fmt.Fprintf(a.out, "%s given\n", count(s.Said(), "verdict"))
		return s.Close()
	},
}
