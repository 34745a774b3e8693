// rakelight cards: the bench cards to print, and what photographed cards said.

package main

import (
	"flag"
	"fmt"
	"path/filepath"

	"rakelight/journal"
	"rakelight/media/card"
)

var cardsCmd = &command{
	name: "cards", line: "write bench cards to print, or list what cards said",
	usage: `Usage: rakelight cards [BUILD] [--out FILE]
       rakelight cards --said
       rakelight cards --ignore PHOTO

Writes a page of bench cards to print. With a BUILD: its stages and runners.
Without: a set for any build, which asks for the one you work on. Photograph a
card and you have said it: the stage begins, it ends, twelve parts done.

  --out FILE      where the page goes; left out: pages/cards.html of the
                  journal, or pages/cards-BUILD.html
  --said          list all cards photographed so far and what came of each
  --ignore PHOTO  the cards in that photo say nothing; rakelight retract takes
                  that back

Example:
  rakelight cards pilot-boat
`,
	run: func(a *app, args []string) error {
		fs := flag.NewFlagSet("cards", flag.ContinueOnError)
		out := fs.String("out", "", "")
		said := fs.Bool("said", false, "")
		ignore := fs.String("ignore", "", "")
		rest, err := parse(fs, args)
		if err != nil {
			return err
		}
		switch {
		case len(rest) > 1:
			return &usageError{"cards takes one build"}
		case (*said || *ignore != "") && (len(rest) > 0 || *out != "") || *said && *ignore != "":
			return &usageError{"--said and --ignore stand alone"}
		}
		j, err := a.open()
		if err != nil {
			return err
		}
		switch {
		case *said:
			a.listCards(j.State)
			return nil
		case *ignore != "":
			return a.ignoreCards(j, *ignore)
		}
		return a.writeCards(j, rest, *out)
	},
}

func (a *app) writeCards(j *journal.Journal, rest []string, out string) error {
	title, name := "Bench cards for any build", "cards.html"
	var build *journal.Build
	if len(rest) == 1 {
		var err error
		if build, err = j.State.ResolveBuild(rest[0]); err != nil {
			return err
		}
		title, name = "Bench cards: "+build.Title, "cards-"+build.ID+".html"
	}
	set := card.SetOf(build)
	page, err := card.Sheet(title, set)
	if err != nil {
		return err
	}
	if out == "" {
		out = filepath.Join(j.Dir, "pages", name)
	}
	if err := journal.WriteFile(out, []byte(page)); err != nil {
		return fmt.Errorf("%s could not be written (%v)", out, err)
	}
	fmt.Fprintf(a.out, "%s in %s; print at 100 %%\n", count(len(set), "card"), out)
	return nil
}

// listCards lists all cards with the time that tells two of the same apart.
func (a *app) listCards(s *journal.State) {
	for _, c := range s.Cards {
		came := c.Effect
		if c.Wrong != "" {
			came = "nothing: " + c.Wrong
		}
		fmt.Fprintf(a.out, "%s  %s  %s: %s\n", c.At.In(s.Zone).Format("2006-01-02 15:04:05"), c.Photo[:min(8, len(c.Photo))], c.Card, came)
	}
	if len(s.Cards) == 0 {
		fmt.Fprintln(a.out, "no cards were photographed yet")
	}
}

func (a *app) ignoreCards(j *journal.Journal, name string) error {
	photos, more, err := splitPhotos(j.State, []string{name})
	if err != nil {
		return err
	}
	if len(more) > 0 || len(photos) != 1 {
		return fmt.Errorf("there is no photo %q in this journal: nothing written", name)
	}
	if len(photos[0].Cards) == 0 {
		return fmt.Errorf("no card was found in %s: nothing written", photos[0].Name)
	}
	rec, err := j.Append("card", journal.CardBody{Photo: photos[0].Hash})
	if err != nil {
		return err
	}
	fmt.Fprintf(a.out, "the cards in %s say nothing now; rakelight retract %s takes that back\n", photos[0].Name, rec.ID())
	return nil
}
