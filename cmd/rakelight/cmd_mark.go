// rakelight mark: gives a photo a mark on one criterion of the rubric.

package main

import (
	"flag"
	"fmt"
	"strconv"
	"strings"

	"rakelight/journal"
)

var markCmd = &command{
	name: "mark", line: "mark a photo from 0 to 4 on one criterion",
	usage: `Usage: rakelight mark PHOTO CRITERION SCORE [--judge NAME]
       rakelight mark

Gives the work in a photo a score from 0 to 4, or na where the criterion does
not apply. Look under a diffuse lamp, then with the lamp low from one side, from
20 cm, without a magnifier; the score is that of the worst place that can be
seen. Without arguments it prints the twelve criteria and what 0, 2 and 4 mean.

A mark is frozen. A later opinion is kept as a re-mark, and the first one counts:
mark an old build again, blind, when you begin a new one, and rakelight skill
shows how your eye has drifted. Photos of bench cards alone are not marked.

  --judge NAME    whose mark it is, when it is not yours

Example:
  rakelight mark 1f3a9c04 4 3
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("mark", flag.ContinueOnError)
		who := fs.String("judge", "", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			for _, c := range journal.Criteria {
				a.printf("%2d  %s\n      0  %s\n      2  %s\n      4  %s\n", c.Number, c.Name, c.Zero, c.Two, c.Four)
			}
			return nil
		}
		if len(rest) != 3 {
			return &usageError{"mark takes a photo, a criterion and a score"}
		}
		criterion, err := criterionOf(rest[1])
		if err != nil {
			return err
		}
		given := false
		fs.Visit(func(f *flag.Flag) { given = given || f.Name == "judge" })
		judge, err := judgeNamed(*who, given)
		if err != nil {
			return err
		}
		body := journal.MarkBody{Criterion: criterion, Rubric: journal.Rubric, Judge: judge}
		if word := strings.ToLower(rest[2]); word != "na" && word != "n/a" {
			n, err := strconv.Atoi(word)
			if err != nil || n < 0 || n > journal.TopScore {
				return &usageError{fmt.Sprintf("%s is no score; it is 0 to %d, or na", rest[2], journal.TopScore)}
			}
			body.Score = &n
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		photos, _, err := splitPhotos(j.State, rest[:1])
		if err != nil {
			return err
		}
		if photos[0].OfCards() {
			return &journal.AskError{What: fmt.Sprintf("%s shows bench cards and not the work: nothing written", photos[0].Name),
				Hint: "mark a photo of the work itself; " + journal.Typed("rakelight why %s", photos[0].Short()) + " tells what this one shows"}
		}
		body.Photo = photos[0].Hash
		before := 0
		for _, m := range j.State.Marks {
			if m.Photo == body.Photo && m.Criterion == criterion && strings.EqualFold(m.Judge, judge) {
				before++
			}
		}
		rec, err := j.Append("mark", body)
		if err != nil {
			return err
		}
		word := "not applicable"
		if body.Score != nil {
			word = fmt.Sprintf("%d of %d", *body.Score, journal.TopScore)
		}
		a.printf("%s, %s: %s%s\n", photos[0].Short(), journal.Criteria[criterion-1].Name, word, takeBack(rec))
		if before > 0 {
			a.printf("it was marked %s before, so this is kept as a re-mark: the first mark counts in the tables, the difference as drift\n", count(before, "time"))
		}
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
		if strings.HasPrefix(c.Name, strings.ToLower(word)) && word != "" {
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
