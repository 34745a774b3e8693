// rakelight date: says when photos were taken whose files do not know it.

package main

import (
	"errors"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"rakelight/journal"
	"rakelight/journal/entry"
	"rakelight/journal/phrase"
	"rakelight/journal/wording"
)

var dateCmd = &command{
	name: "date", line: "say when a photo without a date was taken",
	usage: `Usage: rakelight date PHOTO… WHEN [--yes]

Says when one or many photos were taken: scans of prints, pictures that came
through a messenger, files whose camera knew no date. WHEN is as well as you
know it: a moment, a day, a month, a season or a year. What is not known stays
so: the pages show "spring 2019", and such a photo gets no place by session.

First it shows how WHEN was understood and what would change; with --yes it
writes that down, as a record that can be taken back. The latest counts. It
outweighs what the file says; a camera whose clock was wrong is better corrected
with rakelight clock, for all its photos.

  --yes   write it down

Examples:
  rakelight date 1f3a9c04 "spring 2019"
  rakelight date 1f3a9c04 77ab01cd "14 March 2019 19:30" --yes
`,
	run: func(a *app, args []string) error {
		fs := pflag.NewFlagSet("date", pflag.ContinueOnError)
		yes := fs.Bool("yes", false, "")
		j, rest, err := a.openWith(fs, args, takes(2, many, "date takes photos, and when they were taken"))
		if err != nil {
			return err
		}
		photos, words, err := photosAndWords(j.State, rest)
		if err != nil {
			return err
		}
		said, err := dated(words, a.now().In(j.State.Zone))
		if err != nil {
			return err
		}
		for _, p := range photos {
			said.Photos = append(said.Photos, p.Hash)
		}
		return a.setDate(j, said, *yes)
	},
}

// photosAndWords reads photos off the front of the arguments; the last are words,
// also where a year could be the beginning of a photo's name.
func photosAndWords(s *journal.State, args []string) ([]*journal.Photo, string, error) {
	var photos []*journal.Photo
	for i, arg := range args[:len(args)-1] {
		p, err := entry.Photo(s, arg)
		var no *entry.Refusal
		if errors.As(err, &no) && no.Reason == entry.NoSuchPhoto && i > 0 {
			return photos, strings.Join(args[i:], " "), nil
		}
		if err != nil {
			return nil, "", err
		}
		photos = append(photos, p)
	}
	return photos, args[len(args)-1], nil
}

// dated reads when photos were taken: a moment, else a day or a stretch of days.
func dated(words string, now time.Time) (entry.Dated, error) {
	at, onDay, err := phrase.ParseMoment(words, now)
	var unclear *phrase.Unclear
	switch {
	case err == nil && !onDay:
		return entry.Dated{}, &usageError{"the hour " + at.Format("15:04") + " needs its day: " +
			at.Format("2006-01-02 15:04")}
	case err == nil:
		return entry.Dated{At: at}, nil
	case !errors.As(err, &unclear) || unclear.Reason != phrase.NoTime:
		return entry.Dated{}, notUnderstood(err)
	}
	day, err := phrase.ParseDay(words, now)
	if err != nil {
		return entry.Dated{}, notUnderstood(err)
	}
	said := entry.Dated{First: day.First.Format(time.DateOnly), Last: day.Last.Format(time.DateOnly)}
	if !day.Exact() {
		if said.Said = day.Said; len(day.Said) == len("2006-01") && day.Said[4] == '-' {
			said.Said = day.First.Format("January 2006")
		}
	}
	return said, nil
}

// setDate shows what the record changes, and writes it down if told to.
func (a *app) setDate(j *journal.Journal, said entry.Dated, yes bool) error {
	before := j.State.PhotosByHash()
	came, err := shownOrDone(j, said, yes)
	if err != nil {
		return err
	}
	photos := came.State.PhotosByHash()
	for i, n := range came.Add {
		hash := n.(journal.DatedBody).Photo
		was, is := before[hash], photos[hash]
		a.printf("%s  %s: %s → %s", is.Short(), is.Name, was.Instant.Told("2006-01-02 15:04"),
			is.Instant.Told("2006-01-02 15:04"))
		if is.Instant.Doubts.Any() {
			a.printf(", %s", wording.Doubts(is.Instant.Doubts))
		}
		if from, to := where(was), where(is); from != to {
			a.printf("; %s → %s", from, to)
		}
		if yes {
			a.printf("%s", takeBack(came.Records[i]))
		}
		a.printf("\n")
	}
	a.told(came.Remarks)
	if !yes {
		a.println(notWritten)
	}
	return nil
}

// notWritten is said of what was only shown.
const notWritten = "nothing was written; the same with --yes writes it down"

// shownOrDone is what comes of what a person says: shown before it is written, or, with
// yes, written down; then alone there are records.
func shownOrDone(j *journal.Journal, said entry.Request, yes bool) (entry.Outcome, error) {
	if yes {
		return entry.Do(j, said)
	}
	plan, after, err := entry.Preview(j, said)
	return entry.Outcome{Plan: plan, State: after}, err
}
