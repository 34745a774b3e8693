// rakelight mark: gives a photo a mark on one criterion of the rubric.

package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
)

var markCmd = &command{
	name: "mark", line: "mark a photo from 0 to 4 on one criterion",
	usage: `Usage: rakelight mark PHOTO CRITERION SCORE [--judge NAME]
       rakelight mark

Gives the work in a photo a score from 0 to 4, or na where the criterion does
not apply. Mark from the photos: the diffuse one, then the raking one, at a size
where the model looks as it does from 20 cm without a magnifier; the score is that
of the worst place that can be seen. Without arguments it prints the twelve criteria and what 0, 2 and 4 mean.

A mark is frozen. A later opinion is kept as a re-mark, and the first one counts:
mark an old build again, blind, when you begin a new one, and rakelight skill
shows how your eye has drifted. Photos of bench cards alone are not marked.

  --judge NAME    whose mark it is, when it is not yours

Example:
  rakelight mark 1f3a9c04 4 3
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("mark", pflag.ContinueOnError)
		who := fs.String("judge", "", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			for _, c := range journal.Criteria {
				a.printf("%2d  %s\n      0  %s\n      2  %s\n      4  %s\n", c.Number, c.Name.English(),
					c.Zero.English(), c.Two, c.Four.English())
			}
			return nil
		}
		if len(rest) != 3 {
			return &usageError{"mark takes a photo, a criterion and a score"}
		}
		said := entry.Mark{Photo: rest[0]}
		if said.Criterion, err = criterionOf(rest[1]); err != nil {
			return err
		}
		if said.Judge, err = judgeNamed(fs, *who); err != nil {
			return err
		}
		word := "not applicable"
		if score := strings.ToLower(rest[2]); score != "na" && score != "n/a" {
			n, err := strconv.Atoi(score)
			if err != nil {
				return &usageError{fmt.Sprintf("%s is not a score; it is 0 to %d, or na", rest[2], journal.TopScore)}
			}
			said.Score, word = &n, fmt.Sprintf("%d of %d", n, journal.TopScore)
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		short := done.Add[0].(journal.MarkBody).Photo[:8]
		a.printf("%s, %s: %s%s\n", short, journal.Criteria[said.Criterion-1].Name.English(), word,
			takeBack(done.Records[0]))
		a.told(done.Remarks)
		return nil
	},
}

// criterionOf reads a criterion by its number or the beginning of its name.
func criterionOf(word string) (int, error) {
	if n, err := strconv.Atoi(word); err == nil && n >= 1 && n <= len(journal.Criteria) {
		return n, nil
	}
	found := 0
	for _, c := range journal.Criteria {
		if strings.HasPrefix(c.Name.English(), strings.ToLower(word)) && word != "" {
			if found > 0 {
				return 0, &usageError{fmt.Sprintf("%q begins more than one criterion; rakelight mark lists them", word)}
			}
			found = c.Number
		}
	}
	if found == 0 {
		return 0, &usageError{fmt.Sprintf("there is no criterion %q; rakelight mark lists the twelve", word)}
	}
	return found, nil
}
