// rakelight cards: the bench cards to print, what photographed cards said, and
// what a ruler says of the print.

package main

import (
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/media/card"
)

var cardsCmd = &command{
	name: "cards", line: "write bench cards to print, or list what cards said",
	usage: `Usage: rakelight cards [BUILD] [--all] [--out FILE]
       rakelight cards --said
       rakelight cards --say PHOTO WORDS
       rakelight cards --ignore PHOTO
       rakelight cards --measured MM [--sheet MARK] [--from DAY] [--to DAY]
       rakelight cards --whole PHOTO --paper A4 [--from DAY] [--to DAY]
       rakelight cards --sheets

Writes one page of bench cards to print, enough for an evening: begin for the
stages you work on next, end, break, 1, 5, 10 and 0 done, before, after. With
--all the rest follows: every stage, runners, views, light, trials. A page to hang
up ends the sheet: what to take care of as those stages begin. Without a BUILD the
cards mean the one you work on. Photograph a card instead of typing: the stage
begins, it ends, ten parts done.

  --all           the rest of the set on further pages
  --out FILE      where the page goes; left out: pages/cards.html of the
                  journal, or pages/cards-BUILD.html; a sheet that is there and
                  was not touched is replaced, anything else is left alone
  --said          list all cards photographed so far and what came of each
  --say PHOTO     the cards in that photo say WORDS, whatever was read, and also
                  where none was: "begin clean", "begin clean of pilot-boat",
                  "end", "break", "pause", "12 parts", "0 done", "runner A",
                  "before", "left view", "raking light", "trial 1";
                  several with commas between them
  --ignore PHOTO  the cards in that photo say nothing
  --measured MM   the scale on the cards of a sheet is MM millimeters long from 0
                  to 50: printers make pages smaller to fit, and then everything
                  measured by the cards is too large. Say it even if it is 50
  --sheet MARK    the sheet whose cards you measured: the mark stands on each
                  card; left out: the cards that bear none
  --whole PHOTO   measured without a ruler: PHOTO shows a whole page of cards that
                  is not cut yet, flat on a darker bench, from above
  --paper PAPER   the paper it is printed on, A4 or Letter
  --from, --to    YYYY-MM-DD, only for photos of these days, both included: for
                  cards without a mark, and for a sheet printed twice
  --sheets        list the sheets the photos show, and what was measured of them
What --say, --ignore, --measured and --whole did stays, until rakelight retract
takes it back. Of several measures that fit a photo the latest counts.

Examples:
  rakelight cards pilot-boat
  rakelight cards --say 1f3a9c04 "5 parts, end"
  rakelight cards --sheet K7QF --measured 47.5
  rakelight cards --whole 1f3a9c04 --paper A4
`,
	run: func(a *app, args []string) error {
		var o cardsOptions
		fs := pflag.NewFlagSet("cards", pflag.ContinueOnError)
		fs.StringVar(&o.out, "out", "", "")
		fs.BoolVar(&o.all, "all", false, "")
		fs.BoolVar(&o.said, "said", false, "")
		fs.StringVar(&o.say, "say", "", "")
		fs.StringVar(&o.ignore, "ignore", "", "")
		fs.StringVar(&o.measured, "measured", "", "")
		fs.StringVar(&o.sheet, "sheet", "", "")
		fs.StringVar(&o.whole, "whole", "", "")
		fs.StringVar(&o.paper, "paper", "", "")
		fs.StringVar(&o.from, "from", "", "")
		fs.StringVar(&o.to, "to", "", "")
		fs.BoolVar(&o.sheets, "sheets", false, "")
		j, rest, err := a.openWith(fs, args, o.check)
		if err != nil {
			return err
		}
		switch {
		case o.said:
			a.listCards(j.State)
			return nil
		case o.sheets:
			a.listSheets(j.State)
			return nil
		case o.say != "":
			return a.sayCards(j, o.say, strings.Join(rest, " "))
		case o.ignore != "":
			return a.ignoreCards(j, o.ignore)
		case o.measured != "":
			return a.measureSheet(j, o)
		case o.whole != "":
			return a.measureWhole(j, o)
		}
		return a.writeCards(j, rest, o)
	},
}

type cardsOptions struct {
	out, say, ignore          string
	measured, sheet, from, to string
	whole, paper              string
	all, said, sheets         bool
}

// check refuses a command line that says too much or too little.
func (o *cardsOptions) check(rest []string) error {
	alone := 0
	for _, given := range []bool{o.said, o.sheets, o.say != "", o.ignore != "", o.out != "", o.measured != "",
		o.whole != ""} {
		if given {
			alone++
		}
	}
	switch {
	case alone > 1 || (o.said || o.sheets || o.ignore != "" || o.measured != "" || o.whole != "") && len(rest) > 0:
		return &usageError{"--said, --sheets, --say, --ignore, --measured and --whole stand alone"}
	case o.measured == "" && o.sheet != "" || o.measured == "" && o.whole == "" && (o.from != "" || o.to != ""):
		return &usageError{"--sheet, --from and --to go with --measured"}
	case (o.whole == "") != (o.paper == ""):
		return &usageError{"--whole and --paper go together: the photo of a page, and what paper it is, A4 or Letter"}
	case alone > 0 && o.all && o.out == "":
		return &usageError{"--all goes with the cards to print"}
	case o.say != "" && len(rest) == 0:
		return &usageError{"--say takes a photo and what its cards say"}
	case o.say == "" && len(rest) > 1:
		return &usageError{"cards takes one build"}
	}
	return nil
}

func (a *app) writeCards(j *journal.Journal, rest []string, o cardsOptions) error {
	title, name := "Bench cards for any build", "cards.html"
	var build *journal.Build
	open := j.State.OpenKinds()
	if len(rest) == 1 {
		var err error
		if build, err = j.State.ResolveBuild(rest[0]); err != nil {
			return err
		}
		title, name = "Bench cards: "+build.Title, "cards-"+build.ID+".html"
		open = j.State.OpenStages(build)
	}
	set := card.EveningOf(build, open)
	more := card.Rest(card.SetOf(build), set)
	if o.all {
		set, more = append(set, more...), nil
	}
	care := card.CarefulOf(build, set)
	mark := j.State.NewSheet()
	page, err := card.Sheet(title, mark, set, care)
	if err != nil {
		return err
	}
	out, older := o.out, ""
	if out == "" {
		out, older = filepath.Join(j.Dir, "pages", name), card.OlderSheet
	}
	if err := j.HandOutPage(out, []byte(page), older); err != nil {
		return err
	}
	a.printf("%s on %s in %s; print at 100 %%\n", count(len(set), "card"), count(len(card.Pages(set)), "page"), out)
	if len(care) > 0 {
		a.println("a page to hang up ends it: what to take care of as those stages begin")
	}
	if len(more) > 0 {
		a.printf("that is enough for an evening; with --all there are %d more: every stage, runners, views, light, trials\n",
			len(more))
	}
	a.printf("then lay a ruler on one, from 0 to 50, and say what it is: %s\n",
		journal.Typed("rakelight cards --sheet %s --measured MM", mark))
	return nil
}

// listCards lists all cards with the time that tells two of the same apart.
func (a *app) listCards(s *journal.State) {
	photos := s.PhotosByHash()
	for _, c := range s.Cards {
		in := photos[c.Photo].Instant
		in.At = in.At.In(s.Zone)
		a.printf("%s  %s  %s: %s\n", in.Told("2006-01-02 15:04:05"), c.Photo[:min(8, len(c.Photo))], c.Card, c.Came())
	}
	if len(s.Cards) == 0 {
		a.println("no cards were photographed yet")
	}
}

// sayCards writes down what the cards of a photo say, and tells what came of it.
func (a *app) sayCards(j *journal.Journal, name, words string) error {
	said, err := entry.Do(j, entry.Cards{Photo: name, Words: words})
	if err != nil {
		return err
	}
	body := said.Add[0].(journal.CardBody)
	if len(body.Cards) == 0 {
		a.printSilent(said)
		return nil
	}
	shown := said.State.PhotosByHash()[body.Photo]
	for _, c := range said.State.Cards {
		if c.Photo == body.Photo {
			a.printf("%s says %s: %s\n", shown.Name, c.Card, c.Came())
		}
	}
	a.printf("%s takes that back\n", journal.Typed("rakelight retract %s", said.Records[0].ID()))
	return nil
}

func (a *app) ignoreCards(j *journal.Journal, name string) error {
	said, err := entry.Do(j, entry.NoCardsIn{Photo: name})
	if err != nil {
		return err
	}
	a.printSilent(said)
	return nil
}

// printSilent tells that the cards of a photo say nothing.
func (a *app) printSilent(said entry.Outcome) {
	photo := said.State.PhotosByHash()[said.Add[0].(journal.CardBody).Photo]
	a.printf("the cards in %s say nothing now; %s takes that back\n", photo.Name,
		journal.Typed("rakelight retract %s", said.Records[0].ID()))
}
