// rakelight supplies: what is had, missing and on its way, over all builds.

package main

import (
	"errors"
	"strings"
	"text/tabwriter"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
)

var suppliesCmd = &command{
	name: "supplies", line: "the shopping list of all builds, and what came of it",
	usage: `Usage: rakelight supplies [BUILD] [--all]
       rakelight supplies [BUILD] --had|--missing|--ordered|--come NAME [--cost COST]
       rakelight supplies [BUILD] --add NAME

Lists what the builds still need, by build, the open ones first: what is missing
and what is ordered. It stands in your own text, in the task lists of build.md
below a heading Supplies or Shopping (or as supplies in journal.toml says). A
ticked item is there, an open one missing; more may stand in brackets behind it:

  - [ ] clear gel (ordered 2026-11-20; cost 4.50)

The flags change that line and nothing else in the file; so may you, by hand.

  --all           those that are there, too
  --had NAME      it is there; NAME is all its words or enough of them
  --missing NAME  it is not
  --ordered NAME  it is on its way
  --come NAME     it was ordered and is there
  --cost COST     with one of those, or with --of NAME alone: 4.50, "4.50 EUR"; "" for none
  --of NAME       the one that --cost is of
  --on DAY        the day it was ordered or came, if not today: 2026-11-20
  --add NAME      puts one more on the list, missing

Example:
  rakelight supplies
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("supplies", pflag.ContinueOnError)
		all := fs.Bool("all", false, "")
		states := map[string]*string{}
		for _, state := range journal.SupplyStates {
			states[state] = fs.String(state, "", "")
		}
		cost, of := fs.String("cost", "", ""), fs.String("of", "", "")
		on, add := fs.String("on", "", ""), fs.String("add", "", "")
		j, rest, err := a.openWith(fs, args, takes(0, 1, "supplies takes one build"))
		if err != nil {
			return err
		}
		build := strings.Join(rest, "")
		said := entry.Supply{Build: build, Name: *of, Date: *on}
		for state, name := range states {
			if *name == "" {
				continue
			}
			if said.Name != "" {
				return &usageError{"one thing at a time: --had, --missing, --ordered, --come or --of"}
			}
			said.State, said.Name = state, *name
		}
		if fs.Changed("cost") {
			said.Cost = cost
		}
		switch {
		case *add != "":
			return a.addSupply(j, build, *add)
		case said.Name != "":
			return a.setSupply(j, said)
		case said.Cost != nil || *on != "":
			return &usageError{"name what it is of: --of NAME"}
		}
		return a.printSupplies(j.State, build, *all)
	},
}

// addSupply puts one more on the list.
func (a *app) addSupply(j *journal.Journal, build, text string) error {
	id, err := entry.AddSupply(j, build, text)
	if err != nil {
		return changedSupplies(err)
	}
	a.printf("%s is on the list of %s, missing; to take it off, edit builds/%s/build.md\n", text, id, id)
	return nil
}

// setSupply writes down what became of one.
func (a *app) setSupply(j *journal.Journal, said entry.Supply) error {
	id, now, err := entry.SetSupply(j, said)
	if err != nil {
		return changedSupplies(err)
	}
	a.printf("%s of %s: %s\n", now.Text, id, supplyWords(now))
	return nil
}

func changedSupplies(err error) error {
	if errors.Is(err, journal.ErrChanged) {
		return &journal.AskError{What: err.Error(), Hint: "close the editor that holds it, or write there"}
	}
	return err
}

// supplyWords is how a supply stands.
func supplyWords(s journal.Supply) string {
	words := s.State
	switch day := map[string]string{journal.SupplyOrdered: s.Ordered, journal.SupplyCome: s.Come}[s.State]; {
	case day != "":
		words += " " + day
	}
	return strings.Join(nonEmpty(words, led("cost ", s.Cost)), ", ")
}

// printSupplies prints the list of a build, or of all.
func (a *app) printSupplies(s *journal.State, build string, all bool) error {
	lists := s.Supplies()
	if build != "" {
		b, err := s.ResolveBuild(build)
		if err != nil {
			return err
		}
		lists = []journal.BuildSupplies{{Build: b, All: s.SuppliesOf(b)}}
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	open, listed := 0, 0
	for _, list := range lists {
		show := list.Open()
		if open += len(show); all {
			show = list.All
		}
		if len(show) == 0 || list.Build.Finished != "" && !all && build == "" {
			continue
		}
		fprintf(t, "%s\n", list.Build.ID)
		for _, one := range show {
			listed++
			fprintf(t, "  %s\t%s\n", one.Text, supplyWords(one))
		}
	}
	if err := t.Flush(); err != nil {
		return err
	}
	switch {
	case listed == 0 && len(lists) > 0 && !all:
		a.println("nothing is missing; rakelight supplies --all lists what is there")
	case listed == 0:
		a.println("no supplies are listed; put them in build.md as a task list below ## Supplies")
	}
	return nil
}
