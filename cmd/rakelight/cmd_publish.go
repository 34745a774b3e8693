// rakelight publish: makes the pages for readers.

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/render"
)

var publishCmd = &command{
	name: "publish", line: "write the pages for readers into a folder",
	usage: `Usage: rakelight publish DIR [--language de]

Writes the pages that others may see into the folder DIR: the same diary without
what is only for you. Short names, commands, hints, what is to be sorted and
what is missing are not on them, times of day only if journal.toml says so.
Nothing private is, not even a count: rakelight help private tells what can be
private, and how. No picture carries any metadata.

DIR is new, empty, or one that was published into before. Only what changed is
written again, and what became private since is removed. What lies there and
was not written by Rakelight is left alone, also where a page would have its
name; the exit code is then 3. The file DIR/.written lists what was published,
and nothing else; keep it, or Rakelight takes its own pages for somebody else's.

What is public, unless you say otherwise: builds with their plans, the words of
their days, notes, mistakes, mixes, additions and pauses; photos that belong to
a build; days; hours, counts and all numbers. What is not: photos without a
build, pictures of cards alone, times of day, shopping lists, original files,
file names, cameras' serial numbers, places, the names of computers. Of a clip
the pictures and the sound are published, without what else its file says; one
whose file may say in other ways where it was taken is left out, and told. The
table [public] of journal.toml changes it:

  times = true           times of day are shown
  judges = ["Mara"]      judges who said that they may be named; the others are
                         called another judge
  finished-only = true   a build is shown once it is finished
  address = "https://…"  where the pages are read; the feed then says so
  language = "de"        the pages are in German; your own words stay as they are

--language says the language for once. There are words for en and de. What is not
said in the language yet stands in English and is listed.

To put it where others can read it:

1. Write it, and look at it: open DIR/index.html. It is what others will see.
2. Copy the whole folder, with the folders in it, to any place that serves
   files: with the upload page of your host, with rsync -a --delete DIR/ PLACE/
   or scp -r DIR PLACE, or with whatever else copies files there. No program
   needs to run there, and no settings need to be made.
3. The links are relative, so it may lie in a sub-folder (…/my-bench/) as well as
   at the top, and the folder may have any name.
4. On a USB stick it works as it is: open index.html from there. Without scripts,
   too; only the slider of comparisons and the page for any two photos use them.
5. After the next evenings: publish again into the same folder and copy again.
   What was removed here has to be removed there as well: with rsync --delete,
   or by hand. What somebody copied meanwhile, no program can call back.

Examples:
  rakelight private 1f3a9c04
  rakelight publish ../for-friends
`,
	run: func(a *app, args []string) error {
		flags := pflag.NewFlagSet("publish", pflag.ContinueOnError)
		language := flags.String("language", "", "")
		j, rest, err := a.openWith(flags, args,
			takes(1, 1, "publish takes the folder to write into"))
		if err != nil {
			return err
		}
		dir := rest[0]
		if err := placeToPublish(j, dir); err != nil {
			return err
		}
		bar := newProgress(a.err)
		report, err := render.Publish(a.ctx, j, dir,
			render.Options{Frame: frameTaker(), Progress: bar.at, Language: *language})
		bar.end()
		if err != nil {
			return err
		}
		a.printf("%s, %d changed, %s made or copied, %s removed; open %s\n", count(report.Pages, "page"),
			report.Changed, count(report.Photos, "picture"), count(report.Removed, "file"),
			filepath.Join(dir, "index.html"))
		withheld := j.State.Withheld()
		a.printf("%s\n", withheldWords(withheld))
		for _, c := range report.Withheld {
			a.printf("clip %s (%s) is not published: %v\n", c.Clip.Short(), c.Clip.Name, c.Why)
		}
		if names := withheld.Naming; len(names) > 0 {
			a.printf("your own words name a private build, and others can read them: %s\n", firstFew(names))
		}
		a.printUnsaid(report.Unsaid)
		if left := foreign(report); left != nil {
			left.hint = "move it out of " + dir + ", or publish into another folder"
			return left
		}
		return nil
	},
}

// printUnsaid lists what has no words in the language of the pages.
func (a *app) printUnsaid(unsaid []render.Unsaid) {
	if len(unsaid) == 0 {
		return
	}
	a.printf("in English, for want of words in the language of the pages: %s\n", count(len(unsaid), "sentence"))
	for _, one := range unsaid {
		a.printf("  %q, as on %s\n", string(one.Key), one.Page)
	}
}

// withheldWords says how much stays private: here alone, never on a page.
func withheldWords(w journal.Withheld) string {
	var kept []string
	for _, one := range []struct {
		n    int
		what string
	}{{w.Builds, "build"}, {w.Days, "day"}, {w.Photos, "photo"}} {
		if one.n > 0 {
			kept = append(kept, count(one.n, one.what))
		}
	}
	words := "nothing is private"
	if len(kept) > 0 {
		words = "private, and not on them: " + strings.Join(kept, ", ")
	}
	if w.Unsorted > 0 {
		words += "; left out: " + count(w.Unsorted, "photo") + " without a build"
	}
	return words
}

// placeToPublish refuses folders of a journal, those around it, and those that hold
// what was not published there.
func placeToPublish(j *journal.Journal, dir string) error {
	const another = "name a new folder, or one that was published into before"
	if name, err := journal.PagesFolder(dir, j.Dir); err != nil {
		return err
	} else if name != "" {
		return &journal.AskError{What: fmt.Sprintf("%s lies in the folder %s of a journal, which holds nothing but its own; nothing was written",
			dir, name), Hint: another}
	}
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) || err == nil && len(entries) == 0 {
		return nil
	}
	if err != nil {
		return err
	}
	if !render.Published(dir) {
		return &journal.AskError{What: dir + " holds what was not published there; nothing was written", Hint: another}
	}
	return nil
}
