// rakelight trial: a tool or material under test, from the first try to the review.

package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/entry/wording"
	"rakelight/journal/say"
	stages "rakelight/journal/wording"
)

var trialCmd = &command{
	name: "trial", line: "test a tool or material: begin, note, review",
	usage: `Usage: rakelight trial
       rakelight trial begin WHAT [--build BUILD] [--question TEXT] [--tool NAME] [--card N] [--from DATE]
       rakelight trial note TRIAL TEXT
       rakelight trial review TRIAL TEXT

Keeps what you see of a tool or a material on trial, with the day, until the
review closes it; a later review replaces the earlier one. TRIAL is the id that
begin prints, or the beginning of what is on trial. Without arguments it prints
all trials as Markdown.

The sessions that name the tool are compared with those that do not, in the same
kind of work and like for like; so are the marks on their photos. --tool is what
sessions call it, when that is not WHAT; --card is the number of its bench card.
A trial that is closed takes no more notes and no later session; what you correct
of the sessions it had still changes its figures.
--from YYYY-MM-DD is the day it began, when that was earlier: its card counts from
then on. Trials that run at the same time need names and cards of their own.

Example:
  rakelight trial begin "glass file" --build pilot-boat --question "cleaner gates?"
  rakelight on pilot-boat clean --class flat --tool "glass file"
  rakelight trial note glass "no gouges where gates sit on flat parts"
`,
	run: func(a *app, args []string) error {
		var begin entry.Trial
		fs := pflag.NewFlagSet("trial", pflag.ContinueOnError)
		fs.StringVar(&begin.Build, "build", "", "")
		fs.StringVar(&begin.Question, "question", "", "")
		fs.StringVar(&begin.Tool, "tool", "", "")
		fs.IntVar(&begin.Card, "card", 0, "")
		from := fs.String("from", "", "")
		j, rest, err := a.openWith(fs, args)
		if err != nil {
			return err
		}
		if len(rest) == 0 {
			a.printTrials(j.State)
			return nil
		}
		word, rest := rest[0], rest[1:]
		switch {
		case word == "begin" && len(rest) > 0:
			begin.What = strings.Join(rest, " ")
			if begin.From, err = trialBegan(*from, j.State.Zone); err != nil {
				return err
			}
			return a.beginTrial(j, begin)
		case word == "note" && len(rest) > 1:
			_, err := a.noteTrial(j, entry.Observe{Trial: rest[0], Text: strings.Join(rest[1:], " ")})
			return err
		case word == "review" && len(rest) > 1:
			trial, err := a.noteTrial(j, entry.Review{Trial: rest[0], Text: strings.Join(rest[1:], " ")})
			if err != nil {
				return err
			}
			a.printf("\n")
			a.printTrial(j.State, trial)
			return nil
		}
		return &usageError{"trial takes begin WHAT, note TRIAL TEXT or review TRIAL TEXT"}
	},
}

func (a *app) beginTrial(j *journal.Journal, begin entry.Trial) error {
	said, err := entry.Do(j, begin)
	if err != nil {
		return err
	}
	a.printf("%s is on trial as %s%s\n", begin.What, said.Records[0].ID(), takeBack(said.Records[0]))
	for _, r := range said.Remarks {
		words := wording.Remark(r)
		a.say(errors.New(words.What), words.Hint)
	}
	return nil
}

// noteTrial writes down a note or a review, and returns the trial as it is with it.
func (a *app) noteTrial(j *journal.Journal, note entry.Request) (*journal.Trial, error) {
	said, err := entry.Do(j, note)
	if err != nil {
		return nil, err
	}
	id := ""
	switch b := said.Add[0].(type) {
	case journal.ObserveBody:
		id = b.Trial
	case journal.ReviewBody:
		id = b.Trial
	}
	trial, err := said.State.FindTrial(id)
	if err != nil {
		return nil, err
	}
	a.printf("%s: noted%s\n", trial.What, takeBack(said.Records[0]))
	return trial, nil
}

// trialBegan is the beginning of the day a person typed, zero = none.
func trialBegan(date string, zone *time.Location) (time.Time, error) {
	if date == "" {
		return time.Time{}, nil
	}
	at, err := time.ParseInLocation(time.DateOnly, date, zone)
	if err != nil {
		return at, &usageError{fmt.Sprintf("--from takes a day that has come, such as 2026-11-23, not %q", date)}
	}
	return at, nil
}

// printTrials prints the trials as Markdown.
func (a *app) printTrials(s *journal.State) {
	if len(s.Trials) == 0 {
		a.println("No trials.")
		return
	}
	for i, t := range s.Trials {
		if i > 0 {
			a.printf("\n")
		}
		a.printTrial(s, t)
	}
}

// printTrial prints a trial as Markdown: what was asked and seen, what sessions
// and marks say, and the review.
func (a *app) printTrial(s *journal.State, t *journal.Trial) {
	a.printf("## %s\n\nOn trial since %s", t.What, t.At.In(s.Zone).Format(time.DateOnly))
	if t.Build != "" {
		a.printf(", on %s", t.Build)
	}
	a.printf(" (%s).\n", t.ID)
	if t.Question != "" {
		a.printf("\nQuestion: %s\n", t.Question)
	}
	if len(t.Observations) > 0 {
		a.printf("\n")
	}
	for _, o := range t.Observations {
		a.printf("- %s: %s\n", o.At.In(s.Zone).Format(time.DateOnly), o.Text)
	}
	a.printf("\n### With it and without\n\n")
	asWritten := func(class string) string { return class }
	if figures := s.Try(t).Markdown(say.English(), stages.KindName, asWritten); figures != "" {
		manual(&shownLines{w: a.out}, figures)
	} else {
		a.printf("No counted session names %s yet; %s does.\n", t.Tool,
			journal.Typed("rakelight on … --tool %s", t.Tool))
	}
	if t.Review != "" {
		a.printf("\n### Review, %s\n\n", t.Closed.In(s.Zone).Format(time.DateOnly))
		manual(&shownLines{w: a.out}, t.Review+"\n") // it may have paragraphs
	}
}
