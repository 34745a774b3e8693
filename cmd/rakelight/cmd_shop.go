// rakelight mix, rakelight addition: what was mixed, and what is not from the box.

package main

import (
	"io"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
)

// noteFlags are the flags of whatever is noted of parts.
func noteFlags(fs *pflag.FlagSet, parts, sub, photo, instead *string, kit *int) (at *string) {
	fs.StringVar(parts, "parts", "", "")
	fs.StringVar(sub, "sub", "", "")
	fs.StringVar(photo, "photo", "", "")
	fs.StringVar(instead, "instead", "", "")
	fs.IntVar(kit, "kit", 0, "")
	return fs.String("at", "", "")
}

var mixCmd = &command{
	name: "mix", line: "keep how a paint was mixed, or list the mixes",
	usage: `Usage: rakelight mix BUILD NAME --recipe RECIPE [flags]
       rakelight mix BUILD --instead ID [flags]
       rakelight mix [BUILD]

Keeps a mix so that it can be made again months later: the recipe in parts with
its thinner, the coats, the batch, what was painted with it and a photo of the
swatch. Without a name it lists the mixes.

  --recipe RECIPE  in parts by volume: "3 red, 1 white, 2 thinner"
  --thinner PARTS  the thinner, where its name does not say so: "2 water"
  --coats N        coats laid with it
  --batch TEXT     of the paint, or of this mixing
  --parts PARTS    painted with it: A12,B3
  --sub NAME       the sub-assembly painted with it
  --photo PHOTO    a photo of the swatch, beside the gray card if you have one
  --text TEXT      anything else
  --kit N          of a build with several kits
  --at TIME        when, if it was not now: 20:10
  --instead ID     corrects that mix: what you leave out stays as it was there

Example:
  rakelight mix pilot-boat "hull red" --recipe "3 red, 1 brown, 2 thinner" --coats 2 --parts A12
`,
	run: func(a *app, args []string) error {
		var said entry.Mix
		fs := pflag.NewFlagSet("mix", pflag.ContinueOnError)
		at := noteFlags(fs, &said.Parts, &said.Sub, &said.Photo, &said.Instead, &said.Kit)
		fs.StringVar(&said.Recipe, "recipe", "", "")
		fs.StringVar(&said.Thinner, "thinner", "", "")
		fs.IntVar(&said.Coats, "coats", 0, "")
		fs.StringVar(&said.Batch, "batch", "", "")
		fs.StringVar(&said.Text, "text", "", "")
		j, rest, err := a.openWith(fs, args)
		if err != nil {
			return err
		}
		if len(rest) < 2 && said.Instead == "" {
			return a.listOf(j, rest, "mix", printMixes)
		}
		if len(rest) > 0 {
			said.Build, said.Name = rest[0], strings.Join(rest[1:], " ")
		}
		if said.At, err = a.moment(*at, j.State.Zone); err != nil {
			return err
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		m := done.Add[0].(journal.MixBody)
		a.printf("mix for %s noted: %s%s\n", m.Build,
			strings.Join(nonEmpty(m.Name, journal.RecipeWords(m.Recipe)), ", "), takeBack(done.Records[0]))
		a.told(done.Remarks)
		return nil
	},
}

// listOf lists something of one build, or of all.
func (a *app) listOf(j *journal.Journal, rest []string, what string,
	list func(io.Writer, *journal.State, string) int) error {
	builds := j.State.Builds
	if len(rest) > 0 {
		b, err := j.State.ResolveBuild(rest[0])
		if err != nil {
			return err
		}
		builds = []*journal.Build{b}
	}
	n := 0
	for _, b := range builds {
		n += list(a.out, j.State, b.ID)
	}
	if n == 0 {
		a.printf("No %s noted.\n", what)
	}
	return nil
}

// printMixes lists the mixes of a build, and says how many there are.
func printMixes(w io.Writer, s *journal.State, build string) int {
	all := s.MixesOf(build)
	for i, m := range all {
		if i == 0 {
			fprintf(w, "%s\n", build)
		}
		words := strings.Join(nonEmpty(m.Words(), onWhat(m.Parts, m.Sub), led("photo ", short(m.Photo))), "; ")
		fprintf(w, "  %s  %s (%s)\n", m.At.In(s.Zone).Format("2006-01-02"), words, m.Record)
	}
	return len(all)
}

// onWhat is what something was done on, "" = not said.
func onWhat(parts []journal.PartRef, sub string) string {
	on := strings.Join(nonEmpty(journal.Ranges(parts), sub), ", ")
	return led("on ", on)
}

// led is text after a word, "" = none.
func led(word, text string) string {
	if text == "" {
		return ""
	}
	return word + text
}

func short(hash string) string { return hash[:min(8, len(hash))] }

var additionCmd = &command{
	name: "addition", line: "note what is not from the box, or a reference",
	usage: `Usage: rakelight addition BUILD TEXT [flags]
       rakelight addition BUILD --instead ID [flags]
       rakelight addition [BUILD]

Notes what you add beyond the box as it happens (wire for the rail, belts, an
aerial), and the references you work from: both belong on a show's form, and
each show has rules of its own on what still counts as out of the box. Without
a text it lists them.

  --reference      it is a reference: a plan, a photo, a book
  --where TEXT     where on the model, or where the reference is found
  --parts PARTS    on these parts: A12,B3
  --sub NAME       on this sub-assembly
  --photo PHOTO    one that shows it
  --kit N          of a build with several kits
  --at TIME        when, if it was not now: 20:10
  --instead ID     corrects that one: what you leave out stays as it was there

Example:
  rakelight addition pilot-boat "brass wire for the rails" --where "along the deck"
`,
	run: func(a *app, args []string) error {
		var said entry.Addition
		fs := pflag.NewFlagSet("addition", pflag.ContinueOnError)
		at := noteFlags(fs, &said.Parts, &said.Sub, &said.Photo, &said.Instead, &said.Kit)
		fs.StringVar(&said.Where, "where", "", "")
		reference := fs.Bool("reference", false, "")
		j, rest, err := a.openWith(fs, args)
		if err != nil {
			return err
		}
		if len(rest) < 2 && said.Instead == "" {
			return a.listOf(j, rest, "addition", printAdditions)
		}
		if len(rest) > 0 {
			said.Build, said.Text = rest[0], strings.Join(rest[1:], " ")
		}
		if *reference {
			said.Kind = "reference"
		}
		if said.At, err = a.moment(*at, j.State.Zone); err != nil {
			return err
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		one := done.Add[0].(journal.AdditionBody)
		a.printf("%s of %s noted: %s%s\n", one.Kind, one.Build, one.Text, takeBack(done.Records[0]))
		a.told(done.Remarks)
		return nil
	},
}

// printAdditions lists the additions and references of a build, and says how many
// there are.
func printAdditions(w io.Writer, s *journal.State, build string) int {
	all := s.AdditionsOf(build)
	for i, one := range all {
		if i == 0 {
			fprintf(w, "%s\n", build)
		}
		more := nonEmpty(one.Text, one.Where, onWhat(one.Parts, one.Sub), led("photo ", short(one.Photo)))
		fprintf(w, "  %s  %s: %s (%s)\n", one.At.In(s.Zone).Format("2006-01-02"), one.Kind,
			strings.Join(more, "; "), one.Record)
	}
	return len(all)
}

// digits is a number as people write it, without needless zeros.
func digits(f float64) string { return strconv.FormatFloat(f, 'g', -1, 64) }
