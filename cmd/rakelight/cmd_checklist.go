// rakelight checklist: the task lists of a build, and what is ticked there.

package main

import (
	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
)

var checklistCmd = &command{
	name: "checklist", line: "what is to do and done on a build, by its own lists",
	usage: `Usage: rakelight checklist [BUILD]
       rakelight checklist [BUILD] --tick|--untick ITEM [--below HEADING]

Prints the task lists of a build.md, by heading. The flags tick an item, or take
its tick away: one mark in your text changes, and nothing else in the file. What
is to be bought stands there too; rakelight supplies says more of it.

  --tick ITEM      it is done; ITEM is all its words or enough of them
  --untick ITEM    it is not
  --below HEADING  the one below this heading, where several have those words

Example:
  rakelight checklist pilot-boat
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("checklist", pflag.ContinueOnError)
		tick, untick := fs.String("tick", "", ""), fs.String("untick", "", "")
		below := fs.String("below", "", "")
		j, rest, err := a.openWith(fs, args, takes(0, 1, "checklist takes one build"))
		if err != nil {
			return err
		}
		said := entry.Task{Name: *tick + *untick, Section: *below, Done: *tick != ""}
		if len(rest) > 0 {
			said.Build = rest[0]
		}
		switch {
		case *tick != "" && *untick != "":
			return &usageError{"one thing at a time: --tick or --untick"}
		case said.Name != "":
			return a.tick(j, said)
		case *below != "":
			return &usageError{"name the item: --tick ITEM or --untick ITEM"}
		}
		b, err := entry.TasksOf(j.Look(), said.Build)
		if err != nil {
			return err
		}
		a.printChecklist(b)
		return nil
	},
}

func (a *app) tick(j *journal.Journal, said entry.Task) error {
	id, now, err := entry.SetTask(j, said)
	if err != nil {
		return changedSupplies(err)
	}
	a.printf("%s of %s: %s\n", now.Text, id, doneWord(now))
	return nil
}

func doneWord(item journal.CheckItem) string {
	if item.Done {
		return "done"
	}
	return "to do"
}

func (a *app) printChecklist(b *journal.Build) {
	if len(b.Checklist) == 0 {
		a.printf("%s has no lists; write them as task lists in builds/%s/build.md\n", b.ID, b.ID)
	}
	section := ""
	for _, item := range b.Checklist {
		if item.Section != section {
			section = item.Section
			a.println(section)
		}
		a.printf("  %-6s %s\n", doneWord(item), item.Text)
	}
}
