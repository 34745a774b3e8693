// rakelight private: keeps photos, a build or a day from the pages for others.

package main

import (
	"errors"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/phrase"
)

var privateCmd = &command{
	name: "private", line: "keep photos, a day or a build from the pages for others",
	usage: `Usage: rakelight private PHOTO… [--not]
       rakelight private DAY [--build BUILD] [--not]
       rakelight private --build BUILD [--not]
       rakelight private

Keeps something from the pages that rakelight publish writes for others. It
leaves no trace there: no picture, no words, no title, no count. Your own pages
show it as before. What was published is removed by the next publish.

  PHOTO…         the photo, wherever it would be shown: also out of comparisons,
                 marks, verdicts and the chances that rest on them. Where a text
                 shows it or links to it, the words stay and the photo goes.
  DAY            the photos and all words of that day, of all builds or, with
                 --build, of one: diary, notes, mistakes, mixes, captions. The
                 hours and counts of its sessions stay in the numbers, with the
                 day. DAY is 2026-03-14, yesterday, Tuesday, 14 March; what went
                 on after midnight is of the evening too, and goes with it.
  --build BUILD  the whole build. None of its sessions is in any number that
                 others see, so those may be other numbers than yours.
  --not          show it again

Without arguments it lists what is private. build.md may say the same in its
front matter, private: true, and so may the words of a day,
builds/BUILD/diary/2026-03-14.md, between two lines of --- at the beginning.
Private is what either says. Your own words elsewhere stay as you wrote them:
where the words of a build or a day that others see name a private build,
rakelight publish tells you in which file.

Examples:
  rakelight private 1f3a9c04 77ab01cd
  rakelight private 2026-03-14 --build lorry
  rakelight private --build lorry --not
`,
	run: func(a *app, args []string) error {
		var said entry.Private
		fs := pflag.NewFlagSet("private", pflag.ContinueOnError)
		fs.StringVar(&said.Build, "build", "", "")
		fs.BoolVar(&said.Not, "not", false, "")
		j, rest, err := a.openWith(fs, args, takes(0, many, "private takes photos, a day or --build"))
		if err != nil {
			return err
		}
		if len(rest) == 0 && said.Build == "" {
			a.listPrivate(j.State)
			return nil
		}
		if err := a.whatIsPrivate(j.State, &said, rest); err != nil {
			return err
		}
		done, err := entry.Do(j, said)
		if err != nil {
			return err
		}
		for i, body := range done.Add {
			b := body.(journal.PrivateBody)
			what := journal.Private{Photo: b.Photo, Build: b.Build, Date: b.Date}
			a.printf("%s%s\n", privateWords(done.State, what, b.Not), takeBack(done.Records[i]))
		}
		a.told(done.Remarks)
		return nil
	},
}

// whatIsPrivate tells photos from a day.
func (a *app) whatIsPrivate(s *journal.State, said *entry.Private, rest []string) error {
	if len(rest) == 0 {
		return nil
	}
	if said.Build == "" {
		_, err := entry.Photo(s, rest[0])
		var no *entry.Refusal
		if !errors.As(err, &no) || no.Reason != entry.NoSuchPhoto {
			said.Photos = rest
			return nil // the door says what is wrong with a name
		}
	}
	if len(rest) > 1 {
		said.Photos = rest
		if said.Build != "" {
			return &usageError{"--build goes with one day, or alone"}
		}
		return nil
	}
	date, err := oneDay(rest[0], a.now().In(s.Zone))
	var unclear *phrase.Unclear
	if err != nil && said.Build == "" && !errors.As(err, &unclear) {
		said.Photos = rest
		return nil
	}
	said.Date = date
	return err
}

// privateWords says what is so of a thing now.
func privateWords(s *journal.State, b journal.Private, not bool) string {
	is := " is private"
	if not {
		is = " is shown to others again"
	}
	switch {
	case b.Photo != "":
		words := b.Photo[:8] + is
		if p := s.PhotosByHash()[b.Photo]; not && p != nil {
			if why := s.Hidden(p); why != "" {
				words = b.Photo[:8] + " is not private itself any more; " + why + " is"
			}
		}
		return words
	case b.Date == "":
		return b.Build + is
	case b.Build == "":
		return b.Date + is
	}
	return b.Date + " of " + b.Build + is
}

// listPrivate tells what is private, and who says so.
func (a *app) listPrivate(s *journal.State) {
	n := 0
	tell := func(format string, values ...any) {
		n++
		a.printf(format, values...)
	}
	for _, one := range s.Privates {
		tell("%s (%s takes it back)\n", privateWords(s, one, false), journal.Typed("rakelight retract %s", one.Record))
	}
	for _, b := range s.Builds {
		if b.Private {
			tell("%s is private (builds/%s/build.md says so)\n", b.ID, b.ID)
		} else if s.Config.Public.Finished && b.Finished == "" {
			tell("%s is private until it is finished (journal.toml says so)\n", b.ID)
		}
	}
	for _, d := range s.Diary {
		if d.Private {
			tell("%s of %s is private (builds/%s/diary/%s.md says so)\n", d.Date, d.Build, d.Build, d.Date)
		}
	}
	if n == 0 {
		a.println("nothing is private; rakelight help private tells what can be")
	}
}
