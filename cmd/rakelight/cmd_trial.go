// rakelight trial: a tool or material under test, from the first try to the review.

package main

import (
	"flag"
	"fmt"
	"strings"
	"time"

	"rakelight/journal"
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
A trial that is closed keeps the figures of that day, and takes no more notes.
--from YYYY-MM-DD is the day it began, when that was earlier: its card counts from
then on. Trials that run at once need names and cards of their own.

Example:
  rakelight trial begin "glass file" --build pilot-boat --question "cleaner gates?"
  rakelight on pilot-boat clean --class flat --tool "glass file"
  rakelight trial note glass "no gouges on flat gates, slow in corners"
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("trial", flag.ContinueOnError)
		build := fs.String("build", "", "")
		question := fs.String("question", "", "")
		tool := fs.String("tool", "", "")
		card := fs.Int("card", 0, "")
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
			body := journal.TrialBody{What: strings.Join(rest, " "), Question: *question, Tool: *tool, Card: *card}
			if *card < 0 {
				return &usageError{"--card takes the number on the card"}
			}
			if *build != "" {
				b, err := j.State.ResolveBuild(*build)
				if err != nil {
					return err
				}
				body.Build = b.ID
			}
			if body.At, err = a.trialBegan(*from, j.State.Zone); err != nil {
				return err
			}
			if err := j.State.CheckTrial(body); err != nil {
				return err
			}
			rec, err := j.Append("trial", body)
			if err != nil {
				return err
			}
			a.printf("%s is on trial as %s%s\n", body.What, rec.ID(), takeBack(rec))
			if at, shown := j.State.TrialCardShown(body.Card, body.At); shown && body.Card > 0 {
				day := at.In(j.State.Zone).Format(time.DateOnly)
				a.say(fmt.Errorf("card %d was shown before the trial began, first on %s, and does not count for it then", body.Card, day),
					fmt.Sprintf("if it began then: %s, and begin it with --from %s", journal.Typed("rakelight retract %s", rec.ID()), day))
			}
			return nil
		case (word == "note" || word == "review") && len(rest) > 1:
			trial, err := j.State.FindTrial(rest[0])
			if err != nil {
				return err
			}
			if err := trial.CheckNote(); err != nil && word == "note" {
				return err
			}
			text := strings.Join(rest[1:], " ")
			kind, body := "observe", any(journal.ObserveBody{Trial: trial.ID, Text: text, At: a.now()})
			if word == "review" {
				kind, body = "review", journal.ReviewBody{Trial: trial.ID, Text: text, At: a.now()}
			}
			rec, err := j.Append(kind, body)
			if err != nil {
				return err
			}
			a.printf("%s: noted%s\n", trial.What, takeBack(rec))
			if word == "note" {
				return nil
			}
			if trial, err = j.State.FindTrial(trial.ID); err != nil { // as it stands now
				return err
			}
			a.printf("\n")
			a.printTrial(j.State, trial)
			return nil
		}
		return &usageError{"trial takes begin WHAT, note TRIAL TEXT or review TRIAL TEXT"}
	},
}

// trialBegan is the beginning of the day a person typed, or now.
func (a *app) trialBegan(date string, zone *time.Location) (time.Time, error) {
	if date == "" {
		return a.now(), nil
	}
	at, err := time.ParseInLocation(time.DateOnly, date, zone)
	if err != nil || at.After(a.now()) {
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
	if figures := s.Try(t, journal.Seed).Markdown(journal.Title); figures != "" {
		manual(&shownLines{w: a.out}, figures)
	} else {
		a.printf("No counted session names %s yet; %s does.\n", t.Tool, journal.Typed("rakelight on … --tool %s", t.Tool))
	}
	if t.Review != "" {
		a.printf("\n### Review, %s\n\n", t.Closed.In(s.Zone).Format(time.DateOnly))
		manual(&shownLines{w: a.out}, t.Review+"\n") // it may have paragraphs
	}
}
